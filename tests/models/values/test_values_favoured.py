"""A pre-game spread in the chance to win: nothing where unknown, turned with the ball, monotone."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pointsleft_models.bundle import Models, Worth
from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.laws.lattice import OTHER, SPOTS
from pointsleft_models.laws.setting import Setting
from pointsleft_models.recipes.win_spread import spread_basis
from pointsleft_models.values.favoured import Favoured, spread_columns
from pointsleft_models.values.following import Team, next_states
from pointsleft_models.values.kickoffs import Kickoff
from pointsleft_models.values.states import States, states
from pointsleft_models.values.wins import WinProbability
from value_states import random_states, turned

Array = np.ndarray

SPREADS = np.arange(-30, 31, 0.5)


def known(at: States, spread: object) -> States:
    return replace(at, spread=np.broadcast_to(np.asarray(spread, dtype=float), (len(at),)).copy())


def sure(worth: Worth) -> WinProbability:
    """Wins under which any spread settles the game: a wrong sign cannot hide."""
    coefficients = np.zeros(spread_basis().size)
    coefficients[:4] = 1e4
    fit = FittedLogit(spread_basis(), coefficients, np.zeros((0, len(coefficients))))
    return replace(worth.wins, favoured=Favoured(fit))


@pytest.mark.parametrize("late", [False, True])
def test_unknown_is_exactly_as_without(worth: Worth, late: bool) -> None:
    at = random_states(400, 5, late=late)
    without = replace(worth.wins, favoured=None)
    assert (worth.wins.wins(at) == without.wins(at)).all()
    assert (worth.wins.wins_all(at) == without.wins_all(at)).all()
    assert (without.wins(known(at, 9.0)) == without.wins(at)).all()  # nothing fitted, nothing used
    assert (worth.wins.wins(known(at, 9.0)) != without.wins(at)).any()


def test_some_known_and_some_not(worth: Worth) -> None:
    at = random_states(60, 6)
    spread = np.where(np.arange(60) % 3 == 0, np.nan, 4.0)
    mixed = worth.wins.wins_all(known(at, spread))
    here = np.isnan(spread)
    assert mixed[:, here] == pytest.approx(worth.wins.wins_all(at)[:, here], abs=1e-6)
    apart = worth.wins.wins_all(known(at, 4.0))
    assert mixed[:, ~here] == pytest.approx(apart[:, ~here], abs=1e-6)


def test_equal_teams_are_known_to_be_equal(worth: Worth) -> None:
    """A spread of nothing is knowledge: the score says less of the teams, most of it early."""
    at = states(half=1, half_seconds=1700, lead=[-10, 0, 10], yards_to_goal=50)
    unknown, equal = worth.wins.wins(at), worth.wins.wins(known(at, 0.0))
    assert equal[1] == pytest.approx(unknown[1], abs=0.01)
    assert equal[0] >= unknown[0] - 0.002
    assert equal[2] <= unknown[2] + 0.002
    assert (equal != unknown).all()


@given(
    down=st.integers(1, 4), distance=st.integers(1, 20), spot=st.integers(1, 99),
    half=st.integers(1, 2), seconds=st.integers(0, 1800), lead=st.integers(-30, 30),
    timeouts=st.integers(0, 3), receives=st.integers(-1, 1),
)  # fmt: skip
def test_never_falls_in_the_spread(
    worth: Worth, down: int, distance: int, spot: int, half: int, seconds: int, lead: int,
    timeouts: int, receives: int,
) -> None:  # fmt: skip
    at = states(
        down=down, distance=distance, yards_to_goal=spot, half=half, half_seconds=seconds,
        lead=lead, own_timeouts=timeouts, receives=receives if half == 1 else 0, spread=SPREADS,
    )  # fmt: skip
    assert np.diff(worth.wins.wins(at)).min() >= -1e-7
    assert np.diff(worth.wins.wins_all(at.take(np.arange(0, len(at), 12))), axis=1).min() > -1e-5


def test_what_orders_situations_without_a_spread_orders_them_with_one(models: Models) -> None:
    """Odds are moved by a rising function of themselves under every fit, so the lead, the spot and
    the harder situations keep their order."""
    assert models.favoured is not None
    assert models.favoured._slopes["odds"].min() > -1


@pytest.mark.parametrize("spread", [-7.0, 3.0])
def test_more_points_ahead_are_never_worse(worth: Worth, spread: float) -> None:
    for half, seconds in ((1, 1500), (1, 8), (2, 1500), (2, 400), (2, 60), (2, 5)):
        lead = np.arange(-28, 29)
        at = states(half=half, half_seconds=seconds, lead=lead, yards_to_goal=60)
        plain = min(np.diff(worth.wins.wins(at)).min(), 0.0)  # rounding, in the last seconds
        assert plain > -1e-4
        assert np.diff(worth.wins.wins(known(at, spread))).min() >= 1.5 * plain - 1e-9


# -- the view turns, and the spread with it ----------------------------------------------------


def test_both_sides_of_a_snap_agree(worth: Worth) -> None:
    """Seen from the other team every variable turns, so the odds add up to nothing."""
    favoured = worth.wins.favoured
    assert favoured is not None
    at = known(random_states(200, 7), np.random.default_rng(1).normal(0, 7, 200))
    odds = np.random.default_rng(2).normal(0, 2, (1, 200))
    other = known(turned(at), -at.spread)
    assert favoured.odds(odds, at) + favoured.odds(-odds, other) == pytest.approx(0, abs=1e-5)
    wrong = favoured.odds(odds, at) + favoured.odds(-odds, known(other, at.spread))
    assert np.abs(wrong).max() > 0.5


@pytest.mark.parametrize("seconds", [1800, 30, 0])
def test_both_sides_of_a_kickoff_agree(worth: Worth, seconds: int) -> None:
    for receives, free_kick in ((True, False), (False, True)):
        ours = Kickoff(3, seconds, 1, receives, 3, 2, 1, 6.5, free_kick)
        theirs = Kickoff(-3, seconds, 1, not receives, 2, 3, -1, -6.5, free_kick)
        both = worth.valuation.kickoff_wins(ours) + worth.valuation.kickoff_wins(theirs)
        assert both == pytest.approx(1)
    assert worth.valuation.kickoff_wins(Kickoff(0, 1800, 1, True, 3, 3, -1, 6.5))[0] > 0.65


def test_a_spread_goes_over_with_the_ball(worth: Worth) -> None:
    """Under wins that a spread settles, every cell of a favourite's snap is won by him."""
    states_, sign = next_states(Setting(2, 7, 50, 1, 900, 0), Team(3, 3, 1, 4.0), [])
    assert len(states_) == len(sign) == 0
    valuation = worth.valuation
    valuation = type(valuation)(worth.points, sure(worth), worth.clock, worth.two_point)
    for spread, won in ((4.0, 1.0), (-4.0, 0.0)):
        found = valuation.field(Setting(4, 7, 50, 1, 900, 0), Team(3, 3, 1, spread), 6.0).wins
        assert found is not None
        assert found == pytest.approx(won, abs=1e-3)
    level = worth.valuation.field(Setting(4, 7, 50, 1, 900, 0), Team(3, 3, 1), 6.0).wins
    assert level is not None
    assert 0.2 < level[0, OTHER : OTHER + SPOTS].mean() < 0.8


