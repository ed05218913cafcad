"""The protection clock: is the ball out in rhythm, hurried, or not at all?

An option needs time (its drop and hitches); the rush gives time. Both are normal laws, so their
difference is one, and the chances follow from it exactly. Pressure from those who are blocked
is the fitted law of pressure by ball-out time. The clock acts inside the law of an option only,
never on whether the option was available.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from pointsleft_models.laws.library import Library
from scipy.special import ndtr

from pointsleft.pricing.judgement_table import judged

Array = np.ndarray

#: Free rusher's path from the line is to a quarterback as deep as after three steps.
THREE_STEP_DEPTH = 5.0

#: Depth in yards of the quarterback at the top of a drop from under centre, by steps.
DEPTHS: Mapping[int, float] = {0: 0.0, 1: 2.0, 3: 5.0, 5: 7.0, 7: 9.0, 9: 10.5}

#: Quarterback's depth at the snap in the shotgun and the pistol.
GUN_DEPTH = 5.0

#: Time constant of a sprint, seconds (Clark et al. 2019: .768 +- .068).
SPRINT_TAU = 0.768
METRES = 0.9144


def sprint_seconds(yards: float, forty: float) -> float:
    """Seconds of a sprint from a standing start.

    Distance covered is v (t - tau (1 - exp(-t / tau))), with v from the forty-yard time.

    Parameters
    ----------
    yards
        Distance.
    forty
        Forty-yard time in seconds.

    Source: Clark et al. 2019, J. Strength and Conditioning Research 33:1542-1550.
    """
    top = 40 * METRES / (forty - SPRINT_TAU * (1 - math.exp(-forty / SPRINT_TAU)))
    low, high = 0.0, 30.0
    for _ in range(60):
        t = (low + high) / 2
        covered = top * (t - SPRINT_TAU * (1 - math.exp(-t / SPRINT_TAU)))
        if covered < yards * METRES:
            low = t
        else:
            high = t
    return high


def ball_out(steps: int, hitches: int, *, gun: bool, fake: bool) -> float:
    """Mean seconds from the snap until the ball is out.

    Steps are counted as the trade does: from under centre, or in the gun as taken there.
    """
    names = {0: "drop.one", 1: "drop.one", 3: "drop.three", 5: "drop.five", 7: "drop.seven"}
    counted = steps + int(judged("drop.gun").value) if gun else steps
    nearest = min(names, key=lambda s: (abs(s - counted), s))
    seconds = judged(names[nearest]).value
    if gun:
        seconds += judged("drop.gun_seconds").value
    if fake:
        seconds += judged("drop.fake").value
    return seconds + hitches * judged("drop.hitch").value


def depth_of(steps: int, *, gun: bool) -> float:
    """Yards behind the line at the top of the drop."""
    if gun:
        return GUN_DEPTH + 0.8 * steps
    return DEPTHS[min(DEPTHS, key=lambda s: abs(s - steps))]


def free_arrival(depth: float, side: str | None, quarterback_depth: float) -> float:
    """Mean seconds until a free rusher arrives.

    Parameters
    ----------
    depth
        Yards behind the line of scrimmage (in the defense) from which he starts.
    side
        ``left`` or ``right`` for the edge, ``middle`` for the inside.
    quarterback_depth
        Yards behind the line at which he finds the passer.
    """
    base = judged("rush.middle" if side == "middle" else "rush.edge").value
    deeper = (quarterback_depth - THREE_STEP_DEPTH) * judged("rush.deeper").value
    path = max(base + deeper + depth, 2.0)
    return judged("rush.reaction").value + sprint_seconds(path, judged("rush.forty").value)


@dataclass(frozen=True, slots=True)
class Rush:
    """What the charter says of the rush.

    Attributes
    ----------
    rushers
        How many, ``None`` when not logged (four).
    free
        Whether one came free.
    depth, side
        Where he started.
    late
        Seconds that he lost on the way, to a blocker or a stunt.
    """

    rushers: int | None = None
    free: bool = False
    depth: float = 0.0
    side: str | None = None
    late: float = 0.0


@dataclass(frozen=True, slots=True)
class Protection:
    """Chances that the ball is out in rhythm, out under pressure, or that he is sacked.

    Each is (fits,); they sum to 1.
    """

    on_time: Array
    hurried: Array
    sacked: Array


@dataclass(frozen=True, slots=True)
class Pocket:
    """What the clock of one throw runs on.

    Attributes
    ----------
    out_mean
        Mean ball-out time in seconds.
    rush
        The rush.
    depth
        Yards behind the line at which it finds the passer.
    """

    out_mean: float
    rush: Rush
    depth: float


def protection(
    library: Library, out_mean: float, rush: Rush, quarterback_depth: float, *, refits: bool
) -> Protection:
    """The protection clock of one option.

    Parameters
    ----------
    out_mean
        Mean ball-out time in seconds.
    """
    return protections(library, [Pocket(out_mean, rush, quarterback_depth)], refits=refits)[0]


def protections(
    library: Library, pockets: Sequence[Pocket], *, refits: bool = False
) -> list[Protection]:
    """The protection clocks of several options, which share their look-ups."""
    out_mean = np.array([pocket.out_mean for pocket in pockets])
    out_sd = judged("drop.spread").value
    rushers = np.array([min(max(pocket.rush.rushers or 4, 3), 7) for pocket in pockets])
    pressed = _pressed(library, out_mean, out_sd, rushers, refits)
    sack_share = _sack_share(library, rushers, refits)
    # Throws carry a clock in the data and sacks do not: a sack is taken as a pressed throw that
    # never came, so pressed throws at this time are what is left of the pressed drop-backs.
    all_pressed = pressed / (1 - sack_share + pressed * sack_share)
    sacked, hurried = all_pressed * sack_share, all_pressed * (1 - sack_share)
    in_time, still = _before_the_free_rusher(pockets, out_mean, out_sd)
    # those who are blocked may get home before he does
    on_time = in_time * (1 - sacked - hurried)
    late = in_time * hurried + (still - in_time) * (1 - sacked)
    caught = still * sacked + (1 - still)
    return [Protection(on_time[:, i], late[:, i], caught[:, i]) for i in range(len(pockets))]


def _before_the_free_rusher(
    pockets: Sequence[Pocket], out_mean: Array, out_sd: float
) -> tuple[Array, Array]:
    """Chances (n,) that a ball is out before a free rusher hurries it, and before he is there; 1
    where nobody is free."""
    in_time, still = np.ones(len(pockets)), np.ones(len(pockets))
    free = [i for i, pocket in enumerate(pockets) if pocket.rush.free]
    if free:
        rushes = [(pockets[i].rush, pockets[i].depth) for i in free]
        arrival = np.array(
            [free_arrival(rush.depth, rush.side, depth) + rush.late for rush, depth in rushes]
        )
        spread = math.hypot(out_sd, judged("rush.spread").value)
        lead = arrival - out_mean[free]
        in_time[free] = ndtr(lead / spread)
        still[free] = ndtr((lead + judged("rush.hurried").value) / spread)
    return in_time, still


def _pressed(library: Library, mean: Array, sd: float, rushers: Array, refits: bool) -> Array:
    """(fits, n) chance of pressure on throws out around these times (n,)."""
    if not library.has("pressure"):
        return np.full((1, len(mean)), 0.25)
    around = mean[:, None] + sd * np.array([-1.3, -0.5, 0.5, 1.3])
    values = {"tenths": np.round(10 * around).astype(int), "rush": rushers[:, None]}
    return library.logit("pressure").probability(values, refits=refits).mean(-1)


def _sack_share(library: Library, rushers: Array, refits: bool) -> Array:
    """(fits, n) share of pressed drop-backs that end in a sack."""
    if not library.has("sack if pressed"):
        return np.full((1, len(rushers)), 0.22)
    return library.logit("sack if pressed").probability({"rush": rushers}, refits=refits)
