"""Why so many fourth downs are settled: writes docs/settled.json, which docs/calls.md shows.

    python tests/tools/measure_settled.py            # everything, some ten minutes
    python tests/tools/measure_settled.py --ours     # ours alone, after new fits; trees are kept

Each candidate reason is taken alone on the same fourth downs of 2015 to 2019: what the refits
vary, how wide they spread, which plays count, and the learner of the win probability. For the last
the sum of a call is cut down to six situations, the same for all learners.
"""

from __future__ import annotations

import argparse
import datetime
import json
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import numpy as np
import polars as pl
from pointsleft.calls import many
from pointsleft.calls.many import ManyCalls, plans
from pointsleft.calls.parts import law_of, offered, parts_of
from pointsleft.calls.play_table import FourthDowns, fourth_downs
from pointsleft.calls.seasons import rules_of
from pointsleft.calls.settling import best_and_share
from pointsleft.calls.totals import PUBLISHED_SHARE
from pointsleft_models.bench.peers import win_columns
from pointsleft_models.bundle import Models, Worth, load_models
from pointsleft_models.fitting.resample import Scheme, resample_games
from pointsleft_models.laws.setting import UNHURRIED, Setting
from pointsleft_models.plays.sources import read_source
from pointsleft_models.recipes.next_score import row_states
from pointsleft_models.recipes.wins import win_rows
from pointsleft_models.values.states import States, joined, states

Array = np.ndarray

ROOT = Path(__file__).resolve().parents[2]
PATH = ROOT / "docs" / "settled.json"
RECENT = range(2015, 2020)

#: Fourth downs of the experiments, drawn from all of those seasons.
SAMPLE = 6000

#: Refits of the trees: fits take seconds each.
REFITS = 20

#: A share of refits below which nothing is said to be known.
UNCERTAIN = 2 / 3

#: Seconds left in a half above which a time-out that is gone was called early.
EARLY = 300

LAWS = ("go", "field goal", "punt")
SCHEMES = {
    "games cut in fifths": Scheme(),
    "games drawn, 35% of them": Scheme("games", fraction=0.35),
    "games drawn, all of them": Scheme("games", fraction=1.0),
}


def said(values: Array) -> dict[str, float]:
    """Shares of fourth downs by how many refits agree; values (n, calls, fits)."""
    best, share = best_and_share(values)
    at = np.arange(len(values))
    open_ = np.where(np.isnan(values), -np.inf, values)
    rest = open_[..., 0].copy()
    rest[at, best] = -np.inf
    gap = values[at, best] - values[at, rest.argmax(1)]
    return {
        "settled": float(np.mean(share >= PUBLISHED_SHARE)),
        "uncertain": float(np.mean(share < UNCERTAIN)),
        "gap": float(np.median(gap[:, 0])),
        "spread": float(np.median(gap[:, 1:].std(1))),
    }


@contextmanager
def varying(laws: tuple[str, ...]) -> Iterator[None]:
    """Only these laws have refits; the others stand at the point fit."""
    kept = many.law_of

    def some(worth: Worth, option: str, at: Setting, *, refits: bool, odds: float = 0.0) -> Any:
        return kept(worth, option, at, refits=refits and option in laws, odds=odds)

    many.law_of = some
    try:
        yield
    finally:
        many.law_of = kept


def wins_of(models: Models, table: FourthDowns, laws: tuple[str, ...] = LAWS) -> Array:
    """(n, 3, fits) wins of every call."""
    shared = plans(models, rules_of(table.level, max(RECENT)))
    out = np.empty((len(table), 3, 1 + models.refits))
    with varying(laws):
        for season in np.unique(table.season):
            rows = np.flatnonzero(table.season == season)
            price = ManyCalls(models.under(rules_of(table.level, int(season))), shared, {})
            out[rows] = price.values(table.at.take(rows)).wins
    return out


def widened(values: Array, by: float) -> Array:
    """The same refits, so many times as far from the point fit."""
    return values[..., :1] + by * (values - values[..., :1])


