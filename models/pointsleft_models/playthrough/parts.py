"""All parts of the play-through under one rule set, as look-ups."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.logit import expit
from pointsleft_models.fitting.yardage import YARDS, YardageLaw, from_stops
from pointsleft_models.football.field import KICK_EXTRA
from pointsleft_models.football.rules import RuleSet
from pointsleft_models.laws.kicking import LONGEST_KICK, KickingLaw
from pointsleft_models.laws.kickoff import FREE_KICK_TOUCHBACK, KickoffLaw, Starts
from pointsleft_models.laws.library import Library
from pointsleft_models.playthrough import codes
from pointsleft_models.playthrough.tables import (
    PairTable,
    QuantileTable,
    on_grid,
    pair_table,
    quantile_table,
    strength_slope,
    yards_table,
)

Array = np.ndarray

#: Spots and distances at which laws of yards are tabulated; others use the nearest.
GAIN_SPOTS = np.array(
    [*range(1, 11), 12, 14, 16, 18, 20, 23, 26, 30, 36, 43, 60, 88, 91, 93, 95, 97, 98, 99]
)
GAIN_TO_GO = np.array([1, 2, 3, 4, 5, 7, 10, 13, 20])
DOWNS = np.arange(4)
SPOTS = np.arange(1, codes.SPOTS + 1)
WAIT_CLOCKS = np.array(
    (
        1, 4, 8, 12, 16, 20, 26, 32, 40, 50, 60, 75, 90, 105, 120, 150, 180, 240, 300, 420, 600,
        900, 1800,
    )
)  # fmt: skip
HALVES = np.arange(2)

#: Share of two-point tries that are passes (archive).
TRY_PASSES = 0.74

# What a kickoff or a punt can be beside a start at an own yard line (1 to 99).
TOUCHBACK, KEPT, BLOCKED, RETURNED = -2, -1, 0, 100


def nearest(values: Array, highest: int) -> Array:
    """(highest + 1,) index of the entry of ``values`` nearest to every whole number from 0."""
    return np.abs(np.arange(highest + 1)[:, None] - values[None, :]).argmin(1)


@dataclass(frozen=True, slots=True)
class Parts:
    """What the engine looks up.

    Attributes
    ----------
    flag ... go
        Chances asked at every snap, by spot and mood (see the recipes of the same names).
    run, catch, scramble, sack
        Yards; cells by :meth:`gain_cell` (runs, catches, scrambles) or spot (sacks).
    turnover
        Own yard line of the side that takes the ball, 100 for a score; cells (fumbled, spot).
    wait, kneel_wait, lasts, spike_wait, timeout_wait
        Seconds between snaps while the clock runs, (zone, half, score, wait clock, after); after
        a kneel of a side ahead late in the game that needs the play clock, (half,); of a
        play that stops it, (how, quick); until a spike, (wait clock,); until a time-out stops
        it, (zone, half, whose, score, wait clock), own first.
    own_timeout, other_timeout, spike
        Log odds by (clock, score, half, left, still, after[, zone]); of a spike by (clock, score,
        half, left, zone).
    punt
        (spot,) start of the receiving side, or one of the codes above.
    make
        (99,) chance of a field goal by yards to goal.
    """

    rules: RuleSet
    flag: PairTable
    flag_on_offense: PairTable
    flag_fresh: Array
    flag_used_down: Array
    flag_offense: QuantileTable
    flag_defense: QuantileTable
    passes: PairTable
    passes_late: Array
    sacked: PairTable
    scrambles: PairTable
    intercepted: PairTable
    complete: PairTable
    kick: PairTable
    go: PairTable
    run: QuantileTable
    catch: QuantileTable
    scramble: QuantileTable
    sack: QuantileTable
    turnover: QuantileTable
    fumble: Array
    fumble_strength: float
    caught_out: Array
    ran_out: Array
    scrambled_out: Array
    wait: QuantileTable
    kneel_wait: QuantileTable
    lasts: QuantileTable
    spike_wait: QuantileTable
    timeout_wait: QuantileTable
    own_timeout: Array
    other_timeout: Array
    spike: Array
    kneel_spare: Array
    kneel_clock: Array
    kneel_spot: Array
    last_kick: Array
    overtime_kick: Array
    drained: Array
    two_points: Array
    onside: Array
    punt: QuantileTable
    kickoff: QuantileTable
    free_kick: QuantileTable
    make: Array
    blocked: Array
    extra_point: float
    two_point: float
    onside_kept: Array
    spot_at: Array
    to_go_at: Array
    wait_clock_at: Array
    clock_at: Array

    def gain_cell(self, down: Array, distance: Array, yards_to_goal: Array, script: Array) -> Array:
        """Cell of a law of yards; downs from 1."""
        to_go = self.to_go_at[np.minimum(distance, codes.LONGEST_TO_GO)]
        return (
            ((down - 1) * len(GAIN_TO_GO) + to_go) * len(GAIN_SPOTS) + self.spot_at[yards_to_goal]
        ) * codes.SCRIPTS + script

    def wait_cell(
        self, zone: Array, half0: Array, score: Array, seconds: Array, after: Array
    ) -> Array:
        """Cell of the law of waits; ``seconds`` left in the half."""
        at = self.wait_clock_at[seconds]
        half0 = 2 * zone + half0
        return ((half0 * codes.SCORES + score) * len(WAIT_CLOCKS) + at) * codes.AFTERS + after


def build_parts(own: Library, laws: Library, rules: RuleSet) -> Parts:
    """Tabulate the fitted parts.

    Parameters
    ----------
    own
        Components of the play-through.
    laws
        Components of the laws shared with the pricing of options (kicks).
    """
    laws = laws.of(rules.season)
    spots, to_go = {"yards_to_goal": GAIN_SPOTS}, {"to_go": GAIN_TO_GO}
    gains = {"down0": DOWNS, **to_go, **spots, "script": np.arange(codes.SCRIPTS)}
    score = {"score": np.arange(codes.SCORES)}
    clock = {"clock": codes.CLOCKS}
    half = {"half0": HALVES}
    left, still = {"left": np.arange(4)}, {"still": np.arange(2)}
    after = {"after": np.arange(codes.AFTERS)}
    zone = {"zone": np.arange(codes.ZONES)}
    asks = {**clock, **score, **half, **left, **still, **after}
    lasts = {"how": np.arange(codes.LASTS), "quick": HALVES}
    waits = {**zone, **half, **score, "clock": WAIT_CLOCKS, **after}
    shift = {"side": np.arange(2), "shift": np.arange(-20, 31)}
    kneel = _terms(own, "kneel", [
        {**half, **score, "spare": np.arange(-125, 126)},
        {**half, **score, **clock},
        {**half, **score, "down0": DOWNS, "yards_to_goal": SPOTS},
    ])  # fmt: skip

    def pair(name: str) -> PairTable:
        return pair_table(_logit(own, name))

    def grid(name: str, axes: dict[str, Any]) -> Array:
        return on_grid(_logit(own, name), axes).astype(np.float32)

    def yards(name: str, axes: dict[str, Any], limit: int) -> QuantileTable:
        return yards_table(_yards(own, name), axes, limit)

    return Parts(
        rules=rules,
        flag=pair("flag"),
        flag_on_offense=pair("flag on offense"),
        flag_fresh=grid("flag first down", shift),
        flag_used_down=grid("flag uses down", shift),
        flag_offense=yards("flag yards, offense", spots, 40),
        flag_defense=yards("flag yards, defense", spots, 100),
        passes=pair("pass"),
        passes_late=grid("pass late", {**half, **score, "yards_to_goal": SPOTS, **clock}),
        sacked=pair("sack"),
        scrambles=pair("scramble"),
        intercepted=pair("interception"),
        complete=pair("complete"),
        kick=pair("kick on fourth"),
        go=pair("go on fourth"),
        run=yards("run gain", gains, 100),
        catch=yards("catch gain", gains, 100),
        scramble=yards("scramble gain", {"down0": DOWNS, **to_go, **spots}, 100),
        sack=yards("sack gain", spots, 1),
        turnover=yards("turnover", {"fumbled": np.arange(2), "yards_to_goal": SPOTS}, 100),
        fumble=grid("fumble lost", {"how": np.arange(4)}),
        fumble_strength=strength_slope(_logit(own, "fumble lost")),
        caught_out=grid("caught out", {**half, **score, **clock}),
        ran_out=grid("ran out", {**half, **score, **clock}),
        scrambled_out=grid("scrambled out", {**half, **score, **clock}),
        wait=yards("wait", waits, codes.LONGEST_WAIT),
        kneel_wait=yards("kneel wait", {"half0": HALVES}, codes.LONGEST_WAIT),
        lasts=yards("lasts", lasts, codes.LONGEST_LAST),
        spike_wait=yards("spike wait", {"clock": WAIT_CLOCKS}, codes.LONGEST_WAIT),
        timeout_wait=yards(
            "time-out wait",
            {**zone, **half, "whose": HALVES, **score, "clock": WAIT_CLOCKS},
            codes.LONGEST_WAIT,
        ),
        own_timeout=grid("own time-out", {**asks, **zone}),
        other_timeout=grid("other time-out", asks),
        spike=grid("spike", {**clock, **score, **half, **left, **zone}),
        kneel_spare=kneel[0],
        kneel_clock=kneel[1],
        kneel_spot=kneel[2],
        last_kick=grid("last kick", {"yards_to_goal": SPOTS, **half, **score, **clock}),
        overtime_kick=grid(
            "overtime kick", {"yards_to_goal": SPOTS, "down0": DOWNS, "ends": HALVES}
        ),
        drained=grid("time-out drained", {**zone, **half, **score, **clock}),
        two_points=grid(
            "two points",
            {"gap": np.arange(2 * codes.MOST_GAP + 1), "game_left": np.arange(0, 3601, 30)},
        ),
        onside=grid("onside", {**half, **score, **clock}),
        punt=_punts(laws),
        kickoff=_kickoffs(laws, rules, free_kick=False),
        free_kick=_kickoffs(laws, rules, free_kick=True),
        **_kicks(laws, rules),
        spot_at=nearest(GAIN_SPOTS, 100),
        to_go_at=nearest(GAIN_TO_GO, codes.LONGEST_TO_GO),
        wait_clock_at=nearest(WAIT_CLOCKS, codes.HALF_SECONDS),
        clock_at=codes.clock_lookup(),
    )


def _logit(library: Library, name: str) -> FittedLogit:
    fitted = library.components[name]
    if not isinstance(fitted, FittedLogit):
        raise TypeError(f"part {name!r} is a law of yards where a chance is needed")
    return fitted


def _yards(library: Library, name: str) -> YardageLaw:
    fitted = library.components[name]
    if not isinstance(fitted, YardageLaw):
        raise TypeError(f"part {name!r} is a chance where a law of yards is needed")
    return fitted


def _terms(library: Library, name: str, grids: list[dict[str, Any]]) -> list[Array]:
    """A logit as one table for each grid; every term goes to the first grid that has its axes."""
    logit = _logit(library, name)
    out = [np.zeros(tuple(len(v) for v in axes.values())) for axes in grids]
    for term, own in zip(logit.basis.terms, logit.basis.split(logit.coefficients), strict=True):
        names = {a.variable for a in term.axes}
        at = next(k for k, axes in enumerate(grids) if names <= set(axes))
        from pointsleft_models.fitting.basis import Basis

        part = FittedLogit(Basis((term,)), own, np.zeros((0, term.size)))
        out[at] += on_grid(part, grids[at])
    return [table.astype(np.float32) for table in out]


def _kicks(laws: Library, rules: RuleSet) -> dict[str, Any]:
    yards = SPOTS + KICK_EXTRA
    make = KickingLaw(laws).make_chance(yards)[0]
    passed = laws.logit("two-point").probability({"passed": np.arange(2)})[0]
    long = int(rules.extra_point_snap >= 10)
    return {
        "make": np.where(yards > LONGEST_KICK, 0.0, make),
        "blocked": laws.logit("field goal blocked").probability({"kick_yards": yards})[0],
        "extra_point": float(laws.logit("extra point").probability({"long": long})[0]),
        "two_point": float(TRY_PASSES * passed[1] + (1 - TRY_PASSES) * passed[0]),
        "onside_kept": laws.logit("onside kept").probability({"expected": np.arange(2)})[0],
    }


def _punts(laws: Library) -> QuantileTable:
    """Laws over touchback, kept, blocked, starts 1 to 99, returned."""
    at = {"yards_to_goal": SPOTS}
    blocked, kept, touchback = (
        laws.logit(name).probability(at)[0]
        for name in ("punt blocked", "punt kept", "punt touchback")
    )
    starts = np.arange(1, 100)
    eta = laws.logit("punt").eta({"yards_to_goal": SPOTS[:, None], YARDS: starts[None, :]})[0]
    away = (1 - blocked) * (1 - kept)
    law = np.column_stack([
        away * touchback, (1 - blocked) * kept, blocked,
        (away * (1 - touchback))[:, None] * from_stops(expit(eta)),
    ])  # fmt: skip
    return quantile_table(law, TOUCHBACK)


def _kickoffs(laws: Library, rules: RuleSet, *, free_kick: bool) -> QuantileTable:
    """One law over touchback, kept, (nothing), starts 1 to 99, returned."""
    touchback, kept = laws.components["kickoff touchback"], laws.components["kickoff kept"]
    start = laws.components["kickoff"]
    if not (isinstance(touchback, FittedLogit) and isinstance(kept, FittedLogit)
            and isinstance(start, YardageLaw)):  # fmt: skip
        raise TypeError("the fits have no law of kickoffs")
    law = KickoffLaw(touchback, kept, start)
    whole = law.starts(rules, free_kick=free_kick)
    return quantile_table(_with_touchback(whole, law, rules, free_kick)[None], TOUCHBACK)


def _with_touchback(whole: Starts, law: KickoffLaw, rules: RuleSet, free_kick: bool) -> Array:
    """Touchbacks apart from returns to the same line: they take no time."""
    spot = (FREE_KICK_TOUCHBACK if free_kick else rules.touchback) - 1
    chance = whole.probability.copy()
    ordinary = (chance[spot - 1] + chance[spot + 1]) / 2
    touchbacks = max(float(chance[spot]) - float(ordinary), 0.0)
    chance[spot] -= touchbacks
    return np.concatenate([[touchbacks, whole.kept, 0.0], chance, [whole.returned]])
