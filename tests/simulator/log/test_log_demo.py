"""The demo game holds what it promises, each snap following from the one before."""

from collections import Counter
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import pytest
from pointsleft.log import check_log, read_log
from pointsleft.log.check import counts, is_decision
from pointsleft.log.follow import follow, wiped_out
from pointsleft.log.reader import assemble
from pointsleft.log.record import LoggedGame, Snap
from pointsleft.log.rows import Findings
from pointsleft.log.sheets import RawLog, RawSheet
from pointsleft.log.spelling import sheets_of

DEMO = Path(__file__).parents[3] / "data_demo" / "game"


@pytest.fixture(scope="module")
def game() -> LoggedGame:
    return read_log(DEMO)


def test_it_checks_clean_without_a_warning() -> None:
    report = check_log(DEMO)
    assert report.faults == ()
    assert report.warnings == ()


def test_it_is_a_whole_game(game: LoggedGame) -> None:
    found = counts(game)
    assert found["snaps"] >= 66
    assert found["decisions"] >= 34
    assert {s.situation.period for s in game.snaps if s.situation} == {1, 2, 3, 4}
    assert (game.level, game.season) == ("professional", 2019)


def test_the_score_adds_up(game: LoggedGame) -> None:
    """Our points from our own plays alone give our final score."""
    points = 0
    for snap in game.snaps:
        done = snap.happened
        if wiped_out(done):
            continue
        if snap.call.family == "try":
            points += {"good": 1}.get(done.result or "", 2 * done.touchdown)
        else:
            points += 6 * done.touchdown + 3 * (done.result == "good")
    assert points == game.final_us
    theirs = [s.them for s in game.snaps if s.them is not None]
    assert theirs == sorted(theirs)
    assert theirs[-1] == game.final_them


def chosen_window(snap: Snap) -> str | None:
    return next((o.window for o in snap.options if o.id == snap.happened.chosen), None)


def side(snap: Snap) -> str | None:
    return next((o.side for o in snap.options if o.id == snap.happened.chosen), None)


HAS: dict[str, Callable[[Snap], bool]] = {
    "play-action shot": lambda s: s.call.family == "play-action"
    and max((o.air_yards or 0 for o in s.options), default=0) > 35,
    "give": lambda s: s.call.family == "option" and s.happened.chosen == "give",
    "keep": lambda s: s.call.family == "option" and s.happened.chosen == "keep",
    "pitch": lambda s: s.call.family == "option" and s.happened.chosen == "pitch",
    "option into the field": lambda s: s.call.family == "option" and side(s) == "field",
    "option into the boundary": lambda s: s.call.family == "option" and side(s) == "boundary",
    "option on fourth down": lambda s: s.call.family == "option"
    and s.situation is not None
    and s.situation.down == 4,
    "run-pass option taken": lambda s: s.call.family == "rpo"
    and s.defense.box is not None
    and s.happened.result == "complete",
    "run-pass option refused wrongly": lambda s: s.call.family == "rpo"
    and s.happened.missed_why == "refused"
    and (s.defense.box or 0) > (s.defense.blockers or 99),
    "high-low answered early": lambda s: s.call.concept == "smash"
    and s.happened.timing == "early",
    "high-low answered late": lambda s: s.call.concept == "smash" and s.happened.timing == "late",
    "no deep safety": lambda s: s.defense.shell_after == "zero" and is_decision(s),
    "deep safety": lambda s: s.defense.shell_after in ("two", "three") and is_decision(s),
    "free rusher off the edge": lambda s: s.defense.free_depth == 0
    and s.defense.free_side != "middle",
    "free rusher from depth": lambda s: (s.defense.free_depth or 0) >= 5,
    "flag before the throw": lambda s: s.happened.flag is not None
    and s.happened.flag.when == "before"
    and s.happened.chosen is not None,
    "designed run on a short third down": lambda s: s.call.family == "qb-run"
    and s.situation is not None
    and s.situation.down == 3
    and s.situation.distance <= 2,
    "red-zone throw missed": lambda s: s.situation is not None
    and s.situation.red_zone
    and s.happened.result == "incomplete",
    "fumble behind the line": lambda s: s.happened.fumble is not None
    and (s.happened.yards or 0) < 0,
    "scramble after the read": lambda s: any(
        o.id == s.happened.chosen and o.reaction == 2 and o.kind == "scramble" for o in s.options
    ),
    "drop": lambda s: s.happened.result == "drop",
    "tipped ball": lambda s: s.happened.result == "tipped",
    "interception": lambda s: s.happened.result == "interception",
    "dropped interception": lambda s: s.happened.result == "dropped-interception",
    "throw-away": lambda s: s.happened.result == "throw-away",
    "sack": lambda s: s.happened.result == "sack",
    "backed up": lambda s: s.situation is not None and s.situation.backed_up and is_decision(s),
    "offense flagged": lambda s: s.happened.flag is not None
    and s.happened.flag.side == "offense",
    "window range": lambda s: any(o.window_low is not None for o in s.options),
    "window not visible": lambda s: any(o.window == "unseen" for o in s.options),
    "read group": lambda s: any(o.group is not None for o in s.options),
    "stated chance": lambda s: any(o.chance is not None for o in s.options),
    "blame": lambda s: s.blame is not None,
}  # fmt: skip


