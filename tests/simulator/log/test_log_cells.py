"""What spreadsheets do to cells is undone where certain and refused where not."""

from datetime import date, datetime, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pointsleft.log import cells
from pointsleft.log.cells import CellError


@given(st.text())
def test_guarding_is_undone_exactly(text: str) -> None:
    assert cells.unguard(cells.guard(text)) == text


@given(st.sampled_from("=+-@\t\r"), st.text())
def test_nothing_that_a_spreadsheet_executes_leaves_unguarded(first: str, rest: str) -> None:
    guarded = cells.guard(first + rest)
    plain_number = guarded == first + rest and cells.number(guarded) is not None
    assert guarded.startswith("'") or plain_number


@given(st.integers(0, 900))
def test_a_clock_comes_back_from_every_shape_that_is_certain(seconds: int) -> None:
    minutes, second = divmod(seconds, 60)
    typed = f"{minutes}:{second:02d}"
    assert cells.clock(typed) == seconds
    assert cells.clock(cells.text_of(time(minutes, second), "h:mm")) == seconds
    half = f"{(minutes - 1) % 12 + 1}:{second:02d}:00 {'PM' if minutes >= 12 else 'AM'}"
    for shape in (half, f"{typed}:00"):
        if minutes == 0 and 0 < second <= 15:
            with pytest.raises(CellError, match="cannot be told"):
                cells.clock(shape)
        else:
            assert cells.clock(shape) == seconds


def test_a_clock_that_may_have_been_two_is_refused_and_both_are_named() -> None:
    with pytest.raises(CellError, match="0:12 or 12:00"):
        cells.clock("0:12:00")
    fraction = str((12 * 60) / 86400)  # 0:12 typed as hours, or 12:00 as minutes
    with pytest.raises(CellError, match="0:12 or 12:00"):
        cells.clock(fraction)


@pytest.mark.parametrize("seconds", [754, 61, 899, 333])
def test_a_day_fraction_is_repaired(seconds: int) -> None:
    assert cells.clock(f"{seconds * 60 / 86400:.9f}") == seconds


@pytest.mark.parametrize("text", ["15:01", "12:60", "abc", "99:99:99", "1234", "-1:00", ""])
def test_impossible_clocks_are_refused(text: str) -> None:
    with pytest.raises(CellError):
        cells.clock(text)


@pytest.mark.parametrize("text", ["7", "007", "7.0", "7,0", " 7 ", "+7"])
def test_whole_numbers_survive(text: str) -> None:
    assert cells.whole(text) == 7


@pytest.mark.parametrize("text", ["7.5", "seven", "1e3", "0x7", "٧x", "7 8"])
def test_no_whole_number(text: str) -> None:
    with pytest.raises(CellError):
        cells.whole(text)


@pytest.mark.parametrize("text", [".6", "0.6", "0,6", ",6"])
def test_decimal_commas(text: str) -> None:
    assert cells.number(text) == 0.6


@pytest.mark.parametrize("text", ["4-Mar", "Mar-04", "2026-03-04", "3/4/2026", "04.03.2026"])
def test_dates_are_seen(text: str) -> None:
    assert cells.is_date(text)


@pytest.mark.parametrize("text", ["3-4", "own 25", "12:34", "march the ball", "4-3 under", "7"])
def test_what_is_no_date_is_left_alone(text: str) -> None:
    assert not cells.is_date(text)


@pytest.mark.parametrize(
    ("value", "shape", "text"),
    [
        (7.0, "General", "7"),
        (0.6, "General", "0.6"),
        (0.6, "0%", "60%"),
        (True, "General", "yes"),
        (time(12, 34), "h:mm", "12:34"),
        (time(0, 12, 34), "h:mm:ss", "0:12:34"),
        (timedelta(hours=45, minutes=10), "[h]:mm", "45:10"),
        (timedelta(minutes=12, seconds=34), "mm:ss", "12:34"),
        (datetime(2026, 3, 4), "d-mmm", "2026-03-04"),
        (date(2026, 3, 4), "d-mmm", "2026-03-04"),
        (None, "General", ""),
    ],
)
def test_workbook_values_become_what_was_typed(value: object, shape: str, text: str) -> None:
    assert cells.text_of(value, shape) == text


def test_clips() -> None:
    assert cells.clip("1:02:45")[0] == 3765
    assert cells.clip("12:34.5")[0] == 754.5
    assert cells.clip("45:10:00") == (2710.0, "45:10")  # minutes taken for hours
    for wrong in ("12", "1:99", "1:60:00", "x"):
        with pytest.raises(CellError):
            cells.clip(wrong)
