"""Scoring laws: counted shares by hand, a law that is right beats both, a wrong one is seen."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

import numpy as np
import polars as pl
import pytest
from pointsleft_models.bench import laws as module
from pointsleft_models.bench.laws import Unseen, score_laws, score_of, unseen_of
from pointsleft_models.fitting.basis import Basis, Bends, Levels, Term
from pointsleft_models.fitting.yardage import YARDS, stopping_counts
from pointsleft_models.recipes.component import Component

SEASONS = (2010, 2011, 2014)

TREES = find_spec("xgboost") is not None


@pytest.fixture(autouse=True)
def _no_trees(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the extra ``bench`` one chance stands for the trees; one test needs them."""
    if not TREES:
        monkeypatch.setattr(module, "_boosted", lambda seen, new, *_: np.full(len(new.trials), 0.5))


def _plays(many: int = 9000) -> pl.DataFrame:
    rng = np.random.default_rng(1)
    near = rng.integers(1, 31, many)
    return pl.DataFrame(
        {
            "season": np.repeat(SEASONS, many // 3),
            "game": [f"g{at // 90}" for at in range(many)],
            "near": near,
            "yes": rng.random(many) < 0.1 + 0.7 * near / 30,
            "gain": np.minimum(rng.geometric(0.4, many) - 1, 6),
            "scored": np.zeros(many, dtype=bool),
        }
    )


def _chance(basis: Basis) -> Component:
    return Component("made", lambda plays: plays, ("near",), basis, yes="yes")


RIGHT = _chance(Basis((Term((Bends("near", (1, 10, 20, 30)),), 1.0),)))
#: One level for all: it knows nothing of what it is given.
BLIND = _chance(Basis((Term((Bends("near", (-1e6, 1e6)),), 1.0),)))
GAIN = Component(
    "gained", lambda plays: plays, ("near",),
    Basis((Term((Bends(YARDS, (0, 2, 6)),), 1.0), Term((Levels("near", 31),), 50.0))),
    gain="gain", scored="scored",
)  # fmt: skip


@pytest.mark.skipif(not TREES, reason="needs the extra bench")
def test_a_right_law_lies_below_counted_shares_and_a_blind_one_above_the_trees() -> None:
    right = unseen_of(RIGHT, None, _plays())
    blind = unseen_of(BLIND, None, _plays())
    assert right is not None
    assert blind is not None
    good, bad = score_of("f", RIGHT, right), score_of("f", BLIND, blind)
    assert good.seasons == (2010, 2014)
    assert good.plays == 6000
    assert good.less["frequency"].high < 0
    assert good.less["boosted"].value < 0.002
    assert bad.less["boosted"].low > 0.02
    assert abs(bad.less["frequency"].value) < 1e-3


def test_counted_shares_are_counted() -> None:
    """Two of three came in the other season: with half a yes and half a no (2.5 of 4)."""
    plays = pl.DataFrame(
        {
            "season": [2010, 2011, 2011, 2011] * 2,
            "game": ["a", "b", "c", "d"] * 2,
            "near": [1, 1, 2, 3] * 2,
            "yes": [True, True, True, False] * 2,
        }
    )
    found = unseen_of(RIGHT, None, plays)
    assert found is not None
    assert found.p["frequency"] == pytest.approx([4.5 / 7])
    assert (found.trials.tolist(), found.yes.tolist(), found.plays) == ([2.0], [2.0], 2)


def test_losses_of_a_gain_are_those_of_its_yards() -> None:
    """The mean loss a play is the log loss of the gain under the chances of being stopped."""
    found = unseen_of(GAIN, None, _plays(900))
    assert found is not None
    score = score_of("f", GAIN, found)
    assert score.plays == 600
    stop = np.clip(found.p["frequency"], 1e-9, 1 - 1e-9)
    by_hand = -(found.yes * np.log(stop) + (found.trials - found.yes) * np.log1p(-stop)).sum()
    assert score.log_loss["frequency"] == pytest.approx(by_hand / 600)
    test = _plays(900).filter(pl.col("season") == 2010)
    counts = stopping_counts(test, ("near",), "gain", "scored", 0)
    assert counts.trials.sum() == pytest.approx((test["gain"] + 1).sum())


def test_the_mean_over_plays_is_the_difference_of_the_means() -> None:
    found = unseen_of(GAIN, None, _plays(900))
    assert found is not None
    score = score_of("f", GAIN, found)
    for name, less in score.less.items():
        gap = score.log_loss["ours"] - score.log_loss[name]
        assert less.value == pytest.approx(gap)
        assert less.low <= less.value <= less.high


def test_pictures_show_a_law_that_is_wrong() -> None:
    rng = np.random.default_rng(4)
    chance = rng.uniform(0.1, 0.9, 4000)
    yes = (rng.random(4000) < chance).astype(float)
    games = np.arange(4000).astype(str)

    def worst(p: np.ndarray) -> float:
        every = dict.fromkeys(module.LEARNERS, p)
        unseen = Unseen(every, np.ones(4000), yes, games, 4000, (2010,))
        return max(abs(b.off) for b in score_of("f", RIGHT, unseen).bins)

    assert worst(chance) < 4
    assert worst(np.clip(chance + 0.1, 0, 1)) > 5


def test_one_season_alone_is_not_scored() -> None:
    assert unseen_of(RIGHT, None, _plays().filter(pl.col("season") == 2010)) is None


def test_what_was_kept_is_used_until_the_plays_change(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "every_component", lambda: [("f", RIGHT, None)])
    plays = _plays(900)
    first = score_laws(plays, tmp_path)
    made: list[str] = []

    def seen(component: Component, *_: object) -> None:
        made.append(component.name)

    monkeypatch.setattr(module, "unseen_of", seen)
    assert score_laws(plays, tmp_path) == first
    assert made == []
    assert score_laws(plays.with_columns(season=pl.col("season") + 1), tmp_path) == []
    assert made == ["made"]
