"""Worked numbers of docs/calls.md: fourth downs, tries, and the archive reviewed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import numpy as np
from pointsleft_models.fitting.logit import expit, logit
from pointsleft_models.football.spot import write_spot

from pointsleft.calls.fourth import Inputs, price_fourth_down
from pointsleft.calls.game import calls_of_log
from pointsleft.calls.kicker import Kicks, kicker_odds
from pointsleft.calls.plays_named import PLAYS
from pointsleft.calls.tries import TrySpot, down_fourteen, price_try, try_chart
from pointsleft.calls.turn import frontier as frontier_of
from pointsleft.cli.demo import demo_log
from pointsleft.log import read_log
from pointsleft.pricing.result import CURRENCIES
from pointsleft.pricing.settings import HIGH, LOW
from pointsleft.reference.markdown import code, table
from pointsleft.reference.measured import not_measured, read_measured
from pointsleft.reference.worked import models, run_command, situation, worth
from pointsleft.report.call_text import chart_text
from pointsleft.report.game_calls_text import game_calls_text
from pointsleft.report.numbers import bare, fixed, percent

Array = np.ndarray

#: What ``tests/tools/measure_calls.py`` writes.
MEASURED = "calls.json"

#: Romer 2006, Journal of Political Economy 114:340-365 (from memory): yards to go up to which
#: going is right, by yards to goal.
ROMER = {90: 3.0, 50: 5.0, 45: 6.5, 33: 9.8, 21: 4.0}

_AT_MIDFIELD = (
    "call", "--ball", "50", "--distance", "1", "--quarter", "1", "--clock", "10:00", "--us", "0",
    "--them", "0",
)  # fmt: skip


def midfield() -> str:
    """Fourth and one at midfield, as the command prints it."""
    return run_command(*_AT_MIDFIELD)


def three_sevenths() -> str:
    """Fourth and goal at the 2: the textbook's two lines and the true ones."""
    at = situation(down=4, distance=2, yards_to_goal=2, period=2, seconds=900)
    priced = price_fourth_down(worth(), at)
    tie = priced.choice("go").break_even["points"]
    assert tie.tie is not None
    rows = [
        ("textbook: only the points on the board", "3.00", "7.00", "0.00", percent(3 / 7)),
        (
            "with what comes next", fixed(tie.target, 2), fixed(tie.high, 2), fixed(tie.low, 2),
            percent(tie.tie),
        ),
    ]  # fmt: skip
    head = ("", "the kick", "touchdown", "stopped", "break-even")
    said = f"\nThe law converts {percent(tie.chance)} of such tries.\n"
    return table(head, rows, 4) + said


def frontier() -> str:
    """Critical yards to go beside Romer's, under the kickoffs of 2009, before the rule of 2011."""
    under = worth(2009)
    ours = [frontier_of(under, tuple(ROMER), currency=c) for c in CURRENCIES]
    rows = []
    for at, (spot, theirs) in enumerate(ROMER.items()):
        cells = [_with_interval(fits[:, at]) for fits in ours]
        rows.append((write_spot(spot), f"{theirs:.1f}", *cells))
    return table(("ball at", "Romer 2006 (memory)", "ours, points", "ours, wins"), rows, 3)


def _with_interval(fits: Array) -> str:
    """The point fit, and between which two the middle nine tenths of the refits lie."""
    low, high = np.quantile(fits[1:], [LOW, HIGH])
    return f"{fits[0]:.1f} ({low:.1f} to {high:.1f})"


def named() -> str:
    """Every named play on fourth and two at the opponent's 40, beside all plays."""
    at = situation(down=4, distance=2, yards_to_goal=40, period=2, seconds=600)
    priced = price_fourth_down(worth(), at, Inputs(plays=tuple(PLAYS)))
    rows = []
    for choice in priced.choices:
        if choice.kind != "go":
            continue
        name = choice.name if choice.named else "all plays, third and fourth downs together"
        codes = ", ".join(f"`{c}`" for c in choice.assumed)
        rows.append(
            (name, percent(choice.chance or 0), bare(choice.value["points"], "points", plus=True),
             bare(choice.value["wins"], "wins"), codes)
        )  # fmt: skip
    return table(("play", "converts", "points", "% WP", "judged"), rows)


