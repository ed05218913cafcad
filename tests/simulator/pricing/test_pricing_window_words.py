"""The window words stand at the fifths of a normal of width 1 (see docs/judgements.md)."""

from __future__ import annotations

from itertools import pairwise

import pytest
from pointsleft.log.record import WINDOWS
from pointsleft.pricing.judgement_table import judged
from pointsleft_models.checks.window_scale import fifths


def test_words_are_the_means_of_the_fifths() -> None:
    assert [judged(f"window.{word}").value for word in WINDOWS] == pytest.approx(
        fifths(1.0), abs=0.005
    )


def test_ranges_meet_halfway_to_the_next_word() -> None:
    """Every word's range ends near the middle between it and its neighbour, and none overlap."""
    for open_word, closed in pairwise(WINDOWS):
        first, second = judged(f"window.{open_word}"), judged(f"window.{closed}")
        assert first.low == second.high
        assert first.low == pytest.approx((first.value + second.value) / 2, abs=0.03)
