"""A whole table of calls on the terminal, in at most 80 columns."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from pointsleft.calls.review import Review
from pointsleft.calls.totals import PUBLISHED_SHARE, Group, League
from pointsleft.report.numbers import fixed, percent
from pointsleft.report.safe_text import pad, wrapped

#: Published figures that ours stand beside (see docs/published.md).
PUBLISHED_REGRET, PUBLISHED_SETTLED = 0.4, 0.48


def review_text(
    review: Review,
    whole: League,
    recent: League | None,
    tables: Sequence[tuple[str, Sequence[Group]]],
    most: int,
) -> str:
    """The review of a play table.

    Parameters
    ----------
    recent
        The seasons that a published share of settled calls is held against, where they are there.
    tables
        Heading and groups, the dearest first.
    most
        Groups shown of each table.
    """
    lines = [
        f"{whole.fourth_downs:,} fourth downs priced, {whole.calls:,} with a call seen "
        f"({review.refits} refits)",
    ]
    for why, count in review.downs.left_out.items():
        lines.append(f"  left out: {count:,} {why}")
    lines += ["", *_settled(whole, recent), "", *_league(whole)]
    for heading, found in tables:
        lines += ["", *_groups(heading, found, most)]
    lines += ["", *wrapped(
        "Left: best call less the one made, cross-fitted (some parts of the games choose the best "
        "call, another values it). Intervals: 90% over games. "
        f"{_sides(review)}; who went was not a random team. See docs/calls.md."
    )]  # fmt: skip
    return "\n".join(lines) + "\n"


def _sides(review: Review) -> str:
    """What is known of the teams."""
    known = int(np.isfinite(review.downs.at.spread).sum())
    if not known:
        return "Teams of average strength on both sides"
    return (
        f"Wins know the pre-game spread of {known:,} of {len(review.downs):,} fourth downs, points "
        "take equal teams"
    )


def _settled(whole: League, recent: League | None) -> list[str]:
    lines = ["How settled the best call is, by win probability"]
    lines += wrapped(
        f"firm {percent(whole.firm)}, slight {percent(whole.slight)}, unsettled "
        f"{percent(whole.unsettled)} of all fourth downs", "  ",
    )  # fmt: skip
    if recent is not None:
        lines += wrapped(
            f"seasons 2015 to 2019: {percent(recent.at_published)} have at least "
            f"{percent(PUBLISHED_SHARE)} of the refits behind one call; a published study of 2018 "
            f"to 2022, with refits of another kind, says {percent(PUBLISHED_SETTLED)}", "  ",
        )  # fmt: skip
    return lines


def _league(whole: League) -> list[str]:
    low, high = (_wins(v) for v in (whole.interval.low, whole.interval.high))
    lines = [f"Wins left by fourth-down calls, a team-season ({whole.team_seasons} of them)"]
    lines += [
        f"  {_wins(whole.crossfit):>6}  cross-fitted (90% over refits, best calls held: "
        f"{low} to {high})",
        f"  {_wins(whole.plain):>6}  chosen and valued by the same fit",
        f"  {_wins(PUBLISHED_REGRET):>6}  a published estimate (2019; about)",
        "  of the cross-fitted figure",
    ]
    for line in whole.account:
        if line.calls:
            lines.append(f"  {_wins(line.wins):>6}    {line.what}, {line.calls:,} calls")
    lines.append("  of it, where another call than the best was made and")
    lines += [f"  {_wins(line.wins):>6}    {line.what}, {line.calls:,}" for line in whole.cuts]
    return lines


def _groups(heading: str, found: Sequence[Group], most: int) -> list[str]:
    lines = [
        pad(heading, 30) + pad("calls", 7, right=True) + pad("best", 6, right=True)
        + pad("left a game", 13, right=True) + pad("90%", 15, right=True)
        + pad("in all", 8, right=True),
        pad("", 30) + pad("", 7) + pad("taken", 6, right=True) + pad("% WP", 13, right=True)
        + pad("", 15) + pad("wins", 8, right=True),
    ]  # fmt: skip
    shown = list(found)
    cut = len(shown) > most
    if cut:
        shown = [*shown[: most - most // 3], None, *shown[-(most // 3) :]]  # type: ignore[list-item]
    for group in shown:
        if group is None:
            lines.append(f"  ... {len(found) - most} more (--json and --out have all)")
            continue
        low, high = 100 * group.interval.low, 100 * group.interval.high
        between = "" if low != low else f"{_fixed(low)} to {_fixed(high)}"
        lines.append(
            pad(group.name, 30) + pad(f"{group.calls:,}", 7, right=True)
            + pad(percent(group.agreed), 6, right=True)
            + pad(_fixed(100 * group.wins), 13, right=True) + pad(between, 15, right=True)
            + pad(_wins(group.total_wins), 8, right=True)
        )  # fmt: skip
    return [line.rstrip() for line in lines]


def _wins(value: float) -> str:
    return fixed(value, 2)


def _fixed(value: float) -> str:
    return fixed(value, 1)
