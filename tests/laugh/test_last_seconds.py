"""Answers about the clock at which a coach would laugh.

Every check prices a row of a log with the whole engine; each that matters most is then run on
an engine broken on purpose and must notice.
"""

from __future__ import annotations

import numpy as np
import pytest
from engine import Priced, decision, look, snap
from pointsleft.log import check
from pointsleft.pricing.result import Currency
from pointsleft_models.bundle import Worth
from pointsleft_models.laws.clock import ClockLaw
from pointsleft_models.laws.lattice import OTHER, RUNNING, STOPPED, TOUCHDOWN, spot_cell
from pointsleft_models.values.field import Valuation
from pointsleft_models.values.kickoffs import Kickoff

NOBODY = {"our_timeouts": 0}


# -- the last play of the game, four behind -----------------------------------------------------


def last_play(worth: Worth, ball: str, end_zone: int) -> Priced:
    """Four seconds, four behind: something short and open, something deep and covered."""
    return look(
        worth, quarter=4, clock="0:04", us=17, them=21, ball=ball, down=1, distance=10,
        options=f"hitch6.r.3h0/l slant8.m.3h0/l dig15.m.5h1/s go{end_zone}.r.5h1/n* ta",
        **NOBODY,
    )  # fmt: skip


def only_the_end_zone_helps(worth: Worth) -> None:
    for ball, end_zone in (("50", 53), ("opp 40", 43), ("opp 30", 33)):
        priced = last_play(worth, ball, end_zone)
        assert priced.best("wins") == "go", ball
        assert priced.wins["hitch"] < 0.5 * priced.wins["go"], ball


def test_last_play_four_behind_goes_to_the_end_zone(worth: Worth) -> None:
    """Nothing short of the goal line wins, so the covered heave beats the open hitch."""
    only_the_end_zone_helps(worth)


