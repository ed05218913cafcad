"""The page of measured figures says what was measured, and only that."""

from __future__ import annotations

from typing import Any

from pointsleft.bench.page import OWN_PAGES, PAGES, own_pages, page
from pointsleft.bench.sections import SECTIONS

ABOUT = {"date": "2026-01-02", "commit": "abc1234", "machine": "x86_64, 2 cores"}


def _learner(
    name: str, loss: float, less: float | None, fit: float, many: float, settings: str = ""
) -> dict[str, Any]:
    difference = (
        None if less is None else {"value": less, "low": less - 0.001, "high": less + 0.001}
    )
    return {
        "learner": name, "settings": settings, "log_loss": loss, "brier": 0.16, "less": difference,
        "fit_seconds": fit, "many_seconds": many, "by_season": {"2001": loss},
    }  # fmt: skip


def _study(share: float) -> dict[str, Any]:
    """Two charters, of whom the second is no use."""

    def found(value: float) -> dict[str, Any]:
        one = {"share": [value, value], "error": [0.01, 0.01]}
        return {"better quarterback": one, "better decider": one}

    charters = {"as in the demo class": share, "blind": 0.5}
    return {
        "plan": {"classes": 4, "players": 8, "truth_games": 6000, "seed": 1},
        "after": [1, 3],
        "noises": [
            {"name": name, "slip": 0.2, "rounds": 1, "missed": 0.05, "unseen": 0.04, "timing": 0.1,
             "own_charter": False, "hindsight": 0.0, "by_lot": name == "blind", "same": 0.7,
             "kappa": kappa}
            for name, kappa in (("as in the demo class", 0.87), ("blind", 0.0))
        ],
        "truth": {"error": 0.05, "misfit": 1.1, "spread": 1.7, "decision spread": 1.2,
                  "execution spread": 1.1},
        "class": {"correlation": 0.45, "decisions": 42.0, "completed": 0.65, "rating": 88.0},
        "plain": {"EP added": found(0.6), "passer rating": found(0.58)},
        "charted": {
            name: {"left": found(x), "left and delivered": found(x)} for name, x in charters.items()
        },
        "over EP added": {
            name: {"left": found(x - 0.6), "left and delivered": found(x - 0.6)}
            for name, x in charters.items()
        },
    }  # fmt: skip


def _covered(games: int) -> dict[str, Any]:
    fifths = {"scheme": "fifths", "coverage": 0.885, "standard_error": 0.01, "width": 0.07}
    return {
        "games": games, "repeats": 100, "refits": 40, "error": 0.01, "error_se": 0.001,
        "schemes": [fifths],
    }  # fmt: skip


