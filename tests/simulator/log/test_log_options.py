"""Options from concept, cell and rows together; the log's own templates; what was chosen."""

from pathlib import Path

import pytest
from log_sample import FIRST, faults, places, read
from pointsleft.log.record import LoggedOption, Snap

THROWN = FIRST | {"result": "incomplete", "yards": ""}


def first(folder: Path, row: dict[str, str], *rows: dict[str, str], **more: object) -> Snap:
    return read(folder, [THROWN | row], rows, **more).snaps[0]


def named(snap: Snap, name: str) -> LoggedOption:
    return next(o for o in snap.options if o.id == name)


def test_a_row_fills_in_and_corrects_what_the_cell_says(tmp_path: Path) -> None:
    snap = first(
        tmp_path,
        {"concept": "smash", "options": "n s* l"},
        {"snap": "1", "option": "corner", "air yards": "21", "in read": ".5", "window": "even"},
        {"snap": "1", "option": "swing", "air yards": "-1"},
    )
    assert [o.id for o in snap.options] == ["corner", "hitch", "check-down", "swing"]
    corner = named(snap, "corner")
    assert (corner.air_yards, corner.window, corner.third) == (21, "even", "right")
    assert corner.in_read is not None
    assert "air_yards" not in corner.derived
    assert "third" in corner.derived
    assert (corner.row, named(snap, "hitch").row) == (2, None)


def test_rows_alone_are_the_whole_list(tmp_path: Path) -> None:
    snap = first(
        tmp_path,
        {"concept": "smash", "chosen": "post"},
        {"snap": "1", "option": "post"},
        {"option": "flat"},
    )
    assert [(o.id, o.place) for o in snap.options] == [("post", 1), ("flat", 2)]


def test_a_concept_and_a_choice_are_enough(tmp_path: Path) -> None:
    snap = first(tmp_path, {"concept": "smash", "chosen": "stop"})
    assert [o.id for o in snap.options] == ["corner", "hitch", "check-down"]
    assert snap.happened.chosen == "hitch"
    assert all(o.window is None for o in snap.options)


def test_a_concept_without_a_choice_groups_and_no_more(tmp_path: Path) -> None:
    assert first(tmp_path, {"concept": "smash"}).options == ()


def test_an_unlisted_kind_may_be_chosen_an_unlisted_route_may_not(tmp_path: Path) -> None:
    row = {"options": "post18/n flat2/l", "chosen": "ta", "result": "throw-away"}
    snap = first(tmp_path / "a", row)
    assert snap.happened.chosen == "throw-away"
    assert "kind" in named(snap, "throw-away").derived
    found = faults(tmp_path / "b", [THROWN | row | {"chosen": "corner", "result": "i"}])
    assert places(found) == [("snaps", 2, "chosen")]


def test_options_without_a_choice_are_kept_with_a_warning(tmp_path: Path) -> None:
    game = read(tmp_path, [THROWN | {"options": "post18/n flat2/l"}])
    assert game.snaps[0].happened.chosen is None
    assert any("cannot be priced" in w for w in game.warnings)


def test_the_logs_own_template_comes_first_and_turns(tmp_path: Path) -> None:
    own = [
        {"concept": "Smash", "route": "corner", "air yards": "22", "third": "left", "drop": "7"},
        {"route": "swing", "air yards": "0"},
        {"concept": "lighthouse", "option": "beam", "route": "go", "air yards": "40"},
    ]
    snap = first(
        tmp_path / "a", {"concept": "smash", "flip": "yes", "options": "s* l"}, concepts=own
    )
    corner = named(snap, "corner")
    assert (corner.air_yards, corner.third, corner.drop) == (22, "right", 7)
    assert [o.id for o in snap.options] == ["corner", "swing"]
    beam = first(tmp_path / "b", {"concept": "lighthouse", "options": "n*"}, concepts=own)
    assert (beam.options[0].id, beam.options[0].route) == ("beam", "go")


def test_a_fault_in_an_own_template(tmp_path: Path) -> None:
    own = [{"concept": "a", "route": "post", "air yards": "far"}]
    assert places(faults(tmp_path, [THROWN], concepts=own)) == [("concepts", 2, "air yards")]


def test_a_template_is_cut_at_the_end_line(tmp_path: Path) -> None:
    row = {"ball": "opp 6", "distance": "goal", "concept": "smash", "options": "n* s l"}
    corner = first(tmp_path, row).options[0]
    assert corner.air_yards == 15
    assert "air_yards" in corner.derived


@pytest.mark.parametrize(
    ("option", "kind", "route"),
    [
        ({"option": "give"}, "give", None),
        ({"option": "fg"}, "field-goal", None),
        ({"option": "post"}, "throw", "post"),
        ({"option": "go"}, "go", None),
        ({"option": "go", "air yards": "30"}, "throw", "go"),
        ({"option": "his first look"}, "throw", None),
        ({"route": "shallow"}, "throw", "drag"),
    ],
)
def test_the_name_of_an_option_tells_its_kind(
    tmp_path: Path, option: dict[str, str], kind: str, route: str | None
) -> None:
    snap = first(tmp_path, {}, {"snap": "1", **option})
    assert (snap.options[0].kind, snap.options[0].route) == (kind, route)


def test_a_flag_keeps_the_decision_and_a_declined_one_the_touchdown(tmp_path: Path) -> None:
    row = {"options": "post18/n* flat2/l", "result": "complete", "yards": "75", "flag": "offense",
           "flag yards": "10"}  # fmt: skip
    wiped = first(tmp_path / "a", row)
    assert wiped.happened.chosen == "post"
    assert not wiped.happened.touchdown
    assert first(tmp_path / "b", row | {"flag decision": "declined"}).happened.touchdown


def test_blank_snap_cells_of_options_mean_the_row_above(tmp_path: Path) -> None:
    found = faults(tmp_path, [THROWN], [{"snap": "", "option": "post"}])
    assert places(found) == [("options", 2, "snap")]
