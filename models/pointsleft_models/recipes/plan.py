"""What is fitted, from what: the plan behind every fit of a level, and its randomness."""

from __future__ import annotations

import hashlib
import json
from dataclasses import astuple, dataclass
from typing import Any

import numpy as np
import polars as pl

from pointsleft_models.bundle import Models
from pointsleft_models.fitting.resample import SHIPPED, GameResamples, Scheme, resample_games
from pointsleft_models.football.rules import RuleSet, rule_set
from pointsleft_models.plays.games import FILLED
from pointsleft_models.recipes.level_fits import leaning_on

#: Rule set under which the win model sees expected points while it is fitted.
FIT_SEASON = 2016


@dataclass(frozen=True, slots=True)
class FitPlan:
    """What to fit, from what, and how often again.

    Attributes
    ----------
    plays
        The play table, participation joined where there is any.
    credit
        What the data's licences ask to be said.
    rules
        Level whose rules it is played under; the level itself when empty.
    rough
        Columns that the source knows only roughly.
    lean
        Fits of another level that this one leans on and borrows from; none when absent.
    """

    level: str
    data: str
    plays: pl.DataFrame
    refits: int = 100
    seed: int = 20111
    scheme: Scheme = SHIPPED
    credit: str = ""
    scores: bool = True
    rules: str = ""
    rough: tuple[str, ...] = ()
    lean: Models | None = None

    @property
    def rule_set(self) -> RuleSet:
        """Rules under which the fits see expected points."""
        return rule_set(self.rules or self.level, FIT_SEASON)

    def key(self) -> str:
        """Hash of everything that the fits depend on but the code."""
        # what a games table says of a game beforehand is the spread's alone
        blank = [pl.lit(None, self.plays.schema[c]).alias(c) for c in FILLED if c in self.plays]
        content = self.plays.with_columns(blank).hash_rows(seed=1).to_numpy()
        sha = hashlib.sha256(content.tobytes())
        rules = self.rule_set.name
        about: list[Any] = [self.level, rules, self.refits, self.seed, *astuple(self.scheme)]
        if self.lean is not None:
            about += [list(self.rough), leaning_on(self.lean)]
        sha.update(json.dumps(about).encode())
        return sha.hexdigest()[:16]

    def resamples(self) -> GameResamples:
        """The one set of resampled games behind every refit."""
        rng = np.random.default_rng(np.random.SeedSequence([self.seed, 1]))
        return resample_games(self.plays["game"].to_numpy(), self.refits, rng, self.scheme)

    def seeds(self, task: str) -> np.random.SeedSequence:
        digest = int.from_bytes(hashlib.sha256(task.encode()).digest()[:4], "big")
        return np.random.SeedSequence([self.seed, 2, digest])

    def rng(self, task: str) -> np.random.Generator:
        return np.random.default_rng(self.seeds(task))
