"""``pointsleft value``: one situation and its options, without a log."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING, Any

import click

from pointsleft.cli.output import guarded, print_json
from pointsleft.cli.situation import read_snap, situation_options

if TYPE_CHECKING:
    from pointsleft_models.bundle import Worth

    from pointsleft.log.record import Snap
    from pointsleft.pricing.result import PlayedOut


@click.command()
@situation_options()
@click.option("--family", help="Play family, e.g. drop-back, rpo, option.")
@click.option(
    "--gun/--under", "gun", default=True, show_default=True, help="Shotgun or under centre."
)
@click.option("--shell", help="Coverage, e.g. one, three, quarters.")
@click.option("--box", type=int, help="Defenders in the box.")
@click.option("--rushers", type=int, help="How many rush.")
@click.option("--free", type=float, help="A free rusher, and how many yards deep he starts.")
@click.option("--key-action", help="Option key: crash, squeeze, sit, scrape, widen, drop.")
@click.option(
    "--options",
    "options",
    default="",
    help="Options as in a log's cell, e.g. 'post18.m/n dig12/s* flat2/l'.",
)
@click.option("--play-out", is_flag=True, help="Play the situation out, as a second witness.")
@click.option("--json", "as_json", is_flag=True, help="Print the values as JSON.")
@guarded
def command(as_json: bool, **given: Any) -> None:
    """Price one situation and its options from the command line."""
    from pointsleft_models.bundle import load_models
    from pointsleft_models.football.rules import rule_set

    models = load_models(given["level"])
    given |= {"level": models.rules_level}  # a log knows levels by their rules
    snap = read_snap(given, as_json, _more(given))
    worth = models.under(rule_set(models.rules_level, given["season"]))
    data = _values(worth, snap)
    played = _played(worth, snap) if given["play_out"] else None
    if as_json:
        from pointsleft.report.as_json import plain

        print_json({**data, "played_out": plain(played)})
    else:
        _show(data, played)


def _played(worth: Worth, snap: Snap) -> PlayedOut:
    from pointsleft_models.playthrough.load import load_playthrough

    from pointsleft.pricing.played_out import ALONE, play_out

    assert snap.situation is not None
    playthrough = load_playthrough(worth.rules, worth.models.level)
    return play_out(worth, *playthrough, snap.situation, "as it stands", games=ALONE)


def _more(given: dict[str, Any]) -> dict[str, Any]:
    """What the design and the defense say, by column of a log."""
    return {
        "family": given["family"], "alignment": "gun" if given["gun"] else "under",
        "shell": given["shell"], "box": given["box"], "rushers": given["rushers"],
        "free": None if given["free"] is None else "yes", "free depth": given["free"],
        "key action": given["key_action"], "options": given["options"],
    }  # fmt: skip


def _values(worth: Worth, snap: Snap) -> dict[str, Any]:
    import numpy as np

    from pointsleft.log.words import describe_situation
    from pointsleft.pricing.beforehand import spread_told
    from pointsleft.pricing.snap import prepare

    values, plain, models = prepare(worth, snap)
    assert snap.situation is not None
    data: dict[str, Any] = {
        "situation": describe_situation(snap.situation),
        "rules": worth.rules.name,
        "level": worth.models.level,
        "borrowed": worth.models.borrowed_told(),
        "beforehand": spread_told(worth.models, snap.situation.spread),
        "now": {c: plain.before(c) for c in values.currencies},
        "gross_points": plain.gross_points(),
        "options": [],
    }
    by_currency: dict[str, tuple[Any, Any]] = {}
    for currency in values.currencies:
        if not models:
            continue
        rows = [values.value(m.law(refits=True), currency, m.seconds, refits=True) for m in models]
        fits = max(len(r) for r in rows)
        table = np.stack([np.broadcast_to(r, (fits,)) for r in rows], 1)
        winners = np.argmax(table[1:], axis=1)
        share = [float((winners == i).mean()) if fits > 1 else None for i in range(len(models))]
        by_currency[currency] = table[0], share
    for i, model in enumerate(models):
        entry: dict[str, Any] = {
            "id": model.id, "label": model.label, "chance": model.chance(),
            "sack": model.sack, "hits": model.hit, "assumed": list(model.assumed),
        }  # fmt: skip
        for name, (table, share) in by_currency.items():
            entry[name] = float(table[i])
            entry[f"{name}_best_share"] = share[i]
        data["options"].append(entry)
    return data


def _show(data: dict[str, Any], played: PlayedOut | None) -> None:
    from pointsleft.report.safe_text import capital

    click.echo(f"{data['situation']}  ({data['rules']} rules)")
    now = data["now"]
    if "points" in now:
        click.echo(
            f"  expected points   {now['points']:+.2f}   "
            f"({data['gross_points']:+.2f} gross, without the price of the kickoff)"
        )
    if "wins" in now:
        click.echo(f"  win probability   {100 * now['wins']:.1f}%")
    for told in (capital(data["beforehand"]), data["borrowed"]):
        for line in textwrap.wrap(told, 76):
            click.echo(f"  {line}")
    if played is not None:
        from pointsleft.report.played_calls_text import played_out_text

        click.echo("\n" + "\n".join(played_out_text(played)))
    if not data["options"]:
        return
    from pointsleft.pricing.result import CURRENCIES

    has = [c for c in CURRENCIES if c in now]
    labels = [option["label"] for option in data["options"]]
    # At least room for most labels, at most what leaves the figures inside 80 columns.
    wide = min(max(30, *map(len, labels)) + 1, 80 - 2 - 8 - 17 * len(has))
    head = f"\n  {'option':<{wide}}{'success':>8}"
    head += "".join(f"{c:>8}{'first in':>9}" for c in has)
    click.echo(head)
    order = sorted(data["options"], key=lambda o: -o[has[-1]])
    for option in order:
        chance = "" if option["chance"] is None else f"{100 * option['chance']:.0f}%"
        first, *rest = textwrap.wrap(option["label"], wide - 1) or [""]
        line = f"  {first:<{wide}}{chance:>8}"
        for c in has:
            value = f"{option[c]:+.2f}" if c == "points" else f"{100 * option[c]:.1f}%"
            share = option[f"{c}_best_share"]
            line += f"{value:>8}{'' if share is None else f'{100 * share:.0f}%':>9}"
        click.echo(line)
        for more in rest:
            click.echo(f"    {more}")
    click.echo("\n  first in: share of the refits in which the option is the best one.")
    click.echo("  These are estimates; see `docs/method.md` for what they leave out.")
