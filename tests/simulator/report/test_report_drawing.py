"""The drawings: to scale, nothing overlapping, nothing hidden, the right things distinguished."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pointsleft.pricing.result import CoursePoint, PricedOption, Spread
from pointsleft.report.drawing.course import game_course
from pointsleft.report.drawing.field import YARD, View, view_of
from pointsleft.report.drawing.lettering import Box, Label, place_labels, shorten, text_width
from pointsleft.report.drawing.options import FieldPicture, draw_options
from pointsleft.report.drawing.placing import Scene, place
from pointsleft.report.drawing.running import Entry, running_bar
from pointsleft.report.drawing.scale import ticks
from pointsleft.report.drawing.spread import Choice, binned, two_spreads
from pointsleft.report.drawing.strips import run_strip
from pointsleft.report.palette import INK, OCHRE, STONE, VIOLET
from pointsleft_models.football.field import WIDTH

SVG = "{http://www.w3.org/2000/svg}"
PRO_HASH, COLLEGE_HASH = 70.75 / 3, 20.0
MIDFIELD = Scene(50, 10, WIDTH / 2, PRO_HASH)


def option(
    identity: str, kind: str = "throw", air: int | None = 8, third: str | None = "middle"
) -> PricedOption:
    return PricedOption(
        identity, kind, identity, 1.0, 0.5, 1.0, None, None, None, 0.1, air, third, 1, None, 1, ()
    )


def drawn(
    options: list[PricedOption], scene: Scene = MIDFIELD, chosen: int = 0, best: int = 1
) -> FieldPicture:
    values = {o.id: "61.2% WP" for o in options}
    return draw_options(options, options[chosen].id, options[best].id, scene, values, "a snap")


def parsed(picture: object) -> ET.Element:
    return ET.fromstring(str(picture))


def lettering(root: ET.Element) -> list[tuple[str, Box]]:
    """Every line of text with the box it takes."""
    found = []
    for node in root.iter(f"{SVG}text"):
        words, size = node.text or "", float(node.get("font-size", "12"))
        width = text_width(words, size, bold=node.get("font-weight") == "700")
        x, y = float(node.get("x", "0")), float(node.get("y", "0"))
        left = {"middle": x - width / 2, "end": x - width}.get(node.get("text-anchor", ""), x)
        found.append((words, Box(left, y - 0.74 * size, width, 0.94 * size)))
    return found


def nothing_overlaps(root: ET.Element) -> None:
    frame = [float(v) for v in root.get("viewBox", "").split()]
    boxes = lettering(root)
    for words, box in boxes:
        assert box.inside(Box(*frame)), f"{words} leaves the drawing"
    for (one, a), (other, b) in combinations(boxes, 2):
        assert not a.touches(b, -0.5), f"{one} lies on {other}"


# To scale


def test_ten_yards_are_ten_yards_both_ways() -> None:
    view = View(20, 60)
    assert view.x(30) - view.x(20) == pytest.approx(view.y(20) - view.y(30)) == 10 * YARD
    root = parsed(drawn([option("a"), option("b", air=20)]).markup)
    ground = next(root.iter(f"{SVG}rect"))
    across = float(ground.get("width", "0")) / WIDTH
    rows = sorted(
        float(n.get("y1", "0"))
        for n in root.iter(f"{SVG}line")
        if n.get("y1") == n.get("y2") and float(n.get("stroke-width", "0")) == 1
    )
    along = [(b - a) / 5 for a, b in pairwise(rows)]
    assert len(along) > 3
    # Coordinates are written with two decimals.
    assert along == pytest.approx([across] * len(along), abs=0.005)


@given(
    to_goal=st.integers(1, 99), air=st.integers(-5, 60), third=st.sampled_from(["left", "right"])
)
def test_a_target_stands_where_it_was_logged(to_goal: int, air: int, third: str) -> None:
    scene = Scene(to_goal, min(10, to_goal), WIDTH / 2, PRO_HASH)
    other = "left" if third == "right" else "right"
    (target, _), undrawn = place(
        [option("a", air=air, third=third), option("b", air=air, third=other)], "a", "b", scene
    )
    assert undrawn == ()
    across, along = target.end
    assert (across < WIDTH / 3) if third == "left" else (across > 2 * WIDTH / 3)
    assert along == pytest.approx(min(max(100 - to_goal + air, -9), 109))


def test_hash_marks_follow_the_rules() -> None:
    def columns(from_side: float) -> set[float]:
        scene = Scene(50, 10, from_side, from_side)
        root = parsed(drawn([option("a"), option("b", air=3)], scene).markup)
        ticks_path = next(p for p in root.iter(f"{SVG}path") if "h5.2" in p.get("d", ""))
        starts = [s.split()[0] for s in ticks_path.get("d", "")[1:].split("M")]
        return {round((float(s) + 2.6 - 3) / YARD, 1) for s in starts}

    assert {round(PRO_HASH, 1), round(WIDTH - PRO_HASH, 1)} <= columns(PRO_HASH)
    assert {20.0, round(WIDTH - 20, 1)} <= columns(COLLEGE_HASH)


@pytest.mark.parametrize(
    ("to_goal", "deepest", "sees"), [(98, 45, -9.0), (3, 105, 109.5), (50, 60, 50.0)]
)
def test_end_zones_are_seen_when_near(to_goal: int, deepest: float, sees: float) -> None:
    view = view_of(Scene(to_goal, min(10, to_goal), 26.0, PRO_HASH), deepest, 4)
    assert view.low <= sees <= view.high
    assert view.low >= -10
    assert view.high <= 110


def test_line_to_gain_is_not_drawn_at_the_goal_line() -> None:
    goal = parsed(drawn([option("a", air=1), option("b", air=2)], Scene(3, 3, 26.0, 20.0)).markup)
    assert "to gain" not in [words for words, _ in lettering(goal)]
    open_field = parsed(drawn([option("a"), option("b", air=3)]).markup)
    assert "to gain" in [words for words, _ in lettering(open_field)]


# Chosen and best, not by colour alone


def test_chosen_and_best_differ_by_dashes_and_ending() -> None:
    root = parsed(drawn([option("a", air=4), option("b", air=20), option("c", air=12)]).markup)
    lines = [p for p in root.iter(f"{SVG}path") if "Q" in p.get("d", "")]
    by_colour = {p.get("stroke"): p for p in lines}
    chosen, best, other = by_colour[INK], by_colour[VIOLET], by_colour[STONE]
    assert chosen.get("stroke-dasharray") is None
    assert best.get("stroke-dasharray")
    assert float(chosen.get("stroke-width", "0")) > 2 * float(other.get("stroke-width", "0"))
    assert float(best.get("stroke-width", "0")) > 2 * float(other.get("stroke-width", "0"))


def test_an_option_without_depth_is_said_not_drawn() -> None:
    picture = drawn([option("a"), option("b", air=3), option("c", air=None)])
    assert picture.undrawn == ("c",)
    assert "c" not in [words for words, _ in lettering(parsed(picture.markup))]


# Lettering

_third = st.sampled_from(["left", "middle", "right", None])
_throw = st.tuples(st.just("throw"), st.integers(-4, 50), _third)
_run = st.tuples(
    st.sampled_from(["give", "keep", "pitch", "scramble", "throw-away", "go", "punt"]),
    st.none(),
    _third,
)


@settings(max_examples=120, deadline=None)
@given(
    shapes=st.lists(_throw | _run, min_size=2, max_size=7),
    to_goal=st.integers(1, 99),
    distance=st.integers(1, 20),
    mark=st.sampled_from([PRO_HASH, WIDTH / 2, WIDTH - COLLEGE_HASH]),
    name=st.text(min_size=1, max_size=40),
)
def test_no_label_touches_another(
    shapes: list[tuple[str, int | None, str | None]],
    to_goal: int, distance: int, mark: float, name: str,
) -> None:  # fmt: skip
    options = [
        option(f"{name} {i}", kind, air, third) for i, (kind, air, third) in enumerate(shapes)
    ]
    scene = Scene(to_goal, min(distance, to_goal), mark, PRO_HASH)
    nothing_overlaps(parsed(drawn(options, scene).markup))


CROWDS = {
    "all deep": ([option(f"deep {i}", air=36 + i) for i in range(7)], 75),
    "all short": ([option(f"short {i}", air=i % 3, third=None) for i in range(7)], 60),
    "backed up": ([option(f"out of it {i}", air=4 * i, third="left") for i in range(7)], 98),
    "goal line": ([option(f"goal {i}", air=2 * i) for i in range(7)], 3),
    "one spot": ([option(f"same {i}", air=5, third="left") for i in range(7)], 40),
    "runs": ([option(k, k, None, "right") for k in ("give", "keep", "pitch", "scramble")], 99),
}


@pytest.mark.parametrize("name", CROWDS)
@pytest.mark.parametrize("number", [2, 4, 7])
def test_crowded_fields_stay_legible(name: str, number: int) -> None:
    options, to_goal = CROWDS[name]
    scene = Scene(to_goal, min(10, to_goal), PRO_HASH, PRO_HASH)
    root = parsed(drawn(options[:number], scene).markup)
    nothing_overlaps(root)
    words = [w for w, _ in lettering(root)]
    assert all(o.id in words for o in options[:number])


def test_endings_on_one_spot_are_set_apart() -> None:
    placed, _ = place([option(f"x{i}", air=5) for i in range(7)], "x0", "x1", MIDFIELD)
    for a, b in combinations(placed, 2):
        assert abs(a.end[0] - b.end[0]) > 0.8


def test_lettering_keeps_off_the_goal_line() -> None:
    scene = Scene(17, 2, WIDTH / 2, PRO_HASH)
    options = [option("corner", air=18, third="right"), option("hitch", air=5, third="right"),
               option("check-down", air=1)]  # fmt: skip
    goal = view_of(scene, 101.0, len(options)).y(100)
    for words, box in lettering(parsed(drawn(options, scene).markup)):
        if words != "goal line":
            assert not box.y < goal < box.bottom, f"the goal line runs through {words}"


def test_overlap_check_sees_an_overlap() -> None:
    """Negative control of the check used above."""
    labels = [Label(50, 50, 30, 12), Label(52, 50, 30, 12)]
    one, other = (Box(a.x, a.y, a.width, a.height) for a in labels)
    assert one.touches(other)
    root = ET.fromstring(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100">'
        '<text x="10" y="50" font-size="12">one</text>'
        '<text x="14" y="52" font-size="12">other</text></svg>'
    )
    with pytest.raises(AssertionError, match="lies on"):
        nothing_overlaps(root)


@settings(max_examples=80)
@given(
    st.lists(
        st.tuples(st.floats(0, 300), st.floats(0, 200), st.floats(10, 120)), min_size=1, max_size=12
    )
)
def test_placed_labels_never_overlap(wanted: list[tuple[float, float, float]]) -> None:
    labels = [Label(x, y, width, 28) for x, y, width in wanted]
    boxes = place_labels(labels, Box(0, 0, 300, 200), [Box(100, 100, 20, 20)])
    for a, b in combinations([*boxes, Box(100, 100, 20, 20)], 2):
        assert not a.touches(b)
    assert boxes == place_labels(labels, Box(0, 0, 300, 200), [Box(100, 100, 20, 20)])


@given(st.text(), st.floats(20, 200))
def test_shortened_text_fits(words: str, width: float) -> None:
    assert text_width(shorten(words, 12, width), 12) <= max(width, text_width("…", 12))


# Figures


def test_running_bar_reaches_its_end_and_marks_left() -> None:
    entries = [Entry("offered", 0.6), Entry("left", -0.9), Entry("breaks", -0.2)]
    root = parsed(running_bar(("before", 1.0), entries, ("after", 0.5), "points", "t"))
    bars = list(root.iter(f"{SVG}rect"))
    widths = [float(b.get("width", "0")) for b in bars]
    assert widths[1] / widths[0] == pytest.approx(1.5, abs=0.01)
    assert [b.get("fill") == OCHRE for b in bars] == [False, True, False]
    start, end = (float(c.get("cx", "0")) for c in root.iter(f"{SVG}circle"))
    point = widths[0] / 0.6
    assert (end - start) / point == pytest.approx(-0.5, abs=0.01)
    # The bars hang together: up from the start, down past it, and on to the end.
    left_ends = [float(b.get("x", "0")) for b in bars]
    assert left_ends[0] == pytest.approx(start, abs=0.02)
    assert left_ends[1] + widths[1] == pytest.approx(left_ends[0] + widths[0], abs=0.02)
    assert left_ends[2] == pytest.approx(end, abs=0.02)
    assert left_ends[2] + widths[2] == pytest.approx(left_ends[1], abs=0.02)
    nothing_overlaps(root)


@pytest.mark.parametrize(("currency", "unit"), [("points", " pts"), ("wins", "% WP")])
def test_every_figure_of_a_running_bar_has_its_unit(currency: str, unit: str) -> None:
    entries = [Entry("offered", 0.6), Entry("left", -0.2)]
    root = parsed(running_bar(("before", 0.1), entries, ("after", 0.5), currency, "t"))
    figures = [n.text or "" for n in root.iter(f"{SVG}text") if n.get("text-anchor") == "end"]
    assert len(figures) == 4
    assert all(f.endswith(unit) for f in figures)
    axis = [n.text or "" for n in root.iter(f"{SVG}text") if n.get("text-anchor") == "middle"]
    assert axis[-1].endswith(unit)


@pytest.mark.parametrize("scale", [1e-4, 0.01, 1.0, 40.0])
def test_running_bar_at_every_size(scale: float) -> None:
    entries = [Entry("offered", scale), Entry("left", -2 * scale), Entry("breaks", 0.0)]
    for currency in ("points", "wins"):
        markup = running_bar(("before", 0.5), entries, ("after", 0.5 - scale), currency, "t")
        nothing_overlaps(parsed(markup))


SPREAD = Spread(0.4, 1.5, -1.2, 0.1, 2.0, (-2.0, -1.0, 0.1, 2.0, 6.5), (0.1, 0.2, 0.4, 0.2, 0.1),
                0.4, 1000)  # fmt: skip


@given(st.floats(-3, 0), st.floats(0.1, 9))
def test_bins_lose_no_probability(low: float, high: float) -> None:
    assert sum(binned(SPREAD, low, high)) == pytest.approx(1)


def test_two_spreads_share_one_axis() -> None:
    rows = (Choice("chosen: flat", SPREAD, True), Choice("best: post", SPREAD, False))
    root = parsed(two_spreads(rows, "points", "t"))
    bars = list(root.iter(f"{SVG}rect"))
    chosen = [b for b in bars if b.get("stroke") is None]
    best = [b for b in bars if b.get("stroke") == VIOLET]
    assert [b.get("x") for b in chosen] == [b.get("x") for b in best]
    assert [b.get("height") for b in chosen] == [b.get("height") for b in best]
    nothing_overlaps(root)


COURSE = tuple(
    CoursePoint(str(i), None, 60 * i, 0.4 + 0.01 * i, 0.05 if i % 3 == 0 else None)
    for i in range(50)
)


@pytest.mark.parametrize("width", [380, 1000])
def test_course_is_drawn_as_steps(width: int) -> None:
    root = parsed(game_course(COURSE, 1.0, {"0": 1, "3": 2, "6": 3}, width, 320, "t"))
    line = next(p for p in root.iter(f"{SVG}path") if "H" in p.get("d", ""))
    steps = line.get("d", "")
    assert {c for c in steps if c.isalpha()} == {"M", "H", "V"}
    assert steps.count("V") == len(COURSE)
    marks = [r for r in root.iter(f"{SVG}rect") if r.get("fill") == OCHRE]
    assert len(marks) == sum(p.left is not None for p in COURSE)
    per_unit = (320 - 40 - 12) * 0.05
    assert all(float(m.get("height", "0")) == pytest.approx(per_unit, abs=0.01) for m in marks)
    links = [a.get("href") for a in root.iter(f"{SVG}a")]
    assert links == ["#dearest-1", "#dearest-2", "#dearest-3"]
    nothing_overlaps(root)


def test_course_without_times_goes_by_snaps() -> None:
    course = tuple(CoursePoint(str(i), None, None, 0.5, None) for i in range(5))
    root = parsed(game_course(course, None, {}, 380, 320, "t"))
    assert "snaps in order" in [w for w, _ in lettering(root)]


def test_course_with_overtime_is_labelled() -> None:
    course = tuple(CoursePoint(str(i), None, 300 * i, 0.5, None) for i in range(15))
    words = [w for w, _ in lettering(parsed(game_course(course, None, {}, 1000, 320, "t")))]
    assert "overtime" in words
    assert "quarter 4" in words


def test_run_strip_tells_taken_from_missed() -> None:
    root = parsed(run_strip([(True, 0.0), (False, 0.4), (False, 0.2)], 0.4, "t"))
    fills = [c.get("fill") for c in root.iter(f"{SVG}circle")]
    assert fills[0] == INK
    assert INK not in fills[1:]
    stems = [float(r.get("height", "0")) - 3 for r in root.iter(f"{SVG}rect")]
    assert stems[0] == pytest.approx(2 * stems[1])


@given(st.floats(-50, 50), st.floats(1e-3, 100))
def test_ticks_are_inside_and_at_least_two(low: float, span: float) -> None:
    found = ticks(low, low + span, 4)
    assert len(found) >= 2
    assert all(low - 1e-6 * span <= t <= low + span * (1 + 1e-6) for t in found)


def test_markup_in_a_name_stays_text() -> None:
    bad = '<script>alert(1)</script>" onload="x'
    root = parsed(drawn([option(bad), option("b", air=3)]).markup)
    assert not list(root.iter(f"{SVG}script"))
    assert any(w.startswith("<script>") for w, _ in lettering(root))
