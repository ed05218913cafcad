"""Late situations of the archive played on; onside kicks and kneels counted as the docs say."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import polars as pl
import pytest
from pointsleft_models.bench.playthrough_late import Beside, beside
from pointsleft_models.football.rules import rule_set
from pointsleft_models.plays.sequence import with_next_snap
from pointsleft_models.plays.sources import read_source
from pointsleft_models.playthrough.load import load_playthrough
from pointsleft_models.playthrough.parts import Parts
from pointsleft_models.recipes.kicking import KICKING
from pointsleft_models.recipes.playthrough_clock_rows import kneel_waits

pytestmark = pytest.mark.archive

DOCS = Path(__file__).parents[3] / "docs/late-choices.md"


@pytest.fixture(scope="module")
def plays() -> pl.DataFrame:
    return with_next_snap(read_source("archive").plays)


@pytest.fixture(scope="module")
def parts() -> Parts:
    return load_playthrough(rule_set("professional", 2016))[0]


def far_off(rows: list[Beside]) -> list[str]:
    """Bands in which played-out points are a quarter of a point off, or wins 4%."""
    most = {"points": 0.25, "wins": 0.04}
    return [
        f"{row.what}, {row.band}: {row.off:+.3f}"
        for row in rows
        if abs(row.off)
        > most["points" if row.what.startswith("points") else "wins"] + 2 * row.error
    ]


def test_late_situations_end_as_in_the_archive(plays: pl.DataFrame, parts: Parts) -> None:
    rows = beside(parts, plays, repeats=2)
    assert len(rows) == 12
    assert far_off(rows) == []


def test_without_time_outs_spikes_and_last_kicks_it_would_be_seen(
    plays: pl.DataFrame, parts: Parts
) -> None:
    """Negative control."""
    never = np.float32(-30)
    broken = replace(
        parts, own_timeout=np.full_like(parts.own_timeout, never),
        spike=np.full_like(parts.spike, never), last_kick=np.full_like(parts.last_kick, never),
    )  # fmt: skip
    assert any("first half" in what for what in far_off(beside(broken, plays, repeats=1)))


def test_onside_kicks_are_counted_as_written(plays: pl.DataFrame) -> None:
    component = next(c for c in KICKING if c.name == "onside kept")
    rows = component.rows(plays)
    counts = {
        expected: (len(part), int(part["kept"].sum()))
        for (expected,), part in rows.group_by("expected")
    }
    text = " ".join(DOCS.read_text(encoding="utf-8").split())
    told = re.search(
        r"has (\d+) onside kicks .*expected \((\d+) kicks, (\d+) kept, \d+%\), any other was a "
        r"surprise \((\d+) kicks, (\d+) kept",
        text,
    )
    assert told is not None
    total, *figures = map(int, told.groups())
    assert figures == [*counts[1], *counts[0]]
    assert total == len(rows)


def test_kneels_that_need_it_run_the_play_clock(plays: pl.DataFrame) -> None:
    waits = kneel_waits(plays)["used"].to_numpy()
    assert waits.mean() == pytest.approx(40, abs=1)
    assert np.quantile(waits, 0.1) == pytest.approx(35, abs=1)
