"""The measured pages of the two value models: scores beside peers, and calibration."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Any

from pointsleft_models.bench.seasons import FIRST_SEASONS

from pointsleft.bench.markdown import Lines, held, paragraph, table

#: How far our log loss is to lie below every peer's, by task.
MARGINS = {
    "next score without the score": 0.0005,
    "next score with the score": 0.0005,
    "winner": 0.001,
    "winner with a spread": 0.001,
}

#: The first seasons as keys of the data, and the log losses that ours was to reach there.
FIRST = tuple(str(season) for season in FIRST_SEASONS)
FIRST_GOALS = {"next score without the score": 1.286, "winner": 0.4785}

#: How many times faster than the boosted peers a million situations are to be evaluated.
FASTER = 50

#: Learners whose times ours are held against.
BOOSTED = ("boosted A", "boosted B")

#: Learners in the order of a published table of mean distances in points (Brill, Yurko & Wyner,
#: arXiv 2311.03490, early version, table 2), and its figures.
POINTS_TASK = "next score without the score"
POINTS_ORDER = ("spot logit", "spline logit", "boosted A")
POINTS_PUBLISHED = "3.833, 3.808, 3.803 in Brill, Yurko & Wyner, arXiv 2311.03490, early version"

WORDS = {
    "next score without the score": """\
Log loss of the seven classes of the next score. Nobody gets the score: ours is the shipped basis
less the terms that hold it.""",
    "next score with the score": """\
