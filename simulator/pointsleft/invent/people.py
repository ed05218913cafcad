"""Who plays and who watches: invented quarterbacks and charters with known traits."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Quarterback:
    """An invented quarterback.

    Attributes
    ----------
    decision_error
        Standard deviation of his error on the worth of each option in his read, in points:
        0 always takes the best one that he saw.
    lean
        Points by which he overrates an option for each yard it is thrown short of ten (negative:
        he falls for the deep one).
    accuracy
        How far his ball placement and timing lean towards the better ones: the shares of the
        judgements are tilted by ``exp(accuracy * move)``, ``move`` being what a judgement moves
        the log odds of a catch. 0 is the average quarterback, as the shares are.
    """

    name: str
    decision_error: float
    lean: float = 0.0
    accuracy: float = 0.0


@dataclass(frozen=True, slots=True)
class Charter:
    """Somebody who logs film, and how he errs.

    Attributes
    ----------
    window_slip
        Chance that a window word is one step off.
    leniency
        Share of those slips that go towards open, .5 for neither.
    missed
        Chance that an option which was not thrown is not logged.
    unseen
        Chance that a window of an option which was not thrown does not show on his film.
    timing_slip
        Chance that the hitches before a ball is out are one off, and that placement or timing of
        a throw is judged as its neighbour.
    blame_slip
        Chance that an entry is charged to somebody else.
    clip_spread
        Standard deviation of his clip times, seconds.
    skipped
        Chance that he leaves out a snap altogether.
    """

    initials: str
    window_slip: float = 0.2
    leniency: float = 0.5
    missed: float = 0.05
    unseen: float = 0.04
    timing_slip: float = 0.1
    blame_slip: float = 0.1
    clip_spread: float = 0.0
    skipped: float = 0.0


@dataclass(frozen=True, slots=True)
class Opponent:
    """An invented defense.

    Attributes
    ----------
    coverage
        Log odds by which its receivers are less open than the average.
    rush
        Factor on the chance that a rusher comes free.
    """

    name: str
    coverage: float = 0.0
    rush: float = 1.0
