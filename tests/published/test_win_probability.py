"""Win probability and fourth-down decisions against figures from papers.

Labels: seen, quoted, memory, measured as in test_expected_points.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import polars as pl
import pytest
from engine import options_of, snap
from pointsleft_models.bundle import Models, Worth
from pointsleft_models.football.rules import rule_set
from pointsleft_models.plays.games import join_games, neutral_games
from pointsleft_models.recipes.next_score import row_states
from pointsleft_models.recipes.plan import FIT_SEASON, FitPlan
from pointsleft_models.recipes.win_spread import (
    fit_spread,
    plain_odds,
    spread_rows,
    spread_states,
)
from pointsleft_models.recipes.wins import win_rows
from pointsleft_models.values.kickoffs import Kickoff
from scipy.stats import norm

#: Stern 1991, The American Statistician 45:179-183 (normal: seen; the figure: quoted by
#: Winston, Mathletics).
STERN_SD = 13.86


@pytest.mark.parametrize("season", [2009, 2014, 2016, 2019, 2025])
def test_kickoff_of_equal_teams_is_even(models: Models, season: int) -> None:
    """.50 +- .01 by symmetry: who receives first does not receive the second half."""
    worth = models.under(rule_set("professional", season))
    receiving = worth.valuation.kickoff_wins(Kickoff(0, 1800, 1, True, 3, 3, -1))[0]
    kicking = worth.valuation.kickoff_wins(Kickoff(0, 1800, 1, False, 3, 3, 1))[0]
    assert receiving == pytest.approx(0.5, abs=0.01)
    assert kicking == pytest.approx(0.5, abs=0.01)
    assert receiving + kicking == pytest.approx(1.0, abs=1e-9)


def margins(games: pl.DataFrame) -> tuple[np.ndarray, np.ndarray]:
    """Points by which the home team won and was favoured, of every game with both."""
    rows = games.filter(pl.col("spread_line").is_not_null() & pl.col("home_score").is_not_null())
    margin = (rows["home_score"] - rows["away_score"]).to_numpy().astype(float)
    return margin, rows["spread_line"].to_numpy().astype(float)


def test_stern_1991_margin_about_the_spread(games: pl.DataFrame) -> None:
    """Margin minus spread is normal with mean 0 and SD 13.86; 13.4 +- 0.4 on 2009-2019.

    The normal is held to all favourites together; those of seven points stand apart below.
    """
    margin, spread = margins(games)
    off = margin - spread
    sd = off.std(ddof=1)
    assert sd == pytest.approx(13.4, abs=0.4)
    assert abs(off.mean()) < 2 * sd / np.sqrt(len(off))
    won = np.where(spread > 0, margin > 0, margin < 0)
    favoured = (spread != 0) & (margin != 0)
    said = norm.cdf(np.abs(spread[favoured]) / sd)
    error = np.sqrt((said * (1 - said)).sum()) / favoured.sum()
    assert abs(won[favoured].mean() - said.mean()) < 2.5 * error


@pytest.mark.xfail(
    strict=True,
    reason="favourites of seven points won .76 of 453 games in 2009 to 2019, above the normal's "
    "figure by three errors; all favourites together won as often as the normal says",
)
def test_stern_1991_favourites_of_seven_points(games: pl.DataFrame) -> None:
    """By the normal they win .70; within .03."""
    margin, spread = margins(games)
    seven = (np.abs(spread) >= 6.5) & (np.abs(spread) <= 7.5)
    won = np.where(spread > 0, margin > 0, margin < 0)[seven]
    print(f"favourites of 6.5 to 7.5: {won.mean():.3f} of {len(won)}")
    assert won.mean() == pytest.approx(0.70, abs=0.03)


@pytest.mark.parametrize("season", [2011, 2019, 2025])
def test_stern_1991_chance_of_a_favourite_before_the_kickoff(models: Models, season: int) -> None:
    """Phi(spread / 13.86), .70 for seven points, within twice the spread of the refits.

    Ours lies above it from three points on, as the favourites of these seasons do (the check
    above): seven points are .73 +- .02.
    """
    worth = models.under(rule_set("professional", season))
    for spread in (-10.0, -7.0, -3.0, 0.0, 3.0, 7.0, 10.0):
        sides = [
            worth.valuation.kickoff_wins(
                Kickoff(0, 1800, 1, receives, 3, 3, second, spread), refits=True
            )
            for receives, second in ((True, -1), (False, 1))
        ]
        ours = np.mean(sides, axis=0)
        doubt = max(float(ours[1:].std()), 0.005)
        assert ours[0] == pytest.approx(norm.cdf(spread / STERN_SD), abs=2 * doubt)
        if spread == 7:
            assert 0.69 < ours[0] < 0.77  # the normal's, and what was counted
            print(f"favoured by 7, rules of {season}: {ours[0]:.3f} +- {doubt:.3f}")


@pytest.mark.archive
def test_the_shipped_spread_is_what_the_archive_gives(
    archive: pl.DataFrame, games: pl.DataFrame, models: Models
) -> None:
    """The point fit and one refit again, from plays, a table of games and the shipped wins."""
    rows = spread_rows(join_games(archive, neutral_games(games, "the table of games")))
    assert models.favoured is not None
    card = models.fits["spread"].card
    assert (len(rows), rows["game"].n_unique()) == (card.rows, card.games)
    wins = replace(models.under(rule_set("professional", FIT_SEASON)).wins, favoured=None)
    shipped = models.favoured.fit
    plan = FitPlan("professional", card.data, archive, refits=card.refits)
    drawn = plan.resamples().rows(6, rows["game"].to_numpy())
    part = rows.filter(pl.Series(drawn > 0))
    for own, on, weights, wanted in (
        (rows, wins, None, shipped.coefficients),
        (part, wins.only(7), drawn[drawn > 0], shipped.refits[6]),
    ):
        at = spread_states(own)
        found = fit_spread(
            at, plain_odds(on, at), own["result"].to_numpy(), np.random.default_rng(0), weights
        )
        assert found.coefficients == pytest.approx(wanted, abs=2e-3)


@pytest.mark.archive
def test_stern_1994_baseline_is_beaten(archive: pl.DataFrame, models: Models) -> None:
    """J. American Statistical Association (memory): Phi[(lead + (1-t) mu) / (sigma sqrt(1-t))].

    By a wide margin on three seasons' plays, so that no memory of the fit explains it; on seasons
    left out the benchmark has it as the peer "margin walk". It knows neither the ball nor the
    clock's last minutes, and home advantage is given to it (2.3 points, measured).
    """
    rows = win_rows(archive).filter(
        pl.col("season").is_in([2010, 2014, 2018]) & (pl.col("result") != 0.5)
    )
    at, won = row_states(rows), rows["result"].to_numpy()
    left = at.game_seconds / 3600
    baseline = norm.cdf((at.lead + left * 2.3 * 2 * at.home) / (STERN_SD * np.sqrt(left + 1e-9)))
    ours = models.under(rule_set("professional", 2016)).wins.wins(at)

    def loss(p: np.ndarray) -> float:
        p = np.clip(p, 1e-6, 1 - 1e-6)
        return float(-(won * np.log(p) + (1 - won) * np.log(1 - p)).mean())

    print(f"log loss {loss(ours):.4f}, Stern's baseline {loss(baseline):.4f}")
    assert loss(ours) < loss(baseline) - 0.02


@pytest.mark.archive
def test_wins_are_calibrated_over_the_archive(archive: pl.DataFrame, models: Models) -> None:
    """What is called 70% is won seven times in ten, in every bin of five percent (measured).

    Two dozen snaps of one game share a winner, so the error of a bin is counted in games.
    """
    rows = win_rows(archive).filter(pl.col("result") != 0.5)
    said = models.under(rule_set("professional", 2016)).wins.wins(row_states(rows))
    frame = rows.select("game", "result").with_columns(
        said=pl.Series(said), bin=pl.Series(np.clip((said * 20).astype(int), 0, 19))
    )
    for (at,), here in frame.group_by("bin", maintain_order=True):
        by_game = here.group_by("game").agg(
            gap=(pl.col("result") - pl.col("said")).sum(), n=pl.len()
        )
        total = by_game["n"].sum()
        error = float(np.sqrt((by_game["gap"].to_numpy() ** 2).sum())) / total
        gap = float(by_game["gap"].sum()) / total
        assert abs(gap) < 4 * error, (at, gap, error)
        assert abs(gap) < 0.025, (at, gap)


def fourth_downs(archive: pl.DataFrame, seasons: tuple[int, ...]) -> pl.DataFrame:
    return archive.filter(
        (pl.col("down") == 4)
        & ~pl.col("no_play")
        & (pl.col("half") < 3)
        & (pl.col("stage") == "regular")
        & pl.col("season").is_in(seasons)
        & pl.col("kind").is_in(["pass", "run", "sack", "scramble", "punt", "field goal"])
    )


def regret(worth: Worth, row: dict[str, object]) -> float:
    """Wins between the best of go, kick and punt and what was done."""
    spot = int(str(row["yards_to_goal"]))
    clock = int(str(row["clock"]))
    ball = "50" if spot == 50 else f"own {100 - spot}" if spot > 50 else f"opp {spot}"
    priced = options_of(
        worth,
        snap(
            quarter=row["period"], clock=f"{clock // 60}:{clock % 60:02d}",
            us=row["offense_score"], them=row["defense_score"], ball=ball, down=4,
            distance=row["distance"], our_timeouts=row["offense_timeouts"],
            their_timeouts=row["defense_timeouts"], options="gfi fg punt",
        ),
    ).wins  # fmt: skip
    done = {"punt": "punt", "field goal": "field-goal"}.get(str(row["kind"]), "go")
    return max(priced.values()) - priced[done]


def regret_a_season(archive: pl.DataFrame, worth: Worth, seasons: tuple[int, ...]) -> float:
    """Wins a team and season, from every n-th fourth down of the seasons (some six hundred)."""
    rows = fourth_downs(archive, seasons)
    sample = rows.sort("game", "play").gather_every(max(len(rows) // 600, 1))
    lost = np.array([regret(worth, row) for row in sample.iter_rows(named=True)])
    assert (lost >= 0).all()
    a_season = float(lost.mean() * len(rows) / len(seasons) / 32)
    print(f"{a_season:.2f} wins a team and season over {len(sample)} of {len(rows)} fourth downs")
    return a_season


#: Yam & Lopez 2019, J. Sports Analytics 5:153-167 (seen): about so many wins a team and season are
#: left on fourth downs. The tolerance is ours.
YAM_LOPEZ, NEAR = 0.4, 0.15


@pytest.mark.archive
def test_yam_lopez_2019_regret_of_the_last_seasons(archive: pl.DataFrame, worth: Worth) -> None:
    """2018 and 2019, when teams had come to go more often."""
    assert regret_a_season(archive, worth, (2018, 2019)) == pytest.approx(YAM_LOPEZ, abs=NEAR)


@pytest.mark.archive
@pytest.mark.xfail(
    strict=True,
    reason="ours falls from .74 in 2009 to .36 in 2019 and lies above the published figure before "
    "2017; docs/calls.md takes it apart and says what pulls the two apart",
)
def test_yam_lopez_2019_regret_of_their_seasons(archive: pl.DataFrame, worth: Worth) -> None:
    """2009 to 2016: those of the archive that the study has (2004 to 2016, memory)."""
    assert regret_a_season(archive, worth, tuple(range(2009, 2017))) == pytest.approx(
        YAM_LOPEZ, abs=NEAR
    )


@pytest.mark.archive
def test_romer_2006_teams_kick_too_often(archive: pl.DataFrame, worth: Worth) -> None:
    """First quarters of 1998-2000 (memory): better to go 1,068 times, of which teams kicked
    959; better to kick 1,604 times, of which they went 9.

    The same lean on first quarters of 2018 and 2019, by points: more than six in ten that ought
    to go kicked, hardly any that ought to kick went.
    """
    rows = fourth_downs(archive, (2018, 2019)).filter(pl.col("period") == 1)
    sample = rows.sort("game", "play").gather_every(6)
    ought = {"go": [0, 0], "kick": [0, 0]}  # kicked, went
    for row in sample.iter_rows(named=True):
        went = row["kind"] not in ("punt", "field goal")
        spot = row["yards_to_goal"]
        ball = "50" if spot == 50 else f"own {100 - spot}" if spot > 50 else f"opp {spot}"
        priced = options_of(
            worth, snap(ball=ball, down=4, distance=row["distance"], options="gfi fg punt")
        ).points
        best = "go" if max(priced, key=lambda k: priced[k]) == "go" else "kick"
        ought[best][int(went)] += 1
    print(f"ought to go: {ought['go']}, ought to kick: {ought['kick']} (kicked, went)")
    assert ought["go"][0] / sum(ought["go"]) > 0.6
    assert ought["kick"][1] / sum(ought["kick"]) < 0.1
