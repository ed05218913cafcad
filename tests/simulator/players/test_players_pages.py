"""What is made of a ranking: pages, text, JSON, tables."""

from __future__ import annotations

import csv
import io
import json
import re
import shutil
import subprocess
import time
from dataclasses import fields, replace
from html.parser import HTMLParser
from pathlib import Path

import openpyxl
import polars
import pytest
from class_sample import NAMES, make_class
from pointsleft.players.rank import rank
from pointsleft.players.result import Ranking
from pointsleft.players.seen import SeenGame
from pointsleft.report import rank_words as words
from pointsleft.report.player_page import render_player
from pointsleft.report.rank_json import ranking_data, ranking_text
from pointsleft.report.rank_page import render_class
from pointsleft.report.rank_table import (
    TABLES,
    players_csv,
    season_frame,
    table_frame,
    write_xlsx,
)
from pointsleft.report.rank_text import summary
from pointsleft.report.rank_view import page_names
from pointsleft.report.rank_write import write_ranking

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("chrome")
HOSTILE = '<script>alert("x")</script> =1+1'


@pytest.fixture(scope="module")
def games() -> list[SeenGame]:
    return make_class((0.25, 0.5, 0.7, 1.0), (3, 4, 2, 1), 3, charters=("ab", "cd"), bias=0.02)


@pytest.fixture(scope="module")
def ranking(games: list[SeenGame]) -> Ranking:
    return rank(games, draws=800)


@pytest.fixture(scope="module")
def hostile(games: list[SeenGame]) -> Ranking:
    """Every text that comes from strangers tries to be markup and a formula."""

    def spoilt(game: SeenGame) -> SeenGame:
        return replace(
            game,
            player=f"{HOSTILE} {game.player}",
            title=f"{HOSTILE} {game.title}",
            us=HOSTILE,
            them=f"{HOSTILE} {game.them}",
            charter=f"{HOSTILE} {game.charter}",
            decisions=tuple(
                replace(
                    d, situation=HOSTILE, chosen=HOSTILE, clip=HOSTILE, snap=f"{d.snap} {HOSTILE}",
                    groups={k: f"{HOSTILE} {v}" for k, v in d.groups.items()},
                    points=None if d.points is None else replace(
                        d.points, best=HOSTILE, hangs_on=HOSTILE
                    ),
                )
                for d in game.decisions
            ),
        )  # fmt: skip

    return rank([spoilt(g) for g in games], draws=300)


class _Tags(HTMLParser):
    """Tags in order, and whether every one is closed."""

    VOID = ("meta", "col", "br")

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.seen: list[str] = []
        self.links: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.append(tag)
        self.links += [v for k, v in attrs if k in ("href", "src") and v]
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open, tag
        assert self.open.pop() == tag


def parsed(text: str) -> _Tags:
    found = _Tags()
    found.feed(text)
    assert found.open == []
    return found


def visible(text: str) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<(style|title)>.*?</\1>|<[^>]+>", " ", text, flags=re.S))


# -- pages --------------------------------------------------------------------------------------


def test_pages_are_whole_and_need_nothing_else(ranking: Ranking) -> None:
    pages = [render_class(ranking), *(render_player(ranking, n) for n in ranking.players)]
    for page in pages:
        tags = parsed(page)
        assert not {"script", "link", "img", "iframe"} & set(tags.seen)
        assert all(not link.startswith(("http", "//", "data:")) for link in tags.links)
        assert "None" not in visible(page)
        assert "nan" not in visible(page).lower().split()


def test_links_lead_to_the_pages_that_are_written(ranking: Ranking, tmp_path: Path) -> None:
    written = write_ranking(ranking, tmp_path)
    for page in (written.report, *written.players.glob("*.html")):
        for link in parsed(page.read_text(encoding="utf-8")).links:
            if not link.startswith("#"):
                assert (page.parent / link).resolve().is_file(), link


def test_never_a_bare_rank(ranking: Ranking) -> None:
    """Every player's interval stands on the page of the class, and on his own page."""
    standing = ranking.standings["points"]["left"]
    page = visible(render_class(ranking))
    for name, found in standing.players.items():
        interval = words.span(found.interval, "left", "points")
        assert interval in page
        assert interval in visible(render_player(ranking, name))
    assert not re.search(r"(?i)\brank(ed)? (no\. ?)?[1-9]\b|#[1-9]\b", page)


def test_the_reader_in_a_hurry_gets_three_sentences(ranking: Ranking) -> None:
    said = words.hurried(ranking)
    page = visible(render_class(ranking))
    assert len(said) == 3
    for sentence in said:
        assert sentence.endswith(".")
        assert sentence.split(":")[0] in page
    alone = ranking.standings["points"]["left"].apart[0]
    assert alone == NAMES[3]
    assert alone in said[2]
    assert "one game only" in said[2]


