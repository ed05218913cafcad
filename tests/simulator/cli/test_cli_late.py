"""The commands for late choices and for flags: text, JSON, refusals."""

from __future__ import annotations

import json
from typing import Any

import pytest
from click.testing import CliRunner, Result
from pointsleft.cli.late import FEWEST
from pointsleft.cli.main import main
from pointsleft.endgame.price import BUDGET, FIRST, WHOLE_BUDGET_FROM

LATE = (
    "late", "--quarter", "4", "--clock", "0:18", "--us", "20", "--them", "22", "--ball", "opp 28",
    "--our-timeouts", "0", "--running",
)  # fmt: skip
FLAG = (
    "flag", "--ball", "own 40", "--down", "3", "--distance", "7", "--foul-by", "offense",
    "--foul", "holding", "--foul-yards", "10", "--result", "complete", "--yards", "5",
)  # fmt: skip


def run(*arguments: str) -> Result:
    return CliRunner().invoke(main, list(arguments))


def parsed(*arguments: str) -> Any:
    done = run(*arguments, "--json")
    assert done.exit_code == 0, done.output
    return json.loads(done.output)


@pytest.mark.parametrize("arguments", [LATE, FLAG])
def test_text_fits_the_terminal_and_carries_the_caution(arguments: tuple[str, ...]) -> None:
    done = run(*arguments)
    assert done.exit_code == 0, done.output
    assert max(map(len, done.output.splitlines())) <= 80
    assert "never the sole ground" in done.output
    assert "…" not in done.output


def test_text_and_json_say_the_same() -> None:
    data, text = parsed(*LATE), run(*LATE).output
    assert data["choices"][0]["action"] == "spike"
    for choice in data["choices"]:
        assert f"{100 * choice['wins']:.1f}%" in text
        assert choice["draws"] >= 20_000
        assert choice["error"] < 0.004
    assert {r["action"] for r in data["refused"]} >= {"time-out", "punt", "safety"}


def test_the_seed_makes_it_repeatable() -> None:
    assert run(*LATE).output == run(*LATE).output
    assert parsed(*LATE, "--seed", "2") != parsed(*LATE)  # negative control


def test_only_the_actions_that_are_asked_for() -> None:
    data = parsed(*LATE, "--actions", "spike, field-goal")
    assert {c["action"] for c in data["choices"]} == {"spike", "field-goal"}
    assert data["refused"] == []


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--actions", "time-out"), "no time-out is left"),
        (("--actions", "dance"), "there is run, pass"),
        (("--draws", "100"), "20000"),
        (("--clock", "16:00"), "--clock"),
        (("--ball", "35"), "--ball"),
        (("--level", "college"), "there is one for: professional"),
    ],
)
def test_bad_input_is_wrong_use_with_the_reason(arguments: tuple[str, ...], words: str) -> None:
    done = run(*LATE, *arguments)
    assert done.exit_code == 2
    assert words in done.output


def test_a_ball_or_a_kickoff_is_needed() -> None:
    bare = ("late", "--quarter", "4", "--clock", "1:00", "--us", "3", "--them", "6")
    assert run(*bare).exit_code == 2
    assert "--kickoff" in run(*bare).output
    data = parsed(*bare, "--kickoff")
    assert {c["action"] for c in data["choices"]} == {"deep", "onside"}
    assert data["situation"].startswith("kickoff, 1:00 left")
    assert "--side" in run(*bare, "--kickoff", "--side", "defense").output


def test_without_a_score_there_are_no_wins_to_price() -> None:
    done = run("late", "--quarter", "4", "--clock", "1:00", "--ball", "opp 20")
    assert done.exit_code == 2
    for name in ("--us", "--them"):
        assert f"{name}: found nothing; late choices are priced in wins" in done.output


def test_everything_wrong_is_said_at_once() -> None:
    done = run("late", "--kickoff", "--side", "defense", "--quarter", "9", "--clock", "77",
               "--us", "2")  # fmt: skip
    assert done.exit_code == 2
    for name in ("--side: found defense", "--them: found nothing", "--clock: found 77"):
        assert name in done.output
    assert max(map(len, done.output.splitlines())) <= 80


def test_the_defense_sees_its_own_wins() -> None:
    data = parsed(*LATE, "--side", "defense", "--actions", "defend")
    assert data["side"] == "defense"
    assert data["choices"][0]["wins"] > 0.3


def test_flag_as_data() -> None:
    data = parsed(*FLAG)
    assert data["chooser"] == "defense"
    assert {c["action"] for c in data["choices"]} == {"accept", "decline"}
    assert set(data["best"]) == {"points"}  # no clock, no score: no wins


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--foul-when", "dead"), "stops the play"),
        (("--foul-by", "referee"), "--foul-by"),
        (("--result", "vanished"), "--result"),
    ],
)
def test_flags_that_cannot_be_priced(arguments: tuple[str, ...], words: str) -> None:
    done = run(*FLAG, *arguments)
    assert done.exit_code == 2
    assert words in done.output


def test_help_names_the_draws_that_are_taken() -> None:
    """The help is printed before anything heavy is loaded, so it repeats the figures."""
    told = " ".join(run("late", "--help").stdout.split())
    assert f"{BUDGET:,} in the last 0:{WHOLE_BUDGET_FROM} of a half" in told
    assert FEWEST == FIRST
