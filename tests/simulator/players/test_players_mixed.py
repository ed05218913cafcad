"""The hierarchical model against what is known in closed form, another library, and the truth."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from class_sample import make_class, true_left
from pointsleft.players.design import plays_of, table_of
from pointsleft.players.measures import MEASURES
from pointsleft.players.mixed import balanced_weight, fit
from pointsleft.players.people import people_of
from pointsleft.players.posterior import Posterior
from pointsleft.players.rows import Rows, TooLittleError
from pointsleft.players.standing import standing_of

Array = np.ndarray
HELD = {"player": 0.3, "game": 0.2, "play": 1.0}


def simulated(
    games: Sequence[int],
    plays: int,
    spreads: tuple[float, float, float],
    rng: np.random.Generator,
    *,
    covariates: int = 0,
) -> tuple[Rows, Array]:
    """Rows of the model itself, and the players' true levels."""
    player = np.repeat(np.arange(len(games)), np.array(games) * plays)
    game = np.repeat(np.arange(sum(games)), plays)
    true = rng.normal(0, spreads[0], len(games))
    y = true[player] + rng.normal(0, spreads[1], sum(games))[game]
    y = y + rng.normal(0, spreads[2], len(y)) + 1.0
    x = rng.normal(size=(len(y), covariates))
    x -= x.mean(0)
    rows = Rows(
        y + x @ np.full(covariates, 0.2), np.ones(len(y)), x, {"player": player},
        {"player": len(games)}, game,
    )  # fmt: skip
    return rows, 1.0 + true


def levels(posterior: Posterior, rng: np.random.Generator, n: int = 2000) -> Array:
    drawn, _ = posterior.draws(n, rng)
    return np.asarray((drawn @ posterior.usual())[:, None] + drawn[:, posterior.names["player"]])


# -- closed form --------------------------------------------------------------------------------


@pytest.mark.parametrize(("games", "plays"), [(1, 30), (3, 40), (9, 12)])
def test_balanced_shrinkage_is_the_closed_form(games: int, plays: int) -> None:
    rows, _ = simulated([games] * 6, plays, (0.3, 0.2, 1.0), np.random.default_rng(1))
    found = fit(rows, held=HELD)
    means = np.array([rows.y[rows.groups["player"] == p].mean() for p in range(6)])
    weight = balanced_weight(0.3, 0.2, 1.0, games, plays)
    effects = found.mean[found.names["player"]]
    np.testing.assert_allclose(effects, weight * (means - means.mean()), rtol=2e-4, atol=1e-6)


def test_a_wrong_weight_would_be_seen() -> None:
    """Negative control: the closed form without the spread of games does not fit."""
    rows, _ = simulated([3] * 6, 40, (0.3, 0.2, 1.0), np.random.default_rng(1))
    found = fit(rows, held=HELD)
    means = np.array([rows.y[rows.groups["player"] == p].mean() for p in range(6)])
    wrong = balanced_weight(0.3, 0.0, 1.0, 3, 40)
    effects = found.mean[found.names["player"]]
    assert np.abs(effects - wrong * (means - means.mean())).max() > 0.01


def test_any_design_is_the_direct_solution() -> None:
    """Uneven games, weights, spreads, covariates, charters: against the full covariance matrix."""
    rng = np.random.default_rng(4)
    rows, _ = simulated([1, 2, 5], 11, (0.3, 0.2, 1.0), rng, covariates=2)
    n = len(rows.y)
    charter = rows.game % 2
    weight, uneven = rng.uniform(0.3, 2, n), np.array([0.6, 1.0, 1.4])
    rows = replace(
        rows,
        weight=weight,
        uneven=uneven,
        groups={**rows.groups, "charter": charter},
        sizes={**rows.sizes, "charter": 2},
    )
    found = fit(rows, held={**HELD, "charter": 0.25})
    same = {k: (v[:, None] == v[None, :]).astype(float) for k, v in rows.groups.items()}
    in_game = (rows.game[:, None] == rows.game[None, :]).astype(float)
    covariance = (
        0.09 * same["player"] + 0.0625 * same["charter"] + 0.04 * in_game
        + np.diag(uneven[rows.groups["player"]] ** 2 / weight)
        + rows.covariates @ rows.covariates.T + 1e6
    )  # fmt: skip
    solved = np.linalg.solve(covariance, rows.y)
    for p in range(3):
        direct = 0.09 * (rows.groups["player"] == p) @ solved
        assert found.mean[found.names["player"]][p] == pytest.approx(direct, abs=1e-5)
    drawn, _ = found.draws(20_000, np.random.default_rng(1))
    his = 0.09 * (rows.groups["player"] == 0)
    variance = 0.09 - his @ np.linalg.solve(covariance, his)
    assert drawn[:, found.names["player"]][:, 0].var() == pytest.approx(variance, rel=0.05)


def test_what_a_play_adds_is_linear() -> None:
    rows, _ = simulated([2, 3], 15, (0.3, 0.2, 1.0), np.random.default_rng(2), covariates=1)
    found = fit(rows, held=HELD)
    np.testing.assert_allclose(found.linear(rows) @ rows.y, found.mean, atol=1e-9)
    with pytest.raises(ValueError, match="hold every spread"):
        fit(rows).linear(rows)


