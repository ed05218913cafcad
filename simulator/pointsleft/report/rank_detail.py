"""What stands beside the order on the pages of a ranking: situations, steadiness, blame, the
doubtful reads, repeats."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from markupsafe import Markup

from pointsleft.players.doubts import PARTIES
from pointsleft.players.groups import DIMENSIONS
from pointsleft.players.result import Cell, Contrast, Ranking, Standing
from pointsleft.pricing.result import Currency
from pointsleft.report import rank_words as words
from pointsleft.report.drawing.standing import small_interval
from pointsleft.report.drawing.strips import run_strip
from pointsleft.report.numbers import fixed, percent

#: Repeats of a concept shown in one strip; the rest would not fit on a page.
STRIP = 26


@dataclass(frozen=True, slots=True)
class CellRow:
    group: str
    decisions: int
    raw: str
    value: str
    interval: str
    of_class: str
    clear: str
    mark: Markup
    taken: str  # share of the available value taken, with its interval


@dataclass(frozen=True, slots=True)
class CellTable:
    dimension: str
    says: str
    rows: tuple[CellRow, ...]


def cell_tables(ranking: Ranking, player: str, currency: Currency, measure: str) -> list[CellTable]:
    """One player by every dimension, on one scale for all of them."""
    found = ranking.cells.get(currency, {}).get(measure, {})
    his = {d: [c for c in cells if c.player == player] for d, cells in found.items()}
    ends = [v for cells in his.values() for c in cells for v in (c.interval.low, c.interval.high)]
    if not ends:
        return []
    scale = min([*ends, 0.0]), max(ends)
    taken = {
        (d, c.group): c
        for d, cells in ranking.cells.get(currency, {}).get("taken", {}).items()
        for c in cells
        if c.player == player
    }
    return [
        CellTable(
            dimension,
            DIMENSIONS[dimension],
            tuple(
                _cell_row(c, taken.get((dimension, c.group)), measure, currency, scale)
                for c in his[dimension]
            ),
        )
        for dimension in DIMENSIONS
        if his.get(dimension)
    ]


def _cell_row(
    cell: Cell, taken: Cell | None, measure: str, currency: Currency, ends: tuple[float, float]
) -> CellRow:
    shown = words.figure(cell.value, measure, currency)
    interval = words.span(cell.interval, measure, currency)
    return CellRow(
        cell.group,
        cell.decisions,
        words.figure(cell.raw, measure, currency),
        shown,
        interval,
        words.figure(cell.class_value, measure, currency),
        words.clear_of_class(cell),
        small_interval(
            cell.interval.low, cell.value, cell.interval.high, cell.class_value, ends,
            f"{cell.group}: {shown}, 90% interval {interval}",
        ),
        "" if taken is None else (
            f"{words.figure(taken.value, 'taken', currency)} "
            f"({words.span(taken.interval, 'taken', currency)})"
        ),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class SteadyRow:
    name: str
    file: str
    best: str
    best_interval: str
    spread: str
    spread_interval: str
    spread_others: bool  # one game: what the others let expect
    contrasts: tuple[str, ...]


def contrast_names(ranking: Ranking, currency: Currency) -> tuple[str, ...]:
    """The contrasts that anybody has, in order."""
    found = ranking.steadiness.get(currency, {}).values()
    return tuple(dict.fromkeys(c.what for s in found for c in s.contrasts))


def steady_rows(ranking: Ranking, currency: Currency, files: Mapping[str, str]) -> list[SteadyRow]:
    """How steady everybody is."""
    standings = ranking.standings[currency]
    left, best = standings["left"], standings.get("best")
    names = contrast_names(ranking, currency)
    out = []
    for name in (*left.order, *left.apart):
        steady = ranking.steadiness[currency].get(name)
        if steady is None:
            continue
        by_name: dict[str, Contrast] = {c.what: c for c in steady.contrasts}
        spread = steady.spread
        scale = 1.0 if currency == "points" else 100.0
        digits = 2 if currency == "points" else 1
        out.append(
            SteadyRow(
                name, files[name],
                *_best(best, name),
                fixed(spread.value * scale, digits),
                f"{fixed(spread.interval.low * scale, digits)} to "
                f"{fixed(spread.interval.high * scale, digits)}",
                spread.own == 0,
                tuple(
                    words.contrast_words(by_name[w], currency) if w in by_name else "too few"
                    for w in names
                ),
            )
        )  # fmt: skip
    return out


def _best(best: Standing | None, name: str) -> tuple[str, str]:
    found = None if best is None else best.players.get(name)
    if found is None or best is None:
        return "not known", "no decisions"
    return (
        words.figure(found.value, "best", best.currency) + "%",
        words.span(found.interval, "best", best.currency),
    )


@dataclass(frozen=True, slots=True)
class BlameRow:
    name: str
    entry: str
    shares: tuple[str, ...]
    said: str


def blame_rows(ranking: Ranking, currency: Currency, only: str | None = None) -> list[BlameRow]:
    """``left`` and ``delivered`` by who answers for them."""
    left = ranking.standings[currency]["left"]
    out = []
    for name in (*left.order, *left.apart):
        if only is not None and name != only:
            continue
        for blame in ranking.blame[currency].get(name, ()):
            out.append(
                BlameRow(
                    name, blame.entry,
                    tuple(
                        words.figure(blame.shares[p], "left", currency) if blame.shares[p] else "0"
                        for p in PARTIES
                    ),
                    f"{blame.decisions_said} of {left.players[name].decisions}",
                )
            )  # fmt: skip
    return out


@dataclass(frozen=True, slots=True)
class ExtremeRow:
    name: str
    order: str
    first: str


def extreme_rows(ranking: Ranking, currency: Currency) -> list[ExtremeRow]:
    """The order under each reading of the doubtful reads."""
    out = []
    for extreme in ranking.extremes[currency]:
        best = max(extreme.first, key=lambda n: extreme.first[n])
        apart = ranking.standings[currency]["left"].apart
        groups = [[n for n in extreme.order if (n in apart) is so] for so in (False, True)]
        listed = "; no place: ".join(
            ", ".join(f"{n} {words.figure(extreme.values[n], 'left', currency)}" for n in group)
            for group in groups
            if group
        )
        out.append(ExtremeRow(extreme.name, listed, f"{best}, {percent(extreme.first[best])}"))
    return out


@dataclass(frozen=True, slots=True)
class RepeatRow:
    concept: str
    taken: str
    interval: str
    strip: Markup


def repeat_rows(ranking: Ranking, player: str, currency: Currency) -> list[RepeatRow]:
    """Repeats of one concept, the ones called most often first."""
    steady = ranking.steadiness[currency].get(player)
    if steady is None:
        return []
    most = max((left for r in steady.repeats for left in r.left), default=0.0)
    return [
        RepeatRow(
            r.concept,
            f"{sum(r.taken)} of {len(r.taken)}",
            words.span(r.interval, "best", currency),
            run_strip(
                list(zip(r.taken, r.left, strict=True))[:STRIP], most,
                f"{r.concept}: {sum(r.taken)} of {len(r.taken)} took the best",
            ),
        )
        for r in steady.repeats[:12]
    ]  # fmt: skip
