"""Fast draws from a discrete law: Walker's alias method, one uniform a draw.

Source: Walker 1977, ACM Transactions on Mathematical Software 3:253-256; the table is built as
in Vose 1991, IEEE Transactions on Software Engineering 17:972-975.
"""

from __future__ import annotations

import numpy as np

Array = np.ndarray

#: Draws made at a time: a block of this many stays in the processor's cache.
BLOCK = 1 << 14


class AliasTable:
    """A discrete law prepared for drawing.

    Parameters
    ----------
    probabilities
        (n,), sums to 1.
    """

    def __init__(self, probabilities: Array) -> None:
        p = np.asarray(probabilities, dtype=float)
        n = len(p)
        scaled = p * (n / p.sum())
        stay = np.ones(n)
        other = np.arange(n)
        small = [i for i in range(n) if scaled[i] < 1]
        large = [i for i in range(n) if scaled[i] >= 1]
        while small and large:
            i, j = small.pop(), large[-1]
            stay[i], other[i] = scaled[i], j
            scaled[j] -= 1 - scaled[i]
            if scaled[j] < 1:
                small.append(large.pop())
        self._n = n
        # a uniform on [0, n) keeps its cell up to here and goes to the alias beyond
        self._cut = np.arange(n) + stay
        self._other = other.astype(np.int32)

    def draw(self, rng: np.random.Generator, size: int) -> Array:
        """Indices (size,) of outcomes."""
        out = np.empty(size, dtype=np.int32)
        for start in range(0, size, BLOCK):
            stop = min(start + BLOCK, size)
            x = rng.random(stop - start)
            x *= self._n
            cell = x.astype(np.int32)
            np.copyto(cell, self._other.take(cell), where=x >= self._cut.take(cell))
            out[start:stop] = cell
        return out
