"""Answers about the field and the pass rush at which a coach would laugh."""

from __future__ import annotations

import numpy as np
import pytest
from engine import Priced, decision, look, snap
from pointsleft.pricing import logged_throws, protection, throws
from pointsleft.pricing.judgement_table import judged
from pointsleft.pricing.result import CURRENCIES
from pointsleft.pricing.throws import ThrowModel
from pointsleft_models.bundle import Worth
from pointsleft_models.laws import rushing
from pointsleft_models.laws.lattice import (
    DEFENSE_TOUCHDOWN,
    RUNNING,
    SAFETY,
    SPOTS,
    STOPPED,
    TOUCHDOWN,
    spot_cell,
)
from pointsleft_models.laws.passing import Throw
from pointsleft_models.values.points import ExpectedPoints
from pointsleft_models.values.states import States

# -- a free rusher at once ----------------------------------------------------------------------

BUST = {
    "alignment": "under", "family": "drop-back", "rushers": 5, "free": "yes",
    "free_side": "middle", "free_depth": 0,
}  # fmt: skip
SLOW = "post24.m.7h1/l dig16.m.5h1/s* corner18.r.5h1/l"


def value_of_a_sack(priced: Priced) -> dict[str, float]:
    sack = priced.values.worth.rushing.sack(priced.values.setting)
    return {c: float(priced.values.value(sack, c, sack.seconds)[0]) for c in CURRENCIES}


def slow_throws_are_sacks(worth: Worth) -> None:
    arrival = protection.free_arrival(0.0, "middle", protection.THREE_STEP_DEPTH)
    assert 1.3 < arrival < 1.6
    priced = look(worth, options=SLOW, **BUST)
    sack = value_of_a_sack(priced)
    for option, model in priced.models.items():
        assert isinstance(model, ThrowModel)
        assert model.on_time is not None
        assert model.on_time < 0.02
        hurried = model.pressed.law(model.judged.value, throws.pick_odds(model.judged.value))
        for currency in CURRENCIES:
            pressed = float(priced.values.value(hurried, currency, hurried.seconds)[0])
            value = getattr(priced, currency)[option]
            room = 0.02 * abs(pressed - sack[currency])
            assert min(sack[currency], pressed) - room <= value, option
            assert value <= max(sack[currency], pressed) + room, option
        assert priced.points[option] < sack["points"] + 0.2, option


def test_a_bust_makes_every_slow_throw_a_sack_or_a_hurried_one(worth: Worth) -> None:
    """A free rusher in the middle after 1.4 to 1.5 seconds, throws that need two and a half."""
    slow_throws_are_sacks(worth)
    priced = decision(worth, snap(options=SLOW, result="sack", yards=-8, **BUST))
    assert priced.points is not None
    assert priced.wins is not None
    assert priced.points.offered < -1
    assert priced.wins.offered < -0.03


def test_the_quick_answer_is_worth_more_than_the_slow_ones(worth: Worth) -> None:
    priced = look(worth, options=f"{SLOW} slant5.m.1h0/e", **BUST)
    assert priced.best("points") == "slant"
    assert priced.points["slant"] > max(v for k, v in priced.points.items() if k != "slant") + 0.5


def test_the_bust_is_noticed_when_the_rush_never_arrives(
    worth: Worth, monkeypatch: pytest.MonkeyPatch
) -> None:
    def blocked(library: object, pockets: list[object]) -> list[protection.Protection]:
        return [protection.Protection(np.ones(1), np.zeros(1), np.zeros(1)) for _ in pockets]

    monkeypatch.setattr(logged_throws, "protections", blocked)
    with pytest.raises(AssertionError):
        slow_throws_are_sacks(worth)


# -- backed up ----------------------------------------------------------------------------------


def sacked_behind_the_goal_line(worth: Worth) -> None:
    priced = look(
        worth, ball="own 2", alignment="under", family="drop-back",
        options="post24.m.7h1/e* flat1.r.1h0/e",
    )  # fmt: skip
    model = priced.models["post"]
    assert isinstance(model, ThrowModel)
    law = model.sacked.mixture()[0]
    assert law[SAFETY] > 0.7
    assert law[SAFETY] + law[DEFENSE_TOUCHDOWN] > 0.8
    assert priced.cell(SAFETY) < priced.cell(spot_cell(RUNNING, 99)) - 0.5
    kept_in_play = worth.rushing.sack(look(worth, ball="own 40", options="ta*").values.setting)
    assert kept_in_play.mixture()[0, SAFETY] < 1e-5


