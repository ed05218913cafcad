"""One refit as if it were the fit: the world is played with one, the tool prices with another."""

from __future__ import annotations

from dataclasses import replace

from pointsleft_models.bundle import Models

_POINT, _AGAIN = ".coefficients", ".refits"


def one_refit(models: Models, refit: int) -> Models:
    """The models with a refit in the place of the point fit, and no refits.

    Parameters
    ----------
    refit
        Counted from 0. The refits of one cut (five in a row) share no game.

    Raises
    ------
    IndexError
        No such refit.
    """
    fits = {}
    for name, stored in models.fits.items():
        arrays = dict(stored.arrays)
        for key in [k for k in arrays if k.endswith(_AGAIN)]:
            point = key.removesuffix(_AGAIN) + _POINT
            arrays[point] = arrays[point] + arrays[key][refit].astype(float)
            arrays[key] = arrays[key][:0]
        fits[name] = replace(stored, arrays=arrays)
    return Models(models.level, fits)
