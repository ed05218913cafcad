"""The cards and their index as Markdown, from the stored fits and what :file:`about.toml` says."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

from pointsleft_models.bundle import SPREAD, Models
from pointsleft_models.cards.counted import Counted
from pointsleft_models.fitting.store import Card, StoredFit
from pointsleft_models.fitting.yardage import YARDS

MADE = "<!-- Made by `python -m pointsleft_models.cards`; the words are in cards/about.toml. -->"

#: Task among the scores of docs/bench.json that scores a value.
BENCH_TASKS = {
    "next-score": "next score with the score", "wins": "winner", SPREAD: "winner with a spread",
}  # fmt: skip


@cache
def about() -> Mapping[str, Any]:
    """The words of the cards."""
    text = files(__package__).joinpath("about.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def table(head: Sequence[str], rows: Iterable[Sequence[str]], right: int = 0) -> str:
    """A Markdown table; the last ``right`` columns are set to the right."""
    left = len(head) - right
    lines = ["| " + " | ".join(head) + " |"]
    lines.append("| " + " | ".join("---" if i < left else "---:" for i in range(len(head))) + " |")
    lines += ["| " + " | ".join(cell.replace("|", "\\|") for cell in row) + " |" for row in rows]
    return "\n".join(lines) + "\n"


def card_page(stored: StoredFit, counted: Counted | None, bench: Mapping[str, Any] | None) -> str:
    """One card.

    Parameters
    ----------
    counted
        What its picture shows; ``None`` where there is none.
    bench
        Content of docs/bench.json, for the scores of the values.
    """
    card, words = stored.card, about()[stored.card.name]
    parts = [
        f"# {words['title']}\n\n{MADE}\n",
        words["what"].strip() + "\n",
        "## Fitted on\n\n" + _fitted_on(stored) + "\n" + _rows(card, words),
        "## What it may depend on\n\n" + _basis(card, words),
        "## Out of sample\n\n" + _scores(card, bench) + _beside(card.name, bench),
    ]
    if counted is not None:
        parts.append("## Fit against counts\n\n" + _picture(stored, counted))
    parts.append("## What part is judgement\n\n" + words["judgement"].strip() + "\n")
    parts.append("## What it leaves out\n\n" + words["limits"].strip() + "\n")
    if card.credit:
        parts.append(f"## Credit\n\n{card.credit}.\n")
    return "\n".join(parts)


def _fitted_on(stored: StoredFit) -> str:
    card = stored.card
    rows = [
        ("data", card.data),
        ("level", card.level),
        ("seasons", _seasons(card.seasons)),
        ("rows", f"{card.rows:,}"),
        ("games", f"{card.games:,}"),
        ("fitted on", card.date),
        ("refits", f"{card.refits} on resampled games ({_scheme(card)})"),
        ("hash of the arrays", f"`{stored.digest}`"),
    ]
    return table(("", ""), rows)


def _scheme(card: Card) -> str:
    return {"parts": "disjoint fifths", "games": "games drawn with replacement"}.get(
        card.scheme, card.scheme or "none"
    )


def _seasons(seasons: Sequence[int]) -> str:
    if len(seasons) > 1 and list(seasons) == list(range(seasons[0], seasons[-1] + 1)):
        return f"{seasons[0]} to {seasons[-1]}"
    return ", ".join(str(s) for s in seasons)


def _rows(card: Card, words: Mapping[str, Any]) -> str:
    if "rows" in words:
        return words["rows"].strip() + "\n"
    return (
        "The rows above are all snaps with a down. Every component has its own, counted in the "
        "table of scores: snaps that no penalty wiped out, where the game book says what the "
        "component needs to know.\n"
    )


def components(card: Card) -> dict[str, Mapping[str, Any]]:
    """Name -> settings of every logit of a fit."""
    if "components" in card.settings:
        return dict(card.settings["components"])
    if "questions" in card.settings:
        return {
            name: {"basis": basis, "kind": "logit", "on": "", "needs": ""}
            for name, basis in card.settings["questions"].items()
        }
    return {card.name: {"basis": card.settings["basis"], "kind": "logit", "on": "", "needs": ""}}


def _basis(card: Card, words: Mapping[str, Any]) -> str:
    told = words.get("components", {})
    out = []
    for name, settings in components(card).items():
        unit = words.get("unit", "yards")
        law = "a logit"
        if settings["kind"] == "yards":
            law = f"a law of {unit}, as the chance to end at each"
        line = f"**{name}**: {told[name]} ({law}" if name in told else f"**{name}** ({law}"
        line += f", added to `{settings['on']}`" if settings["on"] else ""
        line += "; needs participation data" if settings["needs"] else ""
        out.append(line + ").\n")
        names = {**about()["variables"], **words.get("variables", {})}
        out += [f"- {term_in_words(term, unit, names)}" for term in settings["basis"]]
        out.append("")
    out.append(
        "Bends are straight between their knots and flat beyond the outer ones. The stiffness "
        "scales a penalty on differences between neighbouring coefficients, fixed before fitting."
    )
    return "\n".join(out) + "\n"


def term_in_words(
    term: Mapping[str, Any], unit: str = "yards", names: Mapping[str, str] | None = None
) -> str:
    """One term of a basis in words.

    Parameters
    ----------
    unit
        What a law of yards counts.
    names
        Variables in words; those of all cards where absent.

    >>> axis = {"axis": "Bends", "variable": "air", "knots": [0, 5, 20], "transform": None}
    >>> term_in_words({"axes": [axis], "stiffness": 3.0, "rises": [], "falls": ["air"]})
    'air yards (3 bends from 0 to 20); stiffness 3; never rises in air yards'
    """
    names = about()["variables"] if names is None else names
    axes = " by ".join(_axis(axis, unit, names) for axis in term["axes"])
    line = f"{axes}; stiffness {term['stiffness']:.3g}"
    for key, verb in (("rises", "falls"), ("falls", "rises")):
        for variable in term[key]:
            line += f"; never {verb} in {names.get(variable, variable)}"
    return line


def _axis(axis: Mapping[str, Any], unit: str, names: Mapping[str, str]) -> str:
    variable = axis["variable"]
    name = unit if variable == YARDS else names.get(variable, variable)
    if axis["axis"] == "Levels":
        return f"{name} ({axis['size']} levels)"
    if axis["axis"] == "Line":
        return f"{name} (a straight line)"
    knots = axis["knots"]
    scale = ", even in its logarithm" if axis["transform"] else ""
    return f"{name} ({len(knots)} bends from {knots[0]:g} to {knots[-1]:g}{scale})"


def _scores(card: Card, bench: Mapping[str, Any] | None) -> str:
    if card.name in BENCH_TASKS:
        return _bench_scores(card.name, bench)
    if not card.scores:
        return "Not scored.\n"
    rows = []
    for name, score in card.scores.items():
        gain = 1 - score["log_loss"] / score["marginal"]
        rows.append(
            (
                f"`{name}`", f"{score['rows']:,}", f"{score['games']:,}",
                f"{score['log_loss']:.4f}", f"{score['marginal']:.4f}", f"{100 * gain:.1f}%",
            )
        )  # fmt: skip
    return (
        "Log loss a row in seasons left out in turn (2010, 2014 and 2018; for components on "
        "participation data the last two that have it). The marginal is the same model without "
        "what it depends on; for a component added to another, that other one alone.\n\n"
        + table(("component", "rows", "games", "log loss", "marginal", "gain"), rows, 5)
    )


def _beside(name: str, bench: Mapping[str, Any] | None) -> str:
    """The laws of a card beside counted shares and trees, where that has been measured."""
    section = (bench or {}).get("laws", {"data": {"laws": []}})
    rows = []
    for law in section["data"]["laws"]:
        if law["family"] == name:
            loss, less = law["log_loss"], law["less"]
            cells = [
                f"{loss[key]:.4f} ({less[key]['low']:+.4f} to {less[key]['high']:+.4f})"
                for key in ("frequency", "boosted")
            ]
            rows.append((f"`{law['component']}`", f"{loss['ours']:.4f}", *cells))
    if not rows:
        return ""
    head = ("component", "ours", "counted shares", "boosted trees")
    return (
        "\nBeside the shares counted in the other seasons and boosted trees on the same columns, "
        "with the 90% interval of ours less theirs (below nothing ours is better); how it is "
        "measured is in [laws.md](../laws.md):\n\n"
        + table(head, rows, 3)
        + f"\n![Share that came less chance on unseen seasons](../img/laws/{name}.png)\n"
    )


def _bench_scores(name: str, bench: Mapping[str, Any] | None) -> str:
    section = (bench or {}).get("scores", {"data": {"tasks": []}})
    found = [task for task in section["data"]["tasks"] if task["task"] == BENCH_TASKS[name]]
    if not found:
        return "Scored beside its peers by `make bench`, which writes docs/bench.md.\n"
    seasons, learners = found[0]["seasons"], found[0]["learners"]
    rows = [
        (
            r["learner"], f"{r['log_loss']:.5f}",
            "" if r["brier"] is None else f"{r['brier']:.5f}",
            "" if r["less"] is None else f"{r['less']['low']:+.5f} to {r['less']['high']:+.5f}",
        )
        for r in learners
    ]  # fmt: skip
    return (
        f"Seasons {seasons[0]} to {seasons[-1]}, each left out in turn, the same rows and columns "
        "for all; from [bench.md](../bench.md), written by `make bench`. Whether the chances come "
        "as often as they say is in [calibration.md](../calibration.md).\n\n"
        + table(("learner", "log loss", "Brier", "ours less it, 90% interval"), rows, 3)
    )


def _picture(stored: StoredFit, counted: Counted) -> str:
    titles = "; ".join(panel.title for panel in counted.panels)
    stale = "" if counted.fit == stored.digest else "**Counted beside an earlier fit.** "
    inside, points = agreement(counted)
    return (
        f"![{titles}](../img/cards/{counted.name}.png)\n\n{stale}Counted in {counted.data}, the "
        f"same games the fit has seen. The fit lies within the 90% interval of the count at "
        f"{inside} of {points} points drawn. The counts behind the picture are in "
        f"[{counted.name}.json](../img/cards/{counted.name}.json); bins with fewer than 30 rows "
        "are left out.\n"
    )


def agreement(counted: Counted) -> tuple[int, int]:
    """At how many of the points drawn the fit lies within the interval of the count."""
    inside = points = 0
    for panel in counted.panels:
        for series in panel.series:
            low, high = series.intervals()
            points += len(series.x)
            inside += sum(
                lo <= fit <= hi for lo, fit, hi in zip(low, series.fit, high, strict=True)
            )
    return inside, points


_INDEX = f"""# The models

