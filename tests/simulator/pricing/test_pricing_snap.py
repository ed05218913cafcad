"""One snap is one unit of work: the same for the same seed, free of order, and picklable."""

from __future__ import annotations

import pickle
from dataclasses import replace

import numpy as np
import pytest
from pointsleft.log.record import Call, Defense, Range, Snap
from pointsleft.pricing.result import Decision
from pointsleft.pricing.settings import PriceSettings
from pointsleft.pricing.snap import logged_values, prepare, prepare_together, price_snap
from pointsleft_models.bundle import Worth
from pricing_sample import DIG, FLAT, POST, LoggedOption, priced, situation, snap, throw

DRAWN = PriceSettings(draws=300, judgement_draws=40, refits=False)

ROWS = (
    snap(),
    snap(LoggedOption("k", "keep"), LoggedOption("g", "give")),
    snap(LoggedOption("go", "go"), LoggedOption("p", "punt"), at=situation(down=4)),
)


def test_the_same_seed_is_the_same_price(worth: Worth) -> None:
    one, again, other = (priced(worth, ROWS[0], settings=DRAWN, seed=s) for s in (1, 1, 2))
    assert one == again
    assert one != other
    assert one.points is not None
    assert other.points is not None
    assert one.points.left == other.points.left  # only what is drawn differs
    assert one.points.outcome.chosen.draws_mean != other.points.outcome.chosen.draws_mean


def test_the_order_of_work_does_not_matter(worth: Worth) -> None:
    """Whoever prices which snap when: each has a seed of its own."""

    def price(i: int) -> Decision:
        seed = np.random.SeedSequence(5).spawn(len(ROWS))[i]
        return price_snap(worth, ROWS[i], None, DRAWN, np.random.default_rng(seed))

    forward = [price(i) for i in range(3)]
    backward = [price(i) for i in (2, 1, 0)][::-1]
    assert forward == backward


def test_units_of_work_can_be_sent_anywhere(worth: Worth) -> None:
    work = (ROWS[0], ROWS[1], DRAWN, np.random.SeedSequence(3))
    back = pickle.loads(pickle.dumps(work))
    assert back[:3] == work[:3]
    decision = priced(worth, ROWS[0], settings=DRAWN)
    assert pickle.loads(pickle.dumps(decision)) == decision
    assert priced(worth, back[0], settings=back[2]) == decision
    assert len(pickle.dumps(work)) < 20_000


def test_a_decision_says_what_was_there(worth: Worth) -> None:
    row = snap(at=situation(hash="left"), clip="12:03", note="saw it late")
    decision = priced(worth, row)
    assert (decision.snap, decision.clip, decision.chosen) == ("1", "12:03", "flat")
    assert decision.note == "saw it late"
    assert decision.facts["yards_to_goal"] == 60
    assert decision.facts["hash"] == "left"
    assert [o.id for o in decision.options] == ["post", "dig", "flat"]
    post = decision.options[0]
    assert (post.kind, post.air_yards, post.third, post.window) == ("throw", 24, "middle", "step")
    assert post.on_time is not None
    assert post.sack is not None
    assert 0 < post.on_time + post.sack <= 1
    assert 0 < post.hit < 1
    for option, points, wins in zip(
        decision.options,
        decision.points.values,
        decision.wins.values,
        strict=True,  # type: ignore[union-attr]
    ):
        assert (option.points, option.wins) == (points.value, wins.value)


def test_the_look_of_the_log_reaches_the_laws(worth: Worth) -> None:
    """A crowded box takes from a run, and a snap is from the gun unless it says otherwise."""

    def run(box: int) -> float:
        row = snap(LoggedOption("g", "give"), DIG, chosen="g", defense=Defense(box=box))
        values, _, models = prepare(worth, row)
        return values.exact(models[0], "points")

    assert run(9) < run(7) < run(5)

    def gun(alignment: str | None) -> bool:
        return logged_values(worth, snap(call=Call(alignment=alignment))).setting.gun

    assert [gun(word) for word in (None, "gun", "pistol", "under")] == [True, True, True, False]


