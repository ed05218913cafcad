"""Do chances come as often as they say? On seasons that no fit has seen.

Chances are put in bins of .05, each around a multiple of it. The calibration error of a class is
the mean over its bins of the distance between chance and share, bins weighted by their rows; the
error of all classes is the mean over the classes, weighted by how often each comes (as described
in Yurko, Ventura & Horowitz 2019, section 2.1.2; from memory). A bin's chance is the mean of its
rows' chances; the error with the bin's middle instead is given beside it.

Rows of one game share a result, so the standard error of a bin's share counts games.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

Array = np.ndarray

#: Width of a bin.
BIN = 0.05

#: Rows below which a bin is not judged, and standard errors that it may be off.
FEWEST, ALLOWED = 500, 3.0


@dataclass(frozen=True, slots=True)
class Bin:
    """Rows whose chances are close.

    Attributes
    ----------
    chance, share
        Mean chance, and how often it came.
    error
        Standard error of ``share - chance``, games as clusters. Where every row came alike the
        rows show no spread: then that of the chance itself, were the rows of a game all one.
    """

    rows: int
    games: int
    chance: float
    share: float
    error: float

    @property
    def off(self) -> float:
        """Share less chance in standard errors."""
        return (self.share - self.chance) / self.error if self.error > 0 else 0.0


def bins(
    chance: Array,
    came: Array,
    games: Array,
    weights: Array | None = None,
    number: Array | None = None,
) -> tuple[Bin, ...]:
    """Every bin that has rows, from the lowest.

    Parameters
    ----------
    chance, came
        (n,) chances, and 1 or 0 for what came (or a share).
    games
        (n,) identifiers.
    weights
        (n,) rows that each entry stands for; one each where absent.
    number
        (n,) number of the bin of every entry; the nearest multiple of .05 where absent.
    """
    chance = np.asarray(chance, dtype=float)
    weights = np.ones(len(chance)) if weights is None else weights
    number = bin_numbers(chance) if number is None else number
    out = []
    for at in np.unique(number):
        here = number == at
        w, said, share = weights[here], chance[here], came[here]
        _, game = np.unique(games[here], return_inverse=True)
        error = _clustered(share - said, game, w)
        if share.min() == share.max() and share[0] in (0.0, 1.0):
            error = max(error, _one_a_game(float(np.average(said, weights=w)), game, w))
        out.append(
            Bin(
                round(w.sum()), int(game.max()) + 1, float(np.average(said, weights=w)),
                float(np.average(share, weights=w)), error,
            )
        )  # fmt: skip
    return tuple(out)


def equal_bins(chance: Array, weights: Array, many: int) -> Array:
    """Number (n,) of the bin of every entry where bins hold about equally many rows.

    Entries of one chance share a bin, so there may be fewer bins.
    """
    at = np.unique(chance, return_inverse=True)[1]
    rows = np.bincount(at, weights=weights)
    middle = (np.cumsum(rows) - rows / 2) / rows.sum()
    return np.minimum((middle * many).astype(int), many - 1)[at]


def bin_numbers(chance: Array) -> Array:
    """Number (n,) of the bin of every chance: the multiple of the width that it is nearest to."""
    return np.asarray(np.round(chance / BIN), dtype=int)


def _clustered(gap: Array, game: Array, weights: Array) -> float:
    """Standard error of the mean of ``gap``, rows of one game taken together.

    Each game's part is its sum less what its rows would bring at the mean.
    """
    many = int(game.max()) + 1
    if many < 2:
        return 0.0
    mean = np.average(gap, weights=weights)
    own = np.bincount(game, weights=weights * (gap - mean))
    return float(np.sqrt((own**2).sum() * many / (many - 1)) / weights.sum())


def _one_a_game(chance: float, game: Array, weights: Array) -> float:
    """Standard error of a share where each game comes one way with all its rows."""
    rows = np.bincount(game, weights=weights)
    return float(np.sqrt(chance * (1 - chance) * (rows**2).sum()) / rows.sum())


@dataclass(frozen=True, slots=True)
class ClassError:
    """Calibration error of several classes; ``by_middle`` takes the middle of each bin."""

    error: float
    by_middle: float
    by_class: tuple[float, ...]


def class_error(p: Array, y: Array) -> ClassError:
    """Error of the chances (n, classes) of the classes (n,) that came."""
    many = np.bincount(y, minlength=p.shape[1])
    means, middles = [], []
    for c in range(p.shape[1]):
        number = bin_numbers(p[:, c].astype(float))
        rows = np.bincount(number)
        kept = rows > 0
        came = np.bincount(number, weights=y == c)[kept] / rows[kept]
        said = np.bincount(number, weights=p[:, c].astype(float))[kept] / rows[kept]
        middle = np.flatnonzero(kept) * BIN
        weight = rows[kept] / len(y)
        means.append(float(weight @ np.abs(said - came)))
        middles.append(float(weight @ np.abs(middle - came)))
    share = many / many.sum()
    return ClassError(float(share @ means), float(share @ middles), tuple(means))


@dataclass(frozen=True, slots=True)
class Group:
    """The bins of some rows, with a name."""

    name: str
    bins: tuple[Bin, ...]

    def judged(self) -> tuple[Bin, ...]:
        """Bins with enough rows."""
        return tuple(b for b in self.bins if b.rows >= FEWEST)

    def missed(self) -> tuple[Bin, ...]:
        """Judged bins that are off by more than allowed."""
        return tuple(b for b in self.judged() if abs(b.off) > ALLOWED)


def expected_missed(judged: int) -> float:
    """Bins that a model without any fault would miss by chance (normal errors)."""
    from scipy.stats import norm

    return float(judged * 2 * norm.sf(ALLOWED))