def groups(table: FourthDowns, values: Array) -> dict[str, Array]:
    """Which fourth downs count."""
    at, best = table.at, np.nanmax(values[..., 0], 1)
    early, all_left = at.half_seconds > EARLY, (at.own_timeouts == 3) & (at.other_timeouts == 3)
    by_season = {str(s): table.season == s for s in RECENT}
    return by_season | {
        "chance to win between 10% and 90%": (best > 0.1) & (best < 0.9),
        "chance to win beyond that": (best <= 0.1) | (best >= 0.9),
        "1 to go": at.distance == 1,
        "2 or 3 to go": (at.distance >= 2) & (at.distance <= 3),
        "4 to 6 to go": (at.distance >= 4) & (at.distance <= 6),
        "7 to 10 to go": (at.distance >= 7) & (at.distance <= 10),
        "more than 10 to go": at.distance > 10,
        "five minutes or more to the half, all time-outs left": early & all_left,
        "five minutes or more to the half, some gone": early & ~all_left,
    }


class SixSituations:
    """A fourth down cut down to six situations, so that any learner can price it.

    Going: four yards past the line or a touchdown, else the other side's ball where it lies. A
    field goal: good or missed, seven yards back. A punt: 40 yards, or a touchback at the 20.
    Kickoffs end at the 25, six seconds are gone. The chances are those of our point fit.
    """

    def __init__(self, worth: Worth, table: FourthDowns) -> None:
        at = table.at
        self.barred = ~offered(at.yards_to_goal)
        to_goal, n = at.yards_to_goal, len(table)
        spot = to_goal - at.distance - 4
        self.scores = spot < 1
        self.go, self.kick = _chances(worth, at.distance, to_goal)
        receives = np.where(at.half == 1, at.receives, 0)
        seconds = np.maximum(at.half_seconds - 6, 1)

        def ball(where: Array, lead: Array, *, ours: bool) -> States:
            sign = 1 if ours else -1
            own, other = at.own_timeouts, at.other_timeouts
            return states(
                down=1, distance=np.minimum(10, where), yards_to_goal=where, half=at.half,
                half_seconds=seconds, lead=sign * lead, own_timeouts=own if ours else other,
                opponent_timeouts=other if ours else own, receives=sign * receives,
            )  # fmt: skip

        back = np.full(n, 75)
        punted = np.where(to_goal - 40 < 20, 80, np.clip(140 - to_goal, 1, 99))
        missed = np.minimum(100 - np.minimum(to_goal + 7, 99), 80)
        self.at = joined(
            ball(np.maximum(spot, 1), at.lead, ours=True),
            ball(back, at.lead + 7, ours=False),
            ball(100 - to_goal, at.lead, ours=False),
            ball(back, at.lead + 3, ours=False),
            ball(missed, at.lead, ours=False),
            ball(punted, at.lead, ours=False),
        )

    def values(self, wins: Array) -> Array:
        """(n, 3, fits) wins of the calls from (fits, 6 n) wins of the situations."""
        kept, scored, stopped, good, missed, punted = wins.reshape(len(wins), 6, -1).swapaxes(0, 1)
        made = np.where(self.scores, 1 - scored, kept)
        go = self.go * made + (1 - self.go) * (1 - stopped)
        kick = self.kick * (1 - good) + (1 - self.kick) * (1 - missed)
        out = np.stack([go, kick, 1 - punted], -1).transpose(1, 2, 0).copy()
        out[self.barred] = np.nan
        return out


def _chances(worth: Worth, distance: Array, to_goal: Array) -> tuple[Array, Array]:
    known: dict[tuple[int, int], float] = {}
    for d, y in set(zip(distance.tolist(), to_goal.tolist(), strict=True)):
        at = Setting(4, d, y, 1, UNHURRIED, 0)
        known[d, y] = float(parts_of(law_of(worth, "go", at, refits=False), at).converted[0])
    go = np.array([known[k] for k in zip(distance.tolist(), to_goal.tolist(), strict=True)])
    return go, np.array([float(worth.kicking.make_chance(int(y) + 18)[0]) for y in to_goal])


def our_wins(worth: Worth, at: States) -> Array:
    """(fits, m) by the shipped fits."""
    lots = [at.take(np.arange(k, min(k + 20_000, len(at)))) for k in range(0, len(at), 20_000)]
    return np.concatenate([worth.wins.wins_all(lot) for lot in lots], 1)


