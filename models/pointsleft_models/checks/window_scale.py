"""How far apart the window words stand: the scale of the unseen part of a throw.

A catch model that sees where everybody is beats one that sees only depth and place of the throw:
log loss .289 against .332 (Deshpande & Evans 2020, J. Quantitative Analysis in Sports 16:85-94,
quoted from another text; the better one is also a richer kind of model, so the gain is an upper
figure for what positions add). We ask how wide a normal part, added to the log odds of our own
completion law and unseen by it, must be for seeing it to shrink the log loss by the same share.
The window words are the means of the fifths of a normal of that width, rounded to 1.

    python -m pointsleft_models.checks.window_scale [--save docs/window-scale.json]
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

Array = np.ndarray

#: Published log loss of a catch model with positions and of one without (quoted).
WITH_POSITIONS, WITHOUT = 0.289, 0.332

#: Every so many-th throw of the archive is enough: the answer moves by less than .01.
EVERY = 20

#: Points of the quadrature over the unseen part.
NODES = 41

#: Averaging a logit over a normal of variance v flattens it by about 1 / sqrt(1 + c v), with
#: c = (16 sqrt(3) / (15 pi))^2 (Zeger, Liang & Albert 1988, Biometrics 44:1049-1060; from memory,
#: held to the exact average in tests).
FLATTENING = (16 * math.sqrt(3) / (15 * math.pi)) ** 2


@dataclass(frozen=True, slots=True)
class WindowScale:
    """Standard deviation of the unseen part in log odds, and the means of its fifths."""

    sd: float
    fifths: tuple[float, ...]
    throws: int


def entropy(p: Array) -> Array:
    """Log loss of a chance that is right."""
    from scipy.special import entr

    return np.asarray(entr(p) + entr(1 - p))


def loss_ratio(log_odds: Array, sd: float) -> float:
    """Log loss with the unseen part seen over log loss without it.

    Parameters
    ----------
    log_odds
        (n,) of throws as a law without the unseen part gives them.
    sd
        Standard deviation of the unseen part, log odds.
    """
    nodes, weights = np.polynomial.hermite_e.hermegauss(NODES)
    weights = weights / weights.sum()
    steep = log_odds * math.sqrt(1 + FLATTENING * sd**2)
    chance = 1 / (1 + np.exp(-(steep[:, None] + sd * nodes)))
    return float((entropy(chance) @ weights).mean() / entropy(chance @ weights).mean())


def fifths(sd: float) -> tuple[float, ...]:
    """Means of the five fifths of a normal, the highest first.

    >>> [round(x, 2) for x in fifths(1.0)]
    [1.4, 0.53, 0.0, -0.53, -1.4]
    """
    from scipy.stats import norm

    cuts = norm.ppf(np.arange(6) / 5)
    density = norm.pdf(cuts)
    means = -np.diff(density) * 5 * sd
    return tuple(float(x) + 0.0 for x in np.where(np.abs(means) < 1e-12, 0.0, means)[::-1])


def window_scale(log_odds: Array) -> WindowScale:
    """The scale at which seeing the unseen part gains what was published."""
    from scipy.optimize import brentq

    wanted = WITH_POSITIONS / WITHOUT
    sd = float(brentq(lambda s: loss_ratio(log_odds, s) - wanted, 0.05, 4.0))
    return WindowScale(sd, fifths(sd), len(log_odds))


def throw_odds(source: str = "archive") -> tuple[Array, str]:
    """Log odds (n,) of a catch of every so many-th throw, by the shipped law; and the source."""
    from pointsleft_models.bundle import load_models
    from pointsleft_models.fitting.fitted import FittedLogit
    from pointsleft_models.plays.sources import read_source
    from pointsleft_models.recipes.passing import PASSING

    complete, reading = PASSING[0], read_source(source)
    throws = complete.rows(reading.plays)[::EVERY]
    fitted = load_models().library.components[complete.name]
    assert isinstance(fitted, FittedLogit)
    odds = fitted.eta({name: throws[name].to_numpy() for name in complete.covariates})
    return odds, reading.source


def main() -> None:
    """Print the scale and the means of its fifths."""
    import json
    from pathlib import Path

    import click

    @click.command(help="The scale of the window words, worked out from play-by-play.")
    @click.option("--plays", "source", default="archive", show_default=True, help="Source.")
    @click.option("--save", type=click.Path(path_type=Path), help="Write it to a JSON file too.")
    def command(source: str, save: Path | None) -> None:
        odds, name = throw_odds(source)
        found = window_scale(odds)
        click.echo(f"throws                        {found.throws}")
        click.echo(f"published log loss            {WITHOUT} without, {WITH_POSITIONS} with")
        click.echo(f"sd of the unseen part         {found.sd:.2f} log odds")
        click.echo("means of its fifths           " + "  ".join(f"{x:+.2f}" for x in found.fifths))
        click.echo("at a sd of 1, as in the table " + "  ".join(f"{x:+.2f}" for x in fifths(1.0)))
        if save is not None:
            about = {"source": name, "throws": found.throws, "sd": round(found.sd, 3)}
            save.write_text(json.dumps(about) + "\n", encoding="utf-8")

    command()


if __name__ == "__main__":
    main()
