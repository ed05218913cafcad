"""The page of published figures says why ours lie elsewhere, with figures that are worked out."""

from __future__ import annotations

import math
import re

from pointsleft.reference import published
from pointsleft_models.bundle import Models


def test_a_figure_outside_its_source_has_its_reason(models: Models) -> None:
    """Fourth and goal at the 1: published, ours in either half and the kick's, all on the page."""
    page = published.published_page(models)
    goal = published._goal_line(models.under(published.rule_set("professional", 2019)))
    row = next(line for line in page.splitlines() if line.startswith("| fourth and goal at the 1"))
    assert "2.78" in row
    for name in ("first", "second", "kick"):
        assert f"{goal[name]:.2f}" in page
    assert goal["first"] > 2.78 + 0.5  # outside the band of the published figure: the reason stands
    assert "## Where they part" in page


def test_every_row_has_a_source_and_a_label(models: Models) -> None:
    rows = re.findall(r"^\| (?!figure|---)(.*) \|$", published.published_page(models), re.M)
    assert len(rows) > 10
    for row in rows:
        figure, said, ours, source, label = (cell.strip() for cell in row.split("|"))
        assert figure
        assert said
        assert source
        assert math.isfinite(float(re.split("%| and", ours)[0]))  # held to bands in tests/published
        assert label in ("seen", "quoted", "memory") or source == "symmetry"
