"""Bad input: everything wrong at once, with its place; nothing half read."""

import json
from pathlib import Path

import pytest
from log_sample import FIRST, GAME, faults, places, read, snaps, write_folder
from pointsleft.log import LogFaults, check_log, read_log
from pointsleft.log.faults import Fault, as_data, render


@pytest.mark.parametrize(
    ("row", "column", "expected"),
    [
        ({"down": "5"}, "down", "1 to 4"),
        ({"distance": "120"}, "distance", "1 to 99"),
        ({"distance": "80"}, "distance", "1 to 75"),
        ({"ball": "own 75"}, "ball", "own 25"),
        ({"clock": "16:00"}, "clock", "15:00"),
        ({"quarter": "0"}, "quarter", "1 to 4"),
        ({"result": "sort of"}, "result", "one of: complete"),
        ({"yards": "99"}, "yards", "at most 75"),
        ({"yards": "-30"}, "safety", "behind our own goal line"),
        ({"result": "incomplete", "yards": "4"}, "yards", "0 or a blank"),
        ({"result": "sack", "yards": "7"}, "yards", "0 or less"),
        ({"touchdown": "yes"}, "yards", "75 on a touchdown"),
        ({"box": "12"}, "box", "0 to 11"),
        ({"box": "4-Mar"}, "box", "took what was typed for a date"),
        ({"formation": "2026-03-04"}, "formation", "took what was typed for a date"),
        ({"our timeouts": "4"}, "our timeouts", "0 to 3"),
        ({"blame": "qb .9"}, "blame", "sum to 1"),
        ({"options": "post18/n"}, None, ""),
        ({"options": "post18/q*"}, "options", "cannot be read"),
        ({"options": "post90/n* flat"}, "options", "at most 84 air yards"),
        ({"options": "post18 flat", "chosen": "corner"}, "chosen", "post, flat"),
        ({"options": "post18* flat", "chosen": "flat"}, "chosen", "post, which has the star"),
        ({"options": "give* keep", "result": "complete"}, "result", "a give can end in"),
        ({"flag yards": "5"}, "flag", "offense or defense"),
        ({"note": "=1+1"}, "note", "never evaluated"),
        ({"yards": "#REF!"}, "yards", "error mark"),
    ],
)
def test_one_fault(tmp_path: Path, row: dict[str, str], column: str | None, expected: str) -> None:
    found = faults(tmp_path, [FIRST | row])
    if column is None:
        assert found == ()
        return
    assert [("snaps", 2, column)] == places([f for f in found if expected in f.expected])


def test_the_sound_row_of_these_tests_has_no_fault(tmp_path: Path) -> None:
    assert faults(tmp_path, [FIRST]) == ()


@pytest.mark.parametrize(
    ("row", "column", "expected"),
    [
        ({"ball": "own 30"}, "ball", "2nd and 6 at own 29"),
        ({"down": "3"}, "down", "2nd and 6 at own 29"),
        ({"distance": "5"}, "distance", "2nd and 6 at own 29"),
        ({"us": "3"}, "us", "0 (row 2"),
        ({"clock": "10:01"}, "clock", "at most 10:00"),
        ({"snap": "01"}, "snap", "row 2 has it"),
        ({"clip": "0:59"}, "clip", "later than 1:00"),
        ({"our timeouts": "3", "their timeouts": "3"}, None, ""),
    ],
)
def test_a_row_that_does_not_follow(
    tmp_path: Path, row: dict[str, str], column: str | None, expected: str
) -> None:
    found = faults(tmp_path, [FIRST, row])
    if column is None:
        assert found == ()
        return
    assert [("snaps", 3, column)] == places(found)
    assert expected in found[0].expected


def test_scores_and_quarters_never_go_backwards(tmp_path: Path) -> None:
    ended = FIRST | {"us": "10", "them": "7", "quarter": "2", "result": "punt", "yards": ""}
    later = {"quarter": "2", "clock": "5:00", "ball": "own 20", "us": "10", "them": "7"}
    assert faults(tmp_path / "a", [ended, later]) == ()
    for name, wrong in (("us", "9"), ("them", "6"), ("them", "8"), ("quarter", "1")):
        found = faults(tmp_path / name / wrong, [ended, later | {name: wrong}])
        assert ("snaps", 3, name) in places(found)


def test_a_possession_starts_on_first_down(tmp_path: Path) -> None:
    ended = FIRST | {"result": "punt", "yards": ""}
    found = faults(tmp_path, [ended, {"ball": "own 20", "down": "3", "distance": "4"}])
    assert places(found) == [("snaps", 3, "down")]


def test_timeouts_do_not_come_back(tmp_path: Path) -> None:
    found = faults(tmp_path, [FIRST | {"our timeouts": "2"}, {"our timeouts": "3"}])
    assert places(found) == [("snaps", 3, "our timeouts")]


