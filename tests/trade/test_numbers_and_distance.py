"""Rules of thumb of the trade: who is accounted for, how far a ball flies, legal throw-aways.

Every check here is common practice, no source.
"""

from __future__ import annotations

import pytest
from engine import decision, look, snap
from pointsleft.pricing import logged_throws
from pointsleft.pricing.flight import CODE, extra_flight
from pointsleft.pricing.protection import depth_of
from pointsleft.pricing.throws import ThrowModel
from pointsleft_models.bundle import Models, Worth
from pointsleft_models.football.rules import rule_set

# -- T2 -----------------------------------------------------------------------------------------


def stopped(worth: Worth, **cells: object) -> float:
    """Log odds by which the numbers move the stop of the first option."""
    return next(iter(look(worth, **cells).models.values())).judged.value


def test_t2_a_back_who_blocks_for_a_quarterback_run_adds_one(worth: Worth) -> None:
    """Common practice, no source: with the back as a blocker seven account for seven, and the
    ball carrier is not counted among them."""
    run = {"family": "qb-run", "options": "run.g* ta", "box": 7}
    short, even = (stopped(worth, blockers=n, **run) for n in (6, 7))
    assert short > even
    assert stopped(worth, blockers=8, **{**run, "box": 8}) == pytest.approx(even)


def test_t2_the_key_of_a_quarterback_run_does_not_block_it(worth: Worth) -> None:
    """Common practice, no source: a read defender is out of the way of the give alone."""
    run = {"family": "qb-run", "options": "run.g* ta", "box": 7, "blockers": 6}
    assert stopped(worth, key="end", **run) == stopped(worth, **run)
    give = {"family": "rpo", "options": "give.g* ta", "box": 7, "blockers": 6}
    assert stopped(worth, key="end", **give) < stopped(worth, **give)


def test_t2_without_a_count_nobody_is_unaccounted_for(worth: Worth) -> None:
    """Common practice, no source: a blank box or a blank line of blockers moves nothing."""
    plain = stopped(worth, family="rpo", options="give.g* ta")
    for cells in ({"box": 8}, {"blockers": 5}):
        assert stopped(worth, family="rpo", options="give.g* ta", **cells) == plain


# -- T12 ----------------------------------------------------------------------------------------


def test_t12_grounding_in_the_end_zone_is_a_safety(worth: Worth) -> None:
    """Common practice, no source: a throw-away must be legal; from the end zone a foul of this
    kind is two points and the ball, not a lost down."""
    cells = {"ball": "own 3", "options": "ta* hitch9.r/n"}
    legal = decision(worth, snap(result="throw-away", **cells))
    grounded = {"flag": "offense", "foul": "intentional grounding", "flag_decision": "accepted"}
    foul = decision(worth, snap(result="throw-away", safety="yes", **grounded, **cells))
    assert legal.points is not None
    assert foul.points is not None
    assert foul.points.after < -2 < legal.points.after
    assert foul.points.breaks < legal.points.breaks - 1


# -- T13 ----------------------------------------------------------------------------------------


def chance(models: Models, level: str, mark: str, option: str = "out5.r/e* ta") -> float:
    worth = models.under(rule_set(level, 2019))
    priced = look(worth, game={"level": level}, hash=mark, alignment="under", options=option)
    model = next(m for m in priced.models.values() if isinstance(m, ThrowModel))
    found = model.chance()
    assert found is not None
    return found


def the_far_hash_costs(models: Models) -> None:
    for level in ("professional", "college"):
        near, middle, far = (chance(models, level, m) for m in ("right", "middle", "left"))
        assert near > middle > far, level
    cost = {
        level: chance(models, level, "right") - chance(models, level, "left")
        for level in ("professional", "college")
    }
    assert cost["college"] > 1.5 * cost["professional"]


def test_t13_a_short_out_from_the_far_hash_is_no_short_throw(models: Models) -> None:
    """Common practice, no source: the ball is judged by how far it flies, so hash and side enter
    the law; a college hash lies farther from the far side than a professional one."""
    the_far_hash_costs(models)


def test_t13_is_noticed_when_air_yards_are_all_that_counts(
    models: Models, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(logged_throws, "extra_flight", lambda *a: 0.0)
    with pytest.raises(AssertionError):
        the_far_hash_costs(models)


def test_t13_how_far_it_flies() -> None:
    """Common practice, no source: from the far college hash an out of five yards is in the air
    nine yards and more beyond what it is from the near one; across the middle it hardly counts."""
    rules = rule_set("college", 2019)
    depth = 5 + depth_of(3, gun=False)
    far, near = (extra_flight(rules, mark, "right", depth) for mark in ("left", "right"))
    assert far - near > 9
    assert near < 0 < far
    assert abs(extra_flight(rules, "left", "middle", 25)) < 1.5
    assert extra_flight(rules, None, "right", depth) == 0.0


def test_t13_what_is_stated_is_taken_and_what_is_moved_is_marked(models: Models) -> None:
    """Common practice, no source: a chance that the film states holds from any hash; where the
    flight moves a window, the option says so, and its window keeps its name."""
    for mark in ("left", "middle", "right"):
        assert chance(models, "college", mark, "out5.r=70* ta") == pytest.approx(0.70, abs=1e-6)
    worth = models.under(rule_set("college", 2019))
    for mark, marked in (("left", True), ("middle", False), (None, False)):
        model = look(worth, game={"level": "college"}, hash=mark, options="out5.r/n* ta").models[
            "out"
        ]
        assert isinstance(model, ThrowModel)
        assert (CODE in model.assumed) is marked
        assert model.window_at(model.judged.value) == "narrow"