def test_last_play_is_noticed_when_the_clock_never_runs_out(
    worth: Worth, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(
        Valuation, "_half_over", lambda self, book, at, team, lead: (book.known(0.5),) * 2
    )
    with pytest.raises(AssertionError):
        only_the_end_zone_helps(worth)


def test_an_interception_on_the_last_play_costs_nothing(worth: Worth) -> None:
    """Lost either way: the throw that is picked off and the one that falls down."""
    priced = last_play(worth, "50", 53)
    dropped = priced.cell(spot_cell(STOPPED, 50), "wins")
    for spot in (1, 10, 20, 50):
        assert priced.cell(spot_cell(OTHER, spot), "wins") == pytest.approx(dropped, abs=0.002)
    hurried = look(worth, quarter=1, clock="8:00", ball="50", options="go45.r/n* ta")
    assert hurried.cell(spot_cell(OTHER, 50), "wins") < hurried.cell(
        spot_cell(STOPPED, 50), "wins"
    )  # it does cost something when there is time left


# -- three points do not make four --------------------------------------------------------------


def no_kick_when_three_are_too_few(worth: Worth) -> None:
    for ball in ("opp 35", "opp 20", "opp 8"):
        deep = min(20, int(ball.split()[1]) + 5)
        priced = look(
            worth, quarter=4, clock="0:20", us=17, them=21, ball=ball, down=4, distance=6,
            options=f"fg corner{deep}.r.5h1/x* dig7.m.3h0/n gfi", **NOBODY,
        )  # fmt: skip
        assert all(priced.wins["field-goal"] < v for k, v in priced.wins.items()
                   if k != "field-goal"), ball  # fmt: skip


def test_four_behind_with_twenty_seconds_is_no_time_to_kick(worth: Worth) -> None:
    """Fourth down: even a throw into a smothered window is worth more than three points."""
    no_kick_when_three_are_too_few(worth)


def test_three_behind_is_another_matter(worth: Worth) -> None:
    """The same spot a point better: now the kick levels the game and is best."""
    priced = look(
        worth, quarter=4, clock="0:20", us=17, them=20, ball="opp 20", down=4, distance=6,
        options="fg corner20.r.5h1/x* dig7.m.3h0/n gfi", **NOBODY,
    )  # fmt: skip
    assert priced.best("wins") == "field-goal"


def test_kicking_is_noticed_when_three_points_count_as_a_touchdown(
    worth: Worth, monkeypatch: pytest.MonkeyPatch
) -> None:
    honest = Valuation._score_wins

    def generous(self: Valuation, *args: object) -> np.ndarray:
        out = honest(self, *args)  # type: ignore[arg-type]
        out[..., 1] = out[..., 0]
        return out

    monkeypatch.setattr(Valuation, "_score_wins", generous)
    with pytest.raises(AssertionError):
        no_kick_when_three_are_too_few(worth)


# -- do not score -------------------------------------------------------------------------------


def going_down_wins(worth: Worth) -> None:
    priced = look(
        worth, quarter=4, clock="1:40", us=20, them=18, ball="opp 8", down=1, distance=8,
        options="give.g* slant4", their_timeouts=0,
    )  # fmt: skip
    down = priced.cell(spot_cell(RUNNING, 1), "wins")
    assert down > priced.cell(TOUCHDOWN, "wins")
    assert priced.cell(spot_cell(RUNNING, 1)) < priced.cell(TOUCHDOWN)  # points say the reverse


def test_two_ahead_with_the_clock_to_kneel_out_go_down_at_the_one(worth: Worth) -> None:
    """1:40 left and no time-outs over there: three kneels end it, a score gives the ball back."""
    going_down_wins(worth)


def test_with_time_outs_over_there_the_score_is_taken(worth: Worth) -> None:
    priced = look(
        worth, quarter=4, clock="1:40", us=20, them=18, ball="opp 8", down=1, distance=8,
        options="give.g* slant4", their_timeouts=3,
    )  # fmt: skip
    assert priced.cell(TOUCHDOWN, "wins") > priced.cell(spot_cell(RUNNING, 1), "wins")


def test_going_down_is_noticed_when_a_score_ends_the_game(
    worth: Worth, monkeypatch: pytest.MonkeyPatch
) -> None:
    honest = Valuation._score_wins

    def over(self: Valuation, *args: object) -> np.ndarray:
        out = honest(self, *args)  # type: ignore[arg-type]
        out[..., 0] = 1.0
        return out

    monkeypatch.setattr(Valuation, "_score_wins", over)
    with pytest.raises(AssertionError):
        going_down_wins(worth)


# -- twelve seconds and no time-outs ------------------------------------------------------------


def out_beats_dig(worth: Worth, leads: tuple[int, ...] = (0, -1, -2, -3)) -> None:
    for ball in ("opp 40", "opp 36", "opp 32"):
        for lead in leads:
            priced = look(
                worth, quarter=4, clock="0:12", us=20 + lead, them=20, ball=ball,
                options="out8.r.3h0/e* dig14.m.3h0/e", **NOBODY,
            )  # fmt: skip
            assert priced.wins["out"] > priced.wins["dig"], (ball, lead)
        half = look(
            worth, quarter=2, clock="0:12", us=20, them=20, ball=ball,
            options="out8.r.3h0/e* dig14.m.3h0/e", **NOBODY,
        )  # fmt: skip
        for currency in ("points", "wins"):
            assert getattr(half, currency)["out"] > getattr(half, currency)["dig"], ball


def test_without_time_outs_the_side_line_beats_six_more_yards(worth: Worth) -> None:
    """In range of a kick: the ball must stop the clock, so the shorter out beats the dig."""
    out_beats_dig(worth)


def test_with_time_to_spare_the_longer_route_is_worth_more(worth: Worth) -> None:
    priced = look(worth, clock="12:00", ball="opp 36", options="out8.r.3h0/e* dig14.m.3h0/e")
    assert priced.points["dig"] > priced.points["out"]


def test_the_side_line_is_noticed_when_the_clock_always_stops(
    worth: Worth, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stopping(self: ClockLaw, at: object, seconds: float, *rest: object) -> object:
        return self.stopped(at, seconds)  # type: ignore[arg-type]

    monkeypatch.setattr(ClockLaw, "running", stopping)
    with pytest.raises(AssertionError):
        out_beats_dig(worth)


# -- calls of the clock -------------------------------------------------------------------------


@pytest.mark.parametrize("call", ["spike", "kneel"])
@pytest.mark.parametrize("options", ["", "hitch6.r/l* give.g", "hitch6.r/l give.g*"])
def test_spike_and_kneel_are_never_priced(call: str, options: str) -> None:
    """Whatever options a charter leaves beside them, they are no throw and no run."""
    row = snap(quarter=4, clock="0:30", family=call, options=options, result=call, yards=0)
    assert not check.is_decision(row)


def test_the_same_row_with_a_play_is_priced() -> None:
    row = snap(family="drop-back", options="hitch6.r/l* go30.r/n", result="incomplete")
    assert check.is_decision(row)


# -- fourteen to eight --------------------------------------------------------------------------


def tries_at_eight(worth: Worth, seconds: int) -> tuple[float, float, float]:
    """Chance to win by the kick, by two, and as the engine values the touchdown."""

    def before_the_kickoff(lead: int) -> float:
        kickoff = Kickoff(lead, seconds, 2, False, 3, 3, 0)
        return float(worth.valuation.kickoff_wins(kickoff)[0])

    eight, seven, six = (before_the_kickoff(lead) for lead in (-8, -7, -6))
    one, two = worth.points.try_points, worth.two_point
    priced = look(
        worth, quarter=4, clock=f"{(seconds + 6) // 60}:{(seconds + 6) % 60:02d}", us=7, them=21,
        ball="opp 5", down=1, distance=5, options="give.g* slant4",
    )  # fmt: skip
    return (
        one * seven + (1 - one) * eight,
        two * six + (1 - two) * eight,
        priced.cell(TOUCHDOWN, "wins"),
    )


def two_is_asked_at_eight(worth: Worth) -> None:
    for seconds in (294, 150):
        kick, two, valued = tries_at_eight(worth, seconds)
        assert two > kick, seconds
        # chances are looked up in single precision, and a batch of another size rounds otherwise
        assert valued == pytest.approx(two, abs=1e-7), seconds


def test_the_try_is_asked_eight_behind_with_both_branches(worth: Worth) -> None:
    """Fourteen behind, a touchdown: made, the next one wins; missed, the next one still ties.

    The touchdown is worth the better of the two tries, each with what comes after it.
    """
    two_is_asked_at_eight(worth)


def test_the_try_is_noticed_when_only_the_kick_is_known(
    worth: Worth, monkeypatch: pytest.MonkeyPatch
) -> None:
    def kick_only(self: Valuation, none: np.ndarray, one: np.ndarray, two: np.ndarray) -> object:
        made = self.points.try_points
        return made * one + (1 - made) * none

    monkeypatch.setattr(Valuation, "_better_try", kick_only)
    with pytest.raises(AssertionError):
        two_is_asked_at_eight(worth)


@pytest.mark.parametrize("currency", ["points", "wins"])
def test_the_decision_of_a_last_play_closes(worth: Worth, currency: Currency) -> None:
    """The four entries run from the value before to the value after, clock run out or not."""
    row = snap(
        quarter=4, clock="0:04", us=17, them=21, ball="50", our_timeouts=0,
        options="hitch6.r/l* go53.r/n", result="complete", yards=6, ended="in",
    )  # fmt: skip
    ledger = getattr(decision(worth, row), currency)
    total = ledger.offered - ledger.left + ledger.delivered + ledger.breaks
    assert total == pytest.approx(ledger.after - ledger.before, abs=1e-12)
    if currency == "wins":
        assert ledger.best == "go"
        assert ledger.left > 0.01
        assert ledger.after == pytest.approx(0.0, abs=0.01)