def test_the_final_score_is_held_against_the_last_snap(tmp_path: Path) -> None:
    last = FIRST | {"us": "10", "them": "7"}
    assert faults(tmp_path / "a", [last], game=GAME | {"final us": "13", "final them": "7"}) == ()
    found = faults(tmp_path / "b", [last], game=GAME | {"final us": "7", "final them": "7"})
    assert places(found) == [("game", None, "final us")]


def test_options_of_no_snap_and_chances_outside_their_range(tmp_path: Path) -> None:
    found = faults(
        tmp_path,
        [FIRST | {"result": "incomplete", "yards": ""}],
        [
            {"snap": "7", "option": "post", "in read": ".5"},
            {"snap": "1", "option": "post", "in read": "1.5", "chosen": "yes"},
            {"snap": "1", "option": "flat", "chance": "-.2"},
        ],
    )
    assert places(found) == [
        ("options", 2, "snap"),
        ("options", 3, "in read"),
        ("options", 4, "chance"),
    ]


def test_chances_of_a_read_group_sum_to_at_most_one(tmp_path: Path) -> None:
    rows = [
        {"snap": "1", "option": name, "group": "deep", "in read": share, "chosen": chosen}
        for name, share, chosen in (("post", ".7", "yes"), ("dig", ".6", ""))
    ]
    assert (
        "sum to 1.3"
        in faults(tmp_path, [FIRST | {"result": "incomplete", "yards": ""}], rows)[0].expected
    )


def test_two_chosen_options_and_two_of_one_name(tmp_path: Path) -> None:
    row = FIRST | {"result": "incomplete", "yards": ""}
    two = [{"snap": "1", "option": n, "chosen": "yes"} for n in ("post", "dig")]
    assert places(faults(tmp_path / "a", [row], two)) == [("options", 3, "chosen")]
    same = [{"snap": "1", "option": "post"}, {"snap": "1", "option": "Post", "chosen": "yes"}]
    assert places(faults(tmp_path / "b", [row], same)) == [("options", 3, "option")]


def test_everything_is_found_in_one_pass_and_faults_do_not_breed(tmp_path: Path) -> None:
    rows = [
        FIRST | {"down": "5", "box": "20"},
        {"yards": "3", "result": "run"},
        {"yards": "three", "result": "run"},
        {"yards": "3", "result": "run"},
    ]
    game = {k: v for k, v in GAME.items() if k != "us"} | {"season": "1890"}
    found = faults(tmp_path, rows, [{"snap": "99", "option": "x"}], game=game)
    assert sorted(map(str, places(found))) == sorted(
        map(
            str,
            [
                ("game", 3, "season"),
                ("game", None, "us"),
                ("snaps", 2, "down"),
                ("snaps", 2, "box"),
                ("snaps", 4, "yards"),
                ("options", 2, "snap"),
            ],
        )
    )
    sound = faults(tmp_path / "b", rows, [{"snap": "99", "option": "x"}])
    assert len(sound) == 4  # the blanks under a faulty row are not faults of their own


def test_a_fault_is_never_guessed_away(tmp_path: Path) -> None:
    folder = write_folder(tmp_path, [FIRST | {"down": "5"}])
    with pytest.raises(LogFaults) as caught:
        read_log(folder)
    assert caught.value.faults == check_log(folder).faults


def test_the_message_is_readable_and_the_data_is_plain(tmp_path: Path) -> None:
    folder = write_folder(tmp_path, [FIRST | {"note": "=" + "x" * 300, "down": "5"}])
    report = check_log(folder)
    text = str(report)
    assert max(map(len, text.splitlines())) <= 80
    assert "snaps, row 2, down" in text
    assert "found    5" in text
    assert json.loads(json.dumps(report.as_data()))["faults"][0]["row"] == 2
    assert as_data(report.faults)[0]["sheet"] == "snaps"


def test_a_cell_cannot_draw_on_the_terminal() -> None:
    text = render([Fault("snaps", 2, "note", "\x1b[2Jgone\r\n\x07", "x")])
    assert "\x1b" not in text
    assert "\x07" not in text


def test_markup_in_a_note_stays_text(tmp_path: Path) -> None:
    note = "<script>alert(1)</script> & <b>bold</b>"
    assert snaps(tmp_path, {"note": note})[1].note == note


def test_unknown_words_are_kept_with_a_warning(tmp_path: Path) -> None:
    game = read(
        tmp_path, [FIRST | {"shell": "rainbow", "options": "moonbeam12/s* flat", "result": "c"}]
    )
    assert game.snaps[0].defense.shell_after == "rainbow"
    assert game.snaps[0].options[0].route == "moonbeam"
    assert len([w for w in game.warnings if "not known" in w]) == 2


