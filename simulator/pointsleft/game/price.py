"""Pricing a whole log: one decision after another, then the lines and totals."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from pointsleft_models.bundle import Models, Worth, load_models
from pointsleft_models.football.rules import rule_set

from pointsleft.game.dearest import ledger_of
from pointsleft.game.lines import Step, game_lines, steps_of
from pointsleft.game.totals import headline, hits_of, total_left, totals_of
from pointsleft.log.check import is_decision
from pointsleft.log.record import LoggedGame, Snap
from pointsleft.log.words import describe_result, describe_situation
from pointsleft.pricing.beforehand import spread_told
from pointsleft.pricing.judgement_table import judged
from pointsleft.pricing.progress import Progress, quiet
from pointsleft.pricing.result import CURRENCIES, CoursePoint, Decision, PricedGame, UnpricedSnap
from pointsleft.pricing.settings import PriceSettings
from pointsleft.pricing.snap import Prepared, prepare_together, price_snap

#: Decisions priced at the same time, each of which needs some tens of megabytes.
MOST_THREADS = 4


@dataclass(frozen=True, slots=True)
class _Job:
    snap: Snap
    following: Snap | None
    seed: np.random.SeedSequence


def price_game(
    game: LoggedGame,
    settings: PriceSettings | None = None,
    *,
    models: Models | None = None,
    progress: Progress = quiet,
) -> PricedGame:
    """Price a log.

    Parameters
    ----------
    models
        Fits to use; the shipped ones of the log's level when absent.

    Returns
    -------
    PricedGame
        The same for the same log, settings and fits.
    """
    settings = settings or PriceSettings()
    models = models or load_models(game.level)
    worth = models.under(rule_set(game.level, game.season))
    jobs = _jobs(game, settings.seed)
    checks = 4 * max(len(jobs), 1)

    ready = prepare_together(worth, [job.snap for job in jobs])

    def price(job: _Job, prepared: Prepared) -> Decision:
        rng = np.random.default_rng(job.seed)
        return price_snap(worth, job.snap, job.following, settings, rng, checks, prepared)

    # the work is on large arrays, for which threads do not wait for each other
    pool = ThreadPoolExecutor(min(MOST_THREADS, os.cpu_count() or 1))
    try:
        decisions = list(progress(pool.map(price, jobs, ready), len(jobs), "pricing decisions"))
    finally:
        pool.shutdown(cancel_futures=True)
    return _assemble(game, worth, settings, decisions)


def _jobs(game: LoggedGame, seed: int) -> list[_Job]:
    """One unit of work a decision; its draws do not depend on the others."""
    following = [*game.snaps[1:], None]
    wanted = [(s, f) for s, f in zip(game.snaps, following, strict=True) if is_decision(s)]
    seeds = np.random.SeedSequence(seed).spawn(len(wanted))
    return [_Job(s, f, own) for (s, f), own in zip(wanted, seeds, strict=True)]


def _assemble(
    game: LoggedGame, worth: Worth, settings: PriceSettings, decisions: list[Decision]
) -> PricedGame:
    steps = steps_of(game, worth, {d.snap: d for d in decisions})
    assumptions = Counter(a.code for d in decisions for a in d.assumptions)
    models = worth.models
    refits = models.refits if settings.refits else 0
    return PricedGame(
        title=game.title,
        us=game.us,
        them=game.them,
        quarterback=game.quarterback,
        level=game.level,
        rules=worth.rules.name,
        charter=game.charter,
        headline=headline(decisions),
        counts=_counts(game, decisions),
        lines={c: game_lines(steps, c, game) for c in CURRENCIES},
        totals={c: totals_of(decisions, c) for c in CURRENCIES},
        total_left={c: total_left(decisions, c) for c in CURRENCIES},
        course=tuple(_course(steps)),
        decisions=tuple(decisions),
        unpriced=tuple(_unpriced(steps)),
        assumptions=dict(sorted(assumptions.items(), key=lambda kv: (-kv[1], kv[0]))),
        assumption_texts={code: judged(code).what for code in sorted(assumptions)},
        hits=hits_of(decisions),
        models=tuple(
            {
                "name": f"{models.level}/{name}",
                "version": fit.card.date,
                "hash": fit.digest,
                "data": fit.card.data,
                "credit": fit.card.credit,
            }
            for name, fit in models.fits.items()
        ),
        seed=settings.seed,
        draws=settings.draws,
        refits=refits,
        warnings=(*game.warnings, *_borrowed(models), *_unused(game, models), *_unsure(refits)),
        beforehand="" if models.favoured is None else spread_told(models, game.spread),
    )


def _borrowed(models: Models) -> list[str]:
    """What the fits of this level have from another one."""
    told = models.borrowed_told()
    return [told] if told else []


def _unsure(refits: int) -> list[str]:
    """What is missing without refits."""
    if refits:
        return []
    return [
        "no refits of the models: how far they may be off is not known, and every verdict says "
        "firm because nothing could speak against it"
    ]


def _unused(game: LoggedGame, models: Models) -> list[str]:
    """What the log says and these models do not use."""
    if game.spread is None or models.favoured is not None:
        return []
    return [spread_told(models, game.spread)]


def _counts(game: LoggedGame, decisions: list[Decision]) -> dict[str, int]:
    counts = {
        "snaps": len(game.snaps),
        "decisions": len(decisions),
        "options": sum(len(d.options) for d in decisions),
    }
    for currency in CURRENCIES:
        rows = [(d, led) for d in decisions if (led := ledger_of(d, currency)) is not None]
        counts[f"best_taken_{currency}"] = sum(led.best == d.chosen for d, led in rows)
        for word in ("firm", "slight", "unsettled"):
            counts[f"{word}_{currency}"] = sum(led.verdict == word for _, led in rows)
    return counts


def _course(steps: list[Step]) -> Iterable[CoursePoint]:
    for step in steps:
        if step.wins_before is None:
            continue
        left = step.decision.wins.left if step.decision and step.decision.wins else None
        yield CoursePoint(step.snap.number, step.snap.clip, step.elapsed, step.wins_before, left)


def _unpriced(steps: list[Step]) -> Iterable[UnpricedSnap]:
    for step in steps:
        if step.decision is not None:
            continue
        situation = step.snap.situation
        yield UnpricedSnap(
            snap=step.snap.number,
            clip=step.snap.clip,
            situation="a try" if situation is None else describe_situation(situation),
            result=describe_result(step.snap),
            points_before=step.points_before,
            points_after=step.points_after,
            wins_before=step.wins_before,
            wins_after=step.wins_after,
            reason=step.reason,
        )