The shipped model of the next score, and peers that get the score as one column more. The score
belongs into the fit: teams far ahead stop trying to score, and a model that does not know it takes
their drives for what a drive is worth. It does not belong into expected points, so they are read
off the fit with the score level; [method.md](method.md#why-the-score-is-level) has the reason in
full.""",
    "winner": """\
Log loss of the winner, plays of decided games, no spread. All learners are fitted on the same rows;
the peers get score over root time as a column. Ours is the shipped chance to win, its ends
included, on expected points from the next-score fit of the same training seasons; the time of that
fit is counted in. Kickoffs and the laws of the last play are the shipped ones.""",
    "winner with a spread": """\
The same where the spread before the game is known, to everybody but `ours without the spread`; the
peers also get the spread times the root of the share of the game that is left. Ours adds to the log
odds of the chance without the spread what the spread says of the time that is left
(`recipes/win_spread.py`).""",
}


def scores(data: Any) -> Lines:
    """The section of the scores."""
    seasons = data["tasks"][0]["seasons"]
    lines = [
        "## Values beside general-purpose learners",
        "",
        *paragraph(
            f"""Seasons {seasons[0]} to {seasons[-1]}, each left out in turn, the same rows for all
            learners of a table; losses are pooled over all rows. *Ours less it* is our log loss
            less the other's on the same rows, with a 90% interval from games drawn again: below
            nothing ours is better. Times are means over the seasons, of this run; the last column
            is that of a million situations. None of the peers was tuned, and all have the settings
            they have in the table; the forest is a small one of its kind, for time, and a published
            one has a section of its own. Our bases were chosen while their losses on seasons left
            out were in sight."""
        ),
    ]
    for task in data["tasks"]:
        lines += ["", *_task(task)]
    return [*lines, *_together(data["tasks"])]


def _together(tasks: Sequence[Mapping[str, Any]]) -> Lines:
    """Both values that a user needs: our winner's times hold those of the next score."""
    found = {t["task"]: {r["learner"]: r for r in t["learners"]} for t in tasks}
    points, wins = found.get("next score without the score"), found.get("winner")
    if points is None or wins is None or any(b not in points or b not in wins for b in BOOSTED):
        return []
    fits, evaluations = (
        [(points[b][key] + wins[b][key]) / wins["ours"][key] for b in BOOSTED]
        for key in ("fit_seconds", "many_seconds")
    )
    return [
        "",
        "### Both values together",
        "",
        *paragraph(
            f"""Our chance to win is fitted and evaluated on our expected points, and its times hold
            theirs; a boosted peer of both values is fitted twice. To fit both, {BOOSTED[0]} takes
            {fits[0]:.1f} times our time and {BOOSTED[1]} {fits[1]:.1f} times; to evaluate both of a
            million situations, {evaluations[0]:.0f} and {evaluations[1]:.0f} times."""
        ),
        *_alone(found, points, wins),
    ]


def _alone(found: Mapping[str, Any], points: Mapping[str, Any], wins: Mapping[str, Any]) -> Lines:
    """What the winner takes beyond the next score on which it stands."""
    below = found.get("next score with the score", points)["ours"]
    fit, many = (
        (wins["ours"][key] - below[key], wins[BOOSTED[0]][key])
        for key in ("fit_seconds", "many_seconds")
    )
    return [
        "",
        *paragraph(
            f"""The chance to win alone, expected points being there, takes {fit[0]:.1f} s to fit
            ({fit[0] / fit[1]:.2f} times {BOOSTED[0]}) and {many[0]:.2f} s for a million situations
            ({many[1] / many[0]:.1f} times faster than {BOOSTED[0]}). Fifty times faster would be
            {many[1] / FASTER:.2f} s; the next score alone, on which it stands, takes
            {below["many_seconds"]:.2f} s. It is out of the reach of array code: the evaluation is
            many passes over the rows (look-ups of classes, points and win terms, the ends of halves
            and of the game, harder situations), none of them a great part of it. Fewer and wider
            tables, single precision, and working out the rare only where it can matter took it as
            far as it is here. A compiled loop was not thought worth the dependency."""
        ),
    ]


def _task(task: Mapping[str, Any]) -> Lines:
    rows = task["learners"]
    own = rows[0]
    brier, points = own["brier"] is not None, own.get("points_off") is not None
    head = (
        "learner", "log loss", *(("Brier",) if brier else ()), *(("points off",) if points else ()),
        "ours less it", "90% interval", "fit, s", "a million, s",
    )  # fmt: skip
    body = []
    for r in rows:
        less = r["less"]
        name = r["learner"] + (f" ({r['settings']})" if r["settings"] else "")
        body.append(
            (
                name, f"{r['log_loss']:.5f}", *((f"{r['brier']:.5f}",) if brier else ()),
                *((f"{r['points_off']:.3f}",) if points else ()),
                "" if less is None else f"{less['value']:+.5f}",
                "" if less is None else f"{less['low']:+.5f} to {less['high']:+.5f}",
                f"{r['fit_seconds']:.1f}", f"{r['many_seconds']:.2f}",
            )
        )  # fmt: skip
    return [
        f"### {task['task'].capitalize()}",
        "",
        *paragraph(f"{WORDS[task['task']]} {task['rows']:,} rows of {task['games']:,} games."),
        "",
        *table(head, body),
        "",
        *_goals(task, own, rows),
    ]


def _goals(task: Mapping[str, Any], own: Mapping[str, Any], rows: Any) -> Lines:
    margin = MARGINS[task["task"]]
    peers = [r for r in rows[1:] if not r["learner"].startswith("ours")]
    nearest = max(peers, key=lambda r: r["less"]["value"])
    boosted = [r for r in rows if r["learner"] in BOOSTED]
    best = min(boosted, key=lambda r: r["log_loss"])
    fit = own["fit_seconds"] / best["fit_seconds"]
    faster = min(r["many_seconds"] for r in boosted) / own["many_seconds"]
    return [
        f"- Below every peer by at least {margin:g}: {held(nearest['less']['value'] <= -margin)}; "
        f"nearest is {nearest['learner']}, {-nearest['less']['value']:+.5f} above ours.",
        f"- No more time to fit than the best boosted peer ({best['learner']}): {held(fit <= 1)}, "
        f"{fit:.2f} times its time.",
        f"- A million situations at least {FASTER} times faster than the boosted peers: "
        f"{held(faster >= FASTER)}, {faster:.1f} times faster than the faster one.",
        *_first(task, rows),
        *_points_off(task, rows),
    ]


def _first(task: Mapping[str, Any], rows: Any) -> Lines:
    """The mean of three seasons alone, where a goal was set for them."""
    goal = FIRST_GOALS.get(task["task"])
    if goal is None or not set(FIRST) <= set(rows[0]["by_season"]):
        return []
    mean = {r["learner"]: sum(r["by_season"][s] for s in FIRST) / 3 for r in rows}
    own, *others = mean.items()
    peers = ", ".join(f"{name} {loss:.4f}" for name, loss in others)
    seasons = f"{', '.join(FIRST[:-1])} and {FIRST[-1]}"
    return [
        f"- Mean of {seasons} alone, at most {goal:g}: "
        f"{held(own[1] <= goal)}, {own[1]:.4f} ({peers}).",
    ]


def _points_off(task: Mapping[str, Any], rows: Any) -> Lines:
    """The order of learners by their distance in points, as published."""
    off = {r["learner"]: r.get("points_off") for r in rows}
    if task["task"] != POINTS_TASK or any(off.get(name) is None for name in POINTS_ORDER):
        return []
    found = [off[name] for name in POINTS_ORDER]
    ordered = all(first > second for first, second in pairwise(found))
    own = off["ours"]
    return [
        f"- *Points off*, the mean distance of expected points from those of the next score, in "
        f"the published order ({', then '.join(POINTS_ORDER)}: {POINTS_PUBLISHED}; a fourth of "
        f"theirs knows the spread, which no points of ours do): "
        f"{held(ordered)}; ours {own:.3f}.",
    ]


def calibration(data: Any) -> Lines:
    """The section of calibration on the page of all measures."""
    points, wins = data["points"], data["wins"]
    return [
        "## Calibration",
        "",
        "On every season left out in turn; pictures by kind of situation, and how each figure is",
        "worked out, are in [calibration.md](calibration.md).",
        "",
        *table(
            ("what", "measured", "goal", ""),
            [
                (
                    "next score, error of the seven classes, bins of 5%", f"{points['error']:.4f}",
                    f"{points['goal']:g}", held(points["error"] <= points["goal"]),
                ),
                (
                    "winner, bins of quarters off by more than 3 standard errors",
                    f"{len(wins['missed'])} of {wins['judged']}", "0",
                    held(not wins["missed"]),
                ),
            ],
        ),
    ]  # fmt: skip


def calibration_page(measured: Mapping[str, Any]) -> str:
    """docs/calibration.md."""
    data, about = measured["data"], measured["about"]
    points, wins = data["points"], data["wins"]
    season_rows = [(s, f"{e:.4f}") for s, e in points["by_season"].items()]
    missed = [
        (
            m["kind"], f"{100 * m['chance']:.1f}%", f"{100 * m['share']:.1f}%",
            f"{m['off']:+.1f}", f"{m['rows']:,}", f"{m['games']:,}",
        )
        for m in wins["missed"]
    ]  # fmt: skip
    lines = [
        "# Do the chances come as often as they say?",
        "",
        "<!-- Made by `python -m pointsleft.bench calibration`. -->",
        "",
        "Each season is predicted by fits that have not seen it, with the shipped code and bases.",
        "",
        "## Next score",
        "",
        *paragraph(
            f"""{points["rows"]:,} snaps. Chances of each class are put in bins of 5% around 0, 5%,
            10% and so on; a class is off by the mean distance between chance and share over its
            bins, weighted by their rows; the classes are averaged by how often they come (as
            described in Yurko, Ventura and Horowitz 2019, Journal of Quantitative Analysis in
            Sports 15:163-183, section 2.1.2; the weights from memory). They report .013 for their
            design, which is the goal here."""
        ),
        "",
        *table(
            ("error", "measured", "goal", ""),
            [
                (
                    "mean chance of a bin against its share", f"{points['error']:.4f}",
                    f"{points['goal']:g}", held(points["error"] <= points["goal"]),
                ),
                (
                    "middle of a bin against its share", f"{points['by_middle']:.4f}",
                    f"{points['goal']:g}", held(points["by_middle"] <= points["goal"]),
                ),
            ],
        ),
        "",
        *paragraph(
            """Season by season there are fewer rows in a bin, and a share strays farther by chance
            alone:"""
        ),
        "",
        *table(("season left out", "error"), season_rows),
        "",
        "![How far shares lie from chances of the next score, by kind of situation]"
        "(img/calibration/next-score.png)",
        "",
        *paragraph(
            f"""Marks: share that came less chance given, by chance, for bins of 5% with at least
            {data["fewest"]} rows, with 90% intervals that count games. On the line at nothing a
            chance is right."""
        ),
        "",
        "## Winner",
        "",
        *paragraph(
            f"""{wins["rows"]:,} snaps of decided games. In every quarter each bin of 5% with at
            least {data["fewest"]} rows is to lie within 3 standard errors, games as clusters, since
            the snaps of one game share a winner. {wins["judged"]} bins are judged;
            {len(wins["missed"])} of them are off by more, where a model without fault would have
            {wins["by_chance"]:.1f} by chance."""
        ),
        "",
        *(
            [*table(("quarter", "chance", "share", "errors off", "snaps", "games"), missed), ""]
            if missed
            else []
        ),
        "![How far shares of wins lie from chances to win, by kind of situation]"
        "(img/calibration/wins.png)",
        "",
        f"Measured {about['date']} at commit {about['commit']} ({about['machine']}).",
    ]  # fmt: skip
    return "\n".join(lines) + "\n"
