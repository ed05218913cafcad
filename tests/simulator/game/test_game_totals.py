"""Totals against sums by hand, on a tiny game and on entries of round numbers."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from engine import options_of
from game_sample import SETTINGS, priced, tiny
from pointsleft.game import totals
from pointsleft.game.totals import headline, hits_of, share_taken, total_left, totals_of
from pointsleft.pricing.result import CURRENCIES, Decision, Interval, OptionValue, PricedGame
from pointsleft_models.bundle import Models, Worth


@pytest.fixture(scope="module")
def game(models: Models) -> PricedGame:
    return priced(models, tiny())


def round_decision(
    base: Decision, left: float, crossed: float, values: tuple[float, ...], chosen: int, **tags: str
) -> Decision:
    """A decision with these figures in points and nothing in wins."""
    assert base.points is not None
    listed = tuple(OptionValue(f"o{i}", v, Interval(v, v), 0.0) for i, v in enumerate(values))
    led = replace(
        base.points, left=left, crossfit_left=crossed, values=listed,
        interval_model=Interval(left - 0.1, left + 0.3), offered=1.0, delivered=0.25, breaks=-0.5,
        best=f"o{int(np.argmax(values))}", left_by_refit=(),
    )  # fmt: skip
    return replace(base, points=led, wins=None, chosen=f"o{chosen}", tags=tags)


@pytest.fixture
def two(game: PricedGame) -> list[Decision]:
    """Floor 0, best 1: all of it taken; floor 0, best 2: half of it taken."""
    base = game.decisions[0]
    return [
        round_decision(base, 0.0, -0.2, (1.0, 0.0), 0, down="first down", shell="zero"),
        round_decision(base, 1.0, 0.6, (1.0, 2.0, 0.0), 0, down="third down"),
    ]


def test_totals_of_round_numbers(two: list[Decision]) -> None:
    found = totals_of(two, "points")
    (everything,) = found["all"]
    assert everything.decisions == 2
    assert everything.left == pytest.approx(1.0)
    assert everything.crossfit_left == pytest.approx(0.4)
    assert (everything.offered, everything.delivered, everything.breaks) == (2.0, 0.5, -1.0)
    assert everything.best_taken == 1
    assert everything.taken == pytest.approx((1 + 1) / (1 + 2))
    assert [(t.group, t.left) for t in found["down"]] == [("first down", 0.0), ("third down", 1.0)]
    assert [(t.group, t.decisions) for t in found["shell"]] == [("zero", 1)]  # the other: unknown
    assert "concept" not in found
    assert totals_of(two, "wins") == {}


def test_the_total_is_crossed_and_the_plain_one_stands_beside_it(two: list[Decision]) -> None:
    found = total_left(two, "points")
    assert found["value"] == pytest.approx(0.4)
    assert found["plain"] == pytest.approx(1.0)
    top = headline(two)
    assert top["points_left"] == pytest.approx(0.4)
    assert top["points_left_plain"] == pytest.approx(1.0)
    assert top["points_per_decision"] == pytest.approx(0.2)
    assert top["points_taken"] == pytest.approx(2 / 3)
    assert top["wins_left"] is None


@pytest.mark.parametrize(("sign", "off"), [(1.0, 0.2), (-1.0, 0.0)])
def test_the_interval_of_a_total_is_that_of_the_totals_of_the_refits(
    two: list[Decision], sign: float, off: float
) -> None:
    """Errors that move together add up, errors that are opposite cancel: nothing is assumed."""
    steps = np.linspace(-0.1, 0.1, 201) / 0.9  # central 90% of it: -.1 to .1
    moved = []
    for decision, way in zip(two, (1.0, sign), strict=True):
        assert decision.points is not None
        lefts = tuple(float(x) for x in decision.points.left + way * steps)
        moved.append(replace(decision, points=replace(decision.points, left_by_refit=lefts)))
    found = total_left(moved, "points")
    assert found["low"] == pytest.approx(0.4 - off, abs=1e-9)
    assert found["high"] == pytest.approx(0.4 + off, abs=1e-9)


def test_the_total_of_a_game_has_the_spread_of_its_refits(game: PricedGame) -> None:
    for currency in CURRENCIES:
        found = game.total_left[currency]
        ledgers = [led for d in game.decisions if (led := getattr(d, currency)) is not None]
        each = np.array([led.left_by_refit for led in ledgers])
        assert each.shape == (len(ledgers), game.refits)
        low, high = np.quantile(each.sum(0), [0.05, 0.95])
        assert found["high"] - found["low"] == pytest.approx(high - low, abs=1e-9)
        for led, own in zip(ledgers, each, strict=True):
            assert np.quantile(own, [0.05, 0.95]) == pytest.approx(
                [led.interval_model.low, led.interval_model.high], abs=1e-9
            )


def test_a_share_of_nothing_is_no_share(two: list[Decision]) -> None:
    flat = round_decision(two[0], 0.0, 0.0, (1.0, 1.0), 0)
    assert flat.points is not None
    assert share_taken([(flat, flat.points)]) is None
    assert share_taken([]) is None


def by_hand(worth: Worth, game: PricedGame) -> dict[str, float]:
    """Left of every decision of the tiny game in points, crossed by hand from the refits.

    Refits come in pairs, and what one of a pair thinks best the other one values. Every option
    has a place in the read or none; the chances are those that the decision shows.
    """
    rows = {s.number: s for s in tiny().snaps}
    out = {}
    for decision in game.decisions:
        values, models = (p := options_of(worth, rows[decision.snap])).values, p.models
        again = np.stack(
            [
                np.broadcast_to(
                    values.value(m.law(refits=True), "points", m.seconds, refits=True)[1:],
                    (worth.models.refits,),
                )
                for m in models.values()
            ],
            axis=1,
        )
        chances = [1.0 if o.id == decision.chosen else o.in_read for o in decision.options]
        at = [o.id for o in decision.options].index(decision.chosen)
        total = 0.0
        for r, own in enumerate(again):
            cut = r // 5 * 5  # the other four fifths of the games choose
            choosing = (again[cut : cut + 5].sum(0) - own) / 4
            best, nobody = 0.0, 1.0
            for i in np.argsort(-choosing):  # the best that was in the read, as they see it
                best += nobody * chances[i] * own[i]
                nobody *= 1 - chances[i]
            total += best - own[at]
        out[decision.snap] = total / len(again)
    return out


def crossed_is_as_by_hand(worth: Worth, game: PricedGame) -> None:
    hand = by_hand(worth, game)
    for decision in game.decisions:
        assert decision.points is not None
        assert decision.points.crossfit_left == pytest.approx(hand[decision.snap], abs=1e-9)
    assert game.total_left["points"]["value"] == pytest.approx(sum(hand.values()), abs=1e-9)
    assert game.headline["points_left"] == pytest.approx(sum(hand.values()), abs=1e-9)


def test_crossed_totals_of_a_tiny_game_by_hand(worth: Worth, game: PricedGame) -> None:
    crossed_is_as_by_hand(worth, game)


def test_a_total_that_values_with_the_fit_that_chose_would_be_seen(
    worth: Worth, models: Models, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("pointsleft.pricing.ledger.others", lambda at: [at])
    own = priced(models, tiny())
    with pytest.raises(AssertionError):
        crossed_is_as_by_hand(worth, own)


def test_a_headline_of_plain_sums_would_be_seen(
    two: list[Decision], monkeypatch: pytest.MonkeyPatch
) -> None:
    honest = total_left
    monkeypatch.setattr(
        totals, "total_left", lambda d, c: {**honest(d, c), "value": honest(d, c)["plain"]}
    )
    with pytest.raises(AssertionError):
        test_the_total_is_crossed_and_the_plain_one_stands_beside_it(two)


def test_without_refits_the_total_is_the_plain_sum(models: Models) -> None:
    found = priced(models, tiny(), replace(SETTINGS, refits=False))
    for currency in CURRENCIES:
        total = found.total_left[currency]
        assert total["value"] == total["plain"] == total["low"] == total["high"]
    assert found.refits == 0


def test_groups_of_a_dimension_make_the_whole(game: PricedGame) -> None:
    """Down, field and half are known of every snap, so their groups leave nothing out."""
    for currency in CURRENCIES:
        (everything,) = game.totals[currency]["all"]
        for dimension in ("down", "field", "half", "play family"):
            groups = game.totals[currency][dimension]
            assert sum(t.decisions for t in groups) == everything.decisions
            for name in ("offered", "left", "delivered", "breaks", "crossfit_left"):
                assert sum(getattr(t, name) for t in groups) == pytest.approx(
                    getattr(everything, name), abs=1e-12
                )
    (special,) = game.totals["points"]["concept"]
    assert (special.group, special.decisions) == ("larks special", 2)


def test_hits_are_of_what_was_chosen_of_what_was_best_and_taken(game: PricedGame) -> None:
    found = hits_of(list(game.decisions))
    hit = {(d.snap, o.id): o.hit for d in game.decisions for o in d.options}
    assert found["chosen"] == pytest.approx(sum(hit[d.snap, d.chosen] for d in game.decisions))
    assert found["best"] == pytest.approx(
        sum(hit[d.snap, d.wins.best] for d in game.decisions if d.wins)
    )
    assert found["taken"] == 1.0
