"""The report of a game as one HTML page that needs nothing but itself.

Escaping is on in every template: names, notes and labels come from strangers. The page's own
small script and styles are inside it, and a content policy in its head forbids anything else.
"""

from __future__ import annotations

import base64
import hashlib
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

from markupsafe import Markup

from pointsleft.game.dearest import FULL
from pointsleft.pricing.result import Currency, Lines, PricedGame
from pointsleft.report import figures, palette, sentences
from pointsleft.report.assumed_view import assumed_rows
from pointsleft.report.cautions import CAUTION_LINE, CAUTIONS, LIMITS
from pointsleft.report.drawing.course import game_course
from pointsleft.report.drawing.running import Entry, running_bar
from pointsleft.report.drawing.strips import counted_bars, interval_mark
from pointsleft.report.entry_drawings import Drawings, drawings, rules_of
from pointsleft.report.entry_view import EntryView, entry_view
from pointsleft.report.numbers import NAME, UNIT, amount, bare, percent
from pointsleft.report.played_out_view import game_parting
from pointsleft.report.safe_text import capital, clean
from pointsleft.report.totals_view import group_tables

if TYPE_CHECKING:
    import jinja2


@dataclass(frozen=True, slots=True)
class Headline:
    """A total of what was left: figure, unit, interval in words and as a mark."""

    figure: str
    unit: str
    interval: str
    mark: Markup


@dataclass(frozen=True, slots=True)
class FullEntry:
    number: int
    view: EntryView
    drawings: Drawings


@dataclass(frozen=True, slots=True)
class TableRow:
    """One line of the table of all decisions; figures without units, empty where unknown."""

    view: EntryView
    full: int | None
    chosen: str
    best: str
    left: tuple[str, ...]
    sort: tuple[float, ...]


def _never_none(value: object) -> object:
    """Last gate before a value is printed: unwanted characters out, a forgotten None refused."""
    if value is None:
        raise ValueError("a template tried to print a value that is not there")
    if isinstance(value, str) and not hasattr(value, "__html__"):
        return clean(value)
    return value


@cache
def environment() -> jinja2.Environment:
    """The templates, with escaping on and a refusal to print a value that is not there."""
    import jinja2

    return jinja2.Environment(
        loader=jinja2.PackageLoader("pointsleft.report"),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=_never_none,
    )


def _headlines(game: PricedGame) -> tuple[Headline, ...]:
    found = []
    for currency in sentences.CURRENCIES:
        total = game.total_left.get(currency)
        if not total:
            continue
        low, value, high = total["low"], total["value"], total["high"]
        words = f"{bare(low, currency)} to {amount(high, currency)}"
        mark = interval_mark(
            low, value, high, 1.15 * high, f"{amount(value, currency)}, 90% interval {words}"
        )
        found.append(Headline(bare(value, currency), UNIT[currency], words, mark))
    return tuple(found)


def _course(game: PricedGame, numbered: dict[str, int]) -> tuple[Markup, Markup] | None:
    if len(game.course) < 2:
        return None
    lines = game.lines.get("wins")
    end = lines.end if lines else None
    title = "Win probability snap by snap, with what each decision left"
    return (
        game_course(game.course, end, numbered, 1000, 330, title),
        game_course(game.course, end, numbered, 380, 320, title),
    )


def _game_lines(game: PricedGame, currency: Currency, lines: Lines) -> Markup:
    """The lines of a game as a running bar; priced snaps split where the split adds up."""
    ledgers = [e for d in game.decisions if (e := figures.ledger_of(d, currency)) is not None]
    parts = [
        Entry("offered", sum(e.offered for e in ledgers)),
        Entry("left", -sum(e.left for e in ledgers)),
        Entry("delivered", sum(e.delivered for e in ledgers)),
        Entry("breaks", sum(e.breaks for e in ledgers)),
    ]
    if abs(sum(p.change for p in parts) - lines.priced) > 1e-6 * max(1.0, abs(lines.priced)):
        parts = [Entry("priced", lines.priced)]
    parts += [Entry("unpriced", lines.unpriced), Entry("between", lines.between)]
    return running_bar(
        ("start", lines.start), parts, ("end", lines.end), currency,
        f"The game in {NAME[currency]}, from start to end",
    )  # fmt: skip


