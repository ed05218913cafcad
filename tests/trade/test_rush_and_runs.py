"""Rules of thumb of the trade: time to throw, numbers in the box, options, runs.

Every check here is common practice, no source.
"""

from __future__ import annotations

import numpy as np
import pytest
from engine import Priced, decision, look, snap
from pointsleft.pricing.keys import right_by_rule, rule_option
from pointsleft.pricing.protection import (
    Rush,
    ball_out,
    depth_of,
    protection,
)
from pointsleft_models.bundle import Models, Worth
from pointsleft_models.football.rules import rule_set
from pointsleft_models.laws.lattice import RUNNING, STOPPED, TOUCHDOWN, OutcomeLaw, spot_cell


def on_time(worth: Worth, steps: int, hitches: int, depth: float) -> float:
    """Chance that the ball is out before a free rusher from the edge arrives."""
    clock = protection(
        worth.models.library, ball_out(steps, hitches, gun=False, fake=False),
        Rush(5, True, depth, "left"), depth_of(steps, gun=False), refits=False,
    )  # fmt: skip
    return float(clock.on_time[0])


def sack_value(priced: Priced) -> float:
    sack = priced.values.worth.rushing.sack(priced.values.setting)
    return float(priced.values.value(sack, "points", sack.seconds)[0])


# -- T1 -----------------------------------------------------------------------------------------


def test_t1_three_steps_against_a_free_rusher(worth: Worth) -> None:
    """Common practice, no source: three steps and no hitch beats a free rusher off the line,
    one hitch more does not; from five yards deep there is time for the hitch."""
    assert on_time(worth, 3, 0, 0.0) > 0.5
    assert on_time(worth, 3, 1, 0.0) < 0.2
    assert on_time(worth, 3, 0, 5.0) > 0.5
    assert on_time(worth, 3, 1, 5.0) > 0.5


def test_t1_three_from_the_gun_is_as_deep_as_five_from_under_centre() -> None:
    """Common practice, no source: the steps differ, the depth hardly."""
    assert depth_of(3, gun=True) == pytest.approx(depth_of(5, gun=False), abs=1.0)
    assert ball_out(3, 0, gun=True, fake=False) == pytest.approx(
        ball_out(5, 0, gun=False, fake=False), abs=0.35
    )


# -- T2 -----------------------------------------------------------------------------------------


def test_t2_the_conflict_defender_decides(worth: Worth) -> None:
    """Common practice, no source: he fits, throw behind him; he drops, give."""
    for action, right in (("crash", "stick"), ("squeeze", "stick"), ("drop", "give")):
        row = snap(
            family="rpo", box=6, blockers=6, options="give.g* stick6", key="outside backer",
            key_action=action,
        )  # fmt: skip
        assert rule_option(row) == right, action
        assert right_by_rule(row) is (right == "give"), action


def test_t2_with_the_numbers_the_give_is_on(worth: Worth) -> None:
    """Common practice, no source: six blockers account for six; a seventh is unblocked unless
    he is the one who is read, an eighth is one too many."""

    def give(box: int, **cells: object) -> float:
        priced = look(worth, family="rpo", box=box, blockers=6, options="give.g* ta", **cells)
        return priced.points["give"]

    def judged(box: int, **cells: object) -> float:
        priced = look(worth, family="rpo", box=box, blockers=6, options="give.g* ta", **cells)
        return priced.models["give"].judged.value

    assert give(6) > give(7) > give(8)
    assert judged(6) < judged(7) < judged(8)  # log odds of being stopped
    assert judged(7, key="end") == judged(6)  # the read man is accounted for


# -- T3 -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("down", [1, 2])
def test_t3_in_doubt_hand_it_off(worth: Worth, down: int) -> None:
    """Common practice, no source: short of a turnover a sack is the worst end of a run-pass
    option; holding the ball loses to the give once sacks pass a tens-of-percent chance."""
    priced = look(worth, down=down, family="rpo", options="give.g* glance7.l/l ta")
    give, sack = priced.points["give"], sack_value(priced)
    assert give > sack + 0.5
    assert sack < priced.cell(spot_cell(STOPPED, 60))  # and worse than a ball on the ground
    model = priced.models["glance"]
    thrown = model.clean.law(model.judged.value)  # type: ignore[attr-defined]
    throw = float(priced.values.value(thrown, "points", thrown.seconds)[0])
    break_even = (throw - give) / (throw - sack)
    assert 0.1 < break_even < 0.5


# -- T4 -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("gap", ["middle", "guard"])
@pytest.mark.parametrize("box", [None, 6, 7])
def test_t4_a_blocked_inside_hand_off(worth: Worth, gap: str, box: int | None) -> None:
    """Common practice, no source: about three yards. That is the median of the fitted law; its
    mean is higher for the long ones, and the whole law is priced."""
    priced = look(worth, family="hand-off", box=box, options="give.g*")
    law, low = worth.rushing.run_law(priced.values.setting, gap)
    yards = np.arange(low, low + len(law))
    median = int(yards[np.searchsorted(np.cumsum(law), 0.5)])
    assert 2 <= median <= 4
    assert median < float(law @ yards) < median + 2.5


# -- T7 -----------------------------------------------------------------------------------------