def trees(at: States) -> Iterator[tuple[str, Array]]:
    """(fits, m) by boosted trees, the point fit first, under every scheme."""
    import xgboost

    rows = win_rows(read_source("archive").plays)
    won = rows["result"].to_numpy()
    decided = won != 0.5
    columns = np.delete(win_columns(row_states(rows)), 9, 1)[decided]  # at home or not: unknown
    asked, labels = np.delete(win_columns(at), 9, 1), won[decided].astype(int)
    games = rows["game"].to_numpy()[decided]

    def fit(weights: Array) -> Array:
        some = weights > 0
        model = xgboost.XGBClassifier(
            max_depth=5, n_estimators=525, learning_rate=0.025, n_jobs=2, tree_method="hist"
        )
        model.fit(columns[some], labels[some], sample_weight=weights[some])
        return np.asarray(model.predict_proba(asked)[:, 1])

    point = fit(np.ones(len(labels)))
    for name, scheme in SCHEMES.items():
        drawn = resample_games(games, REFITS, np.random.default_rng(3), scheme)
        # a part has weight one and not five: what a leaf must hold is counted in rows
        size = max(drawn.weights.min(initial=np.inf, where=drawn.weights > 0), 1.0)
        again = [fit(drawn.rows(r, games) / size) for r in range(REFITS)]
        yield name, np.array([point, *again])


def first_quarters() -> dict[str, int]:
    """Snaps of first quarters by how many time-outs the offense has left."""
    plays = read_source("archive").plays.filter(
        (pl.col("period") == 1) & pl.col("down").is_not_null()
    )
    left, many_ = np.unique(plays["offense_timeouts"].drop_nulls().to_numpy(), return_counts=True)
    return {str(k): int(v) for k, v in zip(left.tolist(), many_.tolist(), strict=True)}


def counted() -> dict[str, int]:
    """Fourth downs of the archive, as they are left out one after the other."""
    reading = read_source("archive")
    fourth = reading.plays.filter(pl.col("down") == 4)
    table = fourth_downs(reading.plays)
    return {
        "games of the archive": reading.plays["game"].n_unique() + len(reading.left_out),
        "games whose final score comes out": reading.plays["game"].n_unique(),
        "fourth downs in them": len(fourth),
        **{f"less: {why}": n for why, n in table.left_out.items()},
        "priced": len(table),
        "of them wiped out by a flag or flagged before the snap": int((table.called < 0).sum()),
        "a call seen": int((table.called >= 0).sum()),
    }


def measure(models: Models, table: FourthDowns) -> dict[str, Any]:
    """Everything that needs our fits alone."""
    full = wins_of(models, table)
    _, share = best_and_share(full)
    varied = {"values and all laws (the review)": said(full)}
    for name, laws in (("values alone", ()), *((f"values and {law}", (law,)) for law in LAWS)):
        varied[name] = said(wins_of(models, table, laws))
    return {
        "date": datetime.date.today().isoformat(),
        "fourth_downs": len(table),
        "first_quarters": first_quarters(),
        "counted": counted(),
        "varied": varied,
        "widened": {f"{k:g}": said(widened(full, k)) for k in (0.5, 1.0, 1.5, 2.0)},
        "plays": {
            name: {"share": float(m.mean()), "settled": float(np.mean(share[m] >= PUBLISHED_SHARE))}
            for name, m in groups(table, full).items()
        },
    }


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--ours", action="store_true", help="leave the trees as they are")
    args = parser.parse_args()
    models = load_models()
    table = fourth_downs(read_source("archive").plays)
    table = table.take(np.flatnonzero(np.isin(table.season, RECENT)))
    some = np.random.default_rng(1).choice(len(table), SAMPLE, replace=False)
    table = table.take(np.sort(some))
    found = json.loads(PATH.read_text(encoding="utf-8")) if PATH.is_file() else {}
    found["ours"] = measure(models, table)
    worth = models.under(rules_of(table.level, 2018))
    six = SixSituations(worth, table)
    ours = six.values(our_wins(worth, six.at))
    best, share = best_and_share(ours)
    found["six"] = {"ours, games cut in fifths": said(ours)}
    if not args.ours:
        found["trees"] = {"date": datetime.date.today().isoformat(), "learners": {}}
        for name, wins in trees(six.at):
            theirs = six.values(wins)
            same = best_and_share(theirs)[0] == best
            firm = share >= PUBLISHED_SHARE
            found["trees"]["learners"][f"boosted trees, {name}"] = said(theirs)
            found["trees"]["same_where_settled"] = float(same[firm].mean())
            found["trees"]["same_elsewhere"] = float(same[~firm].mean())
    PATH.write_text(json.dumps(found, indent=1) + "\n", encoding="utf-8")
    print(PATH.read_text(encoding="utf-8"), end="")


if __name__ == "__main__":
    main()
