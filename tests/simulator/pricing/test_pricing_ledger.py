"""The ledger: it closes on every snap, and its entries are what they say."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pointsleft.log.record import BLAME_PARTIES, Flag, Happened, Range, Snap
from pointsleft.pricing.ledger import ENTRIES, _crossfit, _model_spread, _Refit, verdict
from pointsleft.pricing.result import Ledger
from pointsleft_models.bundle import Worth
from pointsleft_models.fitting.resample import SHIPPED
from pricing_sample import (
    DIG,
    FLAT,
    POST,
    WITH_REFITS,
    blames,
    expected_best,
    in_read_of,
    priced,
    situation,
    snap,
    snaps,
    throw,
)

Array = np.ndarray

#: What a ledger may be off by: rounding of a handful of additions.
ROUNDING = 1e-9

slow = settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow], deadline=None)


def ledgers(*decisions: object) -> list[Ledger]:
    return [
        led
        for d in decisions
        for led in (d.points, d.wins)  # type: ignore[attr-defined]
        if led is not None
    ]


@slow
@given(row=snaps(), following=st.none() | snaps(number="2"))
def test_it_closes_whatever_was_logged(worth: Worth, row: Snap, following: Snap | None) -> None:
    decision = priced(worth, row, following)
    found = ledgers(decision)
    assert row.situation is not None
    assert (decision.points is None) == row.situation.overtime
    assert (decision.wins is None) == (not row.situation.has_wins)
    for led in found:
        went = led.offered - led.left + led.delivered + led.breaks
        assert went == pytest.approx(led.after - led.before, abs=ROUNDING)
        assert led.left >= -ROUNDING
        assert led.if_certain >= led.left - ROUNDING
        assert all(np.isfinite([led.before, led.after, led.offered, led.delivered, led.breaks]))
    if decision.wins is not None:
        values = [v.value for v in decision.wins.values]
        for value in (*values, decision.wins.before, decision.wins.after):
            assert -ROUNDING <= value <= 1 + ROUNDING


@slow
@given(row=snaps())
def test_left_is_the_expected_best_less_the_chosen(worth: Worth, row: Snap) -> None:
    """Over every set of options that may have been in the read, one set after another."""
    decision = priced(worth, row)
    reads = in_read_of(row, decision)
    for led in ledgers(decision):
        values = [v.value for v in led.values]
        chosen = values[[o.id for o in row.options].index(decision.chosen)]
        best = expected_best(values, reads)
        assert led.left == pytest.approx(best - chosen, abs=ROUNDING)
        assert led.offered == pytest.approx(best - led.before, abs=ROUNDING)
        assert led.if_certain == pytest.approx(max(values) - chosen, abs=ROUNDING)
        there = [o.in_read > 0 or o.id == decision.chosen for o in decision.options]
        worth_most = np.where(there, values, -np.inf)
        assert led.best == led.values[int(np.argmax(worth_most))].id


@slow
@given(row=snaps(), blame=blames())
def test_blame_moves_no_value(worth: Worth, row: Snap, blame: dict[str, dict[str, float]]) -> None:
    one, other = priced(worth, replace(row, blame=None)), priced(worth, replace(row, blame=blame))
    for a, b in zip(ledgers(one), ledgers(other), strict=True):
        assert replace(a, blame={}) == replace(b, blame={})
        for entry in ENTRIES:
            assert set(b.blame[entry]) == set(BLAME_PARTIES)
            assert sum(b.blame[entry].values()) == pytest.approx(1)
            assert b.blame[entry] == pytest.approx(
                {p: blame[entry].get(p, 0.0) for p in BLAME_PARTIES}
            )


def test_who_is_charged_when_nobody_says(worth: Worth) -> None:
    led = ledgers(priced(worth, snap()))[0]
    assert led.blame["offered"] == {p: float(p == "call") for p in BLAME_PARTIES}
    assert led.blame["left"] == {p: float(p == "quarterback") for p in BLAME_PARTIES}
    assert set(led.blame["delivered"].values()) == set(led.blame["breaks"].values()) == {0.0}


def test_an_ungraded_throw_delivers_exactly_nothing(worth: Worth) -> None:
    for led in ledgers(priced(worth, snap())):
        assert led.delivered == 0
    graded = snap(happened=Happened(result="complete", yards=5, placement="high"))
    for led in ledgers(priced(worth, graded)):
        assert led.delivered < 0


def test_an_unlogged_result_breaks_nothing(worth: Worth) -> None:
    decision = priced(worth, snap(happened=Happened()))
    for led in ledgers(decision):
        assert led.breaks == 0
    assert "result.unknown" in {a.code for a in decision.assumptions}


def test_a_single_certain_best_option_leaves_nothing_when_taken(worth: Worth) -> None:
    good = throw("good", route="hitch", air_yards=7, window="loose", place=1)
    poor = throw("poor", route="hitch", air_yards=7, window="smothered", place=2)
    took, missed = (priced(worth, snap(good, poor, chosen=c)) for c in ("good", "poor"))
    for led in ledgers(took):
        assert led.left == pytest.approx(0, abs=ROUNDING)
        assert led.best == "good"
    for led in ledgers(missed):
        assert led.left > 0.01
        assert led.left < led.if_certain + ROUNDING


def test_a_chance_in_the_read_of_less_than_one_leaves_less(worth: Worth) -> None:
    left = []
    for chance in (1.0, 0.6, 0.0):
        option = replace(POST, in_read=Range(chance, chance, chance))
        led = priced(worth, snap(option, FLAT)).points
        assert led is not None
        left.append((led.left, led.if_certain))
    certain = left[0][1]
    assert [x for x, _ in left] == pytest.approx([certain, 0.6 * certain, 0], abs=1e-9)
    assert {c for _, c in left} == {certain}


def test_what_was_surely_not_in_the_read_is_not_the_best(worth: Worth) -> None:
    """A post that opened after its deadline: nothing was left by not throwing it."""
    never, always = Range(0.0, 0.0, 0.0), Range(1.0, 1.0, 1.0)
    post = replace(POST, window="loose", in_read=never)
    seen = replace(DIG, in_read=always)
    for led in ledgers(priced(worth, snap(post, seen, FLAT), settings=WITH_REFITS)):
        value = {v.id: v for v in led.values}
        assert value["post"].value == max(v.value for v in led.values)
        assert led.best == max(("dig", "flat"), key=lambda name: value[name].value)
        assert value["post"].share_best == 0
        assert led.settled_share == value[led.best].share_best
        assert led.decisive is None or "post" not in led.decisive.subject
        assert led.if_certain > led.left


# -- model spread ----------------------------------------------------------------------------


def test_shares_and_intervals_are_those_of_the_refits(worth: Worth) -> None:
    decision = priced(worth, snap(), settings=WITH_REFITS)
    for led in ledgers(decision):
        assert sum(v.share_best for v in led.values) == pytest.approx(1)
        best = next(v for v in led.values if v.id == led.best)
        assert led.settled_share == best.share_best
        assert led.verdict == verdict(best.share_best)
        for v in led.values:
            assert v.model.low < v.value < v.model.high
        assert led.interval_model.low < led.interval_model.high
        assert led.interval_model.low <= led.left <= led.interval_model.high


def test_without_refits_everything_is_a_point(worth: Worth) -> None:
    for led in ledgers(priced(worth, snap())):
        assert led.interval_model.low == led.interval_model.high == led.left
        assert led.crossfit_left == led.left


@pytest.mark.parametrize(
    ("share", "word"),
    [(1.0, "firm"), (0.90, "firm"), (0.8999, "slight"), (0.70, "slight"), (0.6999, "unsettled"),
     (0.0, "unsettled")],
)  # fmt: skip
def test_verdicts_by_their_share(share: float, word: str) -> None:
    assert verdict(share) == word


def test_the_interval_of_left_holds_the_best_option_fixed() -> None:
    """So it may cross 0; each refit picking its own best could never go below it."""
    values = np.array([[1.0, 0.0], [-0.5, 0.0], [0.2, 0.0], [0.4, 0.0]])
    settled, shares, interval = _model_spread(
        _Refit(values), np.array([1.0, 0.0]), 1, 0, 0.3, 2, np.array([True, True])
    )
    assert settled == shares[0] == 0.75
    assert shares == [0.75, 0.25]
    assert interval.low < 0 < interval.high


# -- the winner's curse ----------------------------------------------------------------------


def noisy_cuts(n: int, options: int, sd: float, rng: np.random.Generator) -> Array:
    """Pure noise: (n, parts, options) errors of the parts of a cut, independent of each other.

    Their mean is the fit on all games and has standard deviation ``sd``.
    """
    return rng.normal(size=(n, SHIPPED.parts, options)) * sd * np.sqrt(SHIPPED.parts)


def test_crossfit_is_unbiased_where_the_plain_figure_is_not() -> None:
    """Four equal options with error s: 1.03 s of phantom loss in the plain figure, none here."""
    rng, n, s = np.random.default_rng(7), 6000, 0.3
    errors = noisy_cuts(n, 4, s, rng)
    plain, crossed = np.empty(n), np.empty(n)
    for i, cut in enumerate(errors):
        whole = cut.mean(0)
        plain[i] = whole.max() - whole[0]
        crossed[i] = _crossfit(_Refit(cut), np.ones(4), [None] * 4, 0, float(plain[i]))
    assert plain.mean() == pytest.approx(1.03 * s, abs=0.02)
    assert abs(crossed.mean()) < 4 * crossed.std() / np.sqrt(n)
    assert crossed.std() > 0


def test_crossfit_with_chances_and_groups_is_unbiased_too() -> None:
    rng, n = np.random.default_rng(8), 4000
    chances, groups = np.array([1.0, 0.5, 0.4, 0.7]), [None, "A", "A", None]
    crossed = [
        _crossfit(_Refit(cut), chances, groups, 0, 0.0) for cut in noisy_cuts(n, 4, 0.3, rng)
    ]
    assert abs(np.mean(crossed)) < 4 * np.std(crossed) / np.sqrt(n)


def test_crossfit_keeps_a_true_gap() -> None:
    rng, n, gap = np.random.default_rng(9), 3000, np.array([0.0, 2.0, -1.0])
    crossed = [
        _crossfit(_Refit(cut + gap), np.ones(3), [None] * 3, 0, 0.0)
        for cut in noisy_cuts(n, 3, 0.2, rng)
    ]
    assert np.mean(crossed) == pytest.approx(2, abs=4 * np.std(crossed) / np.sqrt(n))


def test_choosing_and_valuing_by_the_same_games_would_be_caught() -> None:
    """Negative control: with parts that are not independent the phantom is back."""
    rng, n = np.random.default_rng(7), 2000
    cuts = np.repeat(noisy_cuts(n, 4, 0.3, rng)[:, :1], SHIPPED.parts, axis=1)
    crossed = [_crossfit(_Refit(cut), np.ones(4), [None] * 4, 0, 0.0) for cut in cuts]
    assert np.mean(crossed) > 10 * np.std(crossed) / np.sqrt(n)


# -- free play -------------------------------------------------------------------------------

OFFSIDE = Flag("defense", when="before", decision="declined", yards=5)


@pytest.mark.parametrize("at", [situation(), situation(lead=None, seconds=None),
                                situation(yards_to_goal=3, distance=3, down=3)])  # fmt: skip
def test_what_a_flag_added_is_a_part_of_offered(worth: Worth, at: object) -> None:
    free = snap(POST, DIG, at=at, happened=Happened(result="incomplete", flag=OFFSIDE))  # type: ignore[arg-type]
    plain = snap(POST, DIG, at=at, happened=Happened(result="incomplete"))  # type: ignore[arg-type]
    with_flag, without = priced(worth, free), priced(worth, plain)
    judge = "wins" if with_flag.wins is not None else "points"
    a, b = getattr(with_flag, judge), getattr(without, judge)
    assert a.flag > 0
    assert b.flag == 0
    assert a.offered - b.offered == pytest.approx(a.flag, abs=ROUNDING)
    assert a.before == b.before
