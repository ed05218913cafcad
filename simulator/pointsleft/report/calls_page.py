"""A game's fourth-down calls on one printed sheet, A4 or letter, safe in black and white."""

from __future__ import annotations

from dataclasses import dataclass

from pointsleft_models.football.spot import write_spot

from pointsleft.calls.game import CalledDown, GameCalls
from pointsleft.calls.turn import Turn
from pointsleft.log.cells import write_clock
from pointsleft.pricing.result import Currency
from pointsleft.report import palette
from pointsleft.report.call_text import said
from pointsleft.report.cautions import CAUTION_LINE
from pointsleft.report.drawing.turn import turn_drawing
from pointsleft.report.numbers import amount, bare, count, percent
from pointsleft.report.page import environment
from pointsleft.report.safe_text import capital

#: Rows that fit on the sheet; the dearest are kept.
MOST_ROWS = 20

#: Size of the map on the paper.
_WIDTH, _HEIGHT = 720.0, 300.0


@dataclass(frozen=True, slots=True)
class Row:
    """One call as text; ``_short`` forms fit a terminal."""

    number: int
    when: str
    situation: str
    called: str
    called_short: str
    best: str
    best_short: str
    settled: str
    verdict: str
    points: str
    wins: str
    tie: str
    inside: str


def calls_page(game: GameCalls, turn: Turn) -> str:
    """The sheet as one HTML page that needs nothing but itself."""
    kept = _kept(game)
    rows = [_row(number, call) for number, call in kept]
    left_out = ""
    if len(kept) < len(game.calls):
        left_out = f"The {MOST_ROWS} dearest of {len(game.calls)} calls; the rest left less."
    numbered = [
        (number, int(call.facts["yards_to_goal"] or 1), int(call.facts["distance"] or 1))
        for number, call in kept
    ]
    template = environment().get_template("calls.html.j2")
    return template.render(
        title=game.title, team=game.team, rules=game.rules, summary=summary(game), calls=rows,
        spread=capital(game.spread),
        left_out=left_out, turn=turn, drawing=turn_drawing(turn, numbered, _WIDTH, _HEIGHT),
        colour={n: getattr(palette, n) for n in ("INK", "STONE")}, caution=CAUTION_LINE,
    )  # fmt: skip


def _kept(game: GameCalls) -> list[tuple[int, CalledDown]]:
    """Number and call of every row of the sheet, in the game's order."""
    numbered = list(enumerate(game.calls, 1))
    if len(numbered) <= MOST_ROWS:
        return numbered
    dearest = sorted(numbered, key=lambda nc: -nc[1].left.get("wins", nc[1].left.get("points", 0)))
    return sorted(dearest[:MOST_ROWS], key=lambda nc: nc[0])


def call_rows(game: GameCalls) -> list[Row]:
    """Every call of a game as text, in order."""
    return [_row(number, call) for number, call in enumerate(game.calls, 1)]


def summary(game: GameCalls) -> str:
    """What all calls left, and how many went against a settled best call."""
    valued = [c for c in game.calls if c.left]
    if not valued:
        return "No fourth-down call of this game can be valued."
    other = sum(
        1 for c in valued if c.called != c.priced.settled[_main(c)].best
        and c.priced.settled[_main(c)].verdict != "unsettled"
    )  # fmt: skip
    words = f"Left on the field by {count(len(valued), 'fourth-down call')}: "
    words += f"{amount(game.total('points'), 'points')}, {amount(game.total('wins'), 'wins')}. "
    return words + (
        f"{count(other, 'call')} went against a best call that the refits settle."
        if other else "No call went against a best call that the refits settle."
    )  # fmt: skip


def _main(call: CalledDown) -> Currency:
    return "wins" if "wins" in call.priced.settled else "points"


def _row(number: int, call: CalledDown) -> Row:
    settled = call.priced.settled[_main(call)]
    best = said(settled.best)
    if settled.verdict == "unsettled" and settled.second:
        best = f"{said(settled.best)} or {said(settled.second)}"
    return Row(
        number=number,
        when=_when(call),
        situation=_where(call),
        called=said(call.called) if call.called else "not seen",
        called_short=call.called or "not seen",
        best=best,
        best_short=settled.best,
        verdict=settled.verdict,
        settled=f"{settled.verdict}, {percent(settled.share)}",
        points=bare(call.left["points"], "points") if "points" in call.left else "",
        wins=bare(call.left["wins"], "wins") if "wins" in call.left else "",
        tie=_tie(call),
        inside=_inside(call),
    )


def _when(call: CalledDown) -> str:
    seconds, period = call.facts["seconds"], call.facts["period"]
    quarter = f"Q{period}" if isinstance(period, int) and period <= 4 else "OT"
    clock = "" if seconds is None else f" {write_clock(seconds)}"
    return quarter + clock


def _where(call: CalledDown) -> str:
    spot, to_go = int(call.facts["yards_to_goal"] or 1), int(call.facts["distance"] or 1)
    goal = "goal" if to_go >= spot else str(to_go)
    lead = call.facts["lead"]
    score = (
        ""
        if lead is None
        else ", level"
        if lead == 0
        else f", {'+' if lead > 0 else '−'}{abs(lead)}"
    )
    return f"4th and {goal} at {write_spot(spot)}{score}"


def _tie(call: CalledDown) -> str:
    """Break-even of going where going is in question, else of the kick."""
    main = _main(call)
    settled = call.priced.settled[main]
    names = {call.called, settled.best, settled.second}
    for name in ("go", "field goal"):
        if name not in names or name not in {c.name for c in call.priced.choices}:
            continue
        found = call.priced.choice(name).break_even.get(main)
        if found is not None and found.tie is not None:
            word = "go" if name == "go" else "kick"
            return f"{word} {percent(found.tie)}, law {percent(found.chance)}"
    return ""


def _inside(call: CalledDown) -> str:
    inside = call.inside
    if inside is None:
        return ""
    offered = ", ".join(amount(v, c, plus=True) for c, v in inside.offered.items())
    left = ", ".join(amount(v, c) for c, v in inside.left.items())
    return (
        f"inside the play ({inside.chosen} taken): offered by the call {offered}; "
        f"left by the quarterback {left}"
    )
