"""What exists in a situation, and the reasons why the rest does not."""

from __future__ import annotations

import pytest
from pointsleft.endgame.actions import KICK_AT, actions_at
from pointsleft_models.playthrough.start import Start

LATE = Start(2, 40, lead=-1, down=2, distance=6, yards_to_goal=28, own_timeouts=1,
             opponent_timeouts=2, clock_running=True)  # fmt: skip


def codes(start: Start, side: str = "offense") -> set[str]:
    return {a.code for a in actions_at(start, side)[0]}  # type: ignore[arg-type]


def reason(start: Start, code: str, side: str = "offense") -> str:
    refused = {r.action: r.reason for r in actions_at(start, side, (code,))[1]}  # type: ignore[arg-type]
    return refused.get(code, "")


def test_a_running_clock_in_range() -> None:
    assert codes(LATE) == {
        "run", "pass", "play-on", "field-goal", "wait-and-kick", "run-and-kick",
        "kneel-and-kick", "kneel", "spike", "time-out",
    }  # fmt: skip


def test_a_still_clock_needs_no_spike_and_no_time_out() -> None:
    still = LATE.with_(clock_running=False)
    plans = {"run-and-kick", "kneel-and-kick"}
    assert codes(still) == {"run", "pass", "field-goal", "kneel"} | plans
    assert "stands still" in reason(still, "spike")
    assert "stands still" in reason(still, "time-out")


def test_fourth_down_has_its_own_choices() -> None:
    fourth = LATE.with_(down=4)
    assert {"go", "punt", "field-goal"} <= codes(fourth)
    assert not {"run", "pass", "spike"} & codes(fourth)
    assert "fourth down" in reason(fourth, "spike")


@pytest.mark.parametrize(
    ("changes", "code", "words"),
    [
        ({"own_timeouts": 0}, "time-out", "no time-out is left"),
        ({"own_timeouts": 0}, "wait-and-kick", "no time-out is left"),
        ({"seconds": 90}, "wait-and-kick", "play clock is 40 seconds"),
        ({"own_timeouts": 0}, "run-and-kick", "no time-out is left"),
        ({"seconds": 8}, "run-and-kick", "is the last kick already"),
        ({"seconds": 90}, "run-and-kick", "fourth down comes before the last kick"),
        ({"lead": 1}, "kneel-and-kick", "level or behind by three"),
        ({"lead": -4}, "run-and-kick", "level or behind by three"),
        ({"down": 4}, "kneel-and-kick", "on fourth down"),
        ({"yards_to_goal": 60}, "kneel-and-kick", "78 yards; nobody"),
        ({"yards_to_goal": 60}, "field-goal", "78 yards; nobody"),
        ({"yards_to_goal": 60}, "safety", "40 yards behind"),
        ({}, "punt", "before fourth down"),
        ({}, "go", "fourth down"),
        ({"seconds": 0}, "kneel", "no time is left"),
        ({}, "dance", "there is run, pass"),
    ],
)
def test_refusals_say_why(changes: dict[str, int], code: str, words: str) -> None:
    assert words in reason(LATE.with_(**changes), code)


def test_backed_up_a_safety_can_be_given() -> None:
    assert "safety" in codes(LATE.with_(yards_to_goal=97, down=4))
    assert "safety" not in codes(LATE)  # negative control


def test_the_defense_stands_aside_only_near_its_goal() -> None:
    assert codes(LATE.with_(yards_to_goal=8), "defense") == {"defend", "time-out", "let-score"}
    assert "within 25" in reason(LATE.with_(yards_to_goal=40), "let-score", "defense")
    assert reason(LATE.with_(opponent_timeouts=0), "time-out", "defense") == "no time-out is left"


def test_a_let_in_touchdown_is_priced_only_where_asked_for() -> None:
    goal = LATE.with_(yards_to_goal=2, distance=2)
    assert "score" not in codes(goal)
    assert [a.code for a in actions_at(goal, "offense", ("score",))[0]] == ["score"]


def test_waiting_for_the_kick_costs_the_clock_and_a_time_out() -> None:
    (made,), _ = actions_at(LATE, "offense", ("wait-and-kick",))
    assert (made.start.seconds, made.start.own_timeouts) == (KICK_AT, LATE.own_timeouts - 1)
    assert made.opening.call == "field goal"


def test_a_kickoff_is_deep_or_onside() -> None:
    assert codes(LATE.with_(phase="kickoff")) == {"deep", "onside"}
    assert "deep, onside" in reason(LATE.with_(phase="kickoff"), "run")
