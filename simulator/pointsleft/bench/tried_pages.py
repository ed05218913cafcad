"""The measured pages of what was tried and left out: weights by drive, a pace of the clock."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pointsleft.bench.markdown import Lines, paragraph, table


def drives(data: Any) -> Lines:
    """The section of weights by drive."""
    rows = [
        (
            every, _difference(data[f"by_{every}"]),
            *(f"{error:.3f}" for error in data[f"error_by_{every}"]),
        )
        for every in ("snap", "drive")
    ]  # fmt: skip
    *first, last = (str(s) for s in data["seasons"])
    return [
        "## Weights by drive",
        "",
        *paragraph(
            f"""The shipped bases of the next score with a weight of one over the snaps of the drive
            beside the plain fit, {", ".join(first)} and {last} left out in turn
            ({data["rows"]:,} snaps). A study brings the error of an expected-points fit from 2.618
            to 2.593 that way (Brill, Yee, Deshpande and Wyner 2024; quoted). Scored twice, every
            snap alike and every drive alike: the change of the log loss with a 90% interval (below
            nothing weights help), and the root mean square distance of expected points from those
            of the next score. What is priced are snaps, so the first row decides; the shipped fit
            has no weights."""
        ),
        "",
        *table(
            ("alike is every", "log loss, weights less plain", "points, plain", "points, weighted"),
            rows,
        ),
    ]  # fmt: skip


def pace(data: Any) -> Lines:
    """The section of the pace of the clock."""
    rows = [
        (
            f"{one['pace']:.2f}", _difference(one["next_score"]), _difference(one["wins"]),
            f"{one['points_moved']:.3f}", f"{100 * one['wins_moved']:.2f}%",
        )
        for one in data["paced"]
    ]  # fmt: skip
    return [
        "## The clock of other rules",
        "",
        *paragraph(
            f"""Under college rules the clock stops more often: a half that is played through with
            the professional parts has {data["of_the_rules"]:.3f} times as many snaps under the
            rules of college {data["season"]} as under those of the fits. So the seconds of a snap
            might be stretched before a professional fit is asked. On that college season
            ({data["rows"]:,} snaps of {data["games"]:,} games, which no professional fit has seen;
            log losses {data["loss_next_score"]:.4f} and {data["loss_wins"]:.4f}) the losses change
            by (90% intervals, below nothing a pace helps):"""
        ),
        "",
        *table(("seconds times", "next score", "winner", "points move by", "WP moves by"), rows),
        "",
        *paragraph(
            """What a situation is worth is therefore not moved by the clock rules: on the one
            season there is to hold it against, it would be no better. They act where a snap's own
            seconds are counted (waits after an outcome, the two-minute stop, games played
            through)."""
        ),
    ]


def _difference(one: Mapping[str, Any]) -> str:
    return f"{one['value']:+.5f} ({one['low']:+.5f} to {one['high']:+.5f})"
