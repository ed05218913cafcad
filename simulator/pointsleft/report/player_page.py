"""The page of one player among his class."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from markupsafe import Markup

from pointsleft.players.doubts import PARTIES
from pointsleft.players.result import Dear, Ranking, Standing
from pointsleft.pricing.ledger import verdict
from pointsleft.pricing.result import Currency
from pointsleft.report import rank_detail as detail
from pointsleft.report import rank_view as view
from pointsleft.report import rank_words as words
from pointsleft.report.cautions import CAUTION_LINE, CAUTIONS, LIMITS, RANKING_LIMITS
from pointsleft.report.drawing.standing import intervals, small_interval
from pointsleft.report.numbers import UNIT, count, fixed, percent
from pointsleft.report.page import environment
from pointsleft.report.rank_page import BESIDE, POLICY, colours, logs_of


@dataclass(frozen=True, slots=True)
class Headline:
    figure: str
    unit: str
    mark: Markup
    interval: str
    raw: str
    middle: str


@dataclass(frozen=True, slots=True)
class EntryRow:
    title: str
    unit: str
    interval: str
    value: str
    raw: str
    middle: str
    mark: Markup
    says: str
    better: str


@dataclass(frozen=True, slots=True)
class DearRow:
    game: str
    snap: str
    clip: str
    situation: str
    chosen: str
    best: str
    left: str
    verdict: str


def render_player(ranking: Ranking, name: str) -> str:
    """The page of one player.

    Raises
    ------
    KeyError
        Nobody of that name has an estimate.
    """
    main = ranking.main
    left = ranking.standings[main]["left"]
    if name not in left.players:
        raise KeyError(f"{name} has no estimate; there are {', '.join(left.players)}")
    steady = ranking.steadiness[main].get(name)
    who = ranking.players[name]
    per = words.unit("left", main)
    context: dict[str, Any] = {
        "colour": colours(),
        "policy": POLICY,
        "name": name,
        "byline": (
            f"{', '.join(who.teams)}. {count(who.decisions, 'decision')} priced in "
            f"{count(who.games, 'game')}, charted by {', '.join(who.charters)}."
        ),
        "headlines": [_headline(ranking, name, c) for c in _currencies(ranking, name)],
        "counts": _counts(left, name),
        "hurried": hurried(ranking, name),
        "caution": CAUTION_LINE,
        "among": _among(left, name),
        "pairs": [
            (o, percent(left.ahead[name][o]),
             verdict(max(left.ahead[name][o], left.ahead[o][name])))
            for o in (*left.order, *left.apart)
            if o != name
        ],
        "entries": [_entry(ranking, name, m) for m in ("left", *BESIDE)
                    if m in ranking.standings[main]
                    and name in ranking.standings[main][m].players],
        "per": per,
        "unit": UNIT[main],
        "situations": detail.cell_tables(ranking, name, main, "left"),
        "steady": _steady(ranking, name),
        "games": [
            (title, words.figure(mean, "left", main), n)
            for title, mean, n in (steady.game_means if steady else ())
        ],
        "repeats": detail.repeat_rows(ranking, name, main),
        "dearest": [_dear(d, main) for d in ranking.dearest[main].get(name, ())],
        "blamed": detail.blame_rows(ranking, main, name),
        "parties": PARTIES,
        "hangs": _hangs(ranking, name),
        "cautions": CAUTIONS,
        "limits": (*RANKING_LIMITS, *LIMITS),
        "logs": logs_of(ranking),
    }  # fmt: skip
    return environment().get_template("player.html.j2").render(context)


def _currencies(ranking: Ranking, name: str) -> list[Currency]:
    order = (ranking.main, *(c for c in ranking.standings if c != ranking.main))
    return [c for c in order if name in ranking.standings[c]["left"].players]


def _headline(ranking: Ranking, name: str, currency: Currency) -> Headline:
    standing = ranking.standings[currency]["left"]
    found = standing.players[name]
    ends = _ends(standing)
    interval = words.span(found.interval, "left", currency)
    return Headline(
        words.figure(found.value, "left", currency),
        UNIT[currency],
        small_interval(
            found.interval.low, found.value, found.interval.high, standing.middle, ends,
            f"{words.figure(found.value, 'left', currency)}, 90% interval {interval}",
        ),
        interval,
        "none" if found.raw is None else words.figure(found.raw, "left", currency),
        words.figure(standing.middle, "left", currency),
    )  # fmt: skip


def _ends(standing: Standing) -> tuple[float, float]:
    """The scale on which every player of a standing is drawn."""
    low = [e.interval.low for e in standing.players.values()]
    high = [e.interval.high for e in standing.players.values()]
    return min([*low, standing.middle]), max([*high, standing.middle])


def _counts(left: Standing, name: str) -> list[tuple[str, str]]:
    found = left.players[name]
    placed = name in left.order
    return [
        ("games", str(found.games)),
        ("his own games in the estimate", percent(found.own)),
        (
            f"place among {len(left.players)}, with 90% chance",
            words.place_words(left.places[name]) if placed else "one game: no place",
        ),
        ("more games that would halve the interval", words.halving(found)),
    ]


def hurried(ranking: Ranking, name: str) -> tuple[str, ...]:
    """Three sentences on one player: how much, beside whom, how far it can be trusted."""
    main = ranking.main
    left = ranking.standings[main]["left"]
    found = left.players[name]
    value = view.own_line(found, main)
    first = (
        f"Over {count(found.decisions, 'decision')} in {count(found.games, 'game')} the choices of "
        f"{name} left an estimated {value}, {words.over_a_game(found.value, main)} over a game of "
        f"{words.GAME} decisions; the middle of the class leaves "
        f"{words.over_a_game(left.middle, main)}."
    )
    return first, _beside(left, name), _trust(left, name)


def _beside(left: Standing, name: str) -> str:
    ahead = left.ahead[name]
    if not ahead:
        return "There is nobody to hold him against."
    better = [o for o, c in ahead.items() if c >= 0.9]
    worse = [o for o, c in ahead.items() if c <= 0.1]
    level = len(ahead) - len(better) - len(worse)
    said = []
    if better:
        said.append(f"firmly better than {', '.join(better)}")
    if worse:
        said.append(f"firmly behind {', '.join(worse)}")
    if not said:
        return (
            f"Of the {len(ahead)} others he is firmly ahead of nobody and firmly behind nobody: "
            "what was seen does not tell them apart."
        )
    rest = f"; {level} of {len(ahead)} cannot be told from him firmly" if level else ""
    return f"He is {' and '.join(said)}{rest}."


def _trust(left: Standing, name: str) -> str:
    found = left.players[name]
    if name in left.apart:
        return words.why_apart(left, name)
    games = words.halving(found)
    more = (
        f"about {games} more games like these would halve the interval"
        if games.isdigit()
        else "no sensible number of further games would halve the interval"
    )
    return (
        f"His own games make {percent(found.own)} of the estimate and the middle of the class the "
        f"rest; {more}."
    )


def _among(left: Standing, name: str) -> view.Pair:
    by = words.factor("left", left.currency)
    lines = [replace(line, faint=line.name != name) for line in view.lines_of(left)]
    unit = words.unit("left", left.currency)
    title = f"{name} among the class, left, {unit}"
    return view.Pair(
        intervals(lines, left.middle * by, unit, title),
        intervals(lines, left.middle * by, unit, title, width=380, label=0, wanted=3),
    )


def _entry(ranking: Ranking, name: str, measure: str) -> EntryRow:
    standing = ranking.standings[ranking.main][measure]
    found, word = standing.players[name], words.WORDS[measure]
    main = ranking.main
    interval = words.span(found.interval, measure, main)
    return EntryRow(
        word.title, words.unit(measure, main), interval,
        words.figure(found.value, measure, main),
        "none" if found.raw is None else words.figure(found.raw, measure, main),
        words.figure(standing.middle, measure, main),
        small_interval(
            found.interval.low, found.value, found.interval.high, standing.middle,
            _ends(standing), f"{word.title}: 90% interval {interval}",
        ),
        word.says, word.better,
    )  # fmt: skip


def _steady(ranking: Ranking, name: str) -> list[str]:
    main = ranking.main
    steady = ranking.steadiness[main].get(name)
    taken = ranking.standings[main].get("best")
    best = None if taken is None else taken.players.get(name)
    out = []
    if best is not None:
        out.append(
            f"The best option taken in {words.figure(best.value, 'best', main)}% of decisions "
            f"(90% interval {words.span(best.interval, 'best', main)})."
        )
    if steady is None:
        return out
    by, digits = (1.0, 2) if main == "points" else (100.0, 1)
    low, value, high = (
        fixed(v * by, digits)
        for v in (steady.spread.interval.low, steady.spread.value, steady.spread.interval.high)
    )
    out.append(
        f"What a decision leaves varies by {value} {UNIT[main]} within a game (one standard "
        f"deviation, 90% interval {low} to {high}), the difficulty of the snaps allowed for"
        + ("." if steady.spread.own else "; after one game that is what the others let expect.")
    )
    for contrast in steady.contrasts:
        one, other = contrast.decisions
        out.append(
            f"{contrast.what.capitalize()}: {words.contrast_words(contrast, main)} "
            f"{words.unit('left', main)}, on {one} and {other} decisions; he leaves more in the "
            f"first-named with {percent(contrast.chance_more)} chance."
        )
    return out


def _hangs(ranking: Ranking, name: str) -> list[str]:
    main = ranking.main
    out = []
    for extreme in ranking.extremes[main]:
        if name in extreme.values:
            place = f"{extreme.order.index(name) + 1} of {len(extreme.order)} in the list"
            if name in ranking.standings[main]["left"].apart:
                place = "no place in the list"
            value = words.figure(extreme.values[name], "left", main)
            out.append(
                f"Doubtful reads {extreme.name}: {value} {words.unit('left', main)}, "
                f"{place}, the best of all with "
                f"{percent(extreme.first[name])} chance."
            )
    out += [words.swap_words(s, main) for s in ranking.swaps[main] if name in (s.ahead, s.behind)]
    return out


def _dear(dear: Dear, currency: Currency) -> DearRow:
    by, digits = (1.0, 2) if currency == "points" else (100.0, 1)
    return DearRow(
        dear.game, dear.snap, dear.clip or "none", dear.situation, dear.chosen, dear.best,
        fixed(dear.left * by, digits), verdict(dear.settled),
    )  # fmt: skip
