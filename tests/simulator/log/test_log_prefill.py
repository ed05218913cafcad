"""A log prefilled from invented rows of the neutral play table."""

from pathlib import Path

import pytest
from pointsleft.log import check_log, read_log, write_log
from pointsleft.log.prefill import SNAP_KINDS, prefilled
from pointsleft_models.plays.schema import BY_NAME, KINDS

BASE: dict[str, object] = {
    "game": "g1", "season": 2019, "home": "Moles", "away": "Larks", "level": "professional",
    "offense": "Moles", "defense": "Larks", "period": 1, "clock": 800, "offense_score": 0,
    "defense_score": 3, "offense_timeouts": 3, "defense_timeouts": 2, "down": 1, "distance": 10,
    "yards_to_goal": 75,
}  # fmt: skip

PLAYS = [
    BASE | {"kind": "kickoff"},
    BASE | {"kind": "pass", "complete": True, "gain": 12, "targeted": True, "shotgun": True,
            "box": 6, "shell": "three"},
    BASE | {"kind": "sack", "clock": 760, "yards_to_goal": 63, "gain": -8, "fumble": True,
            "fumble_lost": True, "quarterback_hit": True},
    BASE | {"kind": "run", "offense": "Larks", "clock": 700, "gain": 80},
    BASE | {"kind": "pass", "clock": 400, "yards_to_goal": 12, "complete": False,
            "targeted": True, "penalty_on": "defense", "penalty_yards": 5, "foul": "Offside"},
    BASE | {"kind": "time-out"},
    BASE | {"kind": "pass", "clock": 390, "yards_to_goal": 7, "distance": 7, "complete": True,
            "gain": 7, "touchdown": True},
    BASE | {"kind": "extra point", "kick_result": "good", "offense_score": 6, "down": None,
            "distance": None, "yards_to_goal": 15},
]  # fmt: skip


def test_the_keys_are_columns_of_the_play_table() -> None:
    assert set(SNAP_KINDS) <= set(KINDS)
    assert {key for play in PLAYS for key in play} <= set(BY_NAME)


@pytest.mark.parametrize("name", ["log", "log.xlsx"])
def test_a_prefilled_log_is_clean_and_says_what_the_table_says(tmp_path: Path, name: str) -> None:
    made = write_log(prefilled(PLAYS, "Moles", "Pim Ostrey"), tmp_path / name)
    assert check_log(made).clean
    game = read_log(made)
    assert (game.us, game.them, game.every_snap) == ("Moles", "Larks", False)
    first, sack, flagged, score, kick = game.snaps
    assert first.situation is not None
    assert (first.situation.yards_to_goal, first.situation.lead) == (75, -3)
    assert (first.happened.result, first.happened.yards) == ("complete", 12)
    assert (first.defense.box, first.defense.shell_after, first.call.alignment) == (
        6,
        "three",
        "gun",
    )
    assert (sack.happened.fumble, sack.happened.hit) == ("lost", True)
    assert flagged.happened.flag is not None
    assert flagged.happened.flag.foul == "offside"
    assert score.happened.touchdown
    assert (kick.situation, kick.us) == (None, 6)


def test_one_game_and_one_offense(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="no snap of 'Owls'"):
        prefilled(PLAYS, "Owls", "x")
    with pytest.raises(ValueError, match="2 games"):
        prefilled([*PLAYS, BASE | {"game": "g2", "kind": "run"}], "Moles", "x")
