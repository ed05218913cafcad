"""The archive against itself, against football, and against another source."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import polars as pl
import pytest
from pointsleft_models.plays import archive_rows
from pointsleft_models.plays.archive_cached import read_archive_cached
from pointsleft_models.plays.archive_files import ArchiveFiles
from pointsleft_models.plays.complete import complete
from pointsleft_models.plays.games import join_games, read_games_file
from pointsleft_models.plays.reading import Reading
from pointsleft_models.plays.schema import NEXT_SCORES, THIRDS
from pointsleft_models.plays.scores import finals, team_scores, with_steps

pytestmark = pytest.mark.archive

#: A season parsed anew, line by line, for what the table no longer holds.
RAW_SEASON = 2013

POINTS = {"TD": 6, "FG": 3, "SAF": 2}


@pytest.fixture(scope="session")
def plays(archive: Reading) -> pl.DataFrame:
    return archive.plays


@pytest.fixture(scope="session")
def totals(plays: pl.DataFrame) -> pl.DataFrame:
    """The plays with both teams' points before each row."""
    return team_scores(plays)


def listed_points(content: dict[str, Any]) -> dict[str, int]:
    """Points of either team by the list of scores, written here a second time and shorter."""
    points = dict.fromkeys((content["home"]["abbr"], content["away"]["abbr"]), 0)
    for score in content["scrsummary"].values():
        worth = POINTS.get(score["type"], 2)
        if score["type"] == "TD":
            attempt = (re.findall(r"\(([^()]*)\)", score["desc"]) or [""])[-1]
            worth += 1 if "is good" in attempt else 2 * bool(re.search("(pass|run)$", attempt))
        points[score["team"]] += worth
    return points


def test_all_but_a_few_games_are_reproduced(archive: Reading) -> None:
    assert archive.games_read == 2926
    assert archive.finals_reproduced >= 2920
    assert archive.finals_reproduced == archive.games_read - len(archive.left_out)
    assert archive.plays["game"].n_unique() == archive.finals_reproduced


def test_those_left_out_are_the_games_whose_scores_do_not_add_up(archive: Reading) -> None:
    files = ArchiveFiles()
    games = [g for g in files.games() if g.game in archive.left_out]
    games += list(files.games())[::40]  # and some of the others, which must add up
    for game in games:
        content = files.load(game)
        finals = {content[s]["abbr"]: content[s]["score"]["T"] for s in ("home", "away")}
        added = listed_points(content)
        assert (added != finals) == (game.game in archive.left_out)
        if game.game in archive.left_out:
            reason = archive.left_out[game.game]
            for points in (*added.values(), *finals.values()):
                assert str(points) in reason


def test_scores_never_go_backwards(totals: pl.DataFrame) -> None:
    for side in ("_home", "_away"):
        assert totals.select((pl.col(side).diff().over("game").fill_null(0) >= 0).all()).item()


def test_games_a_season(archive: Reading) -> None:
    left_out = {game[:4] for game in archive.left_out}
    assert len(left_out) == len(archive.left_out)  # no season lacks more than one
    counts = archive.plays.group_by("season").agg(pl.col("game").n_unique()).sort("season")
    by_season = dict(counts.rows())
    assert list(by_season) == list(range(2009, 2020))
    for season, games in by_season.items():
        assert games == (256 if season == 2018 else 267) - (str(season) in left_out)
    per_game = archive.plays.group_by("game").len()["len"]
    assert 110 < float(per_game.min() or 0) < float(per_game.max() or 0) < 270


def test_time_outs(plays: pl.DataFrame) -> None:
    for side in ("offense_timeouts", "defense_timeouts"):
        left = plays.filter(pl.col("offense").is_not_null())[side]
        assert left.null_count() == 0
        assert sorted(left.unique()) == [0, 1, 2, 3]
    fresh = plays.filter((pl.col("half_seconds") > 1790) & (pl.col("half") < 3))
    assert float((fresh["offense_timeouts"] == 3).mean() or 0) > 0.999
    # within a half a team's time-outs do not come back
    at_home = pl.when("offense_home").then("offense_timeouts").otherwise("defense_timeouts")
    known = plays.filter(pl.col("offense").is_not_null()).with_columns(left=at_home)
    assert known.select((pl.col("left").diff().over("game", "half").fill_null(0) <= 0).all()).item()
    called = plays.filter(pl.col("timeout_by").is_not_null()).group_by("game").len()
    assert 4 < float(called["len"].mean() or 0) < 12


