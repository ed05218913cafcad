"""What follows from the required columns, against books kept while the game was played."""

from __future__ import annotations

import polars as pl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented_plays import TRUTHS, invented_table
from pointsleft_models.plays.complete import complete

SEEDS = st.integers(0, 10_000)


@settings(max_examples=25, deadline=None)
@given(seed=SEEDS, lost=st.sets(st.sampled_from(TRUTHS)))
def test_what_a_table_lacks_is_worked_out_as_the_game_kept_it(seed: int, lost: set[str]) -> None:
    truth = invented_table(seed)
    done = complete(truth.drop(lost))
    assert done.left_out == {}
    for name in TRUTHS:
        assert done.plays[name].equals(truth[name]), name


@settings(max_examples=15, deadline=None)
@given(seed=SEEDS)
def test_order_of_rows_does_not_matter(seed: int) -> None:
    truth = invented_table(seed).drop(TRUTHS)
    mixed = truth.sample(fraction=1.0, shuffle=True, seed=seed)
    assert complete(mixed).plays.equals(complete(truth).plays)


@settings(max_examples=15, deadline=None)
@given(seed=SEEDS)
def test_a_possession_is_numbered_once_and_ends_with_a_score_or_a_change(seed: int) -> None:
    plays = complete(invented_table(seed).drop(TRUTHS)).plays
    snaps = plays.filter(pl.col("down").is_not_null())
    assert plays.select((pl.col("drive").diff().over("game") >= 0).all()).item()
    holders = snaps.group_by("game", "drive").agg(
        pl.col("offense", "half").n_unique(),
        scores=((pl.col("points_offense") + pl.col("points_defense")) > 0).sum(),
    )
    assert holders["offense"].max() == 1
    assert holders["half"].max() == 1
    assert holders["scores"].max() == 1
    # and the other way: when the ball changes hands the number rises
    changed = snaps.filter(pl.col("offense") != pl.col("offense").shift(1).over("game"))
    before = snaps.with_columns(was=pl.col("drive").shift(1).over("game"))
    joined = changed.join(before.select("game", "play", "was"), on=["game", "play"])
    assert (joined["drive"] > joined["was"]).all()


def test_drives_to_score_count_the_possessions_in_between() -> None:
    plays = complete(invented_table(11).drop(TRUTHS)).plays
    scored = plays.filter((pl.col("points_offense") + pl.col("points_defense")) > 0)
    assert (scored["drives_to_score"] == 0).all()
    known = plays.filter(pl.col("drives_to_score").is_not_null())
    assert known["drives_to_score"].max() > 1  # the game has scoreless possessions in a row
    assert plays.filter(pl.col("drives_to_score").is_null())["next_score_clock"].is_null().all()


@pytest.mark.parametrize(
    ("gain", "yards_to_goal", "scored"),
    [(4, 4, (6, 0)), (3, 4, (0, 0)), (-9, 91, (0, 2)), (-8, 91, (0, 0))],
)
def test_a_score_on_the_last_row_is_read_off_where_the_ball_ended(
    gain: int, yards_to_goal: int, scored: tuple[int, int]
) -> None:
    truth = invented_table(1462).drop(TRUTHS)
    last = truth.filter(pl.col("down").is_not_null()).tail(1)
    until = truth.filter((pl.col("game") != "g01") | (pl.col("play") <= last["play"].item()))
    ended = until.with_columns(
        pl.when(pl.int_range(pl.len()) == pl.len() - 1)
        .then(pl.lit(value, dtype=until.schema[name]))
        .otherwise(name)
        .alias(name)
        for name, value in {
            "kind": "run",
            "gain": gain,
            "yards_to_goal": yards_to_goal,
            "kick_result": None,
        }.items()
    )
    row = complete(ended).plays.tail(1)
    assert row.select("points_offense", "points_defense").row(0) == scored


def test_what_the_table_brings_is_kept() -> None:
    truth = invented_table(3)
    mine = truth.drop(TRUTHS).with_columns(
        drive=pl.col("play") * 2, receives_second_half=pl.lit(True)
    )
    plays = complete(mine).plays
    assert (plays["drive"] == plays["play"] * 2).all()
    assert plays["receives_second_half"].all()


def test_without_who_called_them_time_outs_stay_unknown() -> None:
    plays = complete(invented_table(3).drop("timeout_by", *TRUTHS)).plays
    assert "offense_timeouts" not in plays.columns


def test_penalty_rows_are_no_plays_unless_the_table_says_otherwise() -> None:
    plays = complete(invented_table(3).drop("no_play", *TRUTHS)).plays
    assert (plays["no_play"] == (plays["kind"] == "penalty")).all()


@pytest.mark.parametrize("seed", range(5))
def test_a_game_with_rows_missing_over_several_scores_is_left_out(seed: int) -> None:
    truth = invented_table(seed)
    most = pl.max_horizontal("offense_score", "defense_score")
    gap = (pl.col("game") == "g00") & most.is_between(1, 8)  # from the first score to over 8
    assert truth.filter(pl.col("game") == "g00").select(most.max() > 8).item()
    done = complete(truth.filter(~gap).drop(TRUTHS))
    assert list(done.left_out) == ["g00"]
    assert "rows are missing or wrong" in done.left_out["g00"]
    assert done.plays["game"].unique().to_list() == ["g01"]
    assert done.games == 2


def test_a_final_from_elsewhere_is_held_against_the_plays() -> None:
    truth = invented_table(5)
    known = pl.DataFrame({"game": ["g01"], "home_points": [3], "away_points": [99]})
    done = complete(truth.drop(TRUTHS), known)
    assert list(done.left_out) == ["g01"]
    assert "the final is 3-99" in done.left_out["g01"]
