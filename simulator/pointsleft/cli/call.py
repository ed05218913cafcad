"""``pointsleft call``: one fourth down, or the try after a touchdown, typed at the prompt."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from pointsleft.cli.output import guarded, print_json, stop
from pointsleft.cli.situation import find_snap, situation_options, told

if TYPE_CHECKING:
    from pointsleft_models.bundle import Worth
    from pointsleft_models.football.situation import Situation
    from pointsleft_models.playthrough.parts import Parts
    from pointsleft_models.playthrough.teams import Teams

    from pointsleft.calls.fourth import Inputs
    from pointsleft.calls.kicker import Kicks
    from pointsleft.calls.result import PlayedCalls, Try
    from pointsleft.calls.tries import TrySpot

#: Where a try is said to be, for a reader of situations that wants a ball.
ANY_BALL = "own 25"

#: Fewest points of a side that has just scored a touchdown.
SIX = 6

#: Options that say nothing about a try, and those that say nothing about a chart of tries.
NOT_OF_A_TRY = ("ball", "distance", "plays", "conversion")
NOT_OF_A_CHART = ("clock", "us", "them", "two", "kicker", "weather")

#: Quarter from which a try is always played out: there single points decide games.
LAST_QUARTER = 4


@click.command()
@situation_options(ball=False, down=False)
@click.option("--plays", default="", help="Plays to price within going: see below.")
@click.option("--conversion", type=float, help="Your own chance of converting, percent.")
@click.option("--kicker", default="", help="His record: made/tried@yards, e.g. 9/10@33,2/5@52.")
@click.option(
    "--weather",
    default="",
    help="Any of cold, wet, windy, high, turf (place kicks; cold and wind also punts).",
)
@click.option("--try", "is_try", is_flag=True, help="After a touchdown; --us has the six in it.")
@click.option("--two", type=float, help="With --try: your own chance of two points, percent.")
@click.option("--chart", is_flag=True, help="With --try: kick or two, by score and time.")
@click.option(
    "--play-out",
    is_flag=True,
    help="Play the calls out as well; always done in the last two minutes of a half, and for a "
    "try in the last quarter.",
)
@click.option("--json", "as_json", is_flag=True, help="Print everything as JSON.")
@guarded
def command(as_json: bool, **given: Any) -> None:
    """Price one fourth down (go, field goal, punt), or the try after a touchdown.

    \b
    --plays takes words with commas between them:
      sneak, inside, outside   runs          keep, pitch   an option
      pass                     at the sticks
    A fourth down needs --ball and --distance; a try needs --clock, --us and --them.
    """
    from pointsleft_models.bundle import load_models
    from pointsleft_models.football.rules import rule_set

    if given["is_try"] or given["chart"]:
        _try(given, as_json)
        return
    inputs, faults = _inputs(given)
    models = load_models(given["level"])
    worth = models.under(rule_set(models.rules_level, given["season"]))
    known = {"ball": given["ball"] or ANY_BALL, "distance": given["distance"] or "1"}
    snap, wrong = find_snap({**given, **known, "level": models.rules_level, "down": "4"})
    if faults or snap is None:
        stop(told([*faults, *wrong]), as_json=as_json)
    assert snap.situation is not None
    _fourth_down(worth, snap.situation, inputs, as_json, ask=given["play_out"])


def _fourth_down(
    worth: Worth, situation: Situation, inputs: Inputs, as_json: bool, *, ask: bool
) -> None:
    from dataclasses import replace

    from pointsleft.calls.fourth import price_fourth_down
    from pointsleft.pricing.beforehand import spread_told
    from pointsleft.report.as_json import plain
    from pointsleft.report.call_text import fourth_down_text
    from pointsleft.report.safe_text import capital

    priced = price_fourth_down(worth, situation, inputs)
    if told := spread_told(worth.models, situation.spread):
        priced = replace(priced, notes=(*priced.notes, f"{capital(told)}."))
    if not situation.has_wins:
        told_why = "No win probability without --clock, --us and --them."
        priced = replace(priced, notes=(*priced.notes, told_why))
    if ask or (situation.two_minute and situation.has_wins):
        priced = replace(priced, played=_played(worth, situation, ask=ask))
    if priced.played is not None and inputs.of_the_day:
        only_laws = "The lines of games played out leave out what you said of kicks and chances."
        priced = replace(priced, notes=(*priced.notes, only_laws))
    if as_json:
        print_json(plain(priced))
    else:
        click.echo(fourth_down_text(priced), nl=False)


def _played(worth: Worth, situation: Situation, *, ask: bool) -> PlayedCalls | None:
    """The calls played out, where they can be."""
    from pointsleft.calls.played import play_calls

    playthrough = _playthrough(worth, ask=ask)
    return None if playthrough is None else play_calls(worth, playthrough, situation)


def _with_played_try(worth: Worth, spot: TrySpot, priced: Try, *, ask: bool) -> Try:
    """The tries played out as well, where they can be."""
    from dataclasses import replace

    from pointsleft.calls.played_try import play_try

    playthrough = _playthrough(worth, ask=ask)
    if playthrough is None:
        return priced
    return replace(priced, played=play_try(worth, playthrough, spot, priced))


def _playthrough(worth: Worth, *, ask: bool) -> tuple[Parts, Teams] | None:
    """The simulator; nothing where a level has none and nobody asked for it."""
    from pointsleft_models.playthrough.load import NoSimulatorError, load_playthrough

    try:
        return load_playthrough(worth.rules, worth.models.level)
    except NoSimulatorError:
        if ask:
            raise
        return None


def _inputs(given: dict[str, Any]) -> tuple[Inputs, list[str]]:
    """The inputs beyond the situation, and everything that is wrong with them."""
    from pointsleft.calls.fourth import Inputs
    from pointsleft.calls.plays_named import PLAYS

    faults = []
    needs = {"ball": "the ball's position, e.g. opp 40", "distance": "yards to go, or goal"}
    for name, what in needs.items():
        if given[name] is None:
            faults.append(f"--{name}: found nothing; expected {what} (or give --try)")
    plays = _words(given["plays"], PLAYS, "plays", faults)
    conversion = _chance(given["conversion"], "conversion", faults)
    if given["two"] is not None:
        faults.append("--two: it belongs to --try")
    record, weather = _kick(given, faults)
    return Inputs(plays, conversion, record, weather), faults


def _kick(given: dict[str, Any], faults: list[str]) -> tuple[tuple[Kicks, ...], tuple[str, ...]]:
    """The kicker's record and the weather."""
    from pointsleft.calls.kicker import RecordError, read_record
    from pointsleft.calls.weather import WEATHER

    weather = _words(given["weather"], WEATHER, "weather", faults)
    try:
        record = read_record(given["kicker"]) if given["kicker"] else ()
    except RecordError as error:
        faults.append(f"--kicker: {error}")
        record = ()
    return record, weather