def test_a_kick_in_the_last_seconds_hands_the_spread_over(worth: Worth) -> None:
    wins = sure(worth)
    at = states(half=2, half_seconds=25, yards_to_goal=20, down=4, distance=5, spread=[5.0, -5.0])
    assert (wins._kick_now(at, 1)[0] > [0.95, -1]).all()
    assert (wins._kick_now(at, 1)[0] < [1.01, 0.05]).all()


# -- the ends -----------------------------------------------------------------------------------


def test_with_the_clock_out_a_spread_says_nothing(worth: Worth) -> None:
    at = states(half=2, half_seconds=0, lead=np.arange(-9, 10), yards_to_goal=30)
    assert worth.wins.wins(known(at, 14.0)) == pytest.approx(worth.wins.wins(at), abs=1e-6)
    odds = np.linspace(-3, 3, 19)[None]
    assert worth.wins.favoured is not None
    assert worth.wins.favoured.odds(odds, known(at, 14.0)) == pytest.approx(odds, abs=1e-6)


@pytest.mark.parametrize("spread", [None, 9.0, -9.0])
def test_the_last_second_of_the_half_is_the_kickoff_after_it(
    worth: Worth, spread: float | None
) -> None:
    at = states(
        half=1, half_seconds=1, lead=3, receives=1, yards_to_goal=60,
        spread=np.nan if spread is None else spread,
    )  # fmt: skip
    before = worth.valuation.kickoff_wins(Kickoff(3, 1800, 2, True, 3, 3, 0, spread), refits=True)
    assert worth.wins.wins_all(at)[:, 0] == pytest.approx(before, abs=0.03)


def test_every_refit_is_a_fit_of_its_own(worth: Worth) -> None:
    at = known(random_states(40, 8), 6.0)
    at = replace(at, half=np.full(40, 1), half_seconds=np.maximum(at.half_seconds, 60))
    every = worth.wins.wins_all(at)
    for refit in (0, 1, worth.wins.refits):
        alone = worth.wins.only(refit).wins(at)
        assert every[refit] == pytest.approx(alone, abs=3e-3)
    gap = every - replace(worth.wins, favoured=None).wins_all(at)
    assert gap.std(0).max() > 0.01


def test_a_spread_beyond_the_widest_changes_nothing_more() -> None:
    at = states(half=1, half_seconds=1800, spread=[28.0, 40.0])
    assert np.diff(spread_columns(at, np.zeros(2))["edge"]) == 0


def test_the_shipped_fit_stands_on_the_shipped_wins_and_gains(models: Models) -> None:
    card = models.fits["spread"].card
    assert card.settings["stands on"] == models.fits["wins"].digest[:16]
    assert card.refits == models.refits == len(models.win_fit.refits)
    score = card.scores["spread"]
    assert score["log_loss"] < score["marginal"] - 0.02