{MADE}

Everything below is fitted on open play-by-play by the project's own code, stored as plain arrays
beside a card in JSON, and never pickled; loading checks the hash. The pages here are written from
those cards. `pointsleft fit` makes the fits again: with the archive alone all but the components
marked as needing participation data, with `--participation FILE` all of them. How a decision is
valued with them is in [method.md](method.md), what is not fitted in [judgements.md](judgements.md).

"""

_REFITS = """
## Refits

Every fit is made again on resampled games, always the same games for all models together. The
scheme is disjoint fifths: the games are cut in five at random and everything is fitted on each
part. The spread of the refits is the model spread of the output, and the parts of one cut choose
and value an option without sharing a game.

## Reading a card

Scores are log losses out of sample, beside the marginal: the same model without the columns it
depends on. In the pictures marks are shares counted, with 90% Wilson intervals, and lines are the
fit over the same rows; where the snaps of one game share a result, intervals count games. Rows of
one game are not independent, so a few more fits than one in ten outside their interval do not
condemn a law; a run of them on one side does.
"""


def index_page(models: Models) -> str:
    """docs/models.md."""
    rows = []
    for name, fit in models.fits.items():
        card = fit.card
        rows.append(
            (
                f"[{about()[name]['title']}](cards/{name}.md)", str(len(components(card))),
                _seasons(card.seasons), f"{card.rows:,}", f"{card.games:,}", str(card.refits),
                card.date,
            )
        )  # fmt: skip
    head = ("fit", "logits", "seasons", "rows", "games", "refits", "fitted on")
    credits = sorted({fit.card.credit for fit in models.fits.values() if fit.card.credit})
    data = sorted({fit.card.data for fit in models.fits.values()})
    sources = (
        f"\nLevel: {models.level}. Data: {', '.join(data)}"
        + "".join(f". {credit}" for credit in credits)
        + ".\n"
    )
    return _INDEX + table(head, rows, 5) + sources + _REFITS


def read_bench(docs: Path) -> Mapping[str, Any] | None:
    """docs/bench.json, ``None`` where it has not been written."""
    path = docs / "bench.json"
    if not path.is_file():
        return None
    found: Mapping[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return found