def test_strangers_texts_are_text(hostile: Ranking) -> None:
    for page in (render_class(hostile), *(render_player(hostile, n) for n in hostile.players)):
        assert "script" not in parsed(page).seen
        assert "&lt;script&gt;" in page
    cells = list(csv.reader(io.StringIO(players_csv(hostile))))
    assert not [c for row in cells for c in row if c.startswith(("=", "@"))]


def test_names_of_pages_are_safe_and_their_own() -> None:
    class Two:
        players = dict.fromkeys(("Pim Ostrey", "pim  ostrey", "../../etc", "…"))

    names = page_names(Two())  # type: ignore[arg-type]
    assert len(set(names.values())) == 4
    assert all(re.fullmatch(r"[\w-]+\.html", f) for f in names.values())


def test_a_player_without_an_estimate_is_refused(ranking: Ranking) -> None:
    with pytest.raises(KeyError, match="nobody"):
        render_player(ranking, "nobody")


# -- text ---------------------------------------------------------------------------------------


def test_the_summary_fits_a_terminal(ranking: Ranking, hostile: Ranking) -> None:
    for found in (ranking, hostile):
        lines = summary(found).splitlines()
        assert max(map(len, lines)) <= 80
    text = summary(ranking)
    for name, found in ranking.standings["points"]["left"].players.items():
        line = next(x for x in text.splitlines() if x.startswith(name))
        assert words.span(found.interval, "left", "points") in line


def test_two_who_cannot_be_told_apart_are_not_ordered() -> None:
    even = rank(make_class((0.6, 0.6), (2, 2), 5), draws=1500)
    found = even.standings["points"]["left"].settled
    assert found["firm"] == 0
    assert "no order here yet" in words.hurried(even)[1]
    clear = rank(make_class((0.2, 1.2), (6, 6), 5), draws=1500)
    assert clear.standings["points"]["left"].settled["firm"] == 1
    assert "no order here yet" not in words.hurried(clear)[1]


def test_one_player_is_not_ranked(tmp_path: Path) -> None:
    alone = rank(make_class((0.5,), (3,), 5), draws=300)
    said = " ".join(words.hurried(alone))
    assert "nothing can be ordered" in said
    assert "best" not in said
    assert write_ranking(alone, tmp_path).report.is_file()


def test_no_link_to_a_page_that_is_not_written(games: list[SeenGame], tmp_path: Path) -> None:
    """One player's games carry no clock, so in wins he is not among the others."""
    mixed = [
        replace(g, decisions=tuple(replace(d, wins=None) for d in g.decisions))
        if g.player == NAMES[0]
        else g
        for g in games
    ]
    by_wins = rank(mixed, main="wins", draws=300)
    assert NAMES[0] not in by_wins.standings["wins"]["left"].players
    written = write_ranking(by_wins, tmp_path)
    for link in parsed(written.report.read_text(encoding="utf-8")).links:
        if not link.startswith("#"):
            assert (tmp_path / link).is_file(), link
    assert NAMES[0] in visible(written.report.read_text(encoding="utf-8"))


# -- data ---------------------------------------------------------------------------------------


def test_json_holds_every_figure(ranking: Ranking) -> None:
    read = json.loads(ranking_text(ranking))
    assert read == ranking_data(ranking)
    assert {f.name for f in fields(Ranking)} <= set(read)
    found = read["standings"]["points"]["left"]["players"][NAMES[0]]
    assert found["value"] == ranking.standings["points"]["left"].players[NAMES[0]].value


@pytest.mark.parametrize("table", TABLES)
def test_tables_go_to_both_libraries(ranking: Ranking, table: str) -> None:
    frame = table_frame(ranking, table)
    assert frame.height > 0
    other = table_frame(ranking, table, "pandas")
    assert list(other.columns) == frame.columns
    assert len(other) == frame.height
    with pytest.raises(ValueError, match="polars and pandas"):
        table_frame(ranking, table, "abacus")


def test_the_tables_beside_say_what_the_pages_say(ranking: Ranking) -> None:
    steady = table_frame(ranking, "steadiness")
    spread = steady.filter(
        (polars.col("what") == "spread of left within a game")
        & (polars.col("player") == NAMES[0])
        & (polars.col("currency") == "points")
    )
    his = ranking.steadiness["points"][NAMES[0]].spread
    assert spread["estimate"].to_list() == [his.value]
    assert spread["low"].to_list() == [his.interval.low]
    blame = table_frame(ranking, "blame")
    assert set(blame["entry"]) == {"left", "delivered"}
    readings = table_frame(ranking, "readings")
    assert set(readings["reading"]) == {"as logged", "all in the read", "none in the read"}
    logged = readings.filter(
        (polars.col("reading") == "as logged") & (polars.col("currency") == "points")
    )
    standing = ranking.standings["points"]["left"]
    placed = logged.filter(polars.col("listed").is_not_null()).sort("listed")
    assert placed["player"].to_list() == list(standing.order)
    assert standing.apart  # and they are there without a place
    assert set(logged["player"]) == {*standing.order, *standing.apart}


