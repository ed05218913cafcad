"""docs/bench.md from the measured data."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

Lines = list[str]


def _table(head: Sequence[str], rows: Sequence[Sequence[str]], left: int = 1) -> Lines:
    marks = ["---" if i < left else "---:" for i in range(len(head))]
    return ["| " + " | ".join(cells) + " |" for cells in (head, marks, *rows)]


def _speed(data: Any) -> Lines:
    rows = [(m["what"], f"{m['value']:.3g} {m['unit']}".rstrip(), m["goal"]) for m in data]
    return [
        "## Speed",
        "",
        "Medians; times depend on the machine and on what else it does, ratios do not.",
        "",
        *_table(("what", "measured", "goal"), rows),
    ]


def _scored(rows: Any) -> Lines:
    brier = rows[0]["brier"] is not None
    head = ("learner", "log loss", *(("Brier",) if brier else ()), "fit and predict, s")
    body = [
        (
            r["learner"], f"{r['log_loss']:.4f}",
            *((f"{r['brier']:.4f}",) if brier else ()), f"{r['fit_seconds']:.0f}",
        )
        for r in rows
    ]  # fmt: skip
    return _table(head, body)


def _scores(data: Any) -> Lines:
    return [
        "## Next score: log loss of seven classes",
        "",
        "Seasons 2010, 2014 and 2018 each left out in turn, the same rows and columns for all. The",
        "goal of ours is 1.286.",
        "",
        *_scored(data["points"]),
        "",
        "## Winner of decided games, no spread",
        "",
        "The same seasons; score over root time is among the columns of every learner. The goal of",
        "ours is 0.4785.",
        "",
        *_scored(data["wins"]),
    ]


def _coverage(data: Any) -> Lines:
    out = [
        "## Do the intervals hold the truth?",
        "",
        "Random-walk football, whose chances to win are known exactly (Brill, Yurko & Wyner 2025,",
        "arXiv 2406.16171), through the shipped bases and solver. Published for boosted trees at",
        "4,101 games: mean absolute error about .018; nominal 90% intervals hold .60 with rows",
        "resampled, .71 with games, .76 with games then plays, .85 and .90 with half and 35% as",
        "many games. To be shipped, a scheme has to hold .88.",
    ]
    for one in data:
        rows = [
            (
                s["scheme"], f"{s['coverage']:.3f} ± {s['standard_error']:.3f}",
                f"{s['width']:.4f}",
            )
            for s in one["schemes"]
        ]  # fmt: skip
        out += [
            "",
            f"{one['games']:,} games, {one['repeats']} repeats of {one['refits']} refits; mean "
            f"absolute error {one['error']:.4f} ± {one['error_se']:.4f} (goal .012).",
            "",
            *_table(("resampled", "90% intervals hold", "mean width"), rows),
        ]
    return out


def _figure(value: float) -> str:
    return f"{value:.1f}" if abs(value) >= 30 else f"{value:.3f}"


def _playthrough(data: Any) -> Lines:
    rows = [
        (
            r["what"], *(_figure(r[name]) for name in ("simulated", "archive")),
            f"{_figure(r['lowest'])} to {_figure(r['highest'])}",
            "yes" if r["inside"] else "**no**",
        )
        for r in data["rows"]
    ]  # fmt: skip
    inside, speed = sum(r["inside"] for r in data["rows"]), data["speed"]
    return [
        "## Games played through",
        "",
        f"{data['games']:,} simulated games under the rules of each season, beside the seasons of",
        f"the archive: {inside} of {len(rows)} quantities lie within the range of the seasons.",
        f"{speed['games']:,} full games took {speed['seconds']:.1f} s on {speed['workers']}",
        "workers",
        "(goal 20 s).",
        "",
        *_table(("what", "simulated", "archive", "seasons", "within"), rows),
    ]


PAGES: dict[str, Callable[[Any], Lines]] = {
    "speed": _speed,
    "scores": _scores,
    "playthrough": _playthrough,
    "coverage": _coverage,
}


def page(measured: Mapping[str, Any]) -> str:
    """The page of every section that was measured."""
    lines = ["# Measured", "", "Written by `make bench`; nothing here is typed."]
    for name, write in PAGES.items():
        if name not in measured:
            continue
        about = measured[name]["about"]
        lines += [
            "",
            *write(measured[name]["data"]),
            "",
            f"Measured {about['date']} at commit {about['commit']} ({about['machine']}).",
        ]
    return "\n".join(lines) + "\n"
