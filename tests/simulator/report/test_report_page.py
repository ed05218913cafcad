"""The page: whole, self-contained, escaped, complete, fast."""

from __future__ import annotations

import re
import subprocess
import sys
import time
from collections import Counter
from dataclasses import replace
from html.parser import HTMLParser

import pytest
from pointsleft.pricing.judgement_table import judgements
from pointsleft.pricing.result import Assumption, PricedGame
from pointsleft.report import figures
from pointsleft.report.assumed_view import assumed_rows
from pointsleft.report.cautions import CAUTION_LINE, CAUTIONS, LIMITS
from pointsleft.report.entry_view import AFTER
from pointsleft.report.figures import dearest
from pointsleft.report.numbers import amount, percent
from pointsleft.report.page import render_page
from pointsleft.report.totals_view import group_tables
from sample import make_game

VOID = {"meta", "link", "br", "hr", "img", "input", "col", "wbr"}
BAD = "</title></style></script><script>alert(1)</script>\"'><img src=x onerror=alert(2)>{{ 7*7 }}"


class Page(HTMLParser):
    """Reads a page strictly: every element that opens closes, in order."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.tags: Counter[str] = Counter()
        self.attributes: list[tuple[str, str, str]] = []
        self.words: list[str] = []
        self.captions: list[str] = []
        self.headings: list[str] = []
        self.figures: list[set[str]] = []
        self.feed(text)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags[tag] += 1
        self.attributes += [(tag, name, value or "") for name, value in attrs]
        names = [name for name, _ in attrs]
        assert len(names) == len(set(names)), f"{tag} has an attribute twice"
        if tag not in VOID:
            self.open.append(tag)
        if tag == "figure":
            self.figures.append(set())
        elif self.figures and "figure" in self.open:
            self.figures[-1].add(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in VOID:
            self.open.pop()

    def handle_endtag(self, tag: str) -> None:
        assert self.open, f"{tag} closes but nothing is open"
        assert self.open[-1] == tag, f"{tag} closes while {self.open[-1]} is open"
        self.open.pop()

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] in ("style", "script"):
            return
        self.words.append(data)
        if "figcaption" in self.open:
            self.captions.append(data)
        if self.open and self.open[-1] == "h2":
            self.headings.append(data)

    def values(self, name: str) -> list[str]:
        return [value for _, found, value in self.attributes if found == name]


@pytest.fixture(scope="module")
def page(game: PricedGame) -> Page:
    return Page(render_page(game))


@pytest.mark.parametrize("kind", ["game", "without_clock", "overtime"])
def test_well_formed_and_self_contained(kind: str, request: pytest.FixtureRequest) -> None:
    text = render_page(request.getfixturevalue(kind))
    page = Page(text)
    ids = page.values("id")
    assert len(ids) == len(set(ids))
    for target in page.values("href"):
        assert target.startswith("#")
        assert target[1:] in ids
    assert page.values("src") == []
    assert not re.search(r"url\(|@import|<link|<iframe|<object", text)
    outside = set(re.findall(r"https?://[^\s\"'<)]+", text))
    assert outside <= {"http://www.w3.org/2000/svg"}
    # Nothing was printed that is not there, and no marker of a template is left.
    assert not re.search(r"\bNone\b|\bnan\b|\binf\b|{{|{%", "".join(page.words))


def test_parser_sees_a_fault() -> None:
    """Negative control of the check above."""
    with pytest.raises(AssertionError, match="closes while"):
        Page("<div><p></div></p>")


def test_contents_in_order(page: Page) -> None:
    wanted = [
        "Left on the field", "The course of the game", "How to read an entry",
        "The dearest decisions", "All decisions", "Where it was left",
        "Hits asked for and taken", "What was assumed", "Models used", "Cautions and limits",
    ]  # fmt: skip
    assert page.headings == wanted


def test_every_drawing_has_its_caption(page: Page) -> None:
    assert page.figures
    assert all("figcaption" in inside for inside in page.figures)
    drawings = sum("svg" in inside for inside in page.figures)
    assert drawings == 8 * 3 + 1 + 2 + 1  # entries, course, lines, hits


def test_dearest_are_shown_dearest_first(game: PricedGame, page: Page) -> None:
    text = "".join(page.words)
    places = []
    for decision, entry in dearest(game, "wins", 8):
        found = text.index(f"Snap {decision.snap} ·")
        places.append(found)
        assert amount(entry.left, "wins") in text[found : found + 400]
        assert decision.clip is not None
        assert decision.clip in text[found : found + 60]
    assert places == sorted(places)
    assert page.tags["svg"] > 8 * 3


def test_every_decision_is_in_the_table_and_has_an_entry(game: PricedGame, page: Page) -> None:
    ids = set(page.values("id"))
    assert {f"decision-{i}" for i in range(1, len(game.decisions) + 1)} <= ids
    assert len(
        [1 for tag, name, _ in page.attributes if (tag, name) == ("tr", "data-verdict")]
    ) == (len(game.decisions))


def test_number_of_full_entries_can_be_chosen(game: PricedGame) -> None:
    for number in (0, 3):
        ids = Page(render_page(game, dearest=number)).values("id")
        assert sum(i.startswith("dearest-") for i in ids) == number


def test_cautions_limits_and_models_are_there(game: PricedGame, page: Page) -> None:
    text = "".join(page.words)
    assert all(words in text for words in (*CAUTIONS, *LIMITS))
    for model in game.models:
        assert all(part in text for part in model.values())
    for code, times in game.assumptions.items():
        assert game.assumption_texts[code] in text
        assert str(times) in text


def test_a_caution_stands_beside_the_headline(game: PricedGame) -> None:
    text = render_page(game)
    top = text.split('aria-labelledby="h-course"')[0].split("<body>")[1]
    assert CAUTION_LINE.replace("'", "&#39;") in top
    assert "betting" in top
    assert "medical" in top
    assert 'href="#cautions"' in top


def test_assumptions_are_told_with_their_figure_and_what_they_are_of(game: PricedGame) -> None:
    table = judgements()
    told = replace(
        game,
        assumptions={"in_read.second": 3, "escape.sack": 1, "clock.unknown": 1, "of.no.table": 1},
        assumption_texts={"in_read.second": table["in_read.second"].what},
    )
    rows = {r.mark: r for r in assumed_rows(told, figures.marks(figures.assumption_order(told)))}
    first = rows["a"]
    assert (first.topic, first.times) == ("chance that it was in the read", 3)
    value, low, high = (percent(float(getattr(table["in_read.second"], n)))
                        for n in ("value", "low", "high"))  # fmt: skip
    assert first.figure == f"{value} ({low} to {high})"
    assert [rows[m].figure == "" for m in "bcd"] == [True, False, True]


def test_groups_stand_in_the_order_of_football(game: PricedGame) -> None:
    downs = ["first down", "second down", "third down", "fourth down"]
    total = next(iter(game.totals["wins"].values()))[0]
    mixed = tuple(replace(total, group=downs[i]) for i in (2, 0, 3, 1))
    families = tuple(replace(total, group=g) for g in ("rpo", "screen"))
    told = replace(game, totals={"wins": {"all": (total,), "down": mixed, "play family": families}})
    every, by_down, by_family = group_tables(told, "wins")[0]
    assert (every.title, every.dimension) == ("All priced decisions", "")
    assert [r.name for r in by_down.rows] == downs
    assert {r.name for r in by_family.rows} == {"run-pass option", "screen"}


def test_what_came_after_the_play_broke_down_is_said_once(game: PricedGame) -> None:
    decision, _ = dearest(game, "wins", 1)[0]
    for label in (f"go, {AFTER}", "go"):
        options = tuple(replace(o, label=label, reaction=2) for o in decision.options)
        text = render_page(replace(game, decisions=(replace(decision, options=options),)))
        assert text.count(AFTER) == len(options)


@pytest.mark.parametrize("extra", [BAD, "\x1b[31m\x00\u202e"])
def test_text_from_strangers_stays_text(extra: str) -> None:
    clean_page = Page(render_page(make_game(2, 10, note="plain", title="plain")))
    game = make_game(2, 10, note=extra, title=extra, quarterback=extra)
    decisions = tuple(
        replace(
            d, clip=extra, situation=extra, result=extra, concept=extra, rule_says=extra,
            right_by_rule=True, snap=f"{i}{extra}",
            options=tuple(replace(o, label=extra) for o in d.options),
            assumptions=(Assumption(extra, "", extra),),
        )
        for i, d in enumerate(game.decisions)
    )  # fmt: skip
    hostile = replace(
        game, decisions=decisions, us=extra, them=extra, charter=extra, rules=extra,
        assumptions={extra: 3}, assumption_texts={extra: extra}, warnings=(extra,),
        models=({"name": extra, "version": extra, "hash": extra},),
    )  # fmt: skip
    text = render_page(hostile)
    page = Page(text)
    assert page.tags["script"] == clean_page.tags["script"] == 1
    assert page.tags["img"] == 0
    assert not [name for _, name, _ in page.attributes if name.startswith("on")]
    assert not re.search("[\x00-\x08\x0b-\x1f\u202e]", text)
    if extra == BAD:
        assert "".join(page.words).count(BAD) > 30


def test_the_policy_allows_our_script_only(game: PricedGame) -> None:
    import base64
    import hashlib

    text = render_page(game)
    policy = next(v for v in Page(text).values("content") if "default-src" in v)
    script = text.split("<script>")[1].split("</script>")[0]
    digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    assert f"script-src 'sha256-{digest}'" in policy
    assert "default-src 'none'" in policy


def test_without_clock_says_so(without_clock: PricedGame) -> None:
    text = "".join(Page(render_page(without_clock)).words)
    assert "Clock and score were not logged" in text
    assert "Ranked by points" in text


def test_game_without_decisions(game: PricedGame) -> None:
    empty = replace(
        game, decisions=(), totals={}, total_left={}, headline={}, assumptions={}, course=(),
        hits={}, lines={"points": None, "wins": None},
    )  # fmt: skip
    text = "".join(Page(render_page(empty)).words)
    assert "No snap of this log could be priced" in text
    assert "No decision left anything" in text


def test_decision_with_one_currency_among_many(game: PricedGame) -> None:
    mixed = replace(game, decisions=(replace(game.decisions[0], wins=None), *game.decisions[1:]))
    text = "".join(Page(render_page(mixed)).words)
    assert "unknown" in text
    assert "1 decision without that figure is listed in the table only" in text


def test_a_situation_without_place_has_no_field_but_all_else(game: PricedGame) -> None:
    blank = tuple(replace(d, facts={}) for d in game.decisions)
    page = Page(render_page(replace(game, decisions=blank)))
    assert "The options on the field" not in "".join(page.words)
    assert "From before to after" in "".join(page.words)


def test_same_input_same_page(game: PricedGame) -> None:
    assert render_page(game) == render_page(game)


def test_forty_decisions_in_well_under_seven_tenths_of_a_second() -> None:
    game = make_game(11, 40)
    render_page(game)
    spent = []
    for _ in range(3):
        start = time.process_time()
        render_page(game)
        spent.append(time.process_time() - start)
    assert min(spent) < 0.5


def test_no_heavy_library_is_loaded_for_a_page() -> None:
    code = (
        "import sys, pointsleft.report.write, pointsleft.report.as_text; "
        "heavy = {'matplotlib', 'polars', 'pandas', 'scipy', 'openpyxl', 'statsmodels', 'numpy'}; "
        "print(sorted(heavy & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