def test_nobody_of_one_game_is_given_a_place(ranking: Ranking) -> None:
    (apart,) = ranking.standings["points"]["left"].apart
    page = visible(render_player(ranking, apart))
    assert "no place in the list" in page
    assert not re.search(r"\d of \d in the list", page)
    other = visible(render_player(ranking, ranking.standings["points"]["left"].order[0]))
    assert re.search(r"\d of \d in the list", other)
    assert f"no place: {apart}" in visible(render_class(ranking))


def test_no_such_table(ranking: Ranking) -> None:
    with pytest.raises(ValueError, match="players, pairs"):
        table_frame(ranking, "coaches")


def test_the_season_as_a_frame(games: list[SeenGame]) -> None:
    frame = season_frame(games)
    assert frame.height == sum(len(g.decisions) for g in games)
    sums = frame.group_by("player").agg(polars.col("points_left").sum()).sort("player")
    for name, left in sums.iter_rows():
        his = [d.points.left for g in games if g.player == name for d in g.decisions if d.points]
        assert left == pytest.approx(sum(his))


def test_the_workbook_holds_every_table(hostile: Ranking, tmp_path: Path) -> None:
    write_xlsx(hostile, tmp_path / "t.xlsx")
    book = openpyxl.load_workbook(tmp_path / "t.xlsx")
    assert book.sheetnames == list(TABLES)
    assert book["players"].row_dimensions[1].height > 3 * 13  # headings of several lines show
    figures = [c for c in book["players"][2] if c.number_format == "0.000"]
    assert figures  # hundredths of a point a decision are seen
    for sheet in book:
        for row in sheet.iter_rows():
            assert all(cell.data_type != "f" for cell in row)


def test_a_fault_in_one_file_leaves_the_others(
    ranking: Ranking, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_ranking(ranking, tmp_path)
    before = {p: p.read_bytes() for p in tmp_path.rglob("*.html")}

    def fails(*_: object) -> str:
        raise RuntimeError("a fault")

    monkeypatch.setattr("pointsleft.report.rank_write.render_player", fails)
    with pytest.raises(RuntimeError):
        write_ranking(replace(ranking, decisions=1), tmp_path)
    assert {p: p.read_bytes() for p in tmp_path.rglob("*.html")} == before


# -- in a browser -------------------------------------------------------------------------------


@pytest.mark.browser
@pytest.mark.skipif(CHROMIUM is None, reason="Chromium is not installed")
def test_a_browser_has_nothing_to_complain_of(ranking: Ranking, tmp_path: Path) -> None:
    """No console error, and no page wider than its window, on a laptop and on a phone."""
    written = write_ranking(ranking, tmp_path)
    for page in (written.report, next(iter(sorted(written.players.glob("*.html"))))):
        text = page.read_text(encoding="utf-8")
        loose = re.sub(r'<meta http-equiv="Content-Security-Policy"[^>]*>', "", text)
        for width in (1000, 360):
            frame = tmp_path / "frame.html"
            inner = loose.replace("&", "&amp;").replace('"', "&quot;")
            frame.write_text(
                f'<!DOCTYPE html><title>none</title><iframe width="{width}" height="800" '
                f'style="border:0" srcdoc="{inner}"></iframe><script>'
                "window.addEventListener('load', function () {"
                "document.title = document.querySelector('iframe').contentDocument"
                ".documentElement.scrollWidth; });</script>",
                encoding="utf-8",
            )
            done = subprocess.run(
                [str(CHROMIUM), "--headless", "--no-sandbox", "--disable-gpu",
                 "--enable-logging=stderr", "--v=0", "--dump-dom", frame.as_uri()],
                capture_output=True, text=True, timeout=120, check=True,
            )  # fmt: skip
            assert not [x for x in done.stderr.splitlines() if "CONSOLE" in x]
            title = re.search(r"<title>(.*?)</title>", done.stdout)
            assert title is not None
            assert int(title.group(1)) <= width, page.name


def test_twelve_games_of_seventy_snaps_rank_in_ten_seconds(tmp_path: Path) -> None:
    """Priced before; time of the processor, so that a busy machine does not matter."""
    season = make_class((0.3, 0.5, 0.7, 0.9), (3, 3, 3, 3), 4, snaps=70, charters=("ab", "cd"))
    assert sum(len(g.decisions) for g in season) == 12 * 70
    start = time.process_time()
    write_ranking(rank(season), tmp_path, workbook=True)
    assert time.process_time() - start < 10
