"""The next score of the half after every snap of a recorded run."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from pointsleft_models.playthrough import codes

Array = np.ndarray

#: Class of a score by its points, seen from the side that had the ball.
CLASS_OF = {
    6: codes.TOUCHDOWN,
    3: codes.FIELD_GOAL,
    -2: codes.SAFETY_AGAINST,
    -6: codes.TOUCHDOWN_AGAINST,
}


def next_scores(log: Mapping[str, Array]) -> tuple[Array, Array]:
    """Class of the next score of the half from the offense, and seconds left in the half then.

    It always comes of a snap: a kickoff is run back after a score of the same half or before its
    first snap.

    Parameters
    ----------
    log
        Snaps (n,) of a run on the clock (no series overtime); each game's in the order of play.

    Returns
    -------
    tuple
        (n,) each; where no score comes ``codes.NO_SCORE`` and -1.
    """
    order = np.lexsort((log["half"], log["game"]))
    game, half, offense, points = (log[c][order] for c in ("game", "half", "offense", "points"))
    many = len(order)
    # place of this or the next snap of any game that scored; the last stands for none
    scored = np.flatnonzero(points)
    at = np.append(scored, many)[np.searchsorted(scored, np.arange(many))]
    inside = np.minimum(at, many - 1)
    comes = (at < many) & (game[inside] == game) & (half[inside] == half)
    own = np.zeros(many, dtype=np.int64)
    for worth, kind in CLASS_OF.items():
        own[points == worth] = kind
    kind = own[inside]
    kind = np.where(offense[inside] == offense, kind, 7 - kind)
    left = np.maximum(log["seconds"] - log["used"], 0)[order][inside]
    found = np.full((2, many), -1)
    found[0, order] = np.where(comes, kind, codes.NO_SCORE)
    found[1, order] = np.where(comes, left, -1)
    return found[0], found[1]
