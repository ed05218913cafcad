"""What a rise of the score was: touchdown with or without its try, field goal, safety."""

from __future__ import annotations

import polars as pl
import pytest
from pointsleft_models.plays import scores


def table(*rows: tuple[str, int | None, int, int], **more: list[object]) -> pl.DataFrame:
    """Rows of (kind, down, home score, away score) of one game; the home team has the ball."""
    return pl.DataFrame(
        {
            "game": "g",
            "play": range(1, len(rows) + 1),
            "home": "Alder",
            "away": "Birch",
            "offense": "Alder",
            "kind": [row[0] for row in rows],
            "down": pl.Series([row[1] for row in rows], dtype=pl.Int32),
            "offense_score": [row[2] for row in rows],
            "defense_score": [row[3] for row in rows],
            **more,
        }
    )


def events(plays: pl.DataFrame) -> list[tuple[int, str, str]]:
    stepped = scores.with_steps(scores.team_scores(plays))
    return scores.score_events(stepped).select("play", "team", "what").rows()


def reasons(plays: pl.DataFrame) -> dict[str, str]:
    return scores.unexplained(scores.with_steps(scores.team_scores(plays)))


TOUCHDOWN_THEN = [
    # the try has its own row, directly or after a time-out
    ([("pass", 1, 0, 0), ("extra point", None, 6, 0), ("kickoff", None, 7, 0)]),
    ([("pass", 1, 0, 0), ("time-out", None, 6, 0), ("extra point", None, 6, 0),
      ("kickoff", None, 7, 0)]),
    # the row of the try is missing: its points show with the touchdown, or a row later
    ([("pass", 1, 0, 0), ("kickoff", None, 7, 0)]),
    ([("pass", 1, 0, 0), ("kickoff", None, 8, 0)]),
    ([("pass", 1, 0, 0), ("other", None, 6, 0), ("kickoff", None, 8, 0)]),
    # the try is returned by the other side
    ([("pass", 1, 0, 0), ("two-point", None, 6, 0), ("kickoff", None, 6, 2)]),
    ([("pass", 1, 0, 0), ("kickoff", None, 6, 2)]),
]  # fmt: skip


@pytest.mark.parametrize("rows", TOUCHDOWN_THEN)
def test_a_touchdown_and_its_try_are_one_score(
    rows: list[tuple[str, int | None, int, int]],
) -> None:
    plays = table(*rows)
    assert events(plays) == [(1, "Alder", "touchdown")]
    assert reasons(plays) == {}


def test_two_points_on_a_snap_are_a_safety_even_right_after_a_touchdown() -> None:
    plays = table(
        ("pass", 1, 0, 0), ("kickoff", None, 6, 0), ("run", 1, 6, 0), ("kickoff", None, 6, 2)
    )
    assert events(plays) == [(1, "Alder", "touchdown"), (3, "Birch", "safety")]


def test_a_safety_on_a_kickoff_after_a_touchdown_is_no_try() -> None:
    plays = table(("pass", 1, 0, 0), ("kickoff", None, 6, 0), ("kickoff", None, 8, 0))
    assert events(plays) == [(1, "Alder", "touchdown"), (2, "Alder", "safety")]


@pytest.mark.parametrize(("rise", "what"), [(3, "field goal"), (2, "safety"), (6, "touchdown")])
def test_last_row_says_itself_what_it_scored(rise: int, what: str) -> None:
    plays = table(("run", 1, 0, 0), ("run", 2, 0, 0), points_offense=[0, rise])
    assert events(plays) == [(2, "Alder", what)]
    final = scores.finals(scores.with_steps(scores.team_scores(plays)))
    assert final.row(0) == ("g", rise, 0)


def test_last_row_without_points_columns_is_read_from_flags() -> None:
    kick = table(("run", 1, 0, 0), ("field goal", 4, 0, 0), kick_result=[None, "good"])
    assert events(kick) == [(2, "Alder", "field goal")]
    thrown = table(("run", 1, 0, 0), ("pass", 2, 0, 0), defense_touchdown=[False, True])
    assert events(thrown) == [(2, "Birch", "touchdown")]


def test_where_no_team_has_the_ball_the_home_team_stands_first() -> None:
    plays = table(("run", 1, 0, 3), ("time-out", None, 0, 3), ("run", 2, 0, 3)).with_columns(
        offense=pl.Series(["Birch", None, "Birch"]),
        offense_score=pl.Series([3, 0, 3]),
        defense_score=pl.Series([0, 3, 0]),
    )
    assert events(plays) == []
    assert reasons(plays) == {}


@pytest.mark.parametrize("rise", [4, 5, 9, 10, 14])
def test_a_rise_that_no_single_score_makes_is_named(rise: int) -> None:
    found = reasons(table(("run", 1, 0, 0), ("run", 2, rise, 0)))
    assert found == {
        "g": f"the score rises by {rise}-0 (home first) at play 1: rows are missing or wrong"
    }


def test_both_teams_at_once_only_by_a_returned_try() -> None:
    assert reasons(table(("run", 1, 0, 0), ("run", 2, 3, 3)))
    assert not reasons(table(("run", 1, 0, 0), ("run", 2, 6, 2)))


def test_a_game_without_any_score_is_named() -> None:
    plays = table(("run", 1, 0, 0), ("run", 2, 0, 0)).with_columns(
        offense_score=pl.lit(None, dtype=pl.Int32), defense_score=pl.lit(None, dtype=pl.Int32)
    )
    assert reasons(plays) == {"g": "no row states the score"}