def _content_policy(script: str) -> str:
    digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    return f"default-src 'none'; style-src 'unsafe-inline'; script-src 'sha256-{digest}'"


def render_page(game: PricedGame, *, dearest: int = FULL) -> str:
    """The page of a priced game.

    Parameters
    ----------
    dearest
        How many of the dearest decisions get a full entry with drawings.

    Returns
    -------
    str
        One HTML document (UTF-8 when written) without a reference to anything outside itself.
    """
    main = figures.main_currency(game)
    rules = rules_of(game)
    marks = figures.marks(figures.assumption_order(game))
    place = {id(d): f"decision-{i}" for i, d in enumerate(game.decisions, start=1)}
    views = {
        id(d): view
        for d in game.decisions
        if (view := entry_view(game, d, place[id(d)], main, marks)) is not None
    }
    full: list[FullEntry] = []
    for decision, _ in figures.dearest(game, main, dearest):
        pictures = drawings(decision, main, rules)
        if pictures is not None:
            full.append(FullEntry(len(full) + 1, views[id(decision)], pictures))
    number = {entry.view.anchor: entry.number for entry in full}
    kept = tuple(
        c for c in sentences.CURRENCIES if any(figures.ledger_of(d, c) for d in game.decisions)
    )
    rows = []
    for decision in game.decisions:
        view = views.get(id(decision))
        if view is None:
            continue
        ledgers = [figures.ledger_of(decision, c) for c in kept]
        best = dict.fromkeys(e.best for e in ledgers if e is not None)
        rows.append(
            TableRow(
                view=view,
                full=number.get(view.anchor),
                chosen=decision.chosen,
                best=" / ".join(best),
                left=tuple(
                    "" if e is None else bare(e.left, c) for c, e in zip(kept, ledgers, strict=True)
                ),
                sort=tuple(-1.0 if e is None else e.left for e in ledgers),
            )
        )
    situations, concepts = group_tables(game, main)
    script = environment().get_template("table.js.j2").render()
    asked, best_asked, taken = figures.hits(game, main)
    best_count, known = figures.best_taken(game, main)
    taken_share = figures.taken_share(game, main)
    context: dict[str, Any] = {
        "game": game,
        "colour": {k: v for k, v in vars(palette).items() if k.isupper() and isinstance(v, str)},
        "policy": _content_policy(script),
        "script": Markup(script),
        "headlines": _headlines(game),
        "hurried": sentences.hurried(game),
        "taken_share": "" if taken_share is None else percent(taken_share),
        "best_taken": f"{best_count} of {known}",
        "verdicts": figures.verdict_counts(game, main),
        "snaps": len(game.decisions) + len(game.unpriced),
        "course": _course(game, {e.view.snap: e.number for e in full}),
        "lines": [
            (NAME[c], _game_lines(game, c, lines))
            for c in sentences.CURRENCIES
            if (lines := game.lines.get(c)) is not None
        ],
        "main": {"name": NAME[main], "unit": UNIT[main]},
        "rank_note": sentences.currency_note(game, main),
        "played_out": game_parting(game),
        "beforehand": capital(game.beforehand),
        "usual": FULL,
        "full": full,
        "rows": rows,
        "units": tuple(UNIT[c] for c in kept),
        "situations": situations,
        "concepts": concepts,
        "hits": counted_bars(
            [
                ("asked for by the choices", asked, False),
                ("asked for by the best", best_asked, False),
                ("taken", taken, True),
            ],
            "hits",
            "Hits on the quarterback",
        ),
        "assumptions": assumed_rows(game, marks),
        "caution": CAUTION_LINE,
        "cautions": CAUTIONS,
        "limits": LIMITS,
    }
    return environment().get_template("page.html.j2").render(context)
