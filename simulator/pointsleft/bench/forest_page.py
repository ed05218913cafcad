"""The measured page of a published forest beside ours."""

from __future__ import annotations

from typing import Any

from pointsleft.bench.markdown import Lines, paragraph, table

#: Correlation of binned chances and shares that its authors report.
PUBLISHED = 0.998


def published_forest(data: Any) -> Lines:
    """The section of the published forest."""
    scores = data["scores"]
    *first, last = (str(s) for s in scores["seasons"])
    rows = []
    for one in scores["learners"]:
        less = one["less"]
        rows.append(
            (
                one["learner"], f"{one['log_loss']:.5f}", f"{one['brier']:.5f}",
                "" if less is None else f"{less['value']:+.5f}",
                "" if less is None else f"{less['low']:+.5f} to {less['high']:+.5f}",
                f"{data['correlation'][one['learner']]:.4f}", f"{one['fit_seconds']:.0f}",
                f"{one['many_seconds']:.1f}",
            )
        )  # fmt: skip
    return [
        "## A published forest",
        "",
        *paragraph(
            f"""The forest of Lock and Nettleton (2014, Journal of Quantitative Analysis in Sports
            10:197-205; seen): {data["trees"]} trees whose nodes of {data["node"]} rows are not
            split, {data["tried"]} columns tried at a split (the usual third, memory), on the score,
            the points of both sides, the spread before the game, the time, the down, the spot, the
            distance and the time-outs. Ours is the shipped chance to win with the spread.
            {", ".join(first)} and {last} are left out in turn: {scores["rows"]:,} rows of
            {scores["games"]:,} decided games. *Correlation* is that of the mean chance of a bin of
            5% with its share of wins; they report {PUBLISHED} for theirs, on seasons and bins of
            their own."""
        ),
        "",
        *table(
            (
                "learner", "log loss", "Brier", "ours less it", "90% interval", "correlation",
                "fit, s", "a million, s",
            ),
            rows,
        ),
    ]  # fmt: skip
