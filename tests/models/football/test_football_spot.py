"""Ball positions in every notation of the trade."""

from __future__ import annotations

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pointsleft_models.football.spot import SpotError, read_spot, write_spot

OWN = ("own {}", "our {}", "-{}", "minus {}", "own{}", "OWN {}", "−{}", "–{}", " own  {} ")
THEIRS = ("opp {}", "opp. {}", "opponent {}", "opponent's {}", "opponents {}", "their {}", "+{}",
          "plus {}", "Opp {} yard line", "opp {} yd.")  # fmt: skip


@given(st.integers(1, 99))
def test_what_is_written_is_read_back(spot: int) -> None:
    assert read_spot(write_spot(spot)) == spot


@given(line=st.integers(1, 49), form=st.sampled_from(OWN))
def test_our_side(line: int, form: str) -> None:
    assert read_spot(form.format(line)) == 100 - line


@given(line=st.integers(1, 49), form=st.sampled_from(THEIRS))
def test_their_side(line: int, form: str) -> None:
    assert read_spot(form.format(line)) == line


@pytest.mark.parametrize("text", ["50", "midfield", "Mid", "fifty", "own 50", "opp 50", "+50"])
def test_midfield_is_nobodys(text: str) -> None:
    assert read_spot(text) == 50


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("25", "does not say whose side; write own 25 or opp 25"),
        ("own 51", "off the field"),
        ("opp 0", "off the field"),
        ("-99", "off the field"),
        ("own 120", "is no ball position"),
        ("", "is no ball position"),
        ("twenty", "is no ball position"),
        ("own -25", "is no ball position"),
        ("25 own", "is no ball position"),
        ("own 2.5", "is no ball position"),
    ],
)
def test_what_cannot_be_read_says_what_can(text: str, says: str) -> None:
    with pytest.raises(SpotError) as error:
        read_spot(text)
    assert says in str(error.value)
    assert repr(text) in str(error.value)


@given(st.text(max_size=12))
def test_anything_is_read_or_refused(text: str) -> None:
    with suppress(SpotError):
        assert 1 <= read_spot(text) <= 99


def test_the_stored_notation() -> None:
    assert [write_spot(s) for s in (99, 51, 50, 49, 1)] == [
        "own 1", "own 49", "50", "opp 49", "opp 1",
    ]  # fmt: skip