def test_kicks(plays: pl.DataFrame) -> None:
    tries = plays.filter((pl.col("kind") == "extra point") & ~pl.col("no_play"))
    good = tries.group_by(later=pl.col("season") >= 2015).agg(
        (pl.col("kick_result") == "good").mean()
    )
    rates = dict(good.rows())
    assert rates[False] > 0.985  # from the two-yard line
    assert 0.93 < rates[True] < 0.95  # from the fifteen
    field_goals = plays.filter(pl.col("kind") == "field goal")
    assert field_goals["kick_distance"].null_count() == 0
    near = field_goals.filter(pl.col("kick_distance") < 35)
    far = field_goals.filter(pl.col("kick_distance") >= 50)
    assert float((near["kick_result"] == "good").mean() or 0) > 0.93
    assert 0.5 < float((far["kick_result"] == "good").mean() or 0) < 0.72
    away = (field_goals["kick_distance"] - field_goals["yards_to_goal"]).drop_nulls()
    assert float(away.is_between(16, 19).mean()) > 0.99
    kickoffs = plays.filter((pl.col("kind") == "kickoff") & (pl.col("period") == 1))
    spots = kickoffs.filter(pl.col("clock") == 900).group_by("season").agg(
        pl.col("yards_to_goal").mode().first()
    )  # fmt: skip
    assert dict(spots.rows()) == {year: 70 if year < 2011 else 65 for year in range(2009, 2020)}
    punts = plays.filter(pl.col("kind") == "punt")
    assert 42 < float(punts["kick_distance"].mean() or 0) < 47


def test_air_yards_and_yards_after_the_catch_make_the_gain(plays: pl.DataFrame) -> None:
    caught = plays.filter(
        (pl.col("kind") == "pass") & pl.col("complete") & ~pl.col("fumble") & ~pl.col("no_play")
    )
    adds_up = caught["air_yards"] + caught["yards_after_catch"] == caught["gain"]
    assert float(adds_up.mean() or 0) > 0.999  # laterals are the rest
    thrown = plays.filter((pl.col("kind") == "pass") & pl.col("targeted") & ~pl.col("no_play"))
    assert thrown["air_yards"].null_count() < 0.001 * len(thrown)


def test_thirds_and_directions(plays: pl.DataFrame) -> None:
    thrown = plays.filter((pl.col("kind") == "pass") & pl.col("targeted") & ~pl.col("no_play"))
    shares = dict(thrown["third"].value_counts(normalize=True).rows())
    assert shares.pop(None, 0) < 0.005
    assert set(shares) == set(THIRDS)
    assert all(0.2 < share < 0.45 for share in shares.values())
    runs = plays.filter((pl.col("kind") == "run") & ~pl.col("no_play"))
    assert runs["run_side"].null_count() < 0.02 * len(runs)
    assert ((runs["gap"] == "middle") == (runs["run_side"] == "middle")).all()
    gains = dict(runs.group_by("gap").agg(pl.col("gain").mean()).drop_nulls().rows())
    assert gains["end"] > gains["middle"]


def test_next_score_goes_with_the_points_on_the_rows(plays: pl.DataFrame) -> None:
    regulation = plays.filter((pl.col("half") < 3) & pl.col("offense").is_not_null())
    assert sorted(regulation["next_score"].unique()) == sorted(NEXT_SCORES)
    points = {"touchdown": 6, "field goal": 3, "safety": 2}
    for what, worth in points.items():
        for column, label in (("points_offense", what), ("points_defense", f"{what} against")):
            rows = regulation.filter(pl.col(column) == worth)
            assert bool(len(rows)) == (label != "field goal against")
            assert (rows["next_score"] == label).all()
            assert (rows["drives_to_score"] == 0).all()
            assert (rows["next_score_clock"] == rows["half_seconds"]).all()
    nothing = regulation.filter(pl.col("next_score") == "none")
    assert nothing["points_offense"].sum() == nothing["points_defense"].sum() == 0
    assert nothing["next_score_clock"].null_count() == len(nothing)
    labelled = regulation.filter(
        pl.col("down").is_not_null()
        & ~pl.col("kind").is_in(["kneel", "spike", "extra point", "two-point", "time-out"])
    )
    assert 425_000 < len(labelled) < 431_000