def test_checking_writes_nothing(tmp_path: Path) -> None:
    folder = write_folder(tmp_path / "log", [FIRST | {"down": "5"}])
    before = {p: (p.read_bytes(), p.stat().st_mtime_ns) for p in folder.iterdir()}
    check_log(folder)
    assert {p: (p.read_bytes(), p.stat().st_mtime_ns) for p in folder.iterdir()} == before


def test_a_column_in_the_wrong_place_is_told_once(tmp_path: Path) -> None:
    rows = [FIRST, *({"clock": "own 30", "yards": "2", "result": "run"} for _ in range(4))]
    folder = write_folder(tmp_path, rows)
    found = check_log(folder)
    assert len([f for f in found.faults if f.column == "clock"]) == 4
    text = str(found)
    assert text.count("expected minutes and seconds left") == 1
    assert "snaps, clock, in 4 rows" in text
    assert all(f"row {n}: own 30" in text for n in range(3, 7))
    three = render([f for f in found.faults if f.column == "clock"][:3])
    assert three.count("expected") == 3


def test_a_header_that_is_nearly_ours_is_named(tmp_path: Path) -> None:
    row = {("resutl" if k == "result" else k): v for k, v in FIRST.items()}
    report = check_log(write_folder(tmp_path, [row | {"weather": "rain"}]))
    named = [w for w in report.warnings if "column of your own" in w]
    assert len(named) == 1
    assert "'resutl'" in named[0]
    assert "'result'" in named[0]
    both = check_log(write_folder(tmp_path / "b", [FIRST | {"resutl": "x"}]))
    assert not [w for w in both.warnings if "column of your own" in w]


def test_warnings_stand_beside_faults_and_do_not_bury_them(tmp_path: Path) -> None:
    rows = [FIRST | {"down": "5"}, *({"shell": f"rainbow {i}"} for i in range(9))]
    report = check_log(write_folder(tmp_path, rows))
    text = str(report)
    assert 6 == text.count("worth a look: ") < len(report.warnings)
    assert "more worth a look once the faults are mended" in text


@pytest.mark.parametrize(
    ("end", "cut"),
    [("", False), ("2,1:30,1,9", True), ("2,1:30,1,9:20,,,,,,run,3", False), ("2,1:30\n", False)],
)
def test_a_file_cut_inside_its_last_row(tmp_path: Path, end: str, cut: bool) -> None:
    folder = write_folder(tmp_path, [FIRST, {"snap": "1b", "result": "run", "yards": "2"}])
    place = folder / "snaps.csv"
    place.write_text(place.read_text(encoding="utf-8") + end, encoding="utf-8")
    found = [f for f in check_log(folder).faults if "cut short" in f.expected]
    assert places(found) == ([("snaps", 4, None)] if cut else [])


def test_what_was_filled_in_is_named_as_the_sheets_write_it(tmp_path: Path) -> None:
    rows = [FIRST, {"options": "post18/n flat2/l*", "result": "complete", "yards": "3"}]
    assumed = check_log(write_folder(tmp_path, rows)).assumed
    assert {"snap", "quarter", "ball", "our timeouts"} <= set(assumed)
    assert {"read of an option"} <= set(assumed)
    assert not [name for name in assumed if "_" in name]


def test_an_empty_sheet_is_one_fault(tmp_path: Path) -> None:
    folder = write_folder(tmp_path, [FIRST])
    (folder / "snaps.csv").write_text("", encoding="utf-8")
    found = check_log(folder).faults
    assert places(found) == [("snaps", 1, None)]
    assert "snap, clip, quarter" in found[0].expected


@pytest.mark.parametrize(
    ("typed", "hint"),
    [
        ("60", "60%"),
        ("1.4", "0 to 1"),
        (".6 (.8-.4)", "inside its range"),
        (".9 (.4-.8)", "inside"),
    ],
)
def test_a_chance_says_what_would_be_right(tmp_path: Path, typed: str, hint: str) -> None:
    row = FIRST | {"options": "post18/n* flat2/l", "result": "incomplete", "yards": ""}
    found = faults(tmp_path, [row], [{"snap": "1", "option": "post", "in read": typed}])
    assert hint in found[0].expected
    assert ("inside" in found[0].expected) == ("(" in typed)


def test_a_missing_sheet_does_not_hide_the_faults_of_the_others(tmp_path: Path) -> None:
    folder = write_folder(
        tmp_path, [FIRST | {"down": "5"}], [{"snap": "1", "option": "post", "in read": "1.4"}]
    )
    (folder / "game.csv").unlink()
    found = places(check_log(folder).faults)
    assert found == [("game", None, None), ("snaps", 2, "down"), ("options", 2, "in read")]
    other = write_folder(tmp_path / "b", [FIRST], game=GAME | {"final us": "many"})
    (other / "snaps.csv").unlink()
    assert places(check_log(other).faults)[-1] == ("snaps", None, None)
    assert "final us" in str(check_log(other))
