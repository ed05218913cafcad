"""The tables of a ranking: players, pairs, situations, dearest decisions, season decisions.

Each goes to a data frame (``table_frame``), and all to one workbook (``write_xlsx``), in one call.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pointsleft.players.groups import DIMENSIONS
from pointsleft.players.measures import MEASURES
from pointsleft.players.result import Cell, Dear, Ranking, Standing
from pointsleft.players.seen import Money, SeenDecision, SeenGame
from pointsleft.pricing.result import CURRENCIES, Currency
from pointsleft.report import rank_words as words
from pointsleft.report import sheets
from pointsleft.report.rank_beside import BARE, BESIDE_TABLES, WHO
from pointsleft.report.sheets import Column

#: A sheet of at most so many columns is printed one page wide.
ONE_WIDE = 14


@dataclass(frozen=True, slots=True)
class PlayerRow:
    """One player of a ranking."""

    name: str
    ranking: Ranking

    def standing(self, currency: Currency, measure: str) -> Standing | None:
        found = self.ranking.standings.get(currency)
        return None if found is None else found.get(measure)


@dataclass(frozen=True, slots=True)
class PairRow:
    player: str
    other: str
    currency: Currency
    measure: str
    ahead: float


@dataclass(frozen=True, slots=True)
class CellRow:
    currency: Currency
    measure: str
    dimension: str
    cell: Cell


@dataclass(frozen=True, slots=True)
class DearRow:
    player: str
    currency: Currency
    dear: Dear


@dataclass(frozen=True, slots=True)
class SeasonRow:
    """One decision of a season."""

    game: SeenGame
    decision: SeenDecision


def _estimates(currency: Currency, measure: str) -> list[Column[PlayerRow]]:
    by = words.factor(measure, currency)
    unit = words.unit(measure, currency)
    title = words.WORDS[measure].title.lower()

    def number(
        name: str, heading: str, pick: Callable[[Standing, str], float | None]
    ) -> Column[PlayerRow]:
        def cell(row: PlayerRow) -> sheets.Cell:
            standing = row.standing(currency, measure)
            if standing is None or row.name not in standing.players:
                return None
            return pick(standing, row.name)

        digits = max(words.decimals(measure, currency), 1)
        return Column(f"{currency}_{measure}_{name}", heading, "number", cell, by, digits=digits)

    return [
        number("raw", f"{title}, plain ({unit})", lambda s, n: s.players[n].raw),
        number("estimate", f"{title}, shrunken ({unit})", lambda s, n: s.players[n].value),
        number("low", f"{title}, 90% low ({unit})", lambda s, n: s.players[n].interval.low),
        number("high", f"{title}, 90% high ({unit})", lambda s, n: s.players[n].interval.high),
    ]


def _of_left(
    name: str, heading: str, pick: Callable[[Standing, str], sheets.Cell], factor: float = 1.0
) -> Column[PlayerRow]:
    def cell(row: PlayerRow) -> sheets.Cell:
        standing = row.standing(row.ranking.main, "left")
        if standing is None or row.name not in standing.players:
            return None
        return pick(standing, row.name)

    return Column(name, heading, "number", cell, factor)


PLAYERS: tuple[Column[PlayerRow], ...] = (
    Column("player", "player", "text", lambda r: r.name, wide=True),
    Column("games", "games", "whole", lambda r: r.ranking.players[r.name].games),
    Column("decisions", "decisions", "whole", lambda r: r.ranking.players[r.name].decisions),
    Column(
        "charters", "charted by", "text",
        lambda r: ", ".join(r.ranking.players[r.name].charters),
    ),
    Column(
        "placed", "has a place in the order", "yes-no",
        lambda r: r.name in r.ranking.standings[r.ranking.main]["left"].order,
    ),
    _of_left("place_low", "place, from", lambda s, n: words.place_range(s.places[n])[0]),
    _of_left("place_high", "place, to", lambda s, n: words.place_range(s.places[n])[1]),
    _of_left("chance_first", "chance of being the best (%)", lambda s, n: s.places[n][0], 100.0),
    _of_left("own_weight", "own games in the estimate (%)", lambda s, n: s.players[n].own, 100.0),
    _of_left(
        "games_to_halve", "more games to halve the interval",
        lambda s, n: s.players[n].games_to_halve,
    ),
    *(c for currency in CURRENCIES for m in MEASURES for c in _estimates(currency, m)),
)  # fmt: skip

PAIRS: tuple[Column[PairRow], ...] = (
    Column("player", "player", "text", lambda r: r.player, wide=True),
    Column("other", "other", "text", lambda r: r.other, wide=True),
    Column("currency", "in", "text", lambda r: r.currency),
    Column("measure", "by", "text", lambda r: r.measure),
    Column("ahead", "chance of being ahead (%)", "number", lambda r: r.ahead, 100.0),
)


def _cell_number(name: str, heading: str, pick: Callable[[Cell], float]) -> Column[CellRow]:
    return Column(name, heading, "number", lambda r: pick(r.cell), digits=BARE)


SITUATIONS: tuple[Column[CellRow], ...] = (
    Column("player", "player", "text", lambda r: r.cell.player, wide=True),
    Column("currency", "in", "text", lambda r: r.currency),
    Column("measure", "by", "text", lambda r: r.measure),
    Column("dimension", "situation", "text", lambda r: r.dimension),
    Column("group", "group", "text", lambda r: r.cell.group, wide=True),
    Column("decisions", "decisions", "whole", lambda r: r.cell.decisions),
    _cell_number("raw", "plain", lambda c: c.raw),
    _cell_number("estimate", "shrunken", lambda c: c.value),
    _cell_number("low", "90% low", lambda c: c.interval.low),
    _cell_number("high", "90% high", lambda c: c.interval.high),
    _cell_number("class", "middle of the class", lambda c: c.class_value),
)

DEAREST: tuple[Column[DearRow], ...] = (
    *WHO,
    Column("game", "game", "text", lambda r: r.dear.game, wide=True),
    Column("charter", "charted by", "text", lambda r: r.dear.charter),
    Column("snap", "snap", "text", lambda r: r.dear.snap),
    Column("clip", "clip", "text", lambda r: r.dear.clip),
    Column("situation", "situation", "text", lambda r: r.dear.situation, wide=True),
    Column("chosen", "chosen", "text", lambda r: r.dear.chosen),
    Column("best", "best", "text", lambda r: r.dear.best),
    Column("result", "result", "text", lambda r: r.dear.result, wide=True),
    Column("left", "left (points, or chance of winning)", "number", lambda r: r.dear.left,
           digits=BARE),
    Column("settled", "refits that put the best first (%)", "number",
           lambda r: r.dear.settled, 100.0),
)  # fmt: skip


def _money(currency: Currency) -> list[Column[SeasonRow]]:
    unit, factor = ("points", 1.0) if currency == "points" else ("% WP", 100.0)

    def number(
        name: str, heading: str, pick: Callable[[Money], float], by: float = factor
    ) -> Column[SeasonRow]:
        def cell(row: SeasonRow) -> sheets.Cell:
            money = row.decision.money(currency)
            return None if money is None else pick(money)

        shown = unit if by == factor else "%"
        return Column(f"{currency}_{name}", f"{heading} ({shown})", "number", cell, by)

    def text(name: str, heading: str, pick: Callable[[Money], str | None]) -> Column[SeasonRow]:
        def cell(row: SeasonRow) -> sheets.Cell:
            money = row.decision.money(currency)
            return None if money is None else pick(money)

        return Column(f"{currency}_{name}", f"{heading}, {unit}", "text", cell)

    def yes(name: str, heading: str, pick: Callable[[Money], bool]) -> Column[SeasonRow]:
        def cell(row: SeasonRow) -> sheets.Cell:
            money = row.decision.money(currency)
            return None if money is None else pick(money)

        return Column(f"{currency}_{name}", f"{heading}, {unit}", "yes-no", cell)

    return [
        text("best", "best", lambda m: m.best),
        yes("took_best", "took the best", lambda m: m.took_best),
        number("settled", "refits that put the best first", lambda m: m.settled, 100.0),
        number("offered", "offered", lambda m: m.offered),
        number("left", "left", lambda m: m.left),
        number("left_crossfit", "left, corrected for choosing", lambda m: m.crossfit),
        number("delivered", "delivered", lambda m: m.delivered),
        number("breaks", "breaks", lambda m: m.breaks),
        number("available", "available", lambda m: m.available),
        number("stake", "a blind choice would have left", lambda m: m.stake),
        text("depth", "where the best lay, depth", lambda m: m.groups.get("depth")),
        text("side", "where the best lay, side", lambda m: m.groups.get("side")),
    ]


def _group(dimension: str) -> Column[SeasonRow]:
    return Column(
        dimension.replace(" ", "_"), dimension, "text",
        lambda r: r.decision.groups.get(dimension),
    )  # fmt: skip


SEASON: tuple[Column[SeasonRow], ...] = (
    Column("player", "player", "text", lambda r: r.game.player, wide=True),
    Column("game", "game", "text", lambda r: r.game.title, wide=True),
    Column("them", "against", "text", lambda r: r.game.them, wide=True),
    Column("charter", "charted by", "text", lambda r: r.game.charter),
    Column("snap", "snap", "text", lambda r: r.decision.snap),
    Column("clip", "clip", "text", lambda r: r.decision.clip),
    Column("situation", "situation", "text", lambda r: r.decision.situation, wide=True),
    Column("of_call", "choice of the call", "yes-no", lambda r: r.decision.of_call),
    *(_group(d) for d in DIMENSIONS if d not in ("side", "depth")),
    Column("chosen", "chosen", "text", lambda r: r.decision.chosen),
    Column("result", "result", "text", lambda r: r.decision.result, wide=True),
    *_money("points"),
    *_money("wins"),
)


def player_rows(ranking: Ranking) -> list[PlayerRow]:
    """The players in the order of the page."""
    standing = ranking.standings[ranking.main]["left"]
    names = dict.fromkeys((*standing.order, *standing.apart, *ranking.players))
    return [PlayerRow(name, ranking) for name in names]


def pair_rows(ranking: Ranking) -> list[PairRow]:
    """Every ordered pair, by every measure."""
    return [
        PairRow(one, other, currency, measure, chance)
        for currency, standings in ranking.standings.items()
        for measure, standing in standings.items()
        for one, others in standing.ahead.items()
        for other, chance in others.items()
    ]


def cell_rows(ranking: Ranking) -> list[CellRow]:
    """Every player in every group of situations."""
    return [
        CellRow(currency, measure, dimension, cell)
        for currency, measures in ranking.cells.items()
        for measure, dimensions in measures.items()
        for dimension, cells in dimensions.items()
        for cell in cells
    ]


def dear_rows(ranking: Ranking) -> list[DearRow]:
    """The dearest decisions of every player."""
    return [
        DearRow(player, currency, dear)
        for currency, players in ranking.dearest.items()
        for player, found in players.items()
        for dear in found
    ]


#: Name of a table -> its columns and how its rows are found.
TABLES: dict[str, tuple[Sequence[Column[Any]], Callable[[Ranking], list[Any]]]] = {
    "players": (PLAYERS, player_rows),
    "pairs": (PAIRS, pair_rows),
    "situations": (SITUATIONS, cell_rows),
    "dearest": (DEAREST, dear_rows),
    **BESIDE_TABLES,
}


def table_frame(ranking: Ranking, table: str = "players", library: str = "polars") -> Any:
    """One table of a ranking as a data frame of ``polars`` or ``pandas``.

    Parameters
    ----------
    table
        ``players``, ``pairs``, ``situations``, ``dearest``, ``steadiness``, ``blame`` or
        ``readings``.

    Raises
    ------
    ValueError
        No such table, or any other library.
    """
    if table not in TABLES:
        raise ValueError(f"{table!r} is no table of a ranking; there are {', '.join(TABLES)}")
    columns, rows = TABLES[table]
    return sheets.frame(columns, rows(ranking), library)


def season_frame(games: Sequence[SeenGame], library: str = "polars") -> Any:
    """Every decision of a season as a data frame of ``polars`` or ``pandas``.

    Raises
    ------
    ValueError
        Any other library is asked for.
    """
    rows = [SeasonRow(game, decision) for game in games for decision in game.decisions]
    return sheets.frame(SEASON, rows, library)


def players_csv(ranking: Ranking) -> str:
    """``players.csv`` as text: headings in words with units, one row a player."""
    return sheets.csv_text(PLAYERS, player_rows(ranking))


def write_xlsx(ranking: Ranking, path: Path) -> None:
    """Write every table of a ranking as one workbook, a sheet each.

    Text cells are stored as text, so nothing in them is executed. An existing file is replaced.
    """
    import openpyxl
    from openpyxl.worksheet.properties import PageSetupProperties

    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, (columns, rows) in TABLES.items():
        sheets.fill(book.create_sheet(name), columns, rows(ranking))
    for sheet in book:
        sheet.page_setup.orientation = "landscape"
        sheet.print_title_rows, sheet.print_title_cols = "1:1", "A:A"
        if sheet.max_column <= ONE_WIDE:
            sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
            sheet.page_setup.fitToHeight = 0
    book.save(path)
