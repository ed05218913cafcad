"""The one-cell notation and the concept templates."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pointsleft.log import concepts, vocabulary
from pointsleft.log.cells import CellError
from pointsleft.log.drafts import finish
from pointsleft.log.record import LoggedOption, Range
from pointsleft.log.shorthand import expand


def options(
    text: str, concept: str | None = None, flipped: bool = False
) -> tuple[LoggedOption, ...]:
    pattern = concepts.template(concept, {}, flipped=flipped)
    return finish(expand(text, pattern)[0])


def test_every_piece_of_an_option() -> None:
    (post,) = options("post18.m.5h1/sen%40..60..80=35*")
    assert (post.route, post.air_yards, post.third) == ("post", 18, "middle")
    assert (post.drop, post.hitches) == (5, 1)
    assert (post.window, post.window_low, post.window_high) == ("even", "narrow", "step")
    assert post.in_read == Range(0.6, 0.4, 0.8)
    assert post.chance == Range(0.35, 0.35, 0.35)
    assert post.place == 1
    assert post.kind == "throw"


def test_order_groups_and_second_reaction() -> None:
    found = options("(post18/n curl10/s) flat-1/l > scr.r ta")
    assert [o.id for o in found] == ["post", "curl", "flat", "scramble", "throw-away"]
    assert [o.place for o in found] == [1, 2, 3, None, None]
    assert found[0].group == found[1].group is not None
    assert found[2].group is None
    assert found[2].air_yards == -1
    assert [o.reaction for o in found] == [1, 1, 1, 2, 2]


def test_runs_carry_gap_and_side() -> None:
    give, keep, pitch = options("give.m keep.e.b pitch.f*")
    assert (give.kind, give.gap) == ("give", "middle")
    assert (keep.gap, keep.side) == ("end", "boundary")
    assert (pitch.side, pitch.gap) == ("field", None)


def test_the_route_go_and_going_for_it_are_told_apart() -> None:
    route, going = options("go35/n gfi")
    assert (route.kind, route.route) == ("throw", "go")
    assert going.kind == "go"


def test_windows_alone_stand_for_the_template_in_order() -> None:
    corner, hitch, check_down = options("n s* l", "smash")
    assert (corner.route, corner.air_yards, corner.window) == ("corner", 18, "narrow")
    assert hitch.window == "step"
    assert check_down.window == "loose"
    assert {"route", "air_yards", "third", "drop", "hitches", "place"} <= corner.derived
    assert "window" not in corner.derived


def test_flip_turns_left_for_right_and_nothing_else() -> None:
    for name in concepts.names():
        plain = finish(list(concepts.template(name, {}, flipped=False)))
        turned = finish(list(concepts.template(name, {}, flipped=True)))
        swap = {"left": "right", "right": "left"}
        assert [swap.get(o.third or "", o.third) for o in plain] == [o.third for o in turned]
        assert [(o.id, o.air_yards, o.place) for o in plain] == [
            (o.id, o.air_yards, o.place) for o in turned
        ]


def test_leaving_out_taking_as_is_and_naming() -> None:
    found = options("0 . l*", "smash")
    assert [(o.id, o.window, o.place) for o in found] == [
        ("hitch", None, 1),
        ("check-down", "loose", 2),
    ]
    named = options("hitch7/e* swing1/l", "smash")
    assert [o.id for o in named] == ["corner", "hitch", "check-down", "swing"]
    assert named[1].air_yards == 7
    assert "air_yards" not in named[1].derived


def test_two_routes_of_one_name_are_named_apart() -> None:
    assert [o.id for o in options("dig12/n dig15/e dig18/l")] == ["dig", "dig 2", "dig 3"]
    seams = options(". seam13/s seam14/e", "four verticals")
    assert [(o.id, o.air_yards) for o in seams][1:3] == [("seam", 13), ("far seam", 14)]


def test_an_unknown_route_is_kept_with_a_warning() -> None:
    drafts, warnings = expand("moonbeam12/s*")
    assert finish(drafts)[0].route == "moonbeam"
    assert "moonbeam" in warnings[0]


@pytest.mark.parametrize(
    "text",
    ["n s* l", "post18/q", "post18/n* flat2/l*", "(post18/n", "post)", "post18%140",
     "post18%80..40", "give12", "18", "post18.5h9", "post18.9", "=1+1", "a > b > c > d",
     "post18.z", "((post18) flat)"],
)  # fmt: skip
def test_what_cannot_be_read_is_refused(text: str) -> None:
    with pytest.raises(CellError):
        expand(text)


def test_more_windows_than_the_template_has() -> None:
    with pytest.raises(CellError, match="at most 3 windows"):
        options("n s l e", "smash")


@given(st.text(alphabet="post give 0123456789./%=*()>?lsenx-", max_size=30))
def test_any_text_is_read_or_refused_and_never_breaks(text: str) -> None:
    try:
        drafts, _ = expand(text, concepts.template("smash", {}, flipped=False))
    except CellError:
        return
    assert sum(d.chosen for d in drafts) <= 1
    finish(drafts)


def test_templates_are_sound() -> None:
    for name, drafts in concepts.shipped().items():
        found = finish(list(drafts))
        assert len({o.id for o in found}) == len(found), name
        places = [o.place for o in found if o.kind == "throw"]
        assert places == sorted(places), name  # type: ignore[type-var]
        for option in found:
            assert option.kind != "throw" or option.air_yards is not None, name
            assert option.route is None or vocabulary.look_up("route", option.route), name
    assert len(concepts.shipped()) >= 25
