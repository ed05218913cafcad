"""The page of measured figures says what was measured, and only that."""

from __future__ import annotations

from typing import Any

from pointsleft.bench.page import PAGES, page
from pointsleft.bench.sections import SECTIONS

ABOUT = {"date": "2026-01-02", "commit": "abc1234", "machine": "x86_64, 2 cores"}

DATA: dict[str, Any] = {
    "speed": [{"what": "a thing", "value": 0.12345, "unit": "s", "goal": "1 s"}],
    "scores": {
        "points": [{"learner": "ours", "log_loss": 1.23456, "brier": None, "fit_seconds": 7.4}],
        "wins": [{"learner": "peer", "log_loss": 0.4766, "brier": 0.15, "fit_seconds": 3.0}],
    },
    "playthrough": {
        "rows": [
            {"what": "plays a game", "simulated": 137.81, "archive": 137.9, "lowest": 135.0,
             "highest": 140.5, "inside": True},
            {"what": "share", "simulated": 0.2, "archive": 0.1, "lowest": 0.09,
             "highest": 0.11, "inside": False},
        ],
        "games": 3000,
        "speed": {"games": 100000, "seconds": 9.9, "workers": 2},
    },
    "coverage": [
        {
            "games": 2926, "repeats": 100, "refits": 40, "error": 0.01, "error_se": 0.001,
            "schemes": [
                {"scheme": "fifths", "coverage": 0.885, "standard_error": 0.01, "width": 0.07}
            ],
        }
    ],
}  # fmt: skip


def test_every_section_has_a_page() -> None:
    assert set(SECTIONS) == set(PAGES)


def test_figures_stand_with_date_and_commit() -> None:
    text = page({name: {"about": ABOUT, "data": DATA[name]} for name in DATA if name in PAGES})
    for shown in (
        "| a thing | 0.123 s | 1 s |", "| ours | 1.2346 | 7 |", "| peer | 0.4766 | 0.1500 | 3 |",
        "| plays a game | 137.8 | 137.9 | 135.0 to 140.5 | yes |", "1 of 2 quantities",
        "| share | 0.200 | 0.100 | 0.090 to 0.110 | **no** |",
        "| fifths | 0.885 ± 0.010 | 0.0700 |", "2,926 games, 100 repeats of 40 refits",
    ):  # fmt: skip
        assert shown in text
    assert text.count("Measured 2026-01-02 at commit abc1234") == len(DATA)


def test_what_was_not_measured_is_not_there() -> None:
    text = page({"speed": {"about": ABOUT, "data": DATA["speed"]}})
    assert "Speed" in text
    assert "log loss" not in text