@pytest.mark.parametrize("what", HAS)
def test_it_has(game: LoggedGame, what: str) -> None:
    assert any(HAS[what](snap) for snap in game.snaps), what


def test_it_has_a_two_minute_drill_and_repeated_concepts(game: LoggedGame) -> None:
    drill = [s for s in game.snaps if s.situation is not None and s.situation.two_minute]
    assert len(drill) >= 6
    concepts = Counter(s.call.concept for s in game.snaps if is_decision(s) and s.call.concept)
    assert concepts["smash"] >= 4
    assert len([c for c, n in concepts.items() if n >= 3]) >= 3
    thrown = {s.happened.chosen for s in game.snaps if s.call.concept == "smash"}
    assert len(thrown) >= 2


def test_both_ways_of_logging_options_are_used(game: LoggedGame) -> None:
    decisions = [s for s in game.snaps if is_decision(s)]
    by_rows = sum(any(o.row is not None for o in s.options) for s in decisions)
    assert by_rows >= 8
    assert len(decisions) - by_rows >= 15


def test_throws_and_gains_agree(game: LoggedGame) -> None:
    """No catch gains less than its depth by more than a step, none lies beyond the end line."""
    for snap in game.snaps:
        chosen = next((o for o in snap.options if o.id == snap.happened.chosen), None)
        if chosen is None or chosen.air_yards is None or snap.situation is None:
            continue
        assert chosen.air_yards < snap.situation.yards_to_goal + 10
        if snap.happened.result == "complete" and not snap.happened.touchdown:
            assert (snap.happened.yards or 0) >= chosen.air_yards, snap.number


def test_one_gain_changed_by_a_yard_is_always_caught(game: LoggedGame) -> None:
    """With the situation spelt out on every row, no wrong gain inside a possession gets by."""
    sheet = sheets_of(game).sheet("snaps")
    assert sheet is not None
    yards = sheet.header.index("yards")
    goes_on = [
        place
        for place, (snap, after) in enumerate(pairwise(game.snaps))
        if snap.situation is not None
        and after.situation is not None
        and snap.happened.yards is not None
        and snap.happened.result != "punt"
        and follow(snap.situation, snap.happened).goes_on
        and not wiped_out(snap.happened)
    ]
    assert len(goes_on) > 40
    for place in goes_on:
        rows = [list(row) for row in sheet.rows]
        rows[place][yards] = str(int(rows[place][yards]) - 1)
        edited = RawSheet("snaps", sheet.header, tuple(map(tuple, rows)))
        findings = Findings()
        others = [s for s in sheets_of(game).sheets if s.key != "snaps"]
        assemble(RawLog((edited, *others)), findings)
        assert findings.faults, game.snaps[place].number


def test_the_readme_says_that_it_is_invented() -> None:
    text = (DEMO.parent / "README.md").read_text(encoding="utf-8")
    assert "invented" in text.split("\n\n")[1]