def test_the_same_follows_from_the_required_columns_alone(plays: pl.DataFrame) -> None:
    """The list of scores that the archive keeps, and the rise of the score, say the same."""
    derived = ["next_score", "next_score_clock", "drives_to_score", "result", "drive", "half",
               "half_seconds", "game_seconds", "defense", "offense_home", "lead",
               "offense_timeouts", "defense_timeouts", "receives_second_half"]  # fmt: skip
    done = complete(plays.drop(derived))
    assert done.left_out == {}
    for name in derived:
        assert done.plays[name].equals(plays[name]), name


# ---------------------------------------------------------------- two traps


def test_adding_up_the_rows_alone_would_get_hundreds_of_games_wrong(
    plays: pl.DataFrame, totals: pl.DataFrame
) -> None:
    """Rows are missing (tries after a return, above all): only the list of scores knows."""
    good = pl.col("kick_result") == "good"
    attempt = (
        pl.when(good & (pl.col("kind") == "extra point"))
        .then(1)
        .when(good & (pl.col("kind") == "two-point"))
        .then(2)
        .otherwise(0)
    )
    rows = plays.select(
        "game", points=pl.col("points_offense") + pl.col("points_defense") + attempt
    )
    added = rows.group_by("game").agg(pl.col("points").sum())
    last = totals.group_by("game").agg((pl.col("_home") + pl.col("_away")).max().alias("before"))
    short = added.join(last, on="game").filter(pl.col("points") < pl.col("before"))
    assert 300 < len(short) < 1000


@pytest.fixture(scope="session")
def raw() -> list[list[Any]]:
    """Every line of one season as the archive has it."""
    files = ArchiveFiles()
    games = (g for g in files.games() if g.season == RAW_SEASON)
    return [line for g in games for line in archive_rows.play_rows(g.game, files.load(g))]


def test_a_try_that_a_penalty_cancels_does_not_count(
    raw: list[list[Any]], plays: pl.DataFrame, totals: pl.DataFrame
) -> None:
    text = archive_rows.COLUMNS.index("text")
    cancelled = [
        (line[0], line[1])
        for line in raw
        if "extra point is GOOD" in line[text] and "No Play" in line[text]
    ]
    assert cancelled
    for game, play in cancelled:
        row = plays.row(
            by_predicate=(pl.col("game") == game) & (pl.col("play") == play), named=True
        )
        assert row["no_play"]
        assert row["kick_result"] != "good"
        # the try that counts comes after it, at the same score
        after = totals.filter((pl.col("game") == game) & (pl.col("play") > play))
        tries = after.filter(pl.col("kind").is_in(["extra point", "two-point"]))
        at = totals.row(
            by_predicate=(pl.col("game") == game) & (pl.col("play") == play), named=True
        )
        assert tries.row(0, named=True)["_home"] == at["_home"]
        assert tries.row(0, named=True)["_away"] == at["_away"]


def test_a_time_out_between_touchdown_and_try_does_not_take_the_points_early(
    plays: pl.DataFrame,
) -> None:
    after_touchdown = plays.with_columns(
        (pl.col("points_offense") + pl.col("points_defense") == 6)
        .shift(1)
        .over("game")
        .alias("td"),
        pl.col("kind").shift(-1).over("game").alias("then"),
        pl.col("offense_score", "defense_score").shift(1).over("game").name.suffix("_was"),
        pl.col("offense").shift(1).over("game").alias("scorer"),
    )
    tries = ["extra point", "two-point"]
    between = after_touchdown.filter(
        pl.col("td") & (pl.col("kind") == "time-out") & pl.col("then").is_in(tries)
    )
    assert len(between) > 50
    total = pl.col("offense_score") + pl.col("defense_score")
    was = pl.col("offense_score_was") + pl.col("defense_score_was")
    assert between.select((total - was == 6).all()).item()