def test_what_was_assumed_is_marked(worth: Worth) -> None:
    bare = throw("bare")
    decision = priced(worth, snap(bare, replace(FLAT, in_read=Range(1, 1, 1), drop=3, hitches=0)))
    own = {a.code for a in decision.assumptions if a.subject == "bare"}
    assert own == {"air.default", "third.default", "drop.default", "window.default",
                   "in_read.unplaced"}  # fmt: skip
    said = {a.code for a in decision.assumptions if a.subject == "flat"}
    assert said == set()
    unknown = priced(worth, snap(at=situation(seconds=None, lead=None)))
    codes = {a.code for a in unknown.assumptions if a.subject == ""}
    assert {"clock.unknown", "score.unknown"} <= codes
    assert unknown.wins is None
    assert unknown.points is not None


def test_the_window_of_the_thrown_one_is_never_inherited(worth: Worth) -> None:
    """A ball that was thrown counts as thrown passes are; one that was not, as the middle."""
    route = {"route": "dig", "air_yards": 14, "third": "middle"}
    threw, other = throw("threw", **route), throw("other", **route)
    _, _, models = prepare(worth, snap(other, threw, chosen="threw"))
    assert models[1].judged.value > models[0].judged.value
    assert "window.thrown" in models[1].assumed
    assert "window.default" in models[0].assumed
    assert (models[1].chance() or 0) > (models[0].chance() or 0)


@pytest.mark.parametrize("word", ["loose", "step", "even", "narrow", "smothered"])
def test_a_window_word_is_its_own_nearest_word(worth: Worth, word: str) -> None:
    for option in (POST, DIG, FLAT):
        _, _, models = prepare(worth, snap(replace(option, window=word), DIG, chosen=option.id))
        assert models[0].window_at(models[0].judged.value) == word


def test_more_open_is_never_worth_less(worth: Worth) -> None:
    for option in (POST, DIG, FLAT):
        values = []
        for word in ("smothered", "narrow", "even", "step", "loose"):
            row = snap(replace(option, window=word), throw("other", route="go"))
            led = priced(worth, row).points
            assert led is not None
            values.append(led.values[0].value)
        assert values == sorted(values)


def test_tags_follow_from_the_situation(worth: Worth) -> None:
    def tags(row: Snap) -> dict[str, str]:
        return dict(priced(worth, row).tags)

    assert tags(snap(at=situation(yards_to_goal=95)))["field"] == "own 10 and in"
    assert tags(snap(at=situation(yards_to_goal=7, distance=7)))["field"] == "goal to go"
    assert tags(snap(at=situation(yards_to_goal=18)))["field"] == "opponent's 20 and in"
    assert tags(snap(at=situation(yards_to_goal=60)))["field"] == "own half"
    assert tags(snap(at=situation(yards_to_goal=40)))["field"] == "opponent's half"
    late = tags(snap(at=situation(period=4, seconds=100, down=3)))
    assert (late["down"], late["half"]) == ("third down", "second half")
    assert late["clock"] == "last two minutes of a half"
    assert tags(snap())["clock"] == "rest of the half"
    assert "clock" not in tags(snap(at=situation(seconds=None)))
    overtime = priced(worth, snap(at=situation(period=5, seconds=400, lead=0)))
    assert overtime.tags["half"] == "overtime"
    assert overtime.points is None


def test_snaps_made_ready_together_are_snaps_alone(worth: Worth) -> None:
    late = snap(POST, DIG, FLAT, at=situation(seconds=95, period=4))
    rows = (*ROWS, late)
    for row, together in zip(rows, prepare_together(worth, rows), strict=True):
        alone = prepare(worth, row)
        assert [m.assumed for m in together.models] == [m.assumed for m in alone.models]
        for currency in together.values.currencies:
            for one, other in zip(together.models, alone.models, strict=True):
                exact = alone.values.exact(other, currency)
                assert together.values.exact(one, currency) == pytest.approx(exact, abs=1e-6)
                assert one.seconds == pytest.approx(other.seconds)


def test_the_outcomes_of_an_option_are_those_of_its_law(worth: Worth) -> None:
    kinds = set()
    for row in (*ROWS, snap(POST, LoggedOption("s", "scramble"), LoggedOption("t", "throw-away"))):
        for model in prepare(worth, row).models:
            kinds.add(model.kind)
            assert model.outcomes == pytest.approx(model.law().mixture()[0], abs=1e-12)
            assert model.outcomes.sum() == pytest.approx(1)
    assert kinds >= {"throw", "keep", "go", "punt", "scramble", "throw-away"}
