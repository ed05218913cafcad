"""docs/bench.md from the measured data."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from pointsleft.bench.case_pages import case, case_page, moved
from pointsleft.bench.law_pages import laws, laws_page
from pointsleft.bench.markdown import Lines, table
from pointsleft.bench.value_pages import calibration, calibration_page, scores


def _speed(data: Any) -> Lines:
    rows = [(m["what"], f"{m['value']:.3g} {m['unit']}".rstrip(), m["goal"]) for m in data]
    return [
        "## Speed",
        "",
        "Medians; times depend on the machine and on what else it does, ratios do not.",
        "",
        *table(("what", "measured", "goal"), rows),
    ]


def _coverage(data: Any) -> Lines:
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


def _coverage_published(data: Any) -> Lines:
    return ["## The same at as many games as the published figures", "", *_covered(data)]


def _coverage_football(data: Any) -> Lines:
    return [
        "## Do they hold the truth of what looks like football?",
        "",
        "The simulator fitted to the archive is taken as the truth: a league of equal teams plays",
        "an archive, the shipped estimator, ends and all, is fitted to its snaps, and its chances",
        f"to win are held against {data['situations']} snaps of regulation, each played out in",
        f"{data['played_out']:,} games (standard error of the truth {data['truth_error']:.4f} on",
        f"average; what came of those snaps is {data['luck']:+.1f} standard errors off). What the",
        "estimator leaves out of football and smooths away is in its error here; that teams differ",
        "is not.",
        "",
        *_covered(data),
    ]


def _covered(one: Any) -> Lines:
    rows = [
        (
            s["scheme"], str(s.get("repeats", one["repeats"])),
            f"{s['coverage']:.3f} ± {s['standard_error']:.3f}", f"{s['width']:.4f}",
        )
        for s in one["schemes"]
    ]  # fmt: skip
    return [
        f"{one['games']:,} games, {one['repeats']} repeats of {one['refits']} refits; mean "
        f"absolute error {one['error']:.4f} ± {one['error_se']:.4f} (goal .012).",
        "",
        *table(("resampled", "repeats", "90% intervals hold", "mean width"), rows),
    ]


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
        *table(("what", "simulated", "archive", "seasons", "within"), rows),
    ]


PAGES: dict[str, Callable[[Any], Lines]] = {
    "speed": _speed,
    "scores": scores,
    "calibration": calibration,
    "laws": laws,
    "playthrough": _playthrough,
    "players": case,
    "players-moved": moved,
    "coverage": _coverage,
    "coverage-football": _coverage_football,
    "coverage-published": _coverage_published,
}


#: Pages of their own, by section.
OWN_PAGES: dict[str, tuple[str, Callable[[Mapping[str, Any]], str]]] = {
    "calibration": ("calibration.md", calibration_page),
    "laws": ("laws.md", laws_page),
    "players": ("case.md", case_page),
}


def own_pages(measured: Mapping[str, Any]) -> dict[str, str]:
    """File name -> content of the pages that some sections have for themselves."""
    return {
        name: write(measured[section])
        for section, (name, write) in OWN_PAGES.items()
        if section in measured
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
