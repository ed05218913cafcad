"""What cold and wind did to tries, kicks and punts in the archive, beside what the laws say.

Outdoor games whose temperature and wind are known. The laws are of the average day, so each play
is held against its law, and what is left over against the weather: log odds on top of those of
the law for what comes off or not, yards on top of the mean of the spot for where the other side
starts. A move that is to be believed has to foretell a season that was left out.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import polars as pl
import statsmodels.api as sm

from pointsleft_models.bench.paired import Difference, difference, log_losses
from pointsleft_models.bundle import Worth
from pointsleft_models.fitting.logit import expit, logit
from pointsleft_models.football.field import KICK_EXTRA
from pointsleft_models.laws.kicking import LONGEST_KICK
from pointsleft_models.laws.setting import Setting
from pointsleft_models.plays.sequence import with_next_snap
from pointsleft_models.recipes.kicking import punt_starts

Array = np.ndarray

#: From so much wind a day is windy (miles an hour), up to so much warmth it is cold (Fahrenheit).
WINDY, COLD = 15, 40

#: Yards to goal beyond which a punt is kicked for distance, not for a spot.
OWN_HALF = 60

#: Chances of a law are kept so far from none and from sure.
LEAST = 1e-3

#: Draws of the games behind an interval come from here.
SEED = 1


@dataclass(frozen=True, slots=True)
class Moved:
    """What a windy and a cold day add to one kind of play.

    Attributes
    ----------
    unit
        ``log odds`` that it comes off, or ``yards`` that the other side starts farther up.
    wind, cold
        Estimate and standard error by game.
    unseen
        Change of the mean loss on seasons left out (log loss, or squared yards); below nothing
        knowing the weather helps.
    """

    what: str
    unit: str
    plays: int
    games: int
    wind: tuple[float, float]
    cold: tuple[float, float]
    loss: float
    unseen: Difference


@dataclass(frozen=True, slots=True)
class Rows:
    """Plays of one kind held against their law.

    Attributes
    ----------
    y, base
        (n,) whether it came off and the log odds of the law; or what is left of the law, and none.
    x
        (n, 3) one, windy, cold.
    """

    what: str
    y: Array
    base: Array | None
    x: Array
    games: Array
    seasons: Array


def moved_by_weather(plays: pl.DataFrame, worth: Callable[[int], Worth]) -> list[Moved]:
    """Every kind of play that a call on fourth down hangs on.

    Parameters
    ----------
    plays
        The archive joined with its games (roof, temperature, wind).
    worth
        The fits under the rules of a season.
    """
    rows = [*_tries(plays, worth(2019)), _field_goals(plays, worth), *_punts(plays)]
    rng = np.random.default_rng(SEED)
    return [estimate(one, rng) for one in rows]


def in_the_open(plays: pl.DataFrame) -> pl.DataFrame:
    """Plays of outdoor games whose weather is known."""
    return plays.filter(
        (pl.col("roof") == "outdoors")
        & pl.col("wind").is_not_null()
        & pl.col("temperature").is_not_null()
    )


def _rows(what: str, plays: pl.DataFrame, y: pl.Expr, base: Array | None = None) -> Rows:
    return Rows(
        what,
        plays.select(y.cast(pl.Float64)).to_series().to_numpy(),
        base,
        plays.select(
            one=pl.lit(1.0),
            wind=(pl.col("wind") >= WINDY).cast(pl.Float64),
            cold=(pl.col("temperature") <= COLD).cast(pl.Float64),
        ).to_numpy(),
        plays["game"].to_numpy(),
        plays["season"].to_numpy(),
    )


def _tries(plays: pl.DataFrame, worth: Worth) -> list[Rows]:
    """Third and fourth downs, on top of the pooled law."""
    lost = pl.col("intercepted").fill_null(False) | pl.col("fumble_lost").fill_null(False)
    made = ((pl.col("gain") >= pl.col("distance")) | pl.col("touchdown")) & ~lost
    tried = in_the_open(plays).filter(
        ~pl.col("no_play")
        & (pl.col("down") >= 3)
        & (pl.col("period") <= 4)
        & pl.col("kind").is_in(["pass", "run", "sack", "scramble"])
        & pl.col("gain").is_not_null()
        & pl.col("distance").is_not_null()
    )
    spots = tried.select("down", "distance", "yards_to_goal").unique()
    chances = [
        float(worth.going.conversion(Setting(down, distance, goal, 1, 900, 0))[0])
        for down, distance, goal in spots.iter_rows()
    ]
    spots = spots.with_columns(law=pl.Series(np.clip(chances, LEAST, 1 - LEAST)))
    tried = tried.join(spots, on=["down", "distance", "yards_to_goal"], maintain_order="left")
    kinds = {
        "third and fourth downs": pl.lit(True),
        "passes among them, with sacks and scrambles": pl.col("kind") != "run",
        "runs among them": pl.col("kind") == "run",
    }
    return [
        _rows(what, part, made, logit(part["law"].to_numpy()))
        for what, part in ((what, tried.filter(kind)) for what, kind in kinds.items())
    ]


def _field_goals(plays: pl.DataFrame, worth: Callable[[int], Worth]) -> Rows:
    kicks = in_the_open(plays).filter(
        ~pl.col("no_play")
        & (pl.col("kind") == "field goal")
        & pl.col("kick_distance").is_between(KICK_EXTRA, LONGEST_KICK)
    )
    base = np.empty(len(kicks))
    seasons, yards = kicks["season"].to_numpy(), kicks["kick_distance"].to_numpy()
    for season in np.unique(seasons):
        there = seasons == season
        law = worth(int(season)).kicking
        base[there] = law.make_odds(yards[there])[0]
    return _rows("field goals", kicks, pl.col("kick_result") == "good", base)


def _punts(plays: pl.DataFrame) -> list[Rows]:
    """Punts kept by the other side, touchbacks and returns included, less the mean of the spot."""
    away = punt_starts(with_next_snap(plays))
    away = away.with_columns(more=pl.col("start") - pl.col("start").mean().over("yards_to_goal"))
    away = in_the_open(away)
    kinds = {
        "punts from the own half": pl.col("yards_to_goal") > OWN_HALF,
        "punts from farther up": pl.col("yards_to_goal") <= OWN_HALF,
    }
    return [_rows(what, away.filter(kind), pl.col("more")) for what, kind in kinds.items()]


def estimate(one: Rows, rng: np.random.Generator) -> Moved:
    """What wind and cold add to the law, and whether it foretells seasons left out."""
    groups = np.unique(one.games, return_inverse=True)[1]
    found = _model(one, np.full(len(one.y), True), one.x).fit(
        cov_type="cluster", cov_kwds={"groups": groups}
    )
    errors = np.sqrt(np.diag(np.asarray(found.cov_params())))
    with_it, without = _unseen(one, one.x), _unseen(one, one.x[:, :1])
    return Moved(
        what=one.what,
        unit="yards" if one.base is None else "log odds",
        plays=len(one.y),
        games=int(groups.max()) + 1,
        wind=(float(found.params[1]), float(errors[1])),
        cold=(float(found.params[2]), float(errors[2])),
        loss=float(without.mean()),
        unseen=difference(with_it, without, one.games, rng),
    )


def _model(one: Rows, there: Array, x: Array) -> sm.GLM | sm.OLS:
    if one.base is None:
        return sm.OLS(one.y[there], x[there])
    return sm.GLM(one.y[there], x[there], family=sm.families.Binomial(), offset=one.base[there])


def _unseen(one: Rows, x: Array) -> Array:
    """Loss (n,) of every play by a model that has not seen its season."""
    loss = np.empty(len(one.y))
    for season in np.unique(one.seasons):
        out = one.seasons == season
        told = x[out] @ np.asarray(_model(one, ~out, x).fit().params)
        if one.base is None:
            loss[out] = (one.y[out] - told) ** 2
        else:
            chance = expit(one.base[out] + told)
            loss[out] = log_losses(np.stack([1 - chance, chance], 1), one.y[out].astype(int))
    return loss
