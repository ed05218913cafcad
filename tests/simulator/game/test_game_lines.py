"""The lines of a game: start + priced + unpriced + between = end, in points and in wins."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest
from game_sample import ROWS, changed, priced, tiny
from pointsleft.game import lines
from pointsleft.log import read_log
from pointsleft.pricing.result import CURRENCIES, Currency, Lines, PricedGame
from pointsleft.pricing.settings import PriceSettings
from pointsleft_models.bundle import Models

DEMO = Path(__file__).parents[3] / "data_demo/game"

FAST = PriceSettings(draws=0, judgement_draws=5, refits=False)


@pytest.fixture(scope="module")
def game(models: Models) -> PricedGame:
    return priced(models, tiny())


@pytest.fixture(scope="module")
def demo(models: Models) -> PricedGame:
    return priced(models, read_log(DEMO), FAST)


def of(game: PricedGame, currency: Currency) -> Lines:
    found = game.lines[currency]
    assert found is not None
    return found


def closes(game: PricedGame) -> None:
    """The parts, each summed from what the report shows of single snaps, make the whole."""
    for currency in CURRENCIES:
        line = of(game, currency)
        ledgers = [getattr(d, currency) for d in game.decisions]
        assert line.priced == pytest.approx(
            sum(e.offered - e.left + e.delivered + e.breaks for e in ledgers), abs=1e-9
        )
        steps = [
            (getattr(u, f"{currency}_before"), getattr(u, f"{currency}_after"))
            for u in game.unpriced
        ]
        assert line.unpriced == pytest.approx(
            sum(after - before for before, after in steps if None not in (before, after)), abs=1e-9
        )
        total = line.start + line.priced + line.unpriced + line.between
        assert total == pytest.approx(line.end, abs=1e-9)


def test_the_lines_of_a_tiny_game_close(game: PricedGame) -> None:
    closes(game)


def test_the_lines_of_the_demo_game_close(demo: PricedGame) -> None:
    closes(demo)


def test_a_step_that_is_counted_nowhere_would_be_seen(
    models: Models, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(lines, "pairwise", lambda items: list(pairwise(items))[:-1])
    with pytest.raises(AssertionError):
        closes(priced(models, tiny(), FAST))


def test_a_hand_off_counted_as_a_decision_would_be_seen(
    models: Models, monkeypatch: pytest.MonkeyPatch
) -> None:
    honest = lines.steps_of

    def all_priced(*args: object) -> list[lines.Step]:
        from dataclasses import replace

        steps = honest(*args)  # type: ignore[arg-type]
        one = next(s.decision for s in steps if s.decision is not None)
        return [replace(s, decision=s.decision or one) for s in steps]

    monkeypatch.setattr("pointsleft.game.price.steps_of", all_priced)
    with pytest.raises(AssertionError):
        closes(priced(models, tiny(), FAST))


def test_the_lines_by_hand(game: PricedGame) -> None:
    """Snap by snap: in points the lead is part of the level, in wins it is in the value."""
    by_snap = {d.snap: (d.points.before, d.points.after) for d in game.decisions if d.points}
    for snap in game.unpriced:
        if snap.points_before is not None and snap.points_after is not None:
            by_snap[snap.snap] = snap.points_before, snap.points_after
    leads = {"1": 0, "2": 0, "3": 0, "4": 0, "6": 4, "7": 4, "8": -3}
    assert set(by_snap) == set(leads)  # the try has no value of its own
    level = [(leads[s] + by_snap[s][0], leads[s] + by_snap[s][1]) for s in leads]
    points = of(game, "points")
    assert points.start == pytest.approx(level[0][0])
    gaps = sum(nxt[0] - here[1] for here, nxt in pairwise(level))
    assert points.end == -6.0
    assert points.between == pytest.approx(gaps + (-6.0 - level[-1][1]))
    assert points.priced == pytest.approx(
        sum(by_snap[s][1] - by_snap[s][0] for s in ("1", "3", "4", "8"))
    )


def test_within_a_drive_nothing_is_between(models: Models) -> None:
    """Where the next snap follows on the field, one ends where the next begins."""
    found = priced(models, tiny(ROWS[:4], snaps_logged="some", final_us=None, final_them=None))
    for currency in CURRENCIES:
        assert of(found, currency).between == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(
    ("them", "points", "wins"), [(13, -6.0, 0.0), (10, -3.0, 0.0), (7, 0.0, 0.5)]
)
def test_a_whole_game_ends_at_its_final_score(
    models: Models, them: int, points: float, wins: float
) -> None:
    rows = changed(7, them=7) if them == 7 else ROWS
    found = priced(models, tiny(rows, final_them=them), FAST)
    assert of(found, "points").end == points
    assert of(found, "wins").end == wins
    closes(found)


@pytest.mark.parametrize(
    "items", [{"snaps_logged": "some"}, {"final_us": None, "final_them": None}]
)
def test_part_of_a_game_ends_with_its_last_snap(models: Models, items: dict[str, object]) -> None:
    found = priced(models, tiny(ROWS[:3], **{"final_them": 0} | items), FAST)
    last = found.decisions[-1]
    assert last.points is not None
    assert last.wins is not None
    assert of(found, "points").end == pytest.approx(last.points.after)
    assert of(found, "wins").end == pytest.approx(last.wins.after)


def test_without_a_clock_there_are_points_and_no_wins(models: Models) -> None:
    rows = tuple({k: v for k, v in row.items() if k != "clock"} for row in ROWS[:3])
    found = priced(models, tiny(rows, snaps_logged="some", final_us=None, final_them=None), FAST)
    assert found.lines["wins"] is None
    assert found.lines["points"] is not None
    assert all(d.wins is None for d in found.decisions)
    assert found.course == ()
    assert found.headline["wins_left"] is None
    assert found.headline["points_left"] is not None


def test_without_a_score_the_lines_have_no_level(models: Models) -> None:
    rows = tuple({k: v for k, v in row.items() if k not in ("us", "them")} for row in ROWS[:3])
    found = priced(models, tiny(rows, snaps_logged="some", final_us=None, final_them=None), FAST)
    assert found.lines["points"] is None
    assert found.lines["wins"] is None
    assert all(d.points is not None for d in found.decisions)


def test_what_is_not_priced_says_why(models: Models) -> None:
    unchosen = {**ROWS[7], "options": "go40.r/x flat1.r/l"}
    found = priced(models, tiny((*ROWS[:7], unchosen)), FAST)
    reasons = {u.snap: u.reason for u in found.unpriced}
    assert reasons == {
        "2": "no option attached: it belongs to the call",
        "5": "a try: the expected try is part of the touchdown",
        "6": "a clock call: it is not priced as a play",
        "7": "no options logged",
        "8": "what was chosen is not logged",
    }
    one = {**ROWS[0], "options": "post20.m/n*"}
    alone = priced(models, tiny((one, *ROWS[1:])), FAST)
    assert alone.unpriced[0].reason == "only one option logged"


def test_the_course_runs_with_the_clock(game: PricedGame) -> None:
    """Seconds of game time gone, by hand: 10:00 of the first is 300, 1:10 of the fourth 3,530."""
    elapsed = {p.snap: p.elapsed for p in game.course}
    assert elapsed == {"1": 300, "2": 340, "3": 380, "4": 386, "6": 1760, "7": 1762, "8": 3530}
    wins = {d.snap: d.wins for d in game.decisions}
    for point in game.course:
        decision = wins.get(point.snap)
        assert 0 <= point.wins <= 1
        assert point.left == (None if decision is None else decision.left)
