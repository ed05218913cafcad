"""What ``pointsleft fit`` says of its fits, and where it keeps them."""

from __future__ import annotations

import shutil
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import polars as pl
    from pointsleft_models.bundle import Models
    from pointsleft_models.fitting.store import StoredFit


def of_level(plays: pl.DataFrame, rules: str) -> pl.DataFrame:
    """The plays with the level whose rules they were played under, where they do not say it."""
    import polars as pl

    if plays["level"].null_count() == 0:
        return plays
    return plays.with_columns(pl.col("level").fill_null(rules))


def lean_credit(lean: Models) -> str:
    """Credit of the fits that a level borrows from."""
    return " ".join(dict.fromkeys(f.card.credit for f in lean.fits.values() if f.card.credit))


def settled_parts(fit: StoredFit) -> dict[str, Any]:
    """How every part of a leaning level's fit came about; empty for a fit that stands alone."""
    settings = fit.card.settings
    own: Mapping[str, Any] = settings.get("settled") or {
        name: about["settled"]
        for name, about in settings.get("components", {}).items()
        if "settled" in about
    }
    return dict(own)


def fit_lines(fits: Mapping[str, StoredFit]) -> Iterator[str]:
    """Rows, hash and scores of every fit, and what it borrows."""
    for name, fit in fits.items():
        yield (f"  {name:<12}{fit.card.rows:>9} rows {fit.card.games:>6} games  {fit.digest[:12]}")
        how = settled_parts(fit)
        for part, score in fit.card.scores.items():
            line = f"    {part:<28} log loss {score['log_loss']:.4f}"
            if "marginal" in score:
                line += f"  marginal {score['marginal']:.4f}"
            if part in how:
                line += f"  {how[part]['how']}"
            yield line
        for part, about in how.items():
            if about["how"] == "borrowed":
                yield f"    {part:<28} borrowed: {about['why']}"


def keep_fits(out: Path, kept: Path, names: list[str]) -> None:
    """Put finished fits where their level is looked for; whole, or as they were."""
    kept.parent.mkdir(parents=True, exist_ok=True)
    fresh = kept.with_name(f".{kept.name}.new")
    shutil.rmtree(fresh, ignore_errors=True)
    fresh.mkdir()
    for name in names:
        for suffix in (".json", ".npz"):
            shutil.copy2(out / f"{name}{suffix}", fresh)
    shutil.rmtree(kept, ignore_errors=True)
    fresh.rename(kept)
