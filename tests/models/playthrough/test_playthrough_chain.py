"""The exact chains and the engine's coarse mode play the same game."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from pointsleft_models.bench.exact_chains import (
    POINTS,
    WIN_SECONDS,
    WIN_SNAPS,
    Beside,
    next_scores_beside,
    wins_beside,
)
from pointsleft_models.playthrough.chain import NextScoreChain, next_score_chain
from pointsleft_models.playthrough.chain_steps import STATES, snap_steps
from pointsleft_models.playthrough.chain_wins import MOST, WinChain, win_chain
from pointsleft_models.playthrough.codes import SPOTS
from pointsleft_models.playthrough.engine import EngineError
from pointsleft_models.playthrough.parts import KEPT, RETURNED, TOUCHBACK, Parts
from pointsleft_models.playthrough.run import play_through
from pointsleft_models.playthrough.start import Start
from pointsleft_models.playthrough.tables import SLOTS, QuantileTable

GAMES = 12000

#: Four standard errors, one in 16,000 by chance.
ERRORS = 4.0


@pytest.fixture(scope="module")
def chain(parts: Parts) -> NextScoreChain:
    return next_score_chain(parts)


@pytest.fixture(scope="module")
def wins(parts: Parts) -> WinChain:
    return win_chain(parts, WIN_SECONDS, WIN_SNAPS)


def farthest(found: list[Beside]) -> float:
    return max(abs(one.off) for one in found)


def test_next_scores_agree(parts: Parts, chain: NextScoreChain) -> None:
    """Ten spots times six classes and their points."""
    assert farthest(next_scores_beside(chain, parts, GAMES, 7)) <= ERRORS


def test_winners_agree(parts: Parts, wins: WinChain) -> None:
    """Ten spots at five leads."""
    assert farthest(wins_beside(wins, parts, GAMES, 7)) <= ERRORS


def test_another_kicker_would_be_seen(parts: Parts, chain: NextScoreChain, wins: WinChain) -> None:
    """Negative control: field goals made a tenth less often."""
    worse = replace(parts, make=parts.make * 0.9)
    assert farthest(next_scores_beside(chain, worse, GAMES, 7)) > ERRORS
    assert farthest(wins_beside(wins, worse, GAMES, 7, [0])) > ERRORS


def test_another_catch_rate_would_be_seen(parts: Parts, chain: NextScoreChain) -> None:
    """Negative control: completions three tenths of a log odds likelier."""
    better = replace(parts, complete=replace(parts.complete, spot=parts.complete.spot + 0.3))
    assert farthest(next_scores_beside(chain, better, GAMES, 7)) > ERRORS


@pytest.mark.parametrize(
    "changed", ["flag", "punt", "turnover"], ids=["flags", "punts", "lost balls"]
)
def test_what_moves_the_ball_would_be_seen(
    parts: Parts, chain: NextScoreChain, changed: str
) -> None:
    """Negative controls: flags one log odds likelier, punts and lost balls as
    kickoffs go."""
    flag = replace(parts.flag, mood=parts.flag.mood + 1)
    kicks = np.tile(parts.kickoff.values.astype(np.int16), 2 * SPOTS)
    other = {
        "flag": flag,
        "punt": QuantileTable(kicks[: len(parts.punt.values)]),
        "turnover": QuantileTable(np.maximum(kicks, 1)),
    }
    engine = replace(parts, **{changed: other[changed]})  # type: ignore[arg-type]
    assert farthest(next_scores_beside(chain, engine, 2 * GAMES, 7)) > ERRORS


@pytest.mark.parametrize(
    "changed", ["extra_point", "onside", "kickoff"], ids=["tries", "onside kicks", "kickoffs"]
)
def test_what_follows_a_score_would_be_seen(parts: Parts, wins: WinChain, changed: str) -> None:
    """Negative controls: half the kicks after touchdowns made, every kick short, kickoffs as free
    kicks go."""
    other = {
        "extra_point": 0.5,
        "onside": np.full_like(parts.onside, 9),
        "kickoff": parts.free_kick,
    }
    engine = replace(parts, **{changed: other[changed]})  # type: ignore[arg-type]
    assert farthest(wins_beside(wins, engine, 2 * GAMES, 7, [-7])) > ERRORS


def test_rare_kicks_agree_where_they_are_common(parts: Parts) -> None:
    """Onside kicks half of the time and kept as often, the others run back, kept or touchbacks:
    what is rare in football would hide a fault of the chain."""
    kicks = np.full(SLOTS, 30, dtype=np.int8)
    kicks[:300:3], kicks[1:300:3], kicks[2:300:3] = TOUCHBACK, KEPT, RETURNED
    common = replace(
        parts, onside=np.zeros_like(parts.onside), onside_kept=np.array([0.3, 0.6]),
        kickoff=QuantileTable(kicks),
    )  # fmt: skip
    chain = win_chain(common, WIN_SECONDS, WIN_SNAPS)
    assert farthest(wins_beside(chain, common, GAMES, 7, [-7, 0, 3])) <= ERRORS


def test_every_chance_is_accounted_for(chain: NextScoreChain, wins: WinChain) -> None:
    assert max(chain.leaks, wins.leaks) < 1e-9
    assert chain.chances.shape == (STATES, 7)
    assert np.allclose(chain.chances.sum(1), 1)
    assert chain.chances.min() >= -1e-12
    assert wins.wins.shape == (STATES, 2 * MOST + 1)
    assert wins.wins.min() >= -1e-12
    assert wins.wins.max() <= 1 + 1e-12


def test_more_points_win_more_often(wins: WinChain) -> None:
    """At every state, a play in which nobody cares for the score apart: calls change with it."""
    assert np.diff(wins.wins, axis=1).min() > -0.02
    first = wins.at(np.arange(-MOST, MOST + 1), 1, 10, 75)
    assert np.all(np.diff(first) >= 0)


def test_no_snaps_left_is_the_score(parts: Parts) -> None:
    over = win_chain(parts, WIN_SECONDS, 0)
    assert [float(over.at(lead, 1, 10, 50)) for lead in (-1, 0, 1)] == [0, 0.5, 1]


def test_the_end_of_a_half_is_refused(parts: Parts) -> None:
    with pytest.raises(ValueError, match="no last 180 seconds"):
        snap_steps(parts, 2, 60, 0)


@pytest.mark.parametrize(
    ("start", "given", "said"),
    [
        (Start(2, 60), {"coarse": True}, "no last 180 seconds; 60 are left"),
        (Start(3, 600), {"coarse": True}, "a snap of regulation"),
        (Start(1, 900, phase="kickoff"), {"coarse": True}, "a snap of regulation"),
        (Start(2, 900), {"coarse": True, "snaps": 0}, "0 snaps is over before it starts"),
        (Start(2, 900), {"snaps": 5}, "only a coarse game ends"),
    ],
)
def test_the_engine_refuses_coarse_games_that_the_chains_have_not(
    parts: Parts, start: Start, given: dict[str, Any], said: str
) -> None:
    with pytest.raises(ValueError, match=said):
        play_through(parts, start, 10, 1, **given)


@pytest.mark.parametrize("coarse", [True, False])
def test_a_game_that_does_not_end_is_a_fault(
    parts: Parts, coarse: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Also a coarse one, which has no clock to end it."""
    monkeypatch.setattr("pointsleft_models.playthrough.engine.MOST_SNAPS", 3)
    with pytest.raises(EngineError, match="not over after 3 snaps"):
        play_through(parts, Start(1, 900), 50, 1, coarse=coarse)
    ended = play_through(parts, Start(1, 900), 50, 1, coarse=True, snaps=3)
    assert (ended.snaps == 3).all()


def test_nearer_is_better(chain: NextScoreChain) -> None:
    """First downs every ten yards, goal to go aside."""
    values = chain.at(1, 10, np.arange(20, 100, 10)) @ POINTS
    assert np.all(np.diff(values) < 0)


def test_a_later_down_is_worse(chain: NextScoreChain) -> None:
    values = [float(chain.at(down, 10, 60) @ POINTS) for down in (1, 2, 3)]
    assert values[0] > values[1] > values[2]


def test_full_and_coarse_agree_far_from_the_end(parts: Parts, chain: NextScoreChain) -> None:
    """The clock adds little early in a half: within a tenth and chance."""
    start = Start(1, 1700, 0, 1, 10, 50)
    value, error = play_through(parts, start, 8000, 3, until="score").points(POINTS)
    assert abs(value - float(chain.at(1, 10, 50) @ POINTS)) <= 0.15 + 4 * error