def kickers() -> str:
    """What a record does to a kick of 48 yards."""
    law = worth().kicking
    rows = []
    for words, record in (
        ("no record", ()), ("4 of 4 from 45", (Kicks(4, 4, 45),)),
        ("18 of 20 from 45", (Kicks(18, 20, 45),)), ("90 of 100 from 45", (Kicks(90, 100, 45),)),
        ("10 of 20 from 45", (Kicks(10, 20, 45),)),
    ):  # fmt: skip
        moved = kicker_odds(law, record)
        base = float(law.make_chance(48)[0])
        chance = float(expit(logit(np.array(base)) + moved))
        rows.append((words, fixed(moved, 2, plus=True), percent(chance)))
    return table(("record", "log odds", "a kick of 48 yards"), rows, 2)


def fourteen() -> str:
    """Fourteen to eight: by hand with both later branches, and in the values."""
    rows = []
    for kick, pair in ((1.0, 0.5), (worth().points.try_points, worth().two_point)):
        once, twice = down_fourteen(kick, pair)
        rows.append((f"kick {percent(kick)}, two points {percent(pair)}", percent(once),
                     percent(twice)))  # fmt: skip
    text = table(
        ("by hand: held, a second touchdown, no time left", "kick now", "two now"), rows, 2
    )
    priced = price_try(worth(), TrySpot(4, 240, -8))
    tie = "none" if priced.tie is None else percent(priced.tie)
    return text + (
        f"\nIn the values, 4:00 left and three time-outs each: kick "
        f"{bare(priced.value_kick, 'wins')}% WP, two {bare(priced.value_pair, 'wins')}% WP, "
        f"break-even {tie}; two points is {priced.settled.verdict}, first in "
        f"{percent(priced.settled.share)} of the refits.\n"
    )


def chart() -> str:
    """Kick or two by score and time."""
    return code(chart_text(try_chart(worth())), "text")


def demo_calls() -> str:
    """The demo game's own calls."""
    return code(game_calls_text(calls_of_log(read_log(demo_log()), models())), "text")


def _left(league: Mapping[str, Any]) -> str:
    low, high = league["interval"]["low"], league["interval"]["high"]
    return f"{league['crossfit']:.2f} (90% {low:.2f} to {high:.2f})"


def archive(docs: Path) -> str:
    """Every fourth down of the archive, as last measured."""
    found = read_measured(docs, MEASURED)
    if found is None:
        return not_measured("python tests/tools/measure_calls.py", MEASURED)
    whole, recent = found["league"], found["seasons_2015_to_2019"]
    rows = [
        ("fourth downs priced (a call seen on)",
         f"{whole['fourth_downs']:,} ({whole['calls']:,})", ""),
        ("firm, slight, unsettled, by wins",
         ", ".join(percent(whole[w]) for w in ("firm", "slight", "unsettled")), ""),
        ("at least 83% of the refits agree, 2015 to 2019", percent(recent["at_published"]),
         "48% (2018 to 2022)"),
        ("wins left a team-season, cross-fitted", _left(whole), "about .4"),
        ("the same, chosen and valued by one fit", f"{whole['plain']:.2f}", ""),
    ]  # fmt: skip
    if "league_with_spread" in found:
        known = "cross-fitted, wins knowing the pre-game spread"
        rows.append((known, _left(found["league_with_spread"]), ""))
    text = table(("", "ours", "published"), rows, 2) + "\nOf the cross-fitted figure:\n\n"
    parts = [
        (line["what"], f"{line['calls']:,}", fixed(line["wins"], 2)) for line in whole["account"]
    ]
    text += table(("account", "calls", "wins a team-season"), parts, 2)
    text += "\nOf it, where another call than the best was made and:\n\n"
    cuts = [(line["what"], f"{line['calls']:,}", fixed(line["wins"], 2)) for line in whole["cuts"]]
    text += table(("mark", "calls", "wins a team-season"), cuts, 2)
    seasons = ", ".join(f"{s} {v:.2f}" for s, v in found["by_season"].items())
    return text + (
        f"\nWins left a team-season by season: {seasons}.\n\nMeasured on {found['date']}: "
        f"{found['seconds']:.0f} s and {found['processor_seconds']:.0f} s of processor time, "
        f"{found['cores']} cores, load {found['load_at_the_end']:g} at the end (other work ran "
        "beside it where that is far above the number of cores).\n"
    )


def blocks(docs: Path) -> dict[str, Callable[[], str]]:
    """Every computed part of docs/calls.md."""
    return {
        "call at midfield": midfield,
        "three sevenths": three_sevenths,
        "frontier": frontier,
        "named plays": named,
        "kicker records": kickers,
        "fourteen to eight": fourteen,
        "try chart": chart,
        "calls of the demo game": demo_calls,
        "calls of the archive": lambda: archive(docs),
    }