def test_parsing_some_seasons_gives_the_same_rows_as_parsing_all(
    plays: pl.DataFrame,
) -> None:
    from pointsleft_models.plays.archive import read_archive

    one = read_archive(seasons=(RAW_SEASON,), workers=1)
    assert one.plays.equals(plays.filter(pl.col("season") == RAW_SEASON))


def test_the_cache_answers_in_half_a_second(
    archive: Reading, kept_archive: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    import time

    monkeypatch.setenv("POINTSLEFT_CACHE", kept_archive)

    def seconds() -> float:
        start = time.perf_counter()
        read_archive_cached()
        return time.perf_counter() - start

    assert min(seconds() for _ in range(5)) < 0.5


# ---------------------------------------------------------------- another source


def test_final_scores_agree_with_the_schedules(totals: pl.DataFrame, games_file: Path) -> None:
    """All but those of a last try without a row, and one at most on which the sources differ."""
    stepped = with_steps(totals)
    theirs = read_games_file(games_file).select("game", home="home_points", away="away_points")
    both = finals(stepped).join(theirs, on="game")
    assert len(both) == stepped["game"].n_unique()
    apart = both.filter(
        (pl.col("home_points") != pl.col("home")) | (pl.col("away_points") != pl.col("away"))
    )
    assert len(apart) < 10
    games = {game.game: game for game in ArchiveFiles().games()}
    sources_differ = 0
    for row in apart.iter_rows(named=True):
        content = ArchiveFiles().load(games[row["game"]])
        if tuple(content[side]["score"]["T"] for side in ("home", "away")) != (
            row["home"], row["away"],
        ):  # fmt: skip
            sources_differ += 1
            continue
        last = stepped.filter(pl.col("game") == row["game"]).row(-1, named=True)
        short = {side: row[side] - row[f"{side}_points"] for side in ("home", "away")}
        for side, missing in short.items():
            assert missing == 0 or (missing in (1, 2) and last[f"_{side}_step"] == 6)
    assert sources_differ <= 1


def test_the_spread_and_the_result_go_together(plays: pl.DataFrame, games_file: Path) -> None:
    joined = join_games(plays, read_games_file(games_file))
    opening = joined.filter(pl.col("offense").is_not_null()).group_by("game").first()
    assert opening["home_spread"].null_count() == 0
    won = pl.when("offense_home").then("result").otherwise(1 - pl.col("result"))
    by_side = opening.group_by(pl.col("home_spread").sign().alias("side")).agg(won.mean())
    rates = dict(by_side.rows())
    assert rates[1.0] > 0.6 > 0.4 > rates[-1.0]
    assert joined.drop("home_spread", "roof", "temperature", "wind").equals(
        plays.drop("home_spread", "roof", "temperature", "wind")
    )


@pytest.mark.participation
def test_participation_meets_the_snaps_of_its_seasons(plays: pl.DataFrame) -> None:
    import os

    from pointsleft_models.plays.participation import join_participation, read_participation_file

    usual = Path(__file__).parents[4] / "shared/data/participation_2016_2019.parquet"
    path = Path(os.environ.get("POINTSLEFT_PARTICIPATION", usual))
    joined = join_participation(plays, read_participation_file(path))
    thrown = joined.filter((pl.col("kind") == "pass") & ~pl.col("no_play"))
    rates = thrown.group_by("season").agg(
        pl.col("box", "pressured", "ball_out_seconds", "shell").is_not_null().mean()
    )
    for season, *shares, shell in rates.rows():
        covered = season >= 2016
        assert all(share > 0.99 if covered else share == 0 for share in shares), season
        assert shell > 0.99 if season >= 2018 else shell == 0
    sacks = joined.filter((pl.col("kind") == "sack") & (pl.col("season") >= 2016))
    assert sacks["box"].null_count() < 0.01 * len(sacks)
    assert sacks["ball_out_seconds"].null_count() == len(sacks)  # no throw, no clock
