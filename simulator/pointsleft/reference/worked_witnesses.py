"""Worked numbers of docs/two-witnesses.md: the demo game and a late call before both."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from pointsleft_models.football.rules import rule_set
from pointsleft_models.playthrough.load import load_playthrough

from pointsleft.cli.demo import demo_log
from pointsleft.game.dearest import FULL
from pointsleft.game.played_out import with_played_out
from pointsleft.log import read_log
from pointsleft.pricing.result import CURRENCIES, Currency, PlayedOut
from pointsleft.reference.markdown import table
from pointsleft.reference.measured import not_measured, read_measured
from pointsleft.reference.worked import models, run_command
from pointsleft.reference.worked_decisions import demo
from pointsleft.report.numbers import FACTOR, bare, fixed, percent
from pointsleft.report.played_out_view import game_parting, values

#: What ``tests/tools/measure_witnesses.py`` writes.
MEASURED = "witnesses.json"

_LATE = (
    "call", "--ball", "opp 33", "--distance", "4", "--quarter", "4", "--clock", "1:12", "--us",
    "20", "--them", "24",
)  # fmt: skip


def of_the_demo() -> str:
    """The dearest decisions of the demo game before both witnesses."""
    log = read_log(demo_log())
    parts = load_playthrough(rule_set(log.level, log.season))
    played = with_played_out(demo(), log, models(), parts, FULL)
    rows = [
        (f"{d.snap}, {one.when}", *_cells(one, "points"), *_cells(one, "wins"))
        for d in played.decisions
        for one in d.played_out
    ]
    head = ("snap", "points: regression", "played out", "% WP: regression", "played out")
    return table(head, rows, 4) + f"\n{game_parting(played)}.\n"


def _cells(one: PlayedOut, currency: Currency) -> tuple[str, str]:
    """Both values with what each may be off by; a star where they part."""
    b = dict(values(one)).get(currency)
    if b is None:
        return "", ""
    star = " *" if b.apart else ""
    return (
        f"{bare(b.value, currency)} ± {bare(b.spread, currency)}",
        f"{bare(b.played, currency)} ± {bare(b.error, currency)}{star}",
    )


def of_the_archive(docs: Path) -> str:
    """How often the two part on snaps of the archive, as last measured."""
    found = read_measured(docs, MEASURED)
    if found is None:
        return not_measured("python tests/tools/measure_witnesses.py", MEASURED)
    rows = []
    for name, part in found["parts"].items():
        cells = [name]
        for currency in CURRENCIES:
            one, factor = part[currency], FACTOR[currency]
            cells += [percent(one["apart"]), _with_error(one, "gap", factor)]
        rows.append((*cells, _with_error(part["came"], "off")))
    head = ("snaps", "part in points", "played out less regression", "part in wins",
            "played out less regression, % WP", "came less regression, % WP")  # fmt: skip
    return table(head, rows, 5) + (
        f"\n{found['snaps']} snaps of {found['season']} a row, {found['games']:,} games each; what "
        f"came is counted over all snaps of all seasons; measured on {found['date']}.\n"
    )


def _with_error(found: Mapping[str, float], name: str, factor: float = 100) -> str:
    """A measured difference and its error; wins in percent."""
    value, error = found[name], found[f"{name}_error"]
    return f"{fixed(factor * value, 2, plus=True)} ± {fixed(factor * error, 2)}"


def by_kind(docs: Path) -> str:
    """Where the two part, and which is nearer to what came."""
    found = read_measured(docs, MEASURED)
    if found is None:
        return not_measured("python tests/tools/measure_witnesses.py", MEASURED)
    rows = []
    for name, kind in found["kinds"].items():
        came = kind["came"]
        favoured = fixed(came["favoured"], 2, plus=True) if "favoured" in came else ""
        rows.append((name, favoured, _with_error(kind["wins"], "gap"), _with_error(came, "off")))
    head = ("the side with the ball is", "favoured beforehand, points",
            "played out less regression, % WP", "came less regression, % WP")  # fmt: skip
    return table(head, rows, 3)


def blocks(docs: Path) -> dict[str, Callable[[], str]]:
    """Every computed part of the page."""
    return {
        "witnesses of the archive": lambda: of_the_archive(docs),
        "witnesses by situation": lambda: by_kind(docs),
        "witnesses of the demo game": of_the_demo,
        "witnesses of a late call": lambda: run_command(*_LATE),
    }
