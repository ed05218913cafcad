"""Multipliers of many inequalities at once: whole blocks change sides until nothing is wrong.

The problem is that of nonnegative least squares in its normal form, min m'Am / 2 - t'm with
m >= 0. Library solvers take one multiplier in at a time, which for some hundreds of them costs
more than all the rest of a fit; here everything that is on the wrong side changes it at once, and
one at a time only where that goes round in circles (Júdice & Pires 1994, Computers & Operations
Research 21, 587-596; Kim & Park 2011, SIAM J. Scientific Computing 33, 3261-3281).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy.linalg.lapack import dposv

Array = np.ndarray

#: Rounds of whole blocks that may make things no better before one at a time changes sides.
PATIENCE = 3

#: What is short by less than this share of the widest is not wrong.
SLACK = 1e-11


def multipliers(inner: Array, target: Array, taken: Sequence[int] | Array = ()) -> Array:
    """The m >= 0 (q,) that minimises m' inner m / 2 - target' m.

    Parameters
    ----------
    inner
        (q, q), positive definite.
    target
        (q,).
    taken
        Numbers of multipliers that may be above zero: a start, faster than none.

    Raises
    ------
    ArithmeticError
        No rest: ``inner`` is not positive definite.
    """
    many = len(target)
    inside = np.zeros(many, dtype=bool)
    inside[np.asarray(taken, dtype=np.int64)] = True
    least, patience = many + 1, PATIENCE
    for _ in range(5 * many + 100):
        held = np.flatnonzero(inside)
        found = np.zeros(many)
        if len(held):
            _, found[held], broken = dposv(inner[np.ix_(held, held)], target[held])
            if broken:
                break
        slack = inner @ found - target
        wrong = np.where(
            inside,
            found < -SLACK * np.abs(found).max(initial=0),
            slack < -SLACK * np.abs(slack).max(initial=0),
        )
        count = int(wrong.sum())
        if not count:
            return np.maximum(found, 0)
        if count < least:
            least, patience = count, PATIENCE
        elif patience:
            patience -= 1
        else:
            wrong[: np.flatnonzero(wrong)[-1]] = False
        inside ^= wrong
    raise ArithmeticError(f"{many} multipliers did not come to rest: the problem is not definite")
