"""The page of the levels of play: figures beside each other, and what is borrowed in brackets."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from pointsleft_models.bundle import Models, shipped_levels
from pointsleft_models.cards.draw import drawn_from
from pointsleft_models.cards.level_page import PICTURE, page, shipped, source
from pointsleft_models.cards.levels import Figure, Row, curves, figure, rows

DOCS = Path(__file__).parents[3] / "docs"


@pytest.fixture(scope="module")
def levels() -> dict[str, Models]:
    return shipped()


def row(college: Figure, own: bool = True) -> Row:
    figures = {"professional": Figure(1.0, 0.8, 1.2), "college": college}
    return Row("group", "what", "points", figures, {"professional": True, "college": own})


@pytest.mark.parametrize(
    ("low", "high", "apart"), [(1.3, 1.6, True), (1.1, 1.6, False), (0.1, 0.7, True)]
)
def test_apart_means_that_the_intervals_do_not_meet(low: float, high: float, apart: bool) -> None:
    assert row(Figure((low + high) / 2, low, high)).apart() is apart


def test_a_figure_has_its_point_fit_and_the_middle_of_the_refits() -> None:
    found = figure(np.concatenate([[7.0], np.arange(101.0)]))
    assert (found.value, found.low, found.high) == (7.0, 5.0, 95.0)
    assert figure(np.array([3.0])) == Figure(3.0, 3.0, 3.0)


def test_both_levels_are_shipped_and_the_college_one_leans(levels: dict[str, Models]) -> None:
    assert {"professional", "college"} <= set(shipped_levels())
    assert levels["professional"].leans_on == ""
    assert levels["professional"].borrowed == {}
    college = levels["college"]
    assert college.leans_on == "professional"
    assert college.rules_level == "college"
    assert {"complete", "intercepted", "after"} <= set(college.borrowed["passing"])
    assert "wait" in college.borrowed["clock"]
    for family, taken in college.borrowed.items():
        # what a college season tells is never borrowed
        assert not {"td", "go", "run", "field goal", "extra point"} & set(taken), family
    told = college.borrowed_told()
    assert "all of passing" in told
    assert "all of clock" in told
    assert "all of next-score" not in told
    assert "docs/levels.md" in told


def test_every_figure_lies_within_its_interval_or_near_it(levels: dict[str, Models]) -> None:
    for found in rows(levels):
        for name, of in found.figures.items():
            slack = 0.5 * (of.high - of.low) + 1e-9
            assert of.low - slack <= of.value <= of.high + slack, (found.what, name)
            if found.unit == "share":
                assert 0 <= of.low <= of.high <= 1


def test_college_kickers_miss_more(levels: dict[str, Models]) -> None:
    """Trade knowledge, no source; both counted on thousands of kicks."""
    by = {r.what: r for r in rows(levels)}
    for what in ("field goal of 45 yards good", "field goal of 35 yards good"):
        assert by[what].figures["college"].value < by[what].figures["professional"].value


def test_curves_have_the_shape_of_their_axis(levels: dict[str, Models]) -> None:
    for curve in curves(levels):
        assert set(curve.lines) == set(levels)
        for line in curve.lines.values():
            assert line.shape == (3, len(curve.x))
            assert (line[1] <= line[2] + 1e-12).all()


def test_the_committed_page_and_picture_are_current(levels: dict[str, Models]) -> None:
    again = "write it again: python -m pointsleft_models.cards.level_page"
    assert (DOCS / "levels.md").read_text(encoding="utf-8") == page(levels), again
    assert drawn_from(DOCS / PICTURE) == source(levels), again
