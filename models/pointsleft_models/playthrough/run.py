"""Runs of many games: batches with their own draws, spread over processes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pointsleft_models.playthrough.codes import ENDS_FROM
from pointsleft_models.playthrough.engine import run_batch
from pointsleft_models.playthrough.parts import Parts
from pointsleft_models.playthrough.result import Playthroughs, joined
from pointsleft_models.playthrough.start import Opening, Start
from pointsleft_models.playthrough.teams import Teams
from pointsleft_models.playthrough.whistle import Mode, Until

#: Games of a batch: large enough that a step is work and not overhead, small enough that its
#: columns stay in the cache.
BATCH = 4096


def play_through(
    parts: Parts,
    start: Start,
    games: int,
    seed: int | Sequence[int],
    *,
    until: Until = "game",
    opening: Opening | None = None,
    teams: Teams | None = None,
    playoff: bool = False,
    record: bool = False,
    coarse: bool = False,
    snaps: int | None = None,
    workers: int = 1,
) -> Playthroughs:
    """Play ``games`` games from one start.

    Two runs with the same seed, start clock and number of games meet the same draws game by game
    and step by step, whatever is forced at the opening; their results are paired. The number of
    workers changes nothing.

    Parameters
    ----------
    seed
        One seed for the run; every batch spawns its own.
    until, playoff, record
        See :class:`pointsleft_models.playthrough.whistle.Mode`.
    coarse
        Play the game of the exact chains: to the next score, or to the end of so many ``snaps``.
    workers
        Processes.

    Raises
    ------
    ValueError
        A coarse game from where the exact chains have none: not from a snap, or so late that the
        end of a half is played for; or ``snaps`` of a game that is not coarse.
    """
    sizes = [min(BATCH, games - at) for at in range(0, games, BATCH)]
    seeds = np.random.SeedSequence(seed).spawn(len(sizes))
    groups = [range(k, len(sizes), workers) for k in range(min(workers, len(sizes)))]
    mode = _mode(start, until, playoff, record, coarse, snaps)
    plan = _Plan(parts, start, opening, teams or Teams(), mode)
    jobs = [([sizes[k] for k in group], [seeds[k] for k in group]) for group in groups]
    if len(jobs) == 1:
        return joined(_batches(plan, *jobs[0]))
    from joblib import Parallel, delayed

    done = Parallel(n_jobs=len(jobs))(delayed(_batches)(plan, *job) for job in jobs)
    found: dict[int, Playthroughs] = {}
    for group, results in zip(groups, done, strict=True):
        found |= dict(zip(group, results, strict=True))
    return joined([found[k] for k in range(len(sizes))])


def _mode(
    start: Start, until: Until, playoff: bool, record: bool, coarse: bool, snaps: int | None
) -> Mode:
    if not coarse:
        if snaps is not None:
            raise ValueError("only a coarse game ends after so many snaps")
        return Mode(until, playoff, record)
    if start.phase != "snap" or start.clock_running or start.half > 2:
        raise ValueError("a coarse game starts at a snap of regulation, the clock standing still")
    if start.seconds <= ENDS_FROM:
        raise ValueError(f"a coarse game has no last {ENDS_FROM} seconds; {start.seconds} are left")
    if snaps is not None and snaps < 1:
        raise ValueError(f"a coarse game of {snaps} snaps is over before it starts")
    return Mode("score" if snaps is None else "game", playoff, record, True, snaps)


@dataclass(frozen=True, slots=True)
class _Plan:
    """What every batch of a run has in common."""

    parts: Parts
    start: Start
    opening: Opening | None
    teams: Teams
    mode: Mode


def _batches(
    plan: _Plan, sizes: list[int], seeds: list[np.random.SeedSequence]
) -> list[Playthroughs]:
    """Some of the batches of a run, one after the other."""
    done = []
    for size, seed in zip(sizes, seeds, strict=True):
        rng = np.random.Generator(np.random.SFC64(seed))
        strengths = plan.teams.draw(rng, size)
        run = run_batch(plan.parts, plan.start, strengths, rng, plan.mode, plan.opening)
        done.append(run)
    return done
