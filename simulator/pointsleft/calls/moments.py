"""The moments at which the next snap can come, for thousands of fourth downs at once."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

import numpy as np
from pointsleft_models.football.rules import RuleSet
from pointsleft_models.laws.clock import STRAIGHT, ClockLaw, Elapsed
from pointsleft_models.laws.going import GO_SECONDS
from pointsleft_models.laws.kicking import KICK_SECONDS, PUNT_SECONDS

from pointsleft.calls.downs import Downs
from pointsleft.calls.parts import OPTIONS

Array = np.ndarray

#: Seconds of a play while the clock is far from the end of the half: one class serves all.
ORDINARY_SECONDS = 6

_SECONDS = dict(zip(OPTIONS, (GO_SECONDS, KICK_SECONDS, PUNT_SECONDS), strict=True))

#: What a moment belongs to: the offense's first down with the clock running or stopped, the
#: other side's first down, a score.
KINDS = ("running", "stopped", "lost", "score")


@dataclass(frozen=True, slots=True)
class Moments:
    """Moments of one option and one kind.

    Attributes
    ----------
    row
        (m,) which fourth down.
    seconds
        (m,) left in the half, from the view of nobody; 0 or less: the half is over.
    own, other
        (m,) time-outs left to the offense and to the defense.
    weight
        (m,) chance of this moment given the kind; they sum to 1 for every row.
    """

    row: Array
    seconds: Array
    own: Array
    other: Array
    weight: Array


def seconds_class(option: str, half_seconds: int) -> int:
    """Seconds that an option is taken to last."""
    if half_seconds > STRAIGHT:
        return ORDINARY_SECONDS
    return max(1, round(_SECONDS[option]))


def moments(
    clock: ClockLaw, rules: RuleSet, at: Downs
) -> dict[tuple[str, str], Moments]:  # fmt: skip
    """Moments of every option and kind."""
    found: dict[tuple[str, str], list[tuple[int, int, int, int, float]]] = defaultdict(list)
    known: dict[tuple[object, ...], tuple[Elapsed, ...]] = {}
    for row in range(len(at)):
        setting = at.setting(row)
        left, own, other = (
            setting.half_seconds,
            int(at.own_timeouts[row]),
            int(at.other_timeouts[row]),
        )
        codes = tuple(setting.clock_codes().values())
        for option in OPTIONS:
            lasts = seconds_class(option, left)
            key: tuple[object, ...] = ("stopped", left, lasts)
            if key not in known:
                known[key] = clock.stopped(setting, lasts)
            stopped = known[key]
            if option == "go":
                key = ("running", left, codes, own > 0, other > 0)
                if key not in known:
                    known[key] = clock.running(setting, lasts, own, other, rules, first_down=True)
                _add(found[option, "running"], row, left, own, other, known[key])
            _add(found[option, "stopped"], row, left, own, other, stopped)
    out = {key: _as_arrays(rows) for key, rows in found.items()}
    for option in OPTIONS:  # a change of sides and a score both stop the clock
        for kind in ("lost", "score"):
            out[option, kind] = out[option, "stopped"]
    return out


def _add(
    rows: list[tuple[int, int, int, int, float]], row: int, left: int, own: int, other: int,
    ends: tuple[Elapsed, ...],
) -> None:  # fmt: skip
    for e in ends:
        if e.weight > 0:
            rows.append(
                (row, max(left - e.seconds, 0), max(own - e.own_timeout, 0),
                 max(other - e.other_timeout, 0), e.weight)
            )  # fmt: skip


def _as_arrays(rows: list[tuple[int, int, int, int, float]]) -> Moments:
    columns = list(zip(*rows, strict=True)) if rows else [()] * 5
    row, seconds, own, other = (np.array(c, dtype=int) for c in columns[:4])
    return Moments(row, seconds, own, other, np.array(columns[4], dtype=float))
