"""How often intervals hold a known truth: one archive after the other, kept as they are done."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, field
from pathlib import Path

import numpy as np

from pointsleft_models.plays.reading import Progress, quiet

Array = np.ndarray

#: Quantiles of the refits between which a nominal 90% interval lies.
LOW, HIGH = 0.05, 0.95


@dataclass(frozen=True, slots=True)
class Repeat:
    """One archive: mean absolute error, and by scheme the coverage and the mean width.

    A repeat that holds several things against their truths has them as schemes.

    Attributes
    ----------
    inside
        By scheme whether (n,) the interval of each situation held its truth, 1 or 0; empty in
        repeats that did not keep it.
    errors
        By scheme the mean absolute error of its own point fit, where schemes differ in it.
    """

    error: float
    covered: dict[str, float]
    width: dict[str, float]
    inside: dict[str, list[int]] = field(default_factory=dict)
    errors: dict[str, float] = field(default_factory=dict)


def held(
    point: Array, refits: Mapping[str, Array], exact: Array, met: Array, *, keep: bool = False
) -> Repeat:
    """Hold the intervals of one archive against the truth.

    Parameters
    ----------
    point
        (n,) point fit.
    refits
        Scheme -> (refits, n).
    exact, met
        (n,) truth, and share of the plays that each situation stands for.
    keep
        Keep what was held situation by situation; they are the same in every repeat.
    """
    covered, width, inside = {}, {}, {}
    for name, again in refits.items():
        low, high = np.quantile(again, [LOW, HIGH], axis=0)
        holds = (low <= exact) & (exact <= high)
        covered[name] = float(met @ holds)
        width[name] = float(met @ (high - low))
        if keep:
            inside[name] = holds.astype(int).tolist()
    return Repeat(float(met @ np.abs(point - exact)), covered, width, inside)


@dataclass(frozen=True, slots=True)
class Covered:
    """One scheme over the repeats in which it was tried: mean coverage with its standard error,
    and mean width.

    Attributes
    ----------
    by_situation
        Share of the repeats in which the truth of each situation was held; ``None`` where they did
        not keep it.
    error
        Mean absolute error of its own point fit, where schemes differ in it.
    """

    scheme: str
    repeats: int
    coverage: float
    standard_error: float
    width: float
    by_situation: list[float] | None = None
    error: float | None = None


@dataclass(frozen=True, slots=True)
class CoverageStudy:
    """The study at one number of games.

    Attributes
    ----------
    error, error_se
        Mean absolute error of the point fit against the truth, and its standard error.
    """

    games: int
    repeats: int
    refits: int
    error: float
    error_se: float
    schemes: list[Covered]


#: One archive of so many games, with so many refits under each scheme.
OneArchive = Callable[[int, int, np.random.SeedSequence], Repeat]


def study(
    one: OneArchive,
    games: int,
    repeats: int,
    refits: int,
    *,
    seed: int = 560,
    workers: int = 1,
    kept: Path | None = None,
    progress: Progress = quiet,
) -> CoverageStudy:
    """Repeat, and average.

    Parameters
    ----------
    one
        What is repeated; sent to the workers.
    kept
        Folder in which every repeat is kept, so that an interrupted study goes on.
    """
    from joblib import Parallel, delayed

    seeds = np.random.SeedSequence([seed, games, refits]).spawn(repeats)
    pool = Parallel(n_jobs=workers, return_as="generator")
    jobs = (delayed(_kept)(one, games, refits, s, _path(kept, games, refits, i))
            for i, s in enumerate(seeds))  # fmt: skip
    found = list(progress(pool(jobs), repeats, f"covering at {games} games"))
    errors = np.array([r.error for r in found])
    rows = []
    for name in dict.fromkeys(name for r in found for name in r.covered):
        tried = [r for r in found if name in r.covered]
        covered = np.array([r.covered[name] for r in tried])
        width = float(np.mean([r.width[name] for r in tried]))
        inside = [r.inside[name] for r in tried if name in r.inside]
        by = np.mean(inside, axis=0).tolist() if len(inside) == len(tried) else None
        off = [r.errors[name] for r in tried if name in r.errors]
        own = float(np.mean(off)) if len(off) == len(tried) else None
        rows.append(Covered(name, len(tried), float(covered.mean()), _se(covered), width, by, own))
    return CoverageStudy(games, repeats, refits, float(errors.mean()), _se(errors), rows)


def _se(values: Array) -> float:
    return float(values.std(ddof=1) / np.sqrt(len(values))) if len(values) > 1 else 0.0


def _path(folder: Path | None, games: int, refits: int, at: int) -> Path | None:
    return None if folder is None else folder / f"{games}-{refits}-{at:03d}.json"


def _kept(
    one: OneArchive, games: int, refits: int, seed: np.random.SeedSequence, path: Path | None
) -> Repeat:
    """One repeat, read where it was kept; written whole or not at all."""
    from threadpoolctl import threadpool_limits

    if path is not None and path.is_file():
        return Repeat(**json.loads(path.read_text(encoding="utf-8")))
    with threadpool_limits(1):
        done = one(games, refits, seed)
    if path is not None:
        path.parent.mkdir(parents=True, exist_ok=True)
        part = path.with_suffix(".part")
        part.write_text(json.dumps(asdict(done)), encoding="utf-8")
        part.replace(path)
    return done
