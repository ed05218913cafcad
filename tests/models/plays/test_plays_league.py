"""Professional seasons: names and conventions of the source turned into ours."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from pathlib import Path
from typing import Any

import polars as pl
import pytest
from invented_plays import TRUTHS, invented_table
from pointsleft_models.plays import cache, league
from pointsleft_models.plays.complete import complete
from pointsleft_models.plays.league import LeagueError, read_seasons
from pointsleft_models.plays.league_columns import WANTED, final_scores, neutral_plays
from pointsleft_models.plays.participation import wanted_columns
from recorded_shape import recorded, shaped, with_finals


def table(seed: int = 1, games: int = 2) -> tuple[pl.DataFrame, pl.DataFrame]:
    truth = invented_table(seed, games)
    return truth, with_finals(recorded(truth), truth)


@pytest.mark.parametrize("seed", range(8))
def test_a_recorded_table_becomes_the_table_it_was_made_from(seed: int) -> None:
    truth, source = table(seed)
    done = complete(neutral_plays(source), final_scores(source))
    assert done.left_out == {}
    # a cancelled try has no mark of its own in this shape
    for name in (*TRUTHS, "game", "play", "kind", "period", "clock", "home", "away", "offense",
                 "offense_score", "defense_score", "down", "distance", "yards_to_goal", "gain",
                 "kick_result", "timeout_by"):  # fmt: skip
        ours = done.plays[name]
        wanted = truth[name]
        if name == "kick_result":  # punts and kickoffs are tested by themselves
            tries = truth["kind"].is_in(["extra point", "two-point", "field goal"])
            ours, wanted = ours.filter(tries), wanted.filter(tries)
        assert ours.equals(wanted, null_equal=True), name


def one(**columns: Any) -> dict[str, Any]:
    """One invented row of the source as our row."""
    row = {
        "old_game_id": "g", "play_id": 1, "season": 2020, "week": 1, "season_type": "POST",
        "home_team": "Alder", "away_team": "Birch", "home_score": 0, "away_score": 0, "qtr": 1,
        "quarter_seconds_remaining": 600, "posteam": "Birch", "defteam": "Alder",
        "posteam_score": 7, "defteam_score": 3, "posteam_score_post": 7, "defteam_score_post": 3,
        "down": 2, "ydstogo": 8, "yardline_100": 40, "desc": "", "play_type": "pass",
    }  # fmt: skip
    return neutral_plays(shaped([row | columns])).row(0, named=True)


KINDS = [
    ("pass", {}),
    ("sack", {"sack": 1}),
    ("scramble", {"play_type": "run", "qb_scramble": 1}),
    ("run", {"play_type": "run"}),
    ("kneel", {"play_type": "qb_kneel"}),
    ("spike", {"play_type": "qb_spike"}),
    ("punt", {"play_type": "punt"}),
    ("field goal", {"play_type": "field_goal"}),
    ("kickoff", {"play_type": "kickoff", "down": None}),
    ("extra point", {"play_type": "extra_point", "down": None}),
    ("two-point", {"play_type": "run", "two_point_attempt": 1, "down": None}),
    ("penalty", {"play_type": "no_play", "penalty": 1}),
    ("time-out", {"play_type": "no_play", "timeout": 1, "timeout_team": "Alder", "down": None,
                  "posteam": None, "defteam": None}),
    ("other", {"play_type": None, "down": None, "posteam": "", "defteam": None}),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "columns"), KINDS)
def test_kinds_of_play(kind: str, columns: dict[str, Any]) -> None:
    row = one(**columns)
    assert row["kind"] == kind
    assert row["no_play"] == (kind == "penalty")
    assert (row["offense"] is None) == (kind in ("time-out", "other"))
    assert row["timeout_by"] == ("home" if kind == "time-out" else None)


def test_a_time_out_charged_on_a_play_leaves_the_play_what_it_was() -> None:
    charged = {"timeout": 1, "timeout_team": "Birch"}
    assert one(**charged)["kind"] == "pass"
    row = one(**charged, play_type="no_play", penalty=1)
    assert (row["kind"], row["no_play"], row["timeout_by"]) == ("penalty", True, "away")


def test_the_kicking_team_is_the_offense_of_a_kickoff() -> None:
    row = one(play_type="kickoff", down=None, yardline_100=35)
    assert (row["offense"], row["yards_to_goal"], row["down"]) == ("Alder", 65, None)
    assert (row["offense_score"], row["defense_score"]) == (3, 7)


def test_a_kickoff_returned_all_the_way_is_a_touchdown_of_the_defense() -> None:
    row = one(play_type="kickoff", down=None, yardline_100=35, posteam_score_post=13)
    assert (row["points_offense"], row["points_defense"]) == (0, 6)
    assert (row["touchdown"], row["defense_touchdown"]) == (False, True)


def test_facts_of_a_pass() -> None:
    row = one(complete_pass=1, air_yards=9, yards_after_catch=4, yards_gained=13, shotgun=1,
              pass_location="left", receiver_player_id="x", qb_hit=1, spread_line=-3.5,
              roof="open", temp=61, wind=7, out_of_bounds=1, posteam_score_post=13)  # fmt: skip
    wanted = {
        "stage": "playoff", "home_spread": -3.5, "roof": "outdoors", "temperature": 61, "wind": 7,
        "gain": 13, "air_yards": 9, "yards_after_catch": 4, "third": "left", "targeted": True,
        "complete": True, "intercepted": False, "quarterback_hit": True, "shotgun": True,
        "no_huddle": False, "touchdown": True, "points_offense": 6, "out_of_bounds": True,
        "fumble": False, "return_yards": None, "distance": 8,
    }  # fmt: skip
    assert {name: row[name] for name in wanted} == wanted


def test_a_throw_away_is_not_targeted_and_an_interception_is() -> None:
    assert one()["targeted"] is False
    row = one(interception=1, return_yards=30, fumble_lost=1, fumble=1)
    assert (row["targeted"], row["intercepted"], row["return_yards"]) == (True, True, 30)
    assert row["fumble_lost"] is False  # lost by the side that took it


def test_runs_have_a_gap_and_a_side() -> None:
    run = {"play_type": "run"}
    row = one(**run, run_location="left", run_gap="end")
    assert (row["gap"], row["run_side"]) == ("end", "left")
    row = one(**run, run_location="middle")
    assert (row["gap"], row["run_side"]) == ("middle", "middle")


KICKS = [
    ({"play_type": "punt", "punt_blocked": 1}, "blocked"),
    ({"play_type": "punt", "touchback": 1}, "touchback"),
    ({"play_type": "punt", "punt_fair_catch": 1}, "fair catch"),
    ({"play_type": "punt", "punt_downed": 1}, "downed"),
    ({"play_type": "punt", "punt_out_of_bounds": 1}, "out of bounds"),
    ({"play_type": "punt", "return_yards": 9}, "returned"),
    ({"play_type": "kickoff", "touchback": 1}, "touchback"),
    ({"play_type": "kickoff", "desc": "kicks onside 12 yards"}, "onside"),
    ({"play_type": "kickoff", "kickoff_out_of_bounds": 1}, "out of bounds"),
    ({"play_type": "field_goal", "field_goal_result": "made"}, "good"),
    ({"play_type": "field_goal", "field_goal_result": "blocked"}, "blocked"),
    ({"play_type": "field_goal", "field_goal_result": "missed"}, "missed"),
    ({"play_type": "extra_point", "extra_point_result": "aborted"}, "missed"),
    ({"play_type": "pass", "two_point_attempt": 1, "two_point_conv_result": "success"}, "good"),
]  # fmt: skip


@pytest.mark.parametrize(("columns", "result"), KICKS)
def test_how_kicks_ended(columns: dict[str, Any], result: str) -> None:
    assert one(**columns)["kick_result"] == result


def test_an_enforced_penalty_and_a_declined_one() -> None:
    foul = {"penalty": 1, "penalty_team": "Alder", "penalty_type": "Holding"}
    row = one(**foul, penalty_yards=10)
    assert (row["penalty_on"], row["penalty_yards"], row["foul"]) == ("defense", 10, "Holding")
    assert one(**foul, penalty_yards=0)["penalty_on"] is None


def test_a_line_to_gain_beyond_the_goal_line_is_the_goal_line() -> None:
    assert one(ydstogo=10, yardline_100=4)["distance"] == 4
    assert one(ydstogo=0, yardline_100=4)["distance"] is None


# ---------------------------------------------------------------- seasons, cache, network


class Server:
    """Gives invented seasons and counts the calls; ``down`` makes it unreachable."""

    def __init__(self) -> None:
        self.calls: list[int] = []
        self.down = False

    def plays(self, season: int) -> pl.DataFrame:
        self.calls.append(season)
        if self.down:
            raise ConnectionError("cannot be reached")
        _, source = table(season % 50)
        return source.with_columns(
            season=pl.lit(float(season)),
            old_game_id=pl.format("{}-{}", pl.lit(season), "old_game_id"),
        )

    def participation(self, season: int) -> pl.DataFrame | None:
        if self.down:
            raise ConnectionError("cannot be reached")
        if season < 2018:
            return None
        passes = self.plays(season).filter(pl.col("play_type") == "pass")
        self.calls.pop()
        return passes.select(
            "old_game_id", "play_id", defenders_in_box=pl.lit(7.0),
            number_of_pass_rushers=pl.lit(5.0), time_to_throw=pl.lit(2.2),
            was_pressure=pl.lit(False), route=pl.lit("GO"), defense_man_zone_type=pl.lit(None),
            defense_coverage_type=pl.lit("COVER_3"),
        )  # fmt: skip

    def read(self, *seasons: int, **more: Any) -> Any:
        return read_seasons(
            seasons, fetch_plays=self.plays, fetch_participation=self.participation, **more
        )


@pytest.fixture
def server(cache_folder: Path) -> Server:
    return Server()


def test_seasons_are_read_with_participation_where_there_is_any(server: Server) -> None:
    reading = server.read(2018, 2017)
    assert (reading.games_read, reading.finals_reproduced, reading.left_out) == (4, 4, {})
    assert reading.plays["season"].unique().sort().to_list() == [2017, 2018]
    boxes = reading.plays.filter(pl.col("kind") == "pass").group_by("season").agg(
        pl.col("box").max()
    )  # fmt: skip
    assert dict(boxes.rows()) == {2017: None, 2018: 7}
    assert "seasons 2017, 2018, fetched 20" in reading.source
    bare = server.read(2018, participation=False)
    assert bare.plays["box"].null_count() == len(bare.plays)


def test_progress_is_told_of_every_season(server: Server) -> None:
    seen: list[tuple[int, str]] = []

    def progress(items: Any, total: int, what: str) -> Any:
        seen.append((total, what))
        return items

    server.read(2017, 2018, progress=progress)
    assert seen == [(2, "reading seasons")]


def test_a_finished_season_is_fetched_once(server: Server) -> None:
    first = server.read(2018)
    server.down = True
    again = server.read(2018)
    assert server.calls == [2018]
    assert again.plays.equals(first.plays)


def fetched_on(date: datetime.date) -> Callable[..., None]:
    """Date every table in the cache."""

    def save(name: str, key: str, frame: pl.DataFrame, about: dict[str, Any]) -> None:
        KEEP(name, key, frame, about | {"fetched": str(date)})

    return save


KEEP = cache.save


@pytest.mark.parametrize(("age", "calls"), [(0, 1), (3, 2)])
def test_a_season_still_played_is_fetched_again_after_a_day(
    server: Server, monkeypatch: pytest.MonkeyPatch, age: int, calls: int
) -> None:
    today = datetime.date.today()
    monkeypatch.setattr(cache, "save", fetched_on(today - datetime.timedelta(days=age)))
    server.read(today.year)
    server.read(today.year)
    assert len(server.calls) == calls


def test_without_a_network_an_old_table_is_better_than_none_and_says_its_age(
    server: Server, monkeypatch: pytest.MonkeyPatch
) -> None:
    today = datetime.date.today()
    old = today - datetime.timedelta(days=30)
    monkeypatch.setattr(cache, "save", fetched_on(old))
    server.read(today.year)
    server.down = True
    assert f"fetched {old}" in server.read(today.year).source


def test_without_a_network_and_nothing_kept_the_message_says_what_to_do(server: Server) -> None:
    server.down = True
    with pytest.raises(LeagueError) as caught:
        server.read(2018)
    message = str(caught.value)
    for part in ("2018", "no connection to the server", "needs the network the first time",
                 "archive", "of your own"):  # fmt: skip
        assert part in message


def test_a_table_of_another_shape_names_what_is_missing(cache_folder: Path) -> None:
    def fetch(season: int) -> pl.DataFrame:
        return table()[1].drop("qtr", "down")

    with pytest.raises(LeagueError, match="lacks the columns qtr, down"):
        read_seasons([2018], fetch_plays=fetch, participation=False)


def test_a_game_whose_plays_do_not_make_its_final_is_left_out(cache_folder: Path) -> None:
    def fetch(season: int) -> pl.DataFrame:
        wrong = pl.when(pl.col("old_game_id") == "g01").then(90.0).otherwise("home_score")
        return table()[1].with_columns(home_score=wrong)

    reading = read_seasons([2018], fetch_plays=fetch, participation=False)
    assert list(reading.left_out) == ["g01"]
    assert (reading.games_read, reading.finals_reproduced) == (2, 1)


def test_seasons_before_the_first(server: Server) -> None:
    with pytest.raises(LeagueError, match="begins in 1999; there is no season 1950"):
        server.read(1950, 2018)
    assert server.calls == []


def test_the_library_calls_the_loader_that_we_think(monkeypatch: pytest.MonkeyPatch) -> None:
    import nflreadpy
    from nflreadpy.config import get_config

    seen: list[Any] = []

    def load(season: int) -> pl.DataFrame:
        seen.append((season, str(get_config().cache_mode)))
        return pl.DataFrame({"x": [1]})

    before = get_config().cache_mode
    monkeypatch.setattr(nflreadpy, "load_pbp", load)
    monkeypatch.setattr(nflreadpy, "load_participation", load)
    assert league._download_plays(2018).columns == ["x"]
    assert league._download_participation(2018) is not None
    assert league._download_participation(2200) is None
    assert seen == [(2018, "off"), (2018, "off")]
    assert get_config().cache_mode == before


@pytest.mark.network
def test_a_real_season_is_read(cache_folder: Path) -> None:
    """Holds our reading of the source's conventions against a whole real season."""
    try:
        reading = read_seasons([2022])
    except LeagueError as error:
        if "cannot be fetched" in str(error):
            pytest.skip(f"offline: {error}")
        raise
    assert reading.games_read > 250
    assert reading.finals_reproduced >= 0.98 * reading.games_read
    plays = reading.plays
    kickoffs = plays.filter((pl.col("kind") == "kickoff") & (pl.col("yards_to_goal") == 65))
    assert len(kickoffs) > 0.9 * plays.filter(pl.col("kind") == "kickoff").height
    assert plays.filter(pl.col("kind") == "pass")["box"].null_count() < 0.1 * len(plays)
    scored = plays.filter((pl.col("kind") == "run") & (pl.col("points_offense") == 6))
    assert len(scored) > 300
    caught = plays.filter(pl.col("complete") & ~pl.col("fumble"))
    adds_up = (caught["air_yards"] + caught["yards_after_catch"] == caught["gain"]).mean()
    assert float(adds_up or 0) > 0.98


def test_every_wanted_column_of_the_sources_is_in_the_recorded_shape() -> None:
    assert table()[1].columns == list(WANTED)
    assert set(wanted_columns()) <= set(Server().participation(2018).columns)  # type: ignore[union-attr]