DATA: dict[str, Any] = {
    "speed": [{"what": "a thing", "value": 0.12345, "unit": "s", "goal": "1 s"}],
    "scores": {"tasks": [
        {
            "task": "winner", "rows": 1000, "games": 9, "seasons": [2001, 2002], "learners": [
                _learner("ours", 0.4750, None, 20.0, 1.5),
                _learner("boosted A", 0.4767, -0.0017, 6.0, 3.0, "depth 5"),
                _learner("random forest", 0.4755, -0.0005, 90.0, 40.0),
            ],
        },
    ]},
    "published-forest": {
        "trees": 500, "node": 100, "tried": 3, "correlation": {"ours": 0.9991, "forest": 0.9975},
        "scores": {
            "task": "winner with a spread", "rows": 1000, "games": 9, "seasons": [2001, 2003, 2005],
            "learners": [
                _learner("ours", 0.4450, None, 15.0, 0.7),
                _learner("forest", 0.4650, -0.02, 412.0, 160.0),
            ],
        },
    },
    "calibration": {
        "fewest": 500,
        "points": {"error": 0.0121, "by_middle": 0.0135, "goal": 0.013, "rows": 4000,
                   "by_season": {"2001": 0.02}},
        "wins": {"rows": 3000, "judged": 76, "by_chance": 0.2, "missed": [
            {"kind": "quarter 4", "chance": 0.151, "share": 0.121, "off": -3.4, "rows": 812,
             "games": 300},
        ]},
    },
    "laws": {"left_out": ["pressure"], "laws": [
        {"family": "rushing", "component": "run", "added_to": "", "plays": 5000,
         "log_loss": {"ours": 2.75, "frequency": 2.8, "boosted": 2.74},
         "less": {"frequency": {"value": -0.05, "low": -0.06, "high": -0.04},
                  "boosted": {"value": 0.01, "low": 0.002, "high": 0.018}}},
        {"family": "rushing", "component": "run+box", "added_to": "run", "plays": 500,
         "log_loss": {"ours": 2.7, "frequency": 2.8, "boosted": 2.71},
         "less": {"frequency": {"value": -0.1, "low": -0.2, "high": 0.01},
                  "boosted": {"value": -0.01, "low": -0.02, "high": 0.0}}},
    ], "drifts": [
        {"component": "run", "wander": 0.01, "trend": 0.0, "trend_error": 0.1, "seasons": [
            {"season": 2009, "said": 0.1, "came": 0.1, "moved": 0.0, "error": 0.02},
            {"season": 2019, "said": 0.1, "came": 0.1, "moved": 0.0, "error": 0.02}]},
        {"component": "run+box", "wander": 0.09, "trend": 0.2, "trend_error": 0.1, "seasons": [
            {"season": 2009, "said": 0.1, "came": 0.08, "moved": -0.1, "error": 0.02},
            {"season": 2019, "said": 0.11, "came": 0.13, "moved": 0.12, "error": 0.03}]},
    ]},
    "weather": {"windy": 15, "cold": 40, "moved": [
        {"what": "kicks", "unit": "log odds", "plays": 8000, "games": 2000, "loss": 0.38,
         "wind": [-0.3, 0.09], "cold": [-0.2, 0.08],
         "unseen": {"value": -0.0007, "low": -0.0016, "high": 0.0001}},
        {"what": "punts", "unit": "yards", "plays": 12000, "games": 2000, "loss": 155.2,
         "wind": [0.9, 0.37], "cold": [2.4, 0.34],
         "unseen": {"value": -0.8, "low": -1.2, "high": -0.4}},
    ]},
    "drives": {
        "seasons": [2001, 2003], "rows": 900,
        "by_snap": {"value": 0.0004, "low": 0.0001, "high": 0.0007},
        "by_drive": {"value": -0.0002, "low": -0.0005, "high": 0.0001},
        "error_by_snap": [4.301, 4.303], "error_by_drive": [4.212, 4.209],
    },
    "pace": {
        "season": 2001, "rows": 900, "games": 9, "of_the_rules": 1.0874, "loss_next_score": 1.236,
        "loss_wins": 0.413, "paced": [
            {"pace": 1.08, "next_score": {"value": 0.0005, "low": -0.0005, "high": 0.0015},
             "wins": {"value": 0.0002, "low": 0.0, "high": 0.0004},
             "points_moved": 0.0312, "wins_moved": 0.0021},
        ],
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
    "chains": {"games": 1000, "seconds": 420, "snaps": 16, "beside": [
        {"what": "touchdown", "lead": 0, "down": 1, "distance": 10, "yards_to_goal": 75,
         "exact": 0.4, "simulated": 0.41, "error": 0.01, "off": 1.0},
        {"what": "wins", "lead": -4, "down": 1, "distance": 10, "yards_to_goal": 75,
         "exact": 0.3, "simulated": 0.255, "error": 0.01, "off": -4.5},
        {"what": "wins", "lead": 0, "down": 1, "distance": 10, "yards_to_goal": 75,
         "exact": 0.5, "simulated": 0.5, "error": 0.01, "off": 0.0},
    ]},
    "players": _study(0.71),
    "players-moved": [{"name": "openness worth more", "study": _study(0.75)}],
    "one-step": [
        {"truth": "walk", "games": 2926, "refits": 10, "width": 0.06, "ends": 0.03, "wider": 0.99},
        {"truth": "league", "games": 2926, "refits": 10, "width": 0.06, "ends": 0.2, "wider": 1.1},
    ],
    "coverage": _covered(2926),
    "coverage-published": _covered(4101),
    "coverage-football": {
        **_covered(2926), "situations": 300, "played_out": 40000, "truth_error": 0.0019,
        "luck": 1.4, "as_shipped": _covered(2926) | {"refits": 100, "error": 0.0123, "schemes": [
            {"scheme": "wins", "coverage": 0.89, "standard_error": 0.003, "width": 0.07,
             "by_situation": [0.95, 0.95, 0.9, 0.7], "error": 0.0123},
            {"scheme": "points", "coverage": 0.87, "standard_error": 0.002, "width": 0.4,
             "by_situation": None, "error": 0.061},
        ]},
    },
}  # fmt: skip


def test_every_section_has_a_page() -> None:
    assert set(SECTIONS) == set(PAGES)


def test_figures_stand_with_date_and_commit() -> None:
    text = page({name: {"about": ABOUT, "data": DATA[name]} for name in DATA if name in PAGES})
    flowing = " ".join(text.split())
    for shown in (
        "| a thing | 0.123 s | 1 s |", "| ours | 0.47500 | 0.16000 |  |  | 20.0 | 1.50 |",
        "| boosted A (depth 5) | 0.47670 | 0.16000 | -0.00170 | -0.00270 to -0.00070 | 6.0 |",
        "at least 0.001: **not held**; nearest is random forest, +0.00050 above ours",
        "peer (boosted A): **not held**, 3.33 times", "peers: **not held**, 2.0 times faster",
        "| next score, error of the seven classes, bins of 5% | 0.0121 | 0.013 | held |",
        "| 1 of 76 | 0 | **not held** |", "| counted shares | 2 of 2 | 1 | 0 |",
        "| boosted trees | 1 of 2 | 0 | 1 |",
        "| kicks | 8,000 | log odds | -0.300 ± 0.090 | -0.200 ± 0.080 | 0.3800 | -0.000700 |",
        "| punts | 12,000 | yards | +0.90 ± 0.37 | +2.40 ± 0.34 | 155.2 | -0.800 |",
        "| walk | 2,926 | 10 | 0.0600 | 0.030 | held | 0.990 |",
        "| league | 2,926 | 10 | 0.0600 | 0.200 | **not held** | 1.100 |",
        "| forest | 0.46500 | 0.16000 | -0.02000 | -0.02100 to -0.01900 | 0.9975 | 412 | 160.0 |",
        "2001, 2003 and 2005 are left out",
        "| snap | +0.00040 (+0.00010 to +0.00070) | 4.301 | 4.303 |",
        "| 1.08 | +0.00050 (-0.00050 to +0.00150) | +0.00020 (", " | 0.031 | 0.21% |",
        "has 1.087 times as many snaps",
        "| plays a game | 137.8 | 137.9 | 135.0 to 140.5 | yes |", "1 of 2 quantities",
        "| share | 0.200 | 0.100 | 0.090 to 0.110 | **no** |",
        "| openness worth more | better decider | 75.0 ± 1.0 | 60.0 ± 1.0 |",
        "| fifths | 100 | 0.885 ± 0.010 | yes | 0.0700 |", "2,926 games, 100 repeats of 40 refits",
        "0.0100 ± 0.0010 (at most 0.012: held)",
        "| fifths | 100 | 0.885 ± 0.010 | yes |  | 0.0700 |",
        "| wins | 0.890 ± 0.003 | held | 0.0700 | 0.0123 |",
        "| points | 0.870 ± 0.002 | **not held** | 0.4000 | 0.0610 |",
        "half of the 4 situations are held in at least 0.93 of", "0.76 or less, 1 in less",
        "share is 0.057.",
        "| touchdown | 1 | 0.400 to 0.400 | +0.0100 | 1.00 | +1.0 |",
        "| wins, behind by 4 | 1 | 0.300 to 0.300 | -0.0450 | 4.50 | -4.5 |", "| wins, level | 1 |",
        "off by 4.5 (at most 4: **not held**)",
    ):  # fmt: skip
        assert shown in text or shown in flowing
    assert text.count("Measured 2026-01-02 at commit abc1234") == len(DATA)


def test_distances_in_points_are_held_against_the_published_order() -> None:
    names = ("ours", "boosted A", "spline logit", "spot logit")

    def found(off: tuple[float, ...]) -> str:
        learners = [
            _learner(name, 1.28, None if name == "ours" else -0.01, 9.0, 0.1)
            | {"brier": None, "points_off": value}
            for name, value in zip(names, off, strict=True)
        ]
        task = {"task": "next score without the score", "rows": 9, "games": 2,
                "seasons": [2001, 2002], "learners": learners}  # fmt: skip
        return " ".join(page({"scores": {"about": ABOUT, "data": {"tasks": [task]}}}).split())

    text = found((3.79, 3.8, 3.81, 3.83))
    assert "| learner | log loss | points off | ours less it |" in text
    assert "| spot logit | 1.28000 | 3.830 | -0.01000 |" in text
    assert "no points of ours do): held; ours 3.790" in text
    assert "no points of ours do): **not held**; ours 3.790" in found((3.79, 3.82, 3.81, 3.83))


def test_both_values_together_are_held_against_peers_of_both() -> None:
    """By hand: 20 s of ours hold both; the peers take 30 + 10 and 12 + 8, and evaluate in turn."""

    def task(name: str, times: dict[str, tuple[float, float]]) -> dict[str, Any]:
        return {
            "task": name, "rows": 10, "games": 2, "seasons": [2001, 2002], "learners": [
                _learner(who, 0.5, None if who == "ours" else -0.01, *t) for who, t in times.items()
            ],
        }  # fmt: skip

    tasks = [
        task("next score without the score",
             {"ours": (9, 0.1), "boosted A": (30, 18), "boosted B": (12, 40)}),
        task("winner", {"ours": (20, 0.5), "boosted A": (10, 2), "boosted B": (8, 5)}),
    ]  # fmt: skip
    text = " ".join(page({"scores": {"about": ABOUT, "data": {"tasks": tasks}}}).split())
    assert "boosted A takes 2.0 times our time and boosted B 1.0 times" in text
    assert "of a million situations, 40 and 90 times." in text
    assert "takes 11.0 s to fit (1.10 times boosted A) and 0.40 s for a million" in text
    assert "(5.0 times faster than boosted A)" in text


def test_goals_are_judged_by_the_figures() -> None:
    """Control: better figures turn every verdict over."""
    good = {"tasks": [
        {
            "task": "winner", "rows": 1000, "games": 9, "seasons": [2001, 2002], "learners": [
                _learner("ours", 0.4750, None, 5.0, 0.05),
                _learner("boosted A", 0.4767, -0.0017, 6.0, 3.0),
            ],
        },
    ]}  # fmt: skip
    text = page({"scores": {"about": ABOUT, "data": good}})
    assert "**not held**" not in text
    assert text.count(": held") == 3


def test_three_seasons_stand_by_themselves_where_a_goal_was_set() -> None:
    found = dict.fromkeys(("2010", "2014", "2018"), 0.5)
    ours = _learner("ours", 0.475, None, 5.0, 0.05) | {"by_season": found | {"2018": 0.41}}
    trees = _learner("boosted A", 0.4767, -0.0017, 6.0, 3.0) | {"by_season": found}
    task = {"task": "winner", "rows": 9, "games": 9, "seasons": [2009, 2019],
            "learners": [ours, trees]}  # fmt: skip
    text = page({"scores": {"about": ABOUT, "data": {"tasks": [task]}}})
    assert "2010, 2014 and 2018 alone, at most 0.4785: held, 0.4700 (boosted A 0.5000)" in text
    ours["by_season"]["2010"] = 0.6  # control
    text = page({"scores": {"about": ABOUT, "data": {"tasks": [task]}}})
    assert "at most 0.4785: **not held**, 0.5033" in text


def test_own_pages_say_what_is_off() -> None:
    found = own_pages({name: {"about": ABOUT, "data": DATA[name]} for name in OWN_PAGES})
    assert set(found) == {"calibration.md", "laws.md", "case.md"}
    for shown in (
        "| quarter 4 | 15.1% | 12.1% | -3.4 | 812 | 300 |", "| 0.0135 | 0.013 | **not held** |",
        "76 bins are judged; 1 of them",
    ):  # fmt: skip
        assert shown in " ".join(found["calibration.md"].split("\n"))
    for shown in (
        "| `run` | 5,000 | 2.7500 | 2.8000 | -0.0500 (-0.0600 to -0.0400) | 2.7400 |",
        "`run+box`, added to `run`", "(cards/rushing.md)", "`pressure`",
        "| `run+box` | 2009: 10.0%, 8.0% | 2019: 11.0%, 13.0% | +0.12 ± 0.03 |",
        "| +0.20 ± 0.10 | 0.09 |",
    ):  # fmt: skip
        assert shown in found["laws.md"]
    assert "`run` | 2009" not in found["laws.md"]  # it hardly wanders
    case = " ".join(found["case.md"].split())
    for shown in (
        "| better decider | left | 71.0 ± 1.0 | 71.0 ± 1.0 |", "correlate by .30 to .60",
        "after 1 and 3 games it pays down to the charter *as in the demo class* (kappa 0.87)",
        "all words drawn",
    ):  # fmt: skip
        assert shown in case
    assert own_pages({}) == {}


def test_what_was_not_measured_is_not_there() -> None:
    text = page({"speed": {"about": ABOUT, "data": DATA["speed"]}})
    assert "Speed" in text
    assert "log loss" not in text
