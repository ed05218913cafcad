"""Computed parts of docs/calls.md on how much is settled, from docs/settled.json."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from pointsleft.calls.fourth import price_fourth_down
from pointsleft.calls.totals import PUBLISHED_SHARE
from pointsleft.reference.markdown import table
from pointsleft.reference.measured import not_measured, read_measured
from pointsleft.reference.worked import situation, worth
from pointsleft.report.numbers import bare, fixed, percent

#: What ``tests/tools/measure_settled.py`` writes.
MEASURED = "settled.json"

#: The published share, and of which seasons.
PUBLISHED = ("a published study, 2018 to 2022", "48%", "27%", "", "")

#: Own time-outs, and the other side's, of the example.
TIMEOUTS = ((3, 3), (2, 3), (1, 3), (0, 3), (3, 0))

Found = dict[str, Any]


def _row(name: str, found: Found) -> tuple[str, ...]:
    return (
        name, percent(found["settled"]), percent(found["uncertain"]),
        fixed(100 * found["gap"], 2), fixed(100 * found["spread"], 2),
    )  # fmt: skip


def _head(what: str) -> tuple[str, ...]:
    share = percent(PUBLISHED_SHARE)
    return (what, f"{share} agree", "under 67%", "gap, % WP", "its spread, % WP")


def learners(found: Found) -> str:
    """The same calls by our fits and by boosted trees, under every scheme of refits."""
    rows = [_row(name, one) for name, one in found["six"].items()]
    rows += [_row(name, one) for name, one in found["trees"]["learners"].items()]
    text = table(_head("six situations a call"), [*rows, PUBLISHED], 4)
    return text + (
        f"\nThe trees' point fit puts the same call first as ours on "
        f"{percent(found['trees']['same_where_settled'])} of the fourth downs that we settle, and "
        f"on {percent(found['trees']['same_elsewhere'])} of the others. Measured on "
        f"{found['trees']['date']}.\n"
    )


def varied(found: Found) -> str:
    """What the refits vary, and how wide."""
    ours = found["ours"]
    rows = [_row(name, one) for name, one in ours["varied"].items()]
    rows += [
        _row(f"all, refits {times} times as far from the point fit", one)
        for times, one in ours["widened"].items()
        if times != "1"
    ]
    return table(_head("what the refits vary"), rows, 4) + (
        f"\n{ours['fourth_downs']:,} fourth downs of 2015 to 2019, drawn at random; measured on "
        f"{ours['date']}.\n"
    )


def plays(found: Found) -> str:
    """Which fourth downs count."""
    rows = [
        (name, percent(one["share"]), percent(one["settled"]))
        for name, one in found["ours"]["plays"].items()
    ]
    return table(
        ("fourth downs", "share of all", f"{percent(PUBLISHED_SHARE)} of the refits agree"), rows, 2
    )


def counted(found: Found) -> str:
    """From the archive to the fourth downs that are priced."""
    rows = [(name, f"{n:,}") for name, n in found["ours"]["counted"].items()]
    return table(("", "2009 to 2019"), rows, 1)


def timeouts(found: Found) -> str:
    """One fourth down with time-outs gone early."""
    rows = []
    for own, other in TIMEOUTS:
        at = situation(
            down=4, distance=3, yards_to_goal=45, period=1, seconds=600, lead=0, own_timeouts=own,
            opponent_timeouts=other,
        )  # fmt: skip
        priced = price_fourth_down(worth(), at)
        settled = priced.settled["wins"]
        rows.append(
            (f"{own} and {other}", settled.best, bare(settled.gap, "wins"),
             bare(priced.choice(settled.best).spread["wins"], "wins"), percent(settled.share))
        )  # fmt: skip
    left = found["ours"]["first_quarters"]
    text = table(
        ("time-outs, own and theirs", "best", "ahead by, % WP", "spread of its value, % WP",
         "refits that agree"), rows, 3,
    )  # fmt: skip
    counts = ", ".join(f"{left[k]:,} with {k}" for k in sorted(left, reverse=True))
    return text + f"\nSnaps of first quarters by the offense's time-outs, 2009 to 2019: {counts}.\n"


def blocks(docs: Path) -> dict[str, Callable[[], str]]:
    """Every computed part."""

    def read(what: Callable[[Found], str]) -> Callable[[], str]:
        def block() -> str:
            found = read_measured(docs, MEASURED)
            if found is None:
                return not_measured("python tests/tools/measure_settled.py", MEASURED)
            return what(found)

        return block

    return {
        "settled by learner": read(learners),
        "settled by what varies": read(varied),
        "settled by plays": read(plays),
        "fourth downs counted": read(counted),
        "time-outs gone early": read(timeouts),
    }
