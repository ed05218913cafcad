"""How it was executed is a component of the law: over the grades as they occur it averages to
the ungraded law, so an ungraded snap has delivered nothing."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pointsleft.log.record import PLACEMENTS, SECURITIES, TIMINGS, Defense, Happened, Snap
from pointsleft.pricing.execution import _balanced, executed_law, grade_table
from pointsleft.pricing.judgement_table import judged
from pointsleft.pricing.model import OptionModel
from pointsleft.pricing.snap import prepare
from pointsleft.pricing.throws import ThrowModel
from pointsleft_models.bundle import Worth
from pointsleft_models.fitting.logit import expit
from pointsleft_models.laws.lattice import OutcomeLaw
from pricing_sample import DIG, FLAT, POST, LoggedOption, priced, situation, snap, throw

Array = np.ndarray

EXACT = 1e-9

THROWS = {
    "post": POST,
    "screen": throw("screen", route="screen", air_yards=-4, third="left", window="loose"),
    "smothered": throw("go", route="go", air_yards=45, third="right", window="smothered"),
}


def model_of(worth: Worth, row: Snap) -> OptionModel:
    _, _, models = prepare(worth, row)
    return next(m for m in models if m.id == row.happened.chosen)


def executed(model: OptionModel, row: Snap) -> OutcomeLaw:
    """The law given the grades that were logged."""
    law = executed_law(model, row)
    assert law is not None
    return law


def graded(row: Snap, **grades: object) -> Snap:
    return replace(row, happened=replace(row.happened, **grades))  # type: ignore[arg-type]


def shares(words: tuple[str, ...]) -> dict[str, float]:
    raw = {w: judged(f"share.{w}").value for w in words}
    return {w: s / sum(raw.values()) for w, s in raw.items()}


@pytest.mark.parametrize("option", THROWS.values(), ids=THROWS)
@pytest.mark.parametrize("yards_to_goal", [97, 60, 11])
def test_graded_throws_average_to_the_ungraded(
    worth: Worth, option: LoggedOption, yards_to_goal: int
) -> None:
    row = snap(option, DIG, chosen=option.id, at=situation(yards_to_goal=yards_to_goal))
    model = model_of(worth, row)
    whole = model.law().mixture()[0]
    placed, timed = shares(PLACEMENTS), shares(TIMINGS)
    average = np.zeros_like(whole)
    for placement, p in placed.items():
        for timing, t in timed.items():
            law = executed(model, graded(row, placement=placement, timing=timing))
            assert law.mixture().sum() == pytest.approx(1, abs=EXACT)
            average += p * t * law.mixture()[0]
    assert average == pytest.approx(whole, abs=EXACT)
    for name, words in (("placement", placed), ("timing", timed)):
        part = sum(
            s * executed(model, graded(row, **{name: word})).mixture()[0]
            for word, s in words.items()
        )
        assert part == pytest.approx(whole, abs=EXACT)


def test_a_placement_alone_is_the_mean_over_its_timings(worth: Worth) -> None:
    row = snap(POST, DIG, chosen="post")
    model = model_of(worth, row)
    alone = executed(model, graded(row, placement="high")).mixture()[0]
    both = sum(
        s * executed(model, graded(row, placement="high", timing=t)).mixture()[0]
        for t, s in shares(TIMINGS).items()
    )
    assert alone == pytest.approx(both, abs=EXACT)


@pytest.mark.parametrize("kind", ["keep", "pitch", "run"])
def test_graded_runs_average_to_the_ungraded(worth: Worth, kind: str) -> None:
    row = snap(LoggedOption("r", kind), FLAT, chosen="r")
    model = model_of(worth, row)
    average = sum(
        s * executed(model, graded(row, security=word)).mixture()[0]
        for word, s in shares(SECURITIES).items()
    )
    assert average == pytest.approx(model.law().mixture()[0], abs=EXACT)
    lost = [
        executed(model, graded(row, security=word)).chance("fumbled away") for word in SECURITIES
    ]
    assert lost == sorted(lost)
    assert lost[-1] > 2 * lost[0]


def test_an_ungraded_snap_has_no_law_of_its_own(worth: Worth) -> None:
    for option in (*THROWS.values(), LoggedOption("k", "keep"), LoggedOption("s", "scramble")):
        row = snap(option, DIG, chosen=option.id)
        assert executed_law(model_of(worth, row), row) is None
    secure = snap(POST, DIG, chosen="post", happened=Happened(security="secure"))
    assert executed_law(model_of(worth, secure), secure) is None  # a throw is not carried


def test_an_escape_from_a_free_rusher_is_part_of_the_execution(worth: Worth) -> None:
    """He got it away or was sacked: over both, as often as they come, the law itself."""
    rushed = Defense(rushers=5, free_rusher=True, free_side="left", free_depth=2.0)
    row = snap(POST, DIG, chosen="post", defense=rushed)
    model = model_of(worth, row)
    assert isinstance(model, ThrowModel)
    sacked = float(model.clock.sacked[0])
    assert 0.05 < sacked < 0.95
    away = executed(model, row).mixture()[0]
    caught = executed(model, graded(row, result="sack")).mixture()[0]
    whole = model.law().mixture()[0]
    assert (1 - sacked) * away + sacked * caught == pytest.approx(whole, abs=EXACT)


def test_better_grades_are_better_balls(worth: Worth) -> None:
    row = snap(POST, DIG, chosen="post")
    model = model_of(worth, row)

    def chances(**grades: str) -> tuple[float, float]:
        law = executed(model, graded(row, **grades))
        return law.chance("complete"), law.chance("intercepted")

    in_stride, high, wide, thrown_to = (
        chances(placement=p) for p in ("in-stride", "high", "wide", "to-defender")
    )
    assert in_stride[0] > high[0] > wide[0]
    assert thrown_to[1] > 2 * high[1]
    assert in_stride[1] < high[1]
    early, on, late = (chances(timing=t)[0] for t in TIMINGS)
    assert on > early
    assert on > late


@settings(max_examples=60)
@given(eta=st.floats(-5, 5), seed=st.integers(0, 99))
def test_balanced_odds_average_to_what_they_must(eta: float, seed: int) -> None:
    rng = np.random.default_rng(seed)
    share, move = rng.dirichlet(np.ones(6)), rng.normal(size=6)
    found = _balanced(eta, share, move)
    assert float(share @ found) == pytest.approx(float(expit(np.array(eta))), abs=1e-11)
    odds = np.log(found / (1 - found))
    assert odds - odds[0] == pytest.approx(move - move[0], abs=1e-6)


def test_grades_as_they_occur_are_a_law() -> None:
    share, move, pick = grade_table()
    assert share.sum() == pytest.approx(1)
    assert share.min() > 0
    assert len(share) == len(move) == len(pick) == len(PLACEMENTS) * len(TIMINGS)


def test_a_ball_hung_high_and_caught_delivered_less_and_was_lucky(worth: Worth) -> None:
    row = snap(POST, DIG, chosen="post", happened=Happened(result="complete", yards=30))
    plain, high = priced(worth, row).points, priced(worth, graded(row, placement="high")).points
    assert plain is not None
    assert high is not None
    assert high.delivered < plain.delivered == 0
    assert high.breaks > plain.breaks
    assert high.after == plain.after


@pytest.mark.parametrize("result", [None, "no-play"])
def test_an_escape_that_nobody_logged_is_not_credited(worth: Worth, result: str | None) -> None:
    """With a free rusher and no result nobody knows whether he got the ball away."""
    rush = Defense(rushers=5, free_rusher=True, free_side="left")
    decision = priced(worth, snap(happened=Happened(result=result), defense=rush))
    for led in (decision.points, decision.wins):
        assert led is not None
        assert led.delivered == 0
        assert led.breaks == 0
