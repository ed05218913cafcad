"""The measured pages of intervals held against known truths."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from pointsleft.bench.markdown import Lines, held, paragraph, table

#: How far the ends of intervals from single steps may lie from those of whole refits, as a share
#: of the width.
ONE_STEP_OFF = 0.1

#: What a scheme has to hold to be shipped, and the mean absolute error that is asked for.
LEAST, MOST_OFF = 0.88, 0.012

#: What 90% intervals of boosted trees hold (Brill, Yurko & Wyner 2025, seen or quoted).
PUBLISHED = {
    "rows": 0.60, "games": 0.71, "games, then plays": 0.76, "half as many games": 0.85,
    "35% as many games": 0.90,
}  # fmt: skip

#: Coverage of a situation that is called poor.
POOR = 0.8


def coverage(data: Any) -> Lines:
    """The section of random-walk football."""
    return [
        "## Do the intervals hold the truth?",
        "",
        "Random-walk football, whose chances to win are known exactly (Brill, Yurko & Wyner 2025,",
        "arXiv 2406.16171), through the shipped bases and solver. Published for boosted trees at",
        "4,101 games: mean absolute error about .018; nominal 90% intervals hold .60 with rows",
        "resampled, .71 with games, .76 with games then plays, .85 and .90 with half and 35% as",
        "many games. To be shipped, a scheme has to hold .88.",
        "",
        *_covered(data),
    ]


def coverage_published(data: Any) -> Lines:
    """The same at the number of games of the published figures."""
    return [
        "## The same at as many games as the published figures",
        "",
        *_covered(data, PUBLISHED),
        "",
        *paragraph(
            """The published figures are of boosted trees. A resample moves the steps of a tree and
            hardly moves a smooth fit, so intervals that spread as resamples do (rows most of all)
            come out narrower here and hold less; that is a reading of the table and was not
            measured apart. What is shipped was chosen by these tables."""
        ),
    ]


def coverage_football(data: Any) -> Lines:
    """The section of the simulated league."""
    return [
        "## Do they hold the truth of what looks like football?",
        "",
        "The simulator fitted to the archive is taken as the truth: a league of equal teams plays",
        "an archive, the shipped estimator, ends and all, is fitted to its snaps, and its chances",
        f"to win are held against {data['situations']} snaps of regulation, each played out in",
        f"{data['played_out']:,} games (standard error of the truth {data['truth_error']:.4f} on",
        f"average; what came of those snaps is {data['luck']:+.1f} standard errors off). What the",
        "estimator leaves out of football and smooths away is in its error here; that teams differ",
        "is not. The errors of the shares count the archives; the situations are the same in all.",
        "",
        *_covered(data),
        *_as_shipped(data.get("as_shipped")),
    ]


def _as_shipped(one: Any) -> Lines:
    if one is None:
        return []
    rows = [
        (
            s["scheme"], f"{s['coverage']:.3f} ± {s['standard_error']:.3f}",
            held(s["coverage"] >= LEAST), f"{s['width']:.4f}", f"{s['error']:.4f}",
        )
        for s in one["schemes"]
    ]  # fmt: skip
    return [
        "",
        *paragraph(
            f"""An interval lies between quantiles of the refits, and those of few lie farther in
            than those of many. So here is the shipped scheme with as many refits as are shipped
            ({one["refits"]}), in whole cuts of the games and by one step each, on
            {one["repeats"]} archives of their own; the first of the same refits beside all of them;
            and the points of the next score, the score level and kickoffs not priced, which the
            same refits foretell:"""
        ),
        "",
        *table(
            (
                "what",
                "90% intervals hold",
                f"at least {LEAST:g}",
                "mean width",
                "mean absolute error",
            ),
            rows,
        ),
        *_by_situation(one),
    ]


def _by_situation(one: Any) -> Lines:
    """How coverage differs between situations, and its error with them counted too."""
    said = []
    for scheme in one["schemes"]:
        if scheme["by_situation"] is None:
            continue
        by = np.array(scheme["by_situation"])
        tenth, middle = np.quantile(by, [0.1, 0.5])
        # what the archives' luck adds to the spread between situations is in the other error
        spread = max(by.var(ddof=1) - (by * (1 - by)).mean() / one["repeats"], 0.0)
        both = np.hypot(np.sqrt(spread / len(by)), scheme["standard_error"])
        said.append(
            f"{scheme['scheme']}: half of the {len(by)} situations are held in at least "
            f"{middle:.2f} of the archives, a tenth in {tenth:.2f} or less, "
            f"{int((by < POOR).sum())} in less than {POOR:.2f}; with the situations counted as "
            f"drawn too, the error of the share is {both:.3f}"
        )
    return ["", *paragraph(f"By situation. {'. '.join(s[0].upper() + s[1:] for s in said)}.")]


def _covered(one: Any, published: Mapping[str, float] | None = None) -> Lines:
    rows = [
        (
            s["scheme"], str(s.get("repeats", one["repeats"])),
            f"{s['coverage']:.3f} ± {s['standard_error']:.3f}",
            "yes" if s["coverage"] >= LEAST else "no",
            *(() if published is None else (_two(published.get(s["scheme"])),)),
            f"{s['width']:.4f}",
        )
        for s in one["schemes"]
    ]  # fmt: skip
    head = (
        "resampled", "repeats", "90% intervals hold", f"at least {LEAST:g}",
        *(() if published is None else ("published",)), "mean width",
    )  # fmt: skip
    return [
        f"{one['games']:,} games, {one['repeats']} repeats of {one['refits']} refits; mean "
        f"absolute error {one['error']:.4f} ± {one['error_se']:.4f} (at most {MOST_OFF:g}: "
        f"{held(one['error'] <= MOST_OFF)}).",
        "",
        *table(head, rows),
    ]


def _two(value: float | None) -> str:
    return "" if value is None else f"{value:.2f}"


def one_step(data: Any) -> Lines:
    """The section of refits by one step."""
    rows = [
        (
            r["truth"], f"{r['games']:,}", str(r["refits"]), f"{r['width']:.4f}",
            f"{r['ends']:.3f}", held(r["ends"] <= ONE_STEP_OFF), f"{r['wider']:.3f}",
        )
        for r in data
    ]  # fmt: skip
    return [
        "## One step or all the way",
        "",
        *paragraph(
            f"""The studies of coverage refit by one step of the solver. Beside it the same
            resamples of one archive refitted all the way: *ends* is the mean distance of
            the ends of the two intervals as a share of the width (goal {ONE_STEP_OFF:g}),
            *wider* the width of the one over the width of the other."""
        ),
        "",
        *table(("truth", "games", "refits", "mean width", "ends", "goal", "wider"), rows),
    ]
