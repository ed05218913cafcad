"""What follows from a result, and what is carried forward."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from log_sample import FIRST, GAME, faults, places, read, snaps
from pointsleft.log.follow import follow
from pointsleft.log.record import Flag, Happened
from pointsleft_models.football.rules import rule_set
from pointsleft_models.football.situation import Situation

RULES = rule_set("professional", 2019)


def at(down: int, distance: int, to_goal: int) -> Situation:
    return Situation(1, 600, down, distance, to_goal, 0, RULES)


@given(st.integers(1, 4), st.integers(1, 20), st.integers(1, 99), st.integers(-10, 40))
def test_a_gain_leads_to_one_state_or_ends_the_possession(
    down: int, distance: int, to_goal: int, yards: int
) -> None:
    distance = min(distance, to_goal)
    after = follow(at(down, distance, to_goal), Happened(result="run", yards=yards))
    left = to_goal - yards
    if not 0 < left < 100:
        assert after.goes_on is None
    elif yards >= distance:
        assert after.states == ((1, min(10, left), left),)
    elif down == 4:
        assert after.goes_on is False
    else:
        assert after.states == ((down + 1, distance - yards, left),)


@pytest.mark.parametrize(
    ("done", "us", "them"),
    [
        (Happened(result="run", yards=30, touchdown=True), (6, 7, 8), (0,)),
        (Happened(result="good"), (3,), (0,)),
        (Happened(result="sack", yards=-5, safety=True), (0,), (2,)),
        (Happened(result="interception", defense_scored=True), (0,), (6, 7, 8)),
        (Happened(result="complete", yards=5, fumble="lost"), (0,), (0,)),
        (Happened(result="punt"), (0,), (0,)),
    ],
)
def test_what_ends_a_possession_and_what_it_scores(
    done: Happened, us: tuple[int, ...], them: tuple[int, ...]
) -> None:
    after = follow(at(1, 10, 30), done)
    assert (after.goes_on, after.us, after.them) == (False, us, them)


def flagged(result: str, gained: int | None = None, **flag: object) -> Happened:
    return Happened(result=result, yards=gained, flag=Flag(**flag))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("done", "states"),
    [
        # A hold takes the catch back and costs ten; the down is played again.
        (flagged("complete", 30, side="offense", yards=10), ((2, 18, 60),)),
        # Grounding loses the down as well.
        (flagged("incomplete", side="offense", yards=10, loss_of_down=True), ((3, 18, 60),)),
        # Offside: five yards, the down again, unless it reaches the line to gain.
        (flagged("sack", -9, side="defense", when="before", yards=5, foul="offside"),
         ((2, 3, 45),)),
        # A foul not named may have given a first down.
        (flagged("incomplete", side="defense", yards=5), ((2, 3, 45), (1, 10, 45))),
        # Holding by the defense always does; so do yards to the line to gain.
        (flagged("incomplete", side="defense", yards=5, foul="holding"), ((1, 10, 45),)),
        (flagged("incomplete", side="defense", yards=12), ((1, 10, 38),)),
        # Declined or offset: as if it had not been, or the down again.
        (flagged("complete", 4, side="defense", decision="declined", yards=5), ((3, 4, 46),)),
        (flagged("complete", 4, side="offense", decision="offset"), ((2, 8, 50),)),
        # After the play: the gain counts and the yards are added at its end.
        (flagged("complete", 4, side="defense", when="after", yards=15, foul="face mask"),
         ((1, 10, 31),)),
        (flagged("complete", 9, side="offense", when="after", yards=15), ((1, 10, 56),)),
        (flagged("complete", 4, side="offense", when="after", yards=15), ((3, 19, 61),)),
        # A false start: no play at all.
        (flagged("no-play", side="offense", when="dead", yards=5), ((2, 13, 55),)),
    ],
)  # fmt: skip
def test_flags(done: Happened, states: tuple[tuple[int, int, int], ...]) -> None:
    assert follow(at(2, 8, 50), done).states == states


def test_blanks_follow_from_the_row_above(tmp_path: Path) -> None:
    _, second, third = snaps(
        tmp_path,
        {"clock": "9:20", "result": "complete", "yards": "11"},
        {"result": "incomplete"},
    )
    assert second.situation is not None
    assert third.situation is not None
    assert (second.situation.down, second.situation.distance) == (2, 6)
    assert second.situation.yards_to_goal == 71
    assert third.situation.yards_to_goal == 60
    assert (third.number, third.us, third.them) == ("3", 0, 0)
    assert {"down", "distance", "yards_to_goal", "period", "us", "them"} <= second.derived
    assert "seconds" not in second.derived
    assert third.situation.seconds is None


def test_the_clock_is_carried_only_where_no_time_has_run(tmp_path: Path) -> None:
    start = {"result": "no-play", "flag": "offense", "flag when": "dead", "flag yards": "5"}
    rows = snaps(
        tmp_path,
        {"clock": "9:20", **start},
        {"result": "run", "yards": "1"},
        {"result": "incomplete"},
    )
    assert rows[2].situation is not None
    assert rows[2].situation.seconds == 560
    assert "seconds" in rows[2].derived
    assert rows[3].situation is not None
    assert rows[3].situation.seconds is None


def test_the_clock_certainly_stands_after_an_incompletion_and_nothing_else_is_said(
    tmp_path: Path,
) -> None:
    rows = snaps(tmp_path, {"result": "incomplete"}, {"result": "run", "yards": "2"})
    running = [s.situation.clock_running for s in rows if s.situation is not None]
    assert running == [None, None, False]


def test_the_clock_stands_when_the_ball_comes_back(tmp_path: Path) -> None:
    rows = snaps(tmp_path, {"result": "run", "yards": "9", "fumble": "lost"}, {"ball": "own 30"})
    assert rows[2].situation is not None
    assert rows[2].situation.clock_running is False


@pytest.mark.parametrize(("opening", "receives"), [("us", False), ("them", True)])
def test_whoever_kicked_off_first_receives_the_second_half(
    tmp_path: Path, opening: str, receives: bool
) -> None:
    at = read(tmp_path, [FIRST], game=GAME | {"opening kickoff to": opening}).snaps[0].situation
    assert at is not None
    assert at.receives_second_half is receives


def test_a_new_possession_starts_on_first_down_and_its_score_is_not_guessed(
    tmp_path: Path,
) -> None:
    rows = snaps(
        tmp_path,
        {"result": "interception", "yards": ""},
        {"clock": "5:00", "ball": "opp 8", "result": "run", "yards": "8"},
    )
    new = rows[2]
    assert new.situation is not None
    assert (new.situation.down, new.situation.distance) == (1, 8)
    assert new.situation.lead is None
    assert not new.situation.has_wins
    assert new.happened.touchdown
    assert "touchdown" in new.derived


def test_the_try_and_the_score_after_it(tmp_path: Path) -> None:
    rows = snaps(
        tmp_path,
        {"ball": "own 29", "result": "complete", "yards": "71"},
        {"family": "try", "options": "fg* gfi", "result": "good"},
        {"ball": "own 30", "us": "7", "them": "3", "result": "run", "yards": "2"},
    )
    assert rows[2].situation is None
    assert (rows[2].us, rows[2].them) == (6, 0)
    assert rows[3].situation is not None
    assert rows[3].situation.lead == 4


def test_timeouts_are_full_again_after_the_half(tmp_path: Path) -> None:
    rows = snaps(
        tmp_path,
        {"quarter": "2", "clock": "0:40", "our timeouts": "1", "result": "kneel", "yards": "-1"},
        {"quarter": "3", "clock": "15:00", "ball": "own 25", "us": "0", "them": "0"},
        {"quarter": "5", "clock": "10:00", "ball": "own 25", "us": "0", "them": "0"},
    )
    left = [s.situation.own_timeouts for s in rows if s.situation is not None]
    assert left == [3, 1, 3, 2]


def test_a_failed_fourth_down_gives_the_ball_over_where_it_lies(tmp_path: Path) -> None:
    rows = snaps(
        tmp_path,
        {"result": "run", "yards": "1"},
        {"result": "run", "yards": "1"},
        {"result": "run", "yards": "-2"},
    )
    assert rows[3].happened.end_yards_to_goal == 29  # from the other side's view
    assert "end_yards_to_goal" in rows[3].derived


def test_where_the_other_side_takes_over_is_turned_once(tmp_path: Path) -> None:
    rows = snaps(tmp_path, {"result": "interception", "takeover": "opp 20"})
    assert rows[1].happened.end_yards_to_goal == 80


def test_a_bare_yard_line_is_repaired_only_where_the_row_above_tells(tmp_path: Path) -> None:
    game = read(tmp_path / "a", [FIRST, {"ball": "29", "result": "run", "yards": "3"}])
    assert game.snaps[1].situation is not None
    assert game.snaps[1].situation.yards_to_goal == 71
    assert any("29 read as own 29" in w for w in game.warnings)
    found = faults(tmp_path / "b", [FIRST | {"ball": "25"}])
    assert places(found) == [("snaps", 2, "ball")]
    assert "own 25 or opp 25" in found[0].expected


def test_a_log_of_some_snaps_carries_nothing(tmp_path: Path) -> None:
    rows = [FIRST, FIRST | {"snap": "2", "clip": "9:00", "clock": "12:00", "ball": "opp 3",
                            "distance": "goal", "yards": "1"}]  # fmt: skip
    assert places(faults(tmp_path / "all", rows)) != []
    game = read(tmp_path / "some", rows, game=GAME | {"snaps logged": "some"})
    assert not game.every_snap
    found = faults(tmp_path / "blank", [FIRST, {"snap": "2"}], game=GAME | {"snaps logged": "some"})
    assert {f.column for f in found} >= {"quarter", "ball"} or found == ()


LATER = FIRST | {
    "snap": "9", "clip": "9:00", "quarter": "4", "clock": "2:00", "us": "10", "them": "17",
    "down": "3", "distance": "4", "ball": "opp 30", "yards": "2",
}  # fmt: skip


def test_snaps_are_left_out_with_their_numbers(tmp_path: Path) -> None:
    """Their numbers are left out too: then nothing is carried across, and it goes on after."""
    game = read(tmp_path / "log", [FIRST, LATER, {"result": "run", "yards": "1"}])
    first, later, after = (s.situation for s in game.snaps)
    assert first is not None
    assert later is not None
    assert after is not None
    assert (later.period, later.down, later.lead) == (4, 3, -7)
    assert (game.snaps[2].number, after.down, after.distance, after.lead) == ("10", 4, 2, -7)
    found = faults(tmp_path / "next", [FIRST, LATER | {"snap": "2"}])
    assert ("snaps", 3, "down") in places(found)


def test_a_gap_asks_for_the_situation_and_no_score_goes_backwards(tmp_path: Path) -> None:
    blank = {k: "" if k in ("distance", "quarter") else v for k, v in LATER.items()}
    assert places(faults(tmp_path / "a", [FIRST, blank])) == [
        ("snaps", 3, "distance"), ("snaps", 3, "quarter")
    ]  # fmt: skip
    ahead = [FIRST | {"us": "14"}, LATER]
    assert places(faults(tmp_path / "b", ahead)) == [("snaps", 3, "us")]


def test_numbers_of_the_film_still_carry(tmp_path: Path) -> None:
    """Who numbers by the film, the other side's snaps too, types nothing that follows."""
    game = read(tmp_path / "log", [FIRST, {"snap": "4", "result": "run", "yards": "1"}])
    assert game.snaps[1].situation is not None
    assert game.snaps[1].situation.down == 2


@pytest.mark.parametrize("result", ["throw-away", "run", "no-play"])
def test_a_foul_in_the_own_end_zone_is_the_safety_itself(tmp_path: Path, result: str) -> None:
    """Grounding or holding there: the flag takes nothing back, it is the two points."""
    row = FIRST | {"ball": "own 4", "result": result, "yards": "2" if result == "run" else "",
                   "safety": "yes", "flag": "offense", "flag decision": "accepted",
                   "foul": "holding"}  # fmt: skip
    done = read(tmp_path / "a", [row]).snaps[0]
    assert done.situation is not None
    after = follow(done.situation, done.happened)
    assert after.goes_on is False
    assert after.them == (2,)
    played = read(tmp_path / "b", [row | {"safety": "", "flag decision": "accepted"}]).snaps[0]
    assert played.situation is not None
    assert follow(played.situation, played.happened).them == (0,)