def _words(text: str, known: dict[str, str], name: str, faults: list[str]) -> tuple[str, ...]:
    words = [w for w in text.replace(",", " ").lower().split() if w]
    unknown = [w for w in words if w not in known]
    if unknown:
        faults.append(f"--{name}: found {', '.join(unknown)}; expected any of {', '.join(known)}")
    return tuple(dict.fromkeys(w for w in words if w in known))


def _chance(percent: float | None, name: str, faults: list[str]) -> float | None:
    if percent is None:
        return None
    if not 0 < percent < 100:
        faults.append(f"--{name}: found {percent:g}; expected a percentage between 0 and 100")
        return None
    return percent / 100


def _try(given: dict[str, Any], as_json: bool) -> None:
    from pointsleft_models.bundle import load_models
    from pointsleft_models.football.rules import rule_set

    from pointsleft.calls.tries import try_chart
    from pointsleft.report.as_json import plain
    from pointsleft.report.call_text import chart_text

    faults = _not_asked(given)
    pair = _chance(given["two"], "two", faults)
    record, weather = _kick(given, faults)
    models = load_models(given["level"])
    worth = models.under(rule_set(models.rules_level, given["season"]))
    if given["chart"]:
        if faults:
            stop(told(faults), as_json=as_json)
        chart = try_chart(worth)
        if as_json:
            print_json(plain(chart))
        else:
            click.echo(chart_text(chart), nl=False)
        return
    spot, wrong = _spot({**given, "level": models.rules_level})
    if faults or spot is None:
        stop(told([*faults, *wrong]), as_json=as_json)
    _one_try(worth, spot, pair, (record, weather), given["play_out"], as_json)


def _not_asked(given: dict[str, Any]) -> list[str]:
    """Options that a try, or the chart, has no use for: said, not passed over."""
    faults = []
    if not given["is_try"]:
        faults.append("--chart: it belongs to --try")
    for name in NOT_OF_A_TRY:
        if given[name]:
            faults.append(f"--{name}: a try has no use for it; leave it out")
    if given["chart"]:
        if given["spread"] is not None:
            faults.append("--spread: the chart is one of equal teams; leave it out")
        for name in NOT_OF_A_CHART:
            if given[name]:
                faults.append(f"--{name}: the chart goes through scores and clocks by itself, "
                              "for the average kick and try; leave it out")  # fmt: skip
    return faults


def _spot(given: dict[str, Any]) -> tuple[TrySpot | None, list[str]]:
    """The moment of a try, or everything that is wrong with it."""
    from pointsleft.calls.tries import TrySpot
    from pointsleft.log.cells import whole

    faults = [
        f"--{name}: found nothing; a try needs it"
        for name in ("clock", "us", "them")
        if given[name] is None
    ]
    if _in_overtime(given["quarter"]):
        faults.append(f"--quarter: found {given['quarter']}; a try is priced in regulation, 1 to 4")
    said = {**given, "ball": ANY_BALL, "down": "1", "distance": "10"}
    snap, wrong = find_snap(said)
    faults += wrong
    if snap is None or faults:
        return None, faults
    at = snap.situation
    assert at is not None
    assert at.seconds is not None
    assert at.lead is not None
    if whole(given["us"]) < SIX:
        return None, [f"--us: found {given['us']}; expected {SIX} or more: the touchdown is in it"]
    return TrySpot(
        at.period, at.seconds, at.lead, at.own_timeouts, at.opponent_timeouts,
        at.receives_second_half, at.spread,
    ), []  # fmt: skip


def _in_overtime(word: str) -> bool:
    from pointsleft.log.cells import CellError
    from pointsleft.log.parse import quarter

    try:
        return quarter(word) > LAST_QUARTER
    except CellError:  # a fault of its own
        return False


def _one_try(
    worth: Worth,
    spot: TrySpot,
    pair: float | None,
    kick: tuple[tuple[Kicks, ...], tuple[str, ...]],
    play_out: bool,
    as_json: bool,
) -> None:
    from pointsleft.calls.tries import price_try
    from pointsleft.report.as_json import plain
    from pointsleft.report.call_text import try_text

    record, weather = kick
    priced = price_try(worth, spot, pair=pair, record=record, weather=weather)
    if play_out or spot.period == LAST_QUARTER:
        priced = _with_played_try(worth, spot, priced, ask=play_out)
    if as_json:
        print_json(plain(priced))
    else:
        click.echo(try_text(priced), nl=False)
