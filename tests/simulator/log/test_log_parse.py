"""Cells by kind: windows, chances, blame, distance, quarter, words."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pointsleft.log import parse, vocabulary
from pointsleft.log.cells import CellError
from pointsleft.log.record import WINDOWS, Range
from pointsleft_models.football.spot import read_spot, write_spot


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("step", ("step", None, None)),
        ("N", ("narrow", None, None)),
        ("?", ("unseen", None, None)),
        ("step..narrow", ("even", "narrow", "step")),
        ("narrow..step", ("even", "narrow", "step")),
        ("step..even", ("step", "even", "step")),
        ("even..step", ("even", "even", "step")),
        ("narrow (step..smothered)", ("narrow", "smothered", "step")),
    ],
)
def test_windows(text: str, expected: tuple[str, str | None, str | None]) -> None:
    assert parse.window(text) == expected


@given(st.sampled_from(WINDOWS), st.sampled_from(WINDOWS))
def test_a_window_lies_in_its_range(one: str, other: str) -> None:
    middle, low, high = parse.window(f"{one}..{other}")
    assert low is not None
    assert high is not None
    assert WINDOWS.index(high) <= WINDOWS.index(middle) <= WINDOWS.index(low)
    assert {low, high} == {one, other}


@pytest.mark.parametrize("text", ["wide open", "step..unseen", "loose (step..narrow)", "s-n-x"])
def test_no_windows(text: str) -> None:
    with pytest.raises(CellError):
        parse.window(text)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (".6", Range(0.6, 0.6, 0.6)),
        ("60%", Range(0.6, 0.6, 0.6)),
        (".6 (.4-.8)", Range(0.6, 0.4, 0.8)),
        ("0,6 (0,4-0,8)", Range(0.6, 0.4, 0.8)),
        ("60% (40-80)", Range(0.6, 0.4, 0.8)),
        (".4-.8", Range(0.6, 0.4, 0.8)),
        (".4...8", Range(0.6, 0.4, 0.8)),
        (".4 to .8", Range(0.6, 0.4, 0.8)),
        ("1", Range(1, 1, 1)),
        ("0", Range(0, 0, 0)),
    ],
)
def test_chances(text: str, expected: Range) -> None:
    assert parse.chance(text) == expected


@pytest.mark.parametrize("text", ["60", "1.2", "-.1", "120%", ".9 (.4-.8)", ".8-.4", "likely", ""])
def test_chances_outside_their_range_are_faults(text: str) -> None:
    with pytest.raises(CellError):
        parse.chance(text)


def test_blame_for_all_entries_and_for_one() -> None:
    every = parse.blame("qb .6 protection .4")
    assert set(every) == {"offered", "left", "delivered", "breaks"}
    assert every["breaks"] == {"quarterback": 0.6, "protection": 0.4}
    one = parse.blame("left: quarterback 100")
    assert one == {"left": {"quarterback": 1.0}}


@given(st.lists(st.integers(0, 20), min_size=5, max_size=5).filter(any))
def test_blame_shares_sum_to_one(parts: list[int]) -> None:
    total = sum(parts)
    parties = ("call", "quarterback", "protection", "receiver", "defense")
    text = " ".join(f"{p} {n / total:.4f}" for p, n in zip(parties, parts, strict=True))
    for shares in parse.blame(text).values():
        assert sum(shares.values()) == pytest.approx(1, abs=1e-12)
        assert min(shares.values()) >= 0


@pytest.mark.parametrize(
    "text",
    ["qb .6", "qb .6 line .6", "qb", "weather 1", "left: qb 1; left: qb 1", "later: qb 1",
     "qb 1.5 line -.5"],
)  # fmt: skip
def test_blame_that_does_not_add_up(text: str) -> None:
    with pytest.raises(CellError):
        parse.blame(text)


@pytest.mark.parametrize(
    ("text", "quarter"), [("1", 1), ("Q3", 3), ("4th", 4), ("2.0", 2), ("OT", 5), ("ot2", 6)]
)
def test_quarters(text: str, quarter: int) -> None:
    assert parse.quarter(text) == quarter


def test_distances() -> None:
    assert parse.distance("goal") == parse.GOAL == parse.distance("& Goal")
    assert parse.distance("10.0") == 10
    for wrong in ("120", "0", "-3", "long"):
        with pytest.raises(CellError):
            parse.distance(wrong)


@given(st.integers(1, 99))
def test_ball_positions_in_every_notation(to_goal: int) -> None:
    assert read_spot(write_spot(to_goal)) == to_goal
    if to_goal > 50:
        notations = [f"-{100 - to_goal}", f"own{100 - to_goal}", f"our {100 - to_goal}",
                     f"minus {100 - to_goal}"]  # fmt: skip
    elif to_goal < 50:
        notations = [f"+{to_goal}", f"Opp. {to_goal}", f"their {to_goal} yard line",
                     f"plus {to_goal}"]  # fmt: skip
    else:
        notations = ["50", "midfield", "own 50", "+50"]
    assert [parse.spot(n) for n in notations] == [to_goal] * 4


def test_a_bare_yard_line_is_ambiguous() -> None:
    with pytest.raises(parse.Ambiguous, match="own 40 or opp 40"):
        parse.spot("40")
    with pytest.raises(parse.Ambiguous):
        parse.spot("40.0")
    for wrong in ("0", "own 51", "60", "goal line"):
        with pytest.raises(CellError):
            parse.spot(wrong)


@pytest.mark.parametrize(
    ("text", "stored"),
    [("11", "11"), ("1 back 1 tight end", "11"), ("two backs, one te", "21"), ("empty", "00"),
     ("12 personnel", "12"), ("1 RB 3 TE", "13"), ("heavy", None), ("99", None)],
)  # fmt: skip
def test_personnel(text: str, stored: str | None) -> None:
    assert vocabulary.personnel(text) == stored


def test_synonyms_lead_to_one_word_and_no_word_to_two() -> None:
    for listing in vocabulary.listings():
        for word in vocabulary.words(listing):
            assert vocabulary.look_up(listing, word) == word
            for other in vocabulary.synonyms(listing, word):
                assert vocabulary.look_up(listing, other) == word