def test_own_two_and_seven_steps_the_sack_is_a_safety(worth: Worth) -> None:
    """Nine yards deep on the own two: the tackle behind the line is behind the goal line.

    What is left over is a ball lost in the end zone, and the short losses of quarterbacks who
    were caught on the way out: the law of sacks does not know the drop.
    """
    sacked_behind_the_goal_line(worth)


def test_the_safety_is_noticed_when_the_field_has_no_end(
    worth: Worth, monkeypatch: pytest.MonkeyPatch
) -> None:
    honest = rushing.gain_cells

    def endless(law: np.ndarray, low: int, spot: int, stopped: object) -> np.ndarray:
        out = honest(law, low, spot, stopped)  # type: ignore[arg-type]
        out[:, RUNNING + SPOTS - 1] += out[:, SAFETY]
        out[:, SAFETY] = 0
        return out

    monkeypatch.setattr(rushing, "gain_cells", endless)
    monkeypatch.setattr(worth.rushing, "_sacks", {})  # sacks that were worked out before
    with pytest.raises(AssertionError):
        sacked_behind_the_goal_line(worth)


# -- at the other end ---------------------------------------------------------------------------


def no_catch_beyond_the_end_line(worth: Worth) -> None:
    priced = look(
        worth, ball="opp 4", distance=4, options="fade12.r/e* go.r/e post.m/e slant3.r/e give.g"
    )
    for option, model in priced.models.items():
        if isinstance(model, ThrowModel):
            assert model.throw.air_yards <= 4 + 9, option
            assert model.law().mixture()[0].sum() == pytest.approx(1.0), option
    after, low = worth.passing.after_catch(Throw(3, "middle"), priced.values.setting)
    assert low + after.shape[1] - 1 == 1  # caught at the one, there is one yard to run
    odds = [
        float(worth.passing.catch_odds(Throw(air, "middle"), priced.values.setting)[0])
        for air in (13, 20, 40)
    ]
    assert odds[0] == odds[1] == odds[2]  # a throw aimed beyond it is one at the end line


def test_four_yards_out_nobody_gains_twenty(worth: Worth) -> None:
    """The end line is thirteen yards off; a post or a go is run no deeper than that."""
    no_catch_beyond_the_end_line(worth)


def test_the_end_line_is_noticed_when_it_is_not_there(
    worth: Worth, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Throw, "aimed", lambda self, yards_to_goal: self)
    with pytest.raises(AssertionError):
        no_catch_beyond_the_end_line(worth)


def test_the_fade_at_the_goal_line_is_a_touchdown_or_nothing(worth: Worth) -> None:
    priced = look(worth, ball="opp 4", distance=4, options="fade12.r/e* slant3.r/e")
    law = priced.models["fade"].clean.law()  # type: ignore[attr-defined]
    branch = law.cells[0, law.kinds.index("complete")]
    assert branch[TOUCHDOWN] == 1.0


# -- the field goal goes away -------------------------------------------------------------------


def cost_of_a_sack(worth: Worth, ball: str) -> float:
    """Points between a ball thrown away and an average sack on third and eight."""
    priced = look(worth, ball=ball, down=3, distance=8, options="ta hitch9.r/e*")
    spot = priced.values.setting.yards_to_goal
    return priced.cell(spot_cell(STOPPED, spot)) - value_of_a_sack(priced)["points"]


def the_kick_makes_the_sack_dear(worth: Worth) -> None:
    assert cost_of_a_sack(worth, "opp 32") > cost_of_a_sack(worth, "own 40") + 0.1
    assert cost_of_a_sack(worth, "opp 32") > cost_of_a_sack(worth, "opp 15") + 0.1


def test_a_sack_costs_more_where_it_takes_the_kick_away(worth: Worth) -> None:
    """Third down at their 32: seven yards back is a kick nobody tries."""
    the_kick_makes_the_sack_dear(worth)


def test_the_lost_kick_is_noticed_when_every_yard_is_worth_the_same(
    worth: Worth, monkeypatch: pytest.MonkeyPatch
) -> None:
    def straight(self: ExpectedPoints, at: States) -> np.ndarray:
        return np.asarray(4.0 - 0.06 * at.yards_to_goal - 0.5 * (at.down - 1))

    monkeypatch.setattr(ExpectedPoints, "points", straight)
    monkeypatch.setattr(ExpectedPoints, "worth_of", lambda self, chances, at: straight(self, at))
    with pytest.raises(AssertionError):
        the_kick_makes_the_sack_dear(worth)


def test_a_free_rusher_is_judged_not_fitted() -> None:
    """His run is worked out from a sprint; the table of judgements says so."""
    assert judged("rush.edge").source.startswith("published")
