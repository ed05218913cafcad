"""Where a missed option ties with what was chosen, and what a verdict hangs on."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from pointsleft.log.record import Range, Snap
from pointsleft.pricing.breakeven import MOST_STEPS, break_even, decisive, tie_at
from pointsleft.pricing.snap import prepare
from pointsleft_models.bundle import Worth
from pricing_sample import DIG, FLAT, POST, LoggedOption, priced, situation, snap, snaps, throw

slow = settings(max_examples=40, suppress_health_check=[HealthCheck.too_slow], deadline=None)


@slow
@given(row=snaps())
def test_at_the_tie_the_two_are_worth_the_same(worth: Worth, row: Snap) -> None:
    values, _, models = prepare(worth, row)
    chosen = next(i for i, m in enumerate(models) if m.id == row.happened.chosen)
    for currency in values.currencies:
        worths = [float(values.value(m.law(), currency, m.seconds)[0]) for m in models]
        target = worths[chosen]
        found = break_even(values, models, chosen, currency, target)
        assert [b.option for b in found] == [m.id for i, m in enumerate(models) if i != chosen]
        for b, model in zip(found, (m for i, m in enumerate(models) if i != chosen), strict=True):
            tie = tie_at(values, model, currency, target)
            assert b.model_chance == model.chance()
            if tie is None:
                assert (b.chance, b.window) == (None, None)
                continue
            at_tie = float(values.value(model.law(tie), currency, model.seconds)[0])
            assert at_tie == pytest.approx(target, abs=2e-5)
            assert b.chance == model.chance(tie)
            assert b.chance is None or 0 <= b.chance <= 1
            assert b.window == model.window_at(tie)


def test_no_tie_is_said_to_be_none(worth: Worth) -> None:
    """A punt is not judged; and a flat route never ties with nothing to lose on the last play."""
    row = snap(LoggedOption("p", "punt"), LoggedOption("go", "go"), at=situation(down=4))
    led = priced(worth, row).points
    assert led is not None
    assert led.break_even[0].option == "p"
    assert led.break_even[0].chance is None


@pytest.mark.parametrize("stated", [0.2, 0.45, 0.7])
def test_a_stated_chance_is_the_chance(worth: Worth, stated: float) -> None:
    """What the analyst says outright is what the model has, for throws, tries and kicks."""
    said = Range(stated, stated, stated)
    fourth = situation(down=4, distance=3, yards_to_goal=33)
    row = snap(
        replace(POST, chance=said, window=None, air_yards=20),
        LoggedOption("go", "go", chance=said),
        LoggedOption("fg", "field-goal", chance=said),
        at=fourth,
    )
    for option in priced(worth, row).options:
        assert option.chance == pytest.approx(stated, abs=1e-6), option.id


def test_a_chance_stated_for_a_kick_that_nobody_makes_is_priced(worth: Worth) -> None:
    """Its log odds lie far beyond any judgement; what nobody has the leg for stays at none."""
    kick = LoggedOption("fg", "field-goal", chance=Range(0.3, 0.2, 0.4))
    row = snap(LoggedOption("go", "go"), kick, at=situation(down=4, yards_to_goal=97))
    assert [o.chance for o in priced(worth, row).options if o.id == "fg"] == [0.0]


def test_a_chance_stated_without_a_range_has_a_break_even(worth: Worth) -> None:
    """Where it ties does not depend on how sure the analyst is; a verdict cannot hang on it."""
    found = []
    for half in (0.0, 0.05):
        dig = replace(DIG, window=None, chance=Range(0.6, 0.6 - half, 0.6 + half))
        led = priced(worth, snap(dig, FLAT, chosen="flat")).points
        assert led is not None
        found.append(led.break_even[0].chance)
        if not half:
            assert led.decisive is None or led.decisive.subject != "window of dig"
    assert found[0] == pytest.approx(found[1], abs=1e-6)
    assert found[0] is not None


def test_of_two_equal_options_the_other_one_is_then_best(worth: Worth) -> None:
    one = throw("one", route="dig", air_yards=14, third="middle", window="even", place=1)
    led = priced(worth, snap(one, replace(one, id="two"), chosen="two")).points
    assert led is not None
    assert led.best == "one"
    assert led.decisive is not None
    assert led.decisive.then_best == "two"
    assert led.decisive.steps == pytest.approx(0, abs=1e-4)


def test_a_missed_option_that_was_better_ties_below_its_own_chance(worth: Worth) -> None:
    good = throw("good", route="hitch", air_yards=8, window="loose", place=1)
    poor = throw("poor", route="hitch", air_yards=8, window="smothered", place=2)
    for chosen, other, lower in (("poor", "good", True), ("good", "poor", False)):
        led = priced(worth, snap(good, poor, chosen=chosen)).points
        assert led is not None
        tie = led.break_even[0]
        assert tie.option == other
        assert tie.chance is not None
        assert tie.model_chance is not None
        assert (tie.chance < tie.model_chance) == lower


@slow
@given(row=snaps())
def test_the_decisive_judgement_does_turn_the_verdict(worth: Worth, row: Snap) -> None:
    """At the value named, the option it concerns is worth what the best (or second best) is."""
    values, _, models = prepare(worth, row)
    for currency in values.currencies:
        v = np.array([float(values.value(m.law(), currency, m.seconds)[0]) for m in models])
        best = int(np.argmax(v))
        found = decisive(values, models, v, best, currency)
        if found is None:
            continue
        assert 0 <= found.steps <= MOST_STEPS
        subject = next(m for m in models if m.judged.subject == found.subject)
        own = models.index(subject)
        second = max((i for i in range(len(v)) if i != best), key=lambda i: v[i])
        target = v[second] if own == best else v[best]
        assert found.then_best == (models[second].id if own == best else subject.id)
        tie = tie_at(values, subject, currency, float(target))
        assert tie is not None
        assert found.steps == pytest.approx(
            abs(tie - subject.judged.value) / subject.judged.half_range
        )


def test_the_smallest_change_is_the_one_that_is_named(worth: Worth) -> None:
    near = throw("near", route="hitch", air_yards=8, window="even", place=1)
    far = throw("far", route="hitch", air_yards=8, window="smothered", place=2)
    level = throw("level", route="hitch", air_yards=9, window="even", place=1)
    led = priced(worth, snap(near, level, far, FLAT, chosen="flat")).points
    assert led is not None
    assert led.decisive is not None
    assert led.decisive.subject in ("window of near", "window of level")
    assert "smothered" not in led.decisive.said


def test_one_option_has_no_decisive_judgement(worth: Worth) -> None:
    values, _, models = prepare(worth, snap(DIG))
    assert decisive(values, models, np.array([1.0]), 0, "points") is None
