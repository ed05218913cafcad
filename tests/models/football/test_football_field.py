"""The field to scale, from the rule book's figures."""

from __future__ import annotations

import math

import pytest
from pointsleft_models.football.field import (
    THIRD_CENTRE,
    WIDTH,
    boundary_width,
    flight_distance,
    hash_offset,
)
from pointsleft_models.football.rules import rule_set

PRO, COLLEGE = rule_set("professional", 2019), rule_set("college", 2019)


def test_rule_book_widths() -> None:
    assert pytest.approx(160 / 3) == WIDTH
    for rules, apart_feet in ((PRO, 18.5), (COLLEGE, 40.0)):
        left, right = hash_offset(rules, "left"), hash_offset(rules, "right")
        assert right - left == pytest.approx(apart_feet / 3)
        assert left + right == pytest.approx(WIDTH)
        assert boundary_width(rules) == pytest.approx(left)
        assert hash_offset(rules, "middle") == hash_offset(rules, None) == pytest.approx(WIDTH / 2)


def test_thirds_are_thirds() -> None:
    gaps = [THIRD_CENTRE[b] - THIRD_CENTRE[a] for a, b in (("left", "middle"), ("middle", "right"))]
    assert gaps == pytest.approx([WIDTH / 3, WIDTH / 3])
    assert THIRD_CENTRE["middle"] == pytest.approx(WIDTH / 2)


def test_a_throw_across_the_field_flies_farther() -> None:
    """A short out from the far college hash is not a short throw."""
    right = THIRD_CENTRE["right"]
    near = flight_distance(COLLEGE, "right", right, 12)
    far = flight_distance(COLLEGE, "left", right, 12)
    assert far > near > 12
    assert far - near > flight_distance(PRO, "left", right, 12) - flight_distance(
        PRO, "right", right, 12
    )
    assert flight_distance(PRO, "middle", WIDTH / 2 + 3, 4) == pytest.approx(5)
    assert flight_distance(PRO, "left", hash_offset(PRO, "left"), 7) == pytest.approx(7)
    assert math.isclose(far, math.hypot(right - hash_offset(COLLEGE, "left"), 12))