def converted(law: OutcomeLaw, spot: int, distance: int) -> float:
    """Chance that a law reaches the line to gain with the ball."""
    cells = law.mixture()[0]
    reached = slice(0, spot - distance)
    kept = cells[RUNNING:][reached].sum() + cells[STOPPED:][reached].sum()
    return float(kept + cells[TOUCHDOWN])


def boundary(models: Models, level: str, distance: int, side: str) -> Priced:
    worth = models.under(rule_set(level, 2019))
    return look(
        worth, game={"level": level}, ball="opp 45", down=4, distance=distance, family="option",
        options=f"keep.e.{side} pitch.e.{side}* gfi punt", key="force defender",
        key_action="crash",
    )  # fmt: skip


@pytest.mark.parametrize("level", ["professional", "college"])
def test_t7_speed_option_to_the_boundary_on_fourth_down(models: Models, level: str) -> None:
    """Common practice, no source: made for fourth and two, not for fourth and four.

    A judgement: the archive's pooled tries fall only from .534 to .430 between the two. The
    option's own conversion must fall at least as fast, and so must what it is worth over the
    kick that a coach has instead.
    """
    two, four = boundary(models, level, 2, "b"), boundary(models, level, 4, "b")
    made = [converted(p.law("pitch"), 45, d) for p, d in ((two, 2), (four, 4))]
    kept = [converted(p.law("keep"), 45, d) for p, d in ((two, 2), (four, 4))]
    pooled = [p.models["go"].chance() for p in (two, four)]
    print(f"{level}: pitch {made}, keep {kept}, pooled {pooled}, archive .534 .430")
    assert pooled[0] is not None
    assert pooled[1] is not None
    assert made[1] / made[0] < 0.85
    assert kept[1] / kept[0] < pooled[1] / pooled[0]
    gain = [p.points["pitch"] - p.points["punt"] for p in (two, four)]
    assert gain[0] > gain[1] + 0.3


def test_t7_professional_hash_marks_shrink_the_difference(models: Models) -> None:
    """Common practice, no source: the short side costs more where the hash is wide."""

    def cost(level: str) -> float:
        field, short = (boundary(models, level, 2, side) for side in "fb")
        return field.points["pitch"] - short.points["pitch"]

    assert 0 < cost("professional") < cost("college")


# -- T9 -----------------------------------------------------------------------------------------


def test_t9_the_pitch_key(worth: Worth) -> None:
    """Common practice, no source: he takes the quarterback, pitch; he widens, keep."""
    for action, right, wrong in (("crash", "pitch", "keep"), ("widen", "keep", "pitch")):
        cells = {"family": "option", "options": "keep.e.f* pitch.e.f", "key": "force defender",
                 "key_action": action}  # fmt: skip
        priced = look(worth, **cells)
        assert priced.points[right] > priced.points[wrong] + 0.1, action
        assert priced.wins[right] > priced.wins[wrong], action
        row = snap(**cells)
        assert rule_option(row) == right
        assert right_by_rule(row) is (right == "keep")


def test_t9_the_dive_key(worth: Worth) -> None:
    """Common practice, no source: with give and keep alone the key that takes the back means
    pull, the one that stays outside means give."""
    for action, right in (("crash", "keep"), ("squeeze", "keep"), ("sit", "give"),
                          ("widen", "give"), ("scrape", "give")):  # fmt: skip
        row = snap(family="option", options="give.g* keep.e", key="end", key_action=action)
        assert rule_option(row) == right, action
        priced = look(worth, family="option", options="give.g* keep.e", key="end",
                      key_action=action)  # fmt: skip
        other = "give" if right == "keep" else "keep"
        assert priced.points[right] > priced.points[other], action


def test_t9_triple_option_needs_the_rule_said(worth: Worth) -> None:
    """Common practice, no source: two keys, and one logged action cannot speak for both.

    So the rule is the charter's to state; what he states is taken.
    """
    cells = {"family": "option", "options": "give.m keep.e.f* pitch.e.f", "key": "end",
             "key_action": "crash"}  # fmt: skip
    assert rule_option(snap(**cells)) is None
    assert rule_option(snap(**cells, rule_says="pitch")) == "pitch"


# -- T14 ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "blame", [None, "protection .6 quarterback .4", "offered: protection 1; breaks: defense 1"]
)
def test_t14_a_sack_is_shared_and_sharing_moves_no_value(worth: Worth, blame: str | None) -> None:
    """Common practice, no source: protection, route, call and quarterback share a sack; the
    shares of an entry that is shared sum to one and are not negative."""
    cells = {"family": "drop-back", "options": "dig14.m/n* flat1.r/l", "result": "sack",
             "yards": -7}  # fmt: skip
    plain, shared = decision(worth, snap(**cells)), decision(worth, snap(**cells, blame=blame))
    for one, other in ((plain.points, shared.points), (plain.wins, shared.wins)):
        assert one is not None
        assert other is not None
        for entry in ("offered", "left", "delivered", "breaks"):
            assert getattr(one, entry) == getattr(other, entry)
            total = sum(other.blame[entry].values())
            assert min(other.blame[entry].values()) >= 0
            assert total == pytest.approx(1.0) or (total == 0 and entry in ("delivered", "breaks"))
