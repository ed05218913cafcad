"""Throws whose depth the game book does not know."""

from __future__ import annotations

import numpy as np
import polars as pl
import pytest
from pointsleft_models.laws.passing import CATCH_NO_DEPTH, PICK_NO_DEPTH
from pointsleft_models.recipes.passing import NO_DEPTH, PASSING
from pointsleft_models.recipes.scrimmage import live


def targeted(plays: pl.DataFrame) -> pl.DataFrame:
    return live(plays).filter(
        (pl.col("kind") == "pass") & pl.col("targeted") & pl.col("air_yards").is_not_null()
    )


def by_depth(plays: pl.DataFrame, what: pl.Expr) -> dict[int, int]:
    rows = targeted(plays).filter(what).group_by("air_yards").len()
    return dict(rows.iter_rows())


@pytest.mark.archive
def test_throws_of_no_air_yards_are_missed_too_often_to_be_what_they_say(
    archive: pl.DataFrame,
) -> None:
    caught = by_depth(archive, pl.col("complete"))
    thrown = by_depth(archive, pl.lit(True))
    share = {depth: caught[depth] / thrown[depth] for depth in range(-6, 7)}
    assert share[NO_DEPTH] < share[1] - 0.1
    assert share[NO_DEPTH] < share[-1] - 0.2
    assert all(abs(share[d] - share[d + 1]) < 0.08 for d in (-6, -5, -4, -3, -2, 1, 2, 3, 4, 5))


@pytest.mark.archive
def test_what_they_add_is_what_the_archive_counts(archive: pl.DataFrame) -> None:
    """Those beyond what lies between the depths beside: as many more misses and catches."""
    missed = ~pl.col("complete")
    counts = {
        name: by_depth(archive, what)
        for name, what in (
            ("caught", pl.col("complete")),
            ("missed", missed),
            ("intercepted", missed & pl.col("intercepted")),
        )
    }
    odds = {}
    for name, found in counts.items():
        known = sum(n for depth, n in found.items() if depth != NO_DEPTH)
        more = found[NO_DEPTH] - (found[-1] + found[1]) / 2
        odds[name] = np.log1p(more / known)
    assert odds["caught"] - odds["missed"] == pytest.approx(CATCH_NO_DEPTH, abs=0.004)
    assert odds["intercepted"] - odds["missed"] == pytest.approx(PICK_NO_DEPTH, abs=0.006)


@pytest.mark.archive
def test_no_component_uses_them(archive: pl.DataFrame) -> None:
    season = archive.filter(pl.col("season") == 2016)
    for component in PASSING:
        if not component.needs:
            assert (component.rows(season)["air_yards"] != NO_DEPTH).all(), component.name
