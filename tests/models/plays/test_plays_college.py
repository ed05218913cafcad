"""The college feed as the neutral play table: sides, scores, tries, clocks, callers."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import polars as pl
import pytest
from college_shape import AWAY, HOME, OTHER, finals, frame, read_by_drive, read_row_by_row
from pointsleft_models.plays.college import CollegeError, read_college, read_college_games
from pointsleft_models.plays.college_clock import is_dense, snap_clocks
from pointsleft_models.plays.reading import Reading
from pointsleft_models.plays.sources import SourceError, UnknownSourceError, read_source


@pytest.fixture
def season(tmp_path: Path) -> Reading:
    feeds = read_row_by_row(), read_by_drive()
    frame(*feeds).write_parquet(tmp_path / "season.parquet")
    finals(*feeds).write_csv(tmp_path / "finals.csv")
    return read_college(tmp_path / "season.parquet", read_college_games(tmp_path / "finals.csv"))


def game(reading: Reading, name: str) -> pl.DataFrame:
    return reading.plays.filter(pl.col("game") == name)


def test_both_games_add_up(season: Reading) -> None:
    assert (season.games_read, season.finals_reproduced, season.left_out) == (2, 2, {})
    assert season.plays["level"].unique().to_list() == ["college"]


def test_the_home_side_is_told_by_its_goal_line(season: Reading) -> None:
    assert set(game(season, "7001")["home"]) == {HOME}
    assert set(game(season, "7002")["home"]) == {OTHER}
    assert set(season.plays["away"]) == {AWAY}


def test_scores_stand_before_the_row_and_a_stale_one_is_no_fall(season: Reading) -> None:
    rows = game(season, "7001")
    touchdown = rows.filter((pl.col("points_offense") == 6) & (pl.col("kind") == "pass"))
    assert touchdown.select("offense_score", "gain", "touchdown").rows() == [(0, 40, True)]
    after = rows.filter(pl.col("play") > touchdown["play"][0])
    kinds = after.select("kind", "offense_score", "defense_score").head(3).rows()
    assert kinds == [("extra point", 6, 0), ("penalty", 7, 0), ("kickoff", 7, 0)]


def test_tries_are_rows_with_their_end(season: Reading) -> None:
    rows = game(season, "7001")
    tries = rows.filter(pl.col("kind").is_in(["extra point", "two-point"]))
    assert tries.select("kind", "kick_result", "targeted", "offense").rows() == [
        ("extra point", "good", None, HOME),
        ("two-point", "missed", False, AWAY),
    ]


@pytest.mark.parametrize(
    ("kind", "facts"),
    [
        ("sack", {"gain": -4, "offense": AWAY}),
        ("kneel", {"gain": -2, "offense": HOME}),
        ("spike", {"intercepted": False, "offense": HOME}),
        ("punt", {"kick_distance": 40, "kick_result": "downed"}),
    ],
)
def test_rows_as_what_they_are(season: Reading, kind: str, facts: dict[str, object]) -> None:
    row = game(season, "7001").filter(pl.col("kind") == kind).row(0, named=True)
    assert {name: row[name] for name in facts} == facts


def test_a_lost_ball_and_a_caught_one_change_hands(season: Reading) -> None:
    rows = game(season, "7001")
    lost = rows.filter(pl.col("fumble_lost"))
    assert lost.select("kind", "gain", "offense").rows() == [("run", 3, HOME)]
    picked = rows.filter(pl.col("intercepted"))
    assert picked.select("gain", "return_yards", "complete").rows() == [(0, 6, False)]


def test_a_safety_by_sack_is_two_for_the_defense(season: Reading) -> None:
    rows = game(season, "7001").filter(pl.col("safety"))
    assert rows.select("kind", "offense", "points_defense").rows() == [("sack", HOME, 2)]


def test_goal_to_go_is_the_yards_to_the_goal(season: Reading) -> None:
    row = game(season, "7001").filter((pl.col("kind") == "run") & (pl.col("yards_to_goal") == 7))
    assert row["distance"].to_list() == [7]


def test_kicks_keep_the_kicker_as_offense(season: Reading) -> None:
    rows = game(season, "7001").filter(pl.col("kind") == "kickoff")
    assert rows.select("offense", "kick_result", "yards_to_goal").rows() == [
        (AWAY, "touchback", 65), (HOME, "returned", 50), (HOME, "onside", 65),
    ]  # fmt: skip


def test_time_outs_and_flags_find_their_side(season: Reading) -> None:
    rows = game(season, "7001")
    assert rows.filter(pl.col("kind") == "time-out")["timeout_by"].to_list() == ["home"]
    flag = rows.filter(pl.col("kind") == "penalty")
    assert flag.select("penalty_on", "penalty_yards", "no_play").rows() == [("defense", 15, True)]
    assert game(season, "7002").filter(pl.col("kind") == "time-out")["timeout_by"][0] == "away"


def test_a_reading_after_the_play_is_put_before_it(season: Reading) -> None:
    """The pass after the time-out at 13:50 fell at 13:45: it was snapped at 13:50."""
    rows = game(season, "7001")
    fell = rows.filter((pl.col("kind") == "pass") & ~pl.col("complete") & ~pl.col("intercepted"))
    assert fell["clock"][0] == 13 * 60 + 50
    run = rows.filter(pl.col("kind") == "run")["clock"][0]
    assert run == 14 * 60 + 40 + 6


def test_a_clock_that_stands_for_a_drive_is_spread_over_it(season: Reading) -> None:
    rows = game(season, "7002").filter(pl.col("kind") == "run")["clock"].to_list()
    first, second = rows[:6], rows[6:]
    assert first[0] > first[-1] > 12 * 60
    steps = -np.diff(first)
    assert steps.max() - steps.min() <= 1
    assert second[0] == 11 * 60
    assert second[-1] > 9 * 60


def test_clocks_never_rise_within_a_quarter(season: Reading) -> None:
    for name in ("7001", "7002"):
        rows = game(season, name).filter(pl.col("period") == 1)
        assert (np.diff(rows["clock"].to_numpy()) <= 0).all()


def test_the_two_kinds_of_clock_are_told_apart() -> None:
    period = np.ones(40, dtype=int)
    assert is_dense(np.arange(900, 860, -1), period)
    assert not is_dense(np.repeat([900, 700], 20), period)


def test_a_reading_that_rises_is_no_reading() -> None:
    """A slip of the pen must not send the clock back up."""
    clock = np.array([900, 870, 890, 840])
    kind = np.array(["kickoff", "run", "run", "run"])
    none = np.zeros(4, dtype=bool)
    out = snap_clocks(clock, np.ones(4, dtype=int), kind, none, none)
    assert (np.diff(out) <= 0).all()


def test_a_final_that_the_rows_do_not_reach_names_the_game(tmp_path: Path) -> None:
    feeds = read_row_by_row(), read_by_drive()
    frame(*feeds).write_parquet(tmp_path / "season.parquet")
    wrong = finals(*feeds).with_columns(
        home_score=pl.when(pl.col("game_id") == "7002").then(10).otherwise("home_score")
    )
    wrong.write_csv(tmp_path / "finals.csv")
    reading = read_source(f"college:{tmp_path}/season.parquet", games=tmp_path / "finals.csv")
    assert list(reading.left_out) == ["7002"]
    assert "the plays end 3-0 (home first), the final is 10-0" in reading.left_out["7002"]
    assert set(reading.plays["game"]) == {"7001"}


def test_sides_that_cannot_be_told_leave_the_game_out(tmp_path: Path) -> None:
    feeds = read_row_by_row(), read_by_drive()
    table = frame(*feeds).with_columns(
        start_spot=pl.when(pl.col("game_id") == "7002")
        .then(pl.col("start_yards_to_endzone"))
        .otherwise("start_spot")
    )
    table.write_parquet(tmp_path / "season.parquet")
    reading = read_college(tmp_path / "season.parquet")
    assert "which side a team is on" in reading.left_out["7002"]


def test_what_is_no_such_table_says_what_it_lacks(tmp_path: Path) -> None:
    pl.DataFrame({"game_id": ["1"], "desc": ["x"]}).write_parquet(tmp_path / "odd.parquet")
    with pytest.raises(CollegeError, match="lacks season, play_id, quarter"):
        read_college(tmp_path / "odd.parquet")
    with pytest.raises(SourceError, match="lacks season"):
        read_source(f"college:{tmp_path}/odd.parquet")
    with pytest.raises(UnknownSourceError, match="no such file"):
        read_source(f"college:{tmp_path}/gone.parquet")
    (tmp_path / "part.csv").write_text("a\n1\n")
    with pytest.raises(UnknownSourceError, match="belong to professional seasons"):
        read_source(f"college:{tmp_path}/odd.parquet", participation=tmp_path / "part.csv")


@pytest.mark.college
def test_the_real_season_reproduces_its_finals(
    college_season: Path, college_finals: Path | None
) -> None:
    reading = read_source(f"college:{college_season}", games=college_finals)
    assert reading.games_read > 800
    assert reading.finals_reproduced >= 0.97 * reading.games_read
    plays = reading.plays
    snaps = plays.filter(pl.col("kind").is_in(["run", "pass", "sack"]))
    assert snaps["down"].null_count() < 0.002 * len(snaps)
    # the rises of the score are on rows that can bring them
    goals = plays.filter((pl.col("kind") == "field goal") & (pl.col("kick_result") == "good"))
    assert (goals["points_offense"] == 3).mean() > 0.99
    scored = plays.filter((pl.col("points_offense") == 6) & pl.col("kind").is_in(["run", "pass"]))
    assert (scored["gain"] == scored["yards_to_goal"]).mean() > 0.99
    down = plays.filter(pl.col("half") < 3).with_columns(
        up=pl.col("half_seconds").diff().over("game", "half") > 0
    )
    assert not down["up"].any()
