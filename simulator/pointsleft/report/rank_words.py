"""A ranking in words and figures: names of the measures, units, and what a reader is told.

An amount is given a decision. A decision leaves a few hundredths of a point, so points a decision
carry three decimals, and sentences say what it comes to over a game.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pointsleft.players.result import Cell, Contrast, Estimate, Moved, Ranking, Standing, Swap
from pointsleft.pricing.ledger import verdict
from pointsleft.pricing.result import Currency, Interval
from pointsleft.report.numbers import NAME, count, fixed, percent

#: Decisions of an ordinary game, to say what an amount a decision comes to.
GAME = 40

#: More games than this are not a plan.
MANY = 60


@dataclass(frozen=True, slots=True)
class Word:
    """What a measure is called, and what it says."""

    title: str
    says: str
    better: str


WORDS: dict[str, Word] = {
    "left": Word("Left", "what his choices left on the field", "less is better"),
    "taken": Word("Share taken", "share of the available value taken", "more is better"),
    "best": Word("Best taken", "decisions in which the best option was taken", "more is better"),
    "offered": Word("Offered", "what the calls and the looks gave him", "not his doing"),
    "delivered": Word("Delivered", "what execution added or cost", "more is better"),
    "breaks": Word("Breaks", "what happened after that", "not his doing"),
}

#: Measures whose figures are shares.
SHARES = ("taken", "best")


def factor(measure: str, currency: Currency) -> float:
    """From the value in the data to the figure shown."""
    return 100.0 if measure in SHARES or currency == "wins" else 1.0


def decimals(measure: str, currency: Currency) -> int:
    return 0 if measure in SHARES else 3 if currency == "points" else 2


def unit(measure: str, currency: Currency) -> str:
    """The unit of a measure, as a heading carries it."""
    if measure in SHARES:
        return "% of the value" if measure == "taken" else "% of decisions"
    return "pts a decision" if currency == "points" else "% WP a decision"


def figure(value: float, measure: str, currency: Currency, *, plus: bool = False) -> str:
    """A figure without its unit."""
    shown = value * factor(measure, currency)
    return fixed(shown, decimals(measure, currency), plus=plus)


def span(interval: Interval, measure: str, currency: Currency) -> str:
    """Both ends of an interval, without the unit: ``0.081 to 0.142``."""
    return (
        f"{figure(interval.low, measure, currency)} to {figure(interval.high, measure, currency)}"
    )


def amount(value: float, measure: str, currency: Currency) -> str:
    """A figure with its unit."""
    if measure in SHARES:
        return f"{figure(value, measure, currency)}{unit(measure, currency)}"
    gap = " " if currency == "points" else ""
    return f"{figure(value, measure, currency)}{gap}{unit(measure, currency)}"


def over_a_game(value: float, currency: Currency) -> str:
    """What an amount a decision comes to over an ordinary game."""
    shown = value * GAME * (1.0 if currency == "points" else 100.0)
    return f"{fixed(shown, 1)} pts" if currency == "points" else f"{fixed(shown, 0)}% WP"


def place_range(places: Sequence[float]) -> tuple[int, int]:
    """The places between which a player stands with 90% chance, counted from 1.

    >>> place_range((0.02, 0.60, 0.35, 0.03))
    (2, 3)
    """
    total, low, high = 0.0, 0, 0
    for at, chance in enumerate(places, start=1):
        total += chance
        if not low and total > 0.05:
            low = at
        if not high and total >= 0.95 - 1e-9:
            high = at
    return low or 1, high or len(places)


def place_words(places: Sequence[float]) -> str:
    """``1 to 3``, or one number where it is certain enough."""
    low, high = place_range(places)
    return str(low) if low == high else f"{low} to {high}"


def halving(estimate: Estimate) -> str:
    """Games that would halve the interval."""
    games = estimate.games_to_halve
    if games is None:
        return "no number"
    return f"over {MANY}" if games > MANY else str(max(1, round(games)))


def sure(chance: float) -> str:
    """A chance with its verdict word: ``84%, slight``."""
    return f"{percent(chance)}, {verdict(max(chance, 1 - chance))}"


# -- sentences ----------------------------------------------------------------------------------


def hurried(ranking: Ranking) -> tuple[str, ...]:
    """Three sentences: who, how far that can be told, what one must not read into it."""
    standing = ranking.standings[ranking.main]["left"]
    return _who(ranking, standing), _how_far(standing), _not_said(ranking, standing)


def _leads(standing: Standing) -> str:
    return standing.order[0]


def _who(ranking: Ranking, standing: Standing) -> str:
    currency = standing.currency
    name = _leads(standing)
    estimate = standing.players[name]
    chance = standing.places[name][0]
    if len(standing.players) == 1:
        interval = span(estimate.interval, "left", currency)
        return (
            f"One quarterback was seen, {name}, in {count(ranking.games, 'game')}: his choices "
            f"left an estimated {amount(estimate.value, 'left', currency)} (90% interval "
            f"{interval}), {over_a_game(estimate.value, currency)} over a game of {GAME} decisions."
        )
    start = (
        f"Of {count(len(standing.players), 'quarterback')} seen in {count(ranking.games, 'game')}, "
        f"{name} left the least by our estimate: {amount(estimate.value, 'left', currency)} "
        f"(90% interval {span(estimate.interval, 'left', currency)}), "
        f"{over_a_game(estimate.value, currency)} over a game of {GAME} decisions; "
    )
    if len(standing.order) < 2:
        return start + "nobody else was seen in more than one game."
    after = standing.order[1]
    ahead = standing.ahead[name][after]
    word = "the chance is only" if chance < 0.5 else "the chance is"
    return start + (
        f"{word} {percent(chance)} that he is really the best of them, and {percent(ahead)} that "
        f"he is better than {after}, who comes next."
    )


def _how_far(standing: Standing) -> str:
    found = standing.settled
    pairs = sum(found.values())
    if not pairs:
        return "With one player nothing can be ordered, and nothing tells a class from a player."
    said = ", ".join(f"{found[w]} {w}" for w in ("firm", "slight", "unsettled"))
    if not found["firm"]:
        return (
            f"No two of them can be told apart with any firmness ({said}, of "
            f"{count(pairs, 'pair')}): there is no order here yet, only intervals."
        )
    return (
        f"As to who is the better of two, {found['firm']} of {count(pairs, 'pair')} "
        f"{'is' if found['firm'] == 1 else 'are'} firm, {found['slight']} slight and "
        f"{found['unsettled']} unsettled; an unsettled pair stands level, whatever the list says."
    )


def _not_said(ranking: Ranking, standing: Standing) -> str:
    if standing.apart:
        return why_apart(standing, standing.apart[0])
    least = min(standing.players, key=lambda n: standing.players[n].own)
    estimate = standing.players[least]
    games = halving(estimate)
    if len(standing.players) == 1:
        return "Log others beside him to see what is his and what is everybody's."
    more = (
        f"about {games} more games like these would halve his interval"
        if games.isdigit()
        else "no sensible number of games would halve his interval"
    )
    return (
        f"Least is known of {least}: his own {count(estimate.games, 'game')} make "
        f"{percent(estimate.own)} of his estimate and the middle of the class the rest, and {more}."
    )


def why_apart(standing: Standing, name: str) -> str:
    """Why a player of one game has no place in the order."""
    estimate, currency = standing.players[name], standing.currency
    raw = "" if estimate.raw is None else (
        f" his plain figure of {figure(estimate.raw, 'left', currency)} may be one good or bad "
        "day, since"
    )  # fmt: skip
    return (
        f"{name} was seen in one game only and has no place in the order:{raw} a day and a player "
        f"cannot be told apart on one game; {percent(1 - estimate.own)} of his estimate is "
        "therefore the middle of the class."
    )


def decides_and_throws(ranking: Ranking) -> tuple[str, ...]:
    """Who decides well and throws badly, or the other way round, where both are firm enough."""
    standings = ranking.standings[ranking.main]
    left, delivered = standings["left"], standings.get("delivered")
    if delivered is None:
        return ()
    found = []
    for name in (*left.order, *left.apart):
        if name not in delivered.players:
            continue
        well = _side(left, name)
        throws = _side(delivered, name)
        if well and throws and well != throws:
            words = {1: "better than the middle of the class", -1: "worse than it"}
            found.append(
                f"{name} decides {words[well]} and executes {words[throws]}, each with a 90% "
                "interval clear of the middle."
            )
    return tuple(found)


def _side(standing: Standing, name: str) -> int:
    """+1 or -1 where the interval is clear of the middle of the class, on the better side."""
    estimate = standing.players[name]
    if estimate.interval.high < standing.middle:
        return -standing.better
    return standing.better if estimate.interval.low > standing.middle else 0


def swap_words(swap: Swap, currency: Currency) -> str:
    """The smallest change of judgement that swaps two neighbours."""
    gap = figure(swap.gap, "left", currency)
    start = f"{swap.ahead} and {swap.behind} lie {gap} {unit('left', currency)} apart. "
    if not swap.moved:
        return start + "No change within the charters' own ranges swaps them."
    if len(swap.moved) == 1:
        return start + f"One judgement swaps them: {_moved(swap.moved[0], currency)}."
    named = "; ".join(_moved(m, currency) for m in swap.moved[:2])
    more = len(swap.moved) - 2
    rest = f"; and {count(more, 'more')}".replace("mores", "more") if more else ""
    return start + (
        f"It takes {len(swap.moved)} judgements at once, each at the end of its own range, to "
        f"swap them, the heaviest first: {named}{rest}."
    )


def _moved(moved: Moved, currency: Currency) -> str:
    shown = (
        f"{fixed(v * (1 if currency == 'points' else 100), 2)}" for v in (moved.left, moved.to)
    )
    clip = f", clip {moved.clip}" if moved.clip else ""
    doubt = f", hanging on the {moved.hangs_on}" if moved.hangs_on else ""
    return (
        f"{moved.player}, {moved.game}, snap {moved.snap}{clip}{doubt}: left "
        f"{' put at '.join(shown)}"
    )


def contrast_words(contrast: Contrast, currency: Currency) -> str:
    """A contrast as a figure with its interval."""
    value = figure(contrast.value, "left", currency, plus=True)
    return f"{value} ({span(contrast.interval, 'left', currency)})"


def clear_of_class(cell: Cell) -> str:
    """A mark for a cell whose interval is clear of the class, empty otherwise."""
    if cell.interval.high < cell.class_value:
        return "below the class"
    return "above the class" if cell.interval.low > cell.class_value else ""


def ordered_by(currency: Currency) -> str:
    """By what the class is ordered, and why."""
    if currency == "points":
        return (
            "Ordered by points left a decision. Wins are beside them and not in front: what a "
            "decision leaves in wins hangs on how close the game was."
        )
    return f"Ordered by {NAME[currency]} left a decision."
