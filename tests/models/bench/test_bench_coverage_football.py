"""The league whose truth is known by playing out, and the shipped estimator on it."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import polars as pl
import pytest
from pointsleft_models.bench.coverage_football import (
    FEWER,
    POINTS,
    WINS,
    Estimator,
    league_parts,
    one_as_shipped,
    one_league,
)
from pointsleft_models.bench.known_league import Known, known_situations
from pointsleft_models.bench.one_step import compared
from pointsleft_models.bench.ours import worth_under_fit_rules
from pointsleft_models.bench.schemes import SCHEMES
from pointsleft_models.bench.simulated_league import simulated_league

GAMES, SITUATIONS, PLAYED = 250, 60, 1000


@pytest.fixture(scope="module")
def league() -> pl.DataFrame:
    return simulated_league(league_parts(), GAMES, 5)


@pytest.fixture(scope="module")
def known() -> Known:
    return known_situations(league_parts(), 11, situations=SITUATIONS, games=PLAYED)


@pytest.fixture(scope="module")
def estimator(league: pl.DataFrame) -> Estimator:
    return Estimator(league, worth_under_fit_rules())


def test_the_league_says_the_same_of_a_game_from_both_sides(league: pl.DataFrame) -> None:
    sides = league.group_by("game", "offense").agg(
        pl.col("result").n_unique().alias("kinds"), pl.col("result").first()
    )
    assert sides["kinds"].max() == 1
    both = sides.group_by("game").agg(pl.col("result").sum(), pl.len())
    assert both["len"].max() == 2
    assert both.filter(pl.col("len") == 2)["result"].to_numpy() == pytest.approx(1.0)


def test_the_next_score_is_where_the_lead_next_changes(league: pl.DataFrame) -> None:
    """Within a half; but for two scores between two snaps, a kickoff returned after a touchdown."""
    rows = league.with_columns(
        margin=pl.when(pl.col("offense") == 0).then(pl.col("lead")).otherwise(-pl.col("lead"))
    ).with_columns(
        step=(pl.col("margin").shift(-1) - pl.col("margin")).over("game", "half"),
    ).filter(pl.col("step").is_not_null() & (pl.col("step") != 0))  # fmt: skip
    own = (rows["step"] > 0) == (rows["offense"] == 0)
    told = ~rows["next_score"].str.ends_with("against")
    assert len(rows) > 5 * GAMES
    assert (own == told).mean() > 0.995


def test_clocks_and_leads_are_those_of_regulation(league: pl.DataFrame) -> None:
    assert set(league["half"].unique()) == {1, 2}
    assert league["half_seconds"].is_between(0, 1800).all()
    later = pl.col("half_seconds").shift(-1).over("game", "half") > pl.col("half_seconds")
    assert league.select(later.fill_null(False).sum()).item() == 0
    first = league.filter(pl.int_range(pl.len()).over("game") == 0)
    assert (first["lead"] == 0).mean() > 0.9  # unless the opening kickoff is returned


def test_truths_are_kept_and_taken_up_again(tmp_path: Path) -> None:
    parts = league_parts()
    first = known_situations(parts, 11, situations=4, games=200, kept=tmp_path)
    path = sorted(tmp_path.glob("truth-*.json"))[1]
    path.write_text(path.read_text().replace('"wins": ', '"wins": 9'), encoding="utf-8")
    again = known_situations(parts, 11, situations=4, games=200, kept=tmp_path)
    assert again.wins[1] > 1  # read, not played again
    assert np.delete(again.wins, 1) == pytest.approx(np.delete(first.wins, 1))
    path.write_text(path.read_text().replace('"half_seconds": ', '"half_seconds": 9'))
    stale = path.read_text().replace('"seconds": ', '"seconds": 9')
    path.write_text(stale, encoding="utf-8")  # the truth of another snap
    third = known_situations(parts, 11, situations=4, games=200, kept=tmp_path)
    assert third.wins == pytest.approx(first.wins)
    older = json.loads(path.read_text())  # kept before points were
    del older["chances"]
    path.write_text(json.dumps(older | {"wins": 0.25}), encoding="utf-8")
    fourth = known_situations(parts, 11, situations=4, games=200, kept=tmp_path)
    assert fourth.wins[1] == 0.25
    assert fourth.chances == pytest.approx(first.chances)
    assert first.chances.sum(1) == pytest.approx(1)


def test_what_came_agrees_with_the_truth_and_a_wrong_truth_is_seen(known: Known) -> None:
    assert abs(known.luck()) < 4
    assert known.error.max() < 0.6 / np.sqrt(PLAYED)
    assert replace(known, wins=np.clip(known.wins - 0.4, 0.01, 0.99)).luck() > 4


def test_the_estimator_finds_the_truth(estimator: Estimator, known: Known) -> None:
    point = estimator.refitted([]).wins_all(known.at)
    assert point.shape == (1, SITUATIONS)
    assert np.abs(point[0] - known.wins).mean() < 0.04
    assert np.abs(0.5 - known.wins).mean() > 0.15  # what knowing nothing would be off by


def test_one_step_is_nearly_the_whole_refit(
    estimator: Estimator, known: Known, league: pl.DataFrame
) -> None:
    """On few games; `make bench` one-step does it on an archive's."""
    rng = np.random.default_rng(2)
    game = league["game"].to_numpy()
    drawn = [SCHEMES["halves"](rng, game) for _ in range(3)]
    step, full = (
        estimator.refitted(drawn, full=way).wins_all(known.at)[1:] for way in (False, True)
    )
    met = np.full(SITUATIONS, 1 / SITUATIONS)
    assert compared("league", GAMES, step, full, met).ends < 0.15
    point = estimator.refitted([]).wins_all(known.at)
    still = np.broadcast_to(point, full.shape)  # control: no step at all
    assert compared("league", GAMES, still, full, met).ends > 0.3


def test_one_archive_holds_every_scheme_against_the_truth(
    known: Known, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("pointsleft_models.bench.coverage_football.TRIED", ("fifths", "games"))
    done = one_league(known, 60, 2, np.random.SeedSequence(1))
    assert set(done.covered) == {"fifths", "games"}
    assert 0 < done.width["games"] < done.width["fifths"] < 1
    assert 0 < done.error < 0.3


def test_the_shipped_scheme_is_tried_with_whole_cuts(
    known: Known, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every game is in one of the five parts, and a part has nothing of the others."""
    seen: list[np.ndarray] = []
    plain = Estimator.refitted

    def refitted(self: Estimator, weights: list[np.ndarray], *, full: bool = False) -> object:
        seen.extend(weights)
        return plain(self, weights, full=full)

    monkeypatch.setattr(Estimator, "refitted", refitted)
    done = one_as_shipped(known, 60, 5, np.random.SeedSequence(1))
    assert set(done.covered) == {WINS, FEWER, POINTS} == set(done.inside) == set(done.errors)
    assert done.error == done.errors[WINS]
    assert 0 < done.errors[WINS] < 0.3
    assert 0 < done.errors[POINTS] < 1.5
    assert 0 < done.width[WINS] == done.width[FEWER] < done.width[POINTS]  # five refits are few
    assert np.array_equal(np.sum(seen, axis=0), np.full(len(seen[0]), 5.0))
    assert set(np.unique(seen)) == {0.0, 5.0}
