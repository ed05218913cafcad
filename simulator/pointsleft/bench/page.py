"""docs/bench.md from the measured data."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from pointsleft.bench.case_pages import case, case_page, moved
from pointsleft.bench.chain_page import chains
from pointsleft.bench.coverage_pages import (
    coverage,
    coverage_football,
    coverage_published,
    one_step,
)
from pointsleft.bench.forest_page import published_forest
from pointsleft.bench.law_pages import laws, laws_page
from pointsleft.bench.markdown import Lines, table
from pointsleft.bench.tried_pages import drives, pace
from pointsleft.bench.value_pages import calibration, calibration_page, scores
from pointsleft.bench.weather_page import weather


def _speed(data: Any) -> Lines:
    rows = [(m["what"], f"{m['value']:.3g} {m['unit']}".rstrip(), m["goal"]) for m in data]
    return [
        "## Speed",
        "",
        "Medians; times depend on the machine and on what else it does, ratios do not.",
        "",
        *table(("what", "measured", "goal"), rows),
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
        f"{speed['games']:,} full games took {speed['seconds']:.1f} s on {speed['workers']} "
        "workers (goal 20 s).",
        "",
        *table(("what", "simulated", "archive", "seasons", "within"), rows),
        "",
        "Plays of the last two minutes take longer than in the archive mostly for kneels: sides",
        "that kneel a won game out with about a minute left snap again before they must, and the",
        "engine has them wait for the play clock, as they would if it mattered.",
    ]


PAGES: dict[str, Callable[[Any], Lines]] = {
    "speed": _speed,
    "scores": scores,
    "published-forest": published_forest,
    "calibration": calibration,
    "laws": laws,
    "weather": weather,
    "drives": drives,
    "pace": pace,
    "playthrough": _playthrough,
    "chains": chains,
    "players": case,
    "players-moved": moved,
    "one-step": one_step,
    "coverage": coverage,
    "coverage-published": coverage_published,
    "coverage-football": coverage_football,
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