def test_agrees_with_a_library_of_mixed_models() -> None:
    """statsmodels' spreads, held here, give statsmodels' effects; and ours are near its own."""
    import pandas as pd
    import statsmodels.formula.api as smf

    rows, _ = simulated([4] * 12, 25, (0.5, 0.3, 1.0), np.random.default_rng(8))
    frame = pd.DataFrame(
        {"y": rows.y, "player": rows.groups["player"], "game": rows.game.astype(str)}
    )
    theirs = smf.mixedlm(
        "y ~ 1", frame, groups="player", re_formula="1", vc_formula={"game": "0 + C(game)"}
    ).fit(reml=True)
    player = float(np.sqrt(theirs.cov_re.iloc[0, 0]))
    game, play = float(np.sqrt(theirs.vcomp[0])), float(np.sqrt(theirs.scale))
    held = fit(rows, held={"player": player, "game": game, "play": play})
    effects = [theirs.random_effects[p].iloc[0] for p in range(12)]
    np.testing.assert_allclose(held.mean[held.names["player"]], effects, atol=2e-3)
    free = fit(rows)
    assert free.spread("player") == pytest.approx(player, rel=0.3)
    assert free.play_spread == pytest.approx(play, rel=0.02)


# -- the truth ----------------------------------------------------------------------------------


@pytest.mark.parametrize("player", [0.1, 0.2, 0.4])
def test_intervals_cover(player: float) -> None:
    """90% intervals hold the truth 86 to 94% of the time, over unevenly many games."""
    inside = []
    for seed in range(110):
        rng = np.random.default_rng(seed)
        rows, true = simulated([1, 2, 3, 3, 4, 6, 8, 9], 30, (player, 0.1, 1.0), rng, covariates=3)
        low, high = np.quantile(levels(fit(rows), rng, 1500), [0.05, 0.95], axis=0)
        inside.append((low <= true) & (true <= high))
    assert 0.86 <= np.mean(inside) <= 0.94


def test_intervals_cover_where_left_is_what_it_is_on_film() -> None:
    """The same where `left` is never negative, zero on most snaps and now and then large."""
    noises = (0.3, 0.45, 0.55, 0.6, 0.75, 0.9)
    truth = np.array([true_left(noise) for noise in noises])
    inside = []
    for seed in range(150):  # so many that the error of the share is below one percent
        rng = np.random.default_rng(1000 + seed)
        order = rng.permutation(6)
        games = make_class(
            [noises[i] for i in order], (1, 2, 3, 4, 5, 6), seed, snaps=35
        )  # fmt: skip
        games = [replace(g, them=f"{g.player} {g.title}") for g in games]
        people = people_of(games)
        table = table_of(plays_of(people, "points"), people, MEASURES["left"])
        found = standing_of(table, "points", rng, draws=800).standing.players
        for name, at in zip(people.players, order, strict=True):
            interval = found[name].interval
            inside.append(interval.low <= truth[at] <= interval.high)
    assert 0.86 <= np.mean(inside) <= 0.94


def test_an_interval_without_the_spread_of_games_would_be_seen() -> None:
    """Negative control: games taken as if they were all alike cover far too seldom."""
    inside = []
    for seed in range(60):
        rng = np.random.default_rng(seed)
        rows, true = simulated([1, 2, 3, 4, 6, 9], 30, (0.3, 0.4, 1.0), rng)
        low, high = np.quantile(
            levels(fit(rows, held={"game": 0.0}), rng, 1000), [0.05, 0.95], axis=0
        )
        inside.append((low <= true) & (true <= high))
    assert np.mean(inside) < 0.8


# -- errors that all share ----------------------------------------------------------------------


def test_what_the_models_have_wrong_for_all_cancels_in_differences() -> None:
    rng = np.random.default_rng(3)
    rows, _ = simulated([4] * 4, 40, (0.2, 0.1, 1.0), rng)
    shared = np.tile(rng.normal(0, 0.5, 25), (len(rows.y), 1))
    plain, moved = (
        levels(fit(r), np.random.default_rng(5), 6000) for r in (rows, replace(rows, refits=shared))
    )
    assert moved.std(0).min() > 3 * plain.std(0).max()
    gap = [(x[:, 0] - x[:, 1]).std() for x in (plain, moved)]
    assert gap[1] == pytest.approx(gap[0], rel=0.05)
    # negative control: were the errors each player's own, the difference would be as unsure
    own = rng.normal(0, 0.5, (4, 25))[rows.groups["player"]]
    apart = levels(fit(replace(rows, refits=own)), np.random.default_rng(5), 6000)
    assert (apart[:, 0] - apart[:, 1]).std() > 2 * gap[0]


def test_too_little_says_what_is_missing() -> None:
    rows, _ = simulated([1], 5, (0.1, 0.1, 1.0), np.random.default_rng(1))
    with pytest.raises(TooLittleError, match="5 plays"):
        fit(rows)
    alike, _ = simulated([1, 1], 20, (0.0, 0.0, 0.0), np.random.default_rng(1))
    with pytest.raises(TooLittleError, match="same figure"):
        fit(alike)


def test_the_same_for_the_same_seed() -> None:
    rows, _ = simulated([2, 3], 20, (0.2, 0.1, 1.0), np.random.default_rng(1))
    one, two = (levels(fit(rows), np.random.default_rng(7)) for _ in range(2))
    np.testing.assert_array_equal(one, two)
