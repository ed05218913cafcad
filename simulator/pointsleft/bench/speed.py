"""How long things take, as ratios to something measured in the same run where one is named."""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from pointsleft_models.bundle import Worth, load_worth
from pointsleft_models.values.at_least import LATE

from pointsleft.cli.demo import demo_log
from pointsleft.log import read_log
from pointsleft.log.check import is_decision
from pointsleft.log.record import Snap
from pointsleft.pricing.draws import AliasTable
from pointsleft.pricing.snap import prepare, prepare_together


@dataclass(frozen=True, slots=True)
class Measured:
    """One figure beside its goal."""

    what: str
    value: float
    unit: str
    goal: str


def _command(*arguments: str, repeats: int = 5) -> float:
    """Median seconds from start to exit of a command."""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        subprocess.run(
            [sys.executable, "-m", "pointsleft.cli", *arguments], check=True, capture_output=True
        )
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def commands() -> list[Measured]:
    """Whole commands, start to exit."""
    with tempfile.TemporaryDirectory() as folder:
        price = _command("price", str(demo_log()), "--out", folder)
    return [
        Measured(
            "`pointsleft price` on the demo, 10,000 draws, all refits", price, "s", "under 5 s"
        ),
        Measured("`pointsleft --help`", _command("--help"), "s", "under 0.6 s"),
    ]


def exact_value(repeats: int = 40) -> list[Measured]:
    """Exact values of snaps with four options in both currencies, from logged snaps to numbers, the
    snaps of a game together as they are priced, and one at a time as they are logged."""
    worth = load_worth("professional", 2019)
    snaps = [s for s in read_log(demo_log()).snaps if is_decision(s) and len(s.options) == 4]
    late = [s for s in snaps if _late(s)]
    early = [s for s in snaps if not _late(s)]

    def measured(batches: Sequence[Sequence[Snap]]) -> float:
        """Median milliseconds a snap."""
        times = []
        for again in range(1 + repeats):
            start = time.perf_counter()
            for batch in batches:
                _value(worth, batch)
            if again:  # the first round fills the tables
                times.append((time.perf_counter() - start) / sum(len(b) for b in batches))
        return 1000 * statistics.median(times)

    what = "exact value of one snap with four options, both currencies"
    return [
        Measured(f"{what} ({len(snaps)} snaps)", measured([snaps]), "ms", "under 1 ms"),
        Measured(f"the {len(early)} ordinary ones of them", measured([early]), "ms", "–"),
        Measured(
            f"the {len(late)} in the last four minutes of a half", measured([late]), "ms", "–"
        ),
        Measured("all of them, one snap at a time", measured([[s] for s in snaps]), "ms", "–"),
    ]


def _late(snap: Snap) -> bool:
    """Whether outcomes are held against every later down, which takes several times the work."""
    seconds = snap.situation.half_seconds if snap.situation else None
    return seconds is not None and seconds <= LATE


def _value(worth: Worth, snaps: Sequence[Snap]) -> None:
    """Every option of every snap, from the log to its exact values."""
    for values, _, models in prepare_together(worth, snaps):
        for currency in values.currencies:
            for model in models:
                values.exact(model, currency)


def draws(size: int = 1_000_000, repeats: int = 15) -> list[Measured]:
    """Draws from the law of a throw, as a share of raw uniform draws in the same process."""
    worth = load_worth("professional", 2019)
    snap = next(s for s in read_log(demo_log()).snaps if is_decision(s))
    _, _, models = prepare(worth, snap)
    law = models[-1].law().mixture()[0]
    table = AliasTable(law[law > 0])
    rng = np.random.default_rng(1)
    ratios = []
    for _ in range(repeats):
        start = time.perf_counter()
        rng.random(size)
        raw = time.perf_counter() - start
        start = time.perf_counter()
        table.draw(rng, size)
        ratios.append(raw / (time.perf_counter() - start))
    return [
        Measured("draws of an outcome, as a share of raw uniform draws",
                 statistics.median(ratios), "", "at least 0.25")
    ]  # fmt: skip


#: Situations of a late choice that are timed: seconds left, level in range, the clock running.
LATE_CLOCKS = (40, 90, 170)


def late_choices(repeats: int = 3) -> list[Measured]:
    """Pricing of a late choice with all its actions, models loaded; the slowest situation."""
    from pointsleft_models.football.situation import Situation
    from pointsleft_models.playthrough.load import load_playthrough

    from pointsleft.endgame.price import FIRST, price_endgame

    worth = load_worth("professional", 2019)
    parts, _ = load_playthrough(worth.rules)
    times = []
    for seconds in LATE_CLOCKS:
        at = Situation(
            period=4, seconds=seconds, down=1, distance=10, yards_to_goal=20, lead=0,
            rules=worth.rules, clock_running=True,
        )  # fmt: skip
        spent = []
        for _ in range(repeats):
            start = time.perf_counter()
            price_endgame(parts, worth, at)
            spent.append(time.perf_counter() - start)
        times.append(statistics.median(spent))
    return [
        Measured(
            f"a late choice, at least {FIRST:,} continuations of every action (the slowest of "
            f"{len(LATE_CLOCKS)} situations)",
            max(times), "s", "under 3 s",
        )
    ]  # fmt: skip


def reading() -> list[Measured]:
    """The archive: first parse of all seasons, and again from the cache."""
    import os

    from pointsleft_models.plays.sources import read_source

    with tempfile.TemporaryDirectory() as folder:
        before = os.environ.get("POINTSLEFT_CACHE")
        os.environ["POINTSLEFT_CACHE"] = folder
        try:
            start = time.perf_counter()
            read_source("archive")
            first = time.perf_counter() - start
            again = []
            for _ in range(3):
                start = time.perf_counter()
                read_source("archive")
                again.append(time.perf_counter() - start)
            size = sum(p.stat().st_size for p in Path(folder).rglob("*.parquet"))
        finally:
            if before is None:
                del os.environ["POINTSLEFT_CACHE"]
            else:
                os.environ["POINTSLEFT_CACHE"] = before
    return [
        Measured("first parse of all eleven seasons", first, "s", "under 30 s"),
        Measured(f"the same from its cache ({size / 1e6:.0f} MB)", statistics.median(again), "s",
                 "under 0.5 s"),
    ]  # fmt: skip
