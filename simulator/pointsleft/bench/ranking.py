"""How far a ranking can be trusted, and how long it takes: measured, for docs/ranking.md.

python -m pointsleft.bench.ranking      some minutes; writes docs/ranking.json

Coverage is measured on data made by the model itself (players, games and plays of known spread)
over unevenly many games, beside the same players fitted by a library of mixed models whose
spreads are taken as known once they are estimated; and on invented choosers, whose ``left`` is as
uneven as it is on film, apart for the best and the worst of a class.
"""

from __future__ import annotations

import csv
import datetime
import json
import os
import platform
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import click
import numpy as np

from pointsleft.bench.choosers import Chosen, class_of
from pointsleft.players.mixed import fit
from pointsleft.players.rows import Rows
from pointsleft.players.spreads import own_spreads
from pointsleft.pricing.settings import Z90
from pointsleft.trial.study import ERROR_LOG_SPREAD

Array = np.ndarray
ROOT = Path(__file__).resolve().parents[3]
OUT = ROOT / "docs" / "ranking.json"

#: Games of each player, decisions in a game, and the spread of games over that of plays.
GAMES, PLAYS, GAME_SPREAD = (1, 2, 3, 3, 4, 6, 8, 9), 35, 0.1

#: Spreads of players (over that of plays) at which coverage is measured.
SPREADS = (0.05, 0.1, 0.2, 0.4)

#: Times a class is made anew, for ours and for the library (which is slow).
REPEATS, LIBRARY = 200, 25

#: Times a class of choosers is made anew.
FILMED = 800

#: So many at either end of a class are its best and its worst.
END = 2


@dataclass(frozen=True, slots=True)
class Made:
    """A class made by the model, and the players' true levels."""

    rows: Rows
    true: Array


def made(spread: float, rng: np.random.Generator) -> Made:
    """Players ``spread`` apart, games :data:`GAME_SPREAD` apart, plays 1 apart."""
    games = np.array(GAMES)
    player = np.repeat(np.arange(len(games)), games * PLAYS)
    game = np.repeat(np.arange(games.sum()), PLAYS)
    true = rng.normal(0, spread, len(games))
    y = true[player] + rng.normal(0, GAME_SPREAD, games.sum())[game] + rng.normal(size=len(game))
    rows = Rows(
        y, np.ones(len(y)), np.zeros((len(y), 0)), {"player": player},
        {"player": len(games)}, game,
    )  # fmt: skip
    return Made(rows, true)


def ours(data: Made, rng: np.random.Generator) -> tuple[Array, Array]:
    """Low and high end of every player's interval, and the share of pairs called firm."""
    levels = _levels(_with_own(data.rows), rng)
    ahead = (levels[:, :, None] > levels[:, None, :]).mean(0)
    pairs = np.triu_indices(len(data.true), 1)
    firm = (np.maximum(ahead, 1 - ahead)[pairs] >= 0.9).mean()
    return np.quantile(levels, [0.05, 0.95], axis=0), np.asarray(firm)


def _with_own(rows: Rows) -> Rows:
    return replace(rows, uneven=own_spreads(rows).ratio)


def _levels(rows: Rows, rng: np.random.Generator) -> Array:
    """(draws, players) of every player's level."""
    posterior = fit(rows)
    drawn, _ = posterior.draws(1500, rng)
    level = (drawn @ posterior.usual())[:, None] + drawn[:, posterior.names["player"]]
    return np.asarray(level)


def library(data: Made, _: np.random.Generator) -> tuple[Array, Array]:
    """The same from statsmodels: spreads by REML, then taken as known (posterior by hand)."""
    import warnings
    from importlib import import_module

    import statsmodels.formula.api as smf

    rows = data.rows
    frame = import_module("pandas").DataFrame(
        {"y": rows.y, "player": rows.groups["player"], "game": rows.game.astype(str)}
    )
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it says so whenever a spread is estimated as nothing
        found = smf.mixedlm(
            "y ~ 1", frame, groups="player", re_formula="1", vc_formula={"game": "0 + C(game)"}
        ).fit(reml=True)
    held = {
        "player": float(np.sqrt(max(found.cov_re.iloc[0, 0], 0))),
        "game": float(np.sqrt(max(found.vcomp[0], 0))),
        "play": float(np.sqrt(found.scale)),
    }
    posterior = fit(rows, held=held)
    point = posterior.points[0]
    own, usual = posterior.names["player"], posterior.usual()
    contrast = np.tile(usual, (len(data.true), 1))
    contrast[:, own] += np.eye(len(data.true))
    sd = np.sqrt(((contrast @ point.root) ** 2).sum(1))
    level = contrast @ point.mean
    return np.stack([level - Z90 * sd, level + Z90 * sd]), np.asarray(np.nan)


def coverage(
    spread: float, repeats: int, how: Callable[[Made, np.random.Generator], tuple[Array, Array]]
) -> dict[str, float]:
    """How often 90% intervals hold the truth, and what a fit takes."""
    inside, firm, seconds = [], [], 0.0
    for seed in range(repeats):
        rng = np.random.default_rng([seed, round(1000 * spread)])
        data = made(spread, rng)
        start = time.process_time()
        (low, high), settled = how(data, rng)
        seconds += time.process_time() - start
        inside.append(((low <= data.true) & (data.true <= high)).mean())
        firm.append(settled)
    return {
        "covered": float(np.mean(inside)),
        "error": float(np.std(inside) / np.sqrt(repeats)),
        "seconds": seconds / repeats,
    } | ({} if np.isnan(firm).any() else {"firm": float(np.mean(firm))})


def _known(data: Chosen) -> Rows:
    """The rows with the true spread of every player's decisions."""
    player = data.rows.groups["player"]
    return replace(data.rows, uneven=data.spread / np.sqrt((data.spread[player] ** 2).mean()))


#: How the spread of single decisions is taken, and the rows that say so.
TAKEN: dict[str, Callable[[Chosen], Rows]] = {
    "one for all": lambda data: data.rows,
    "each his own": lambda data: _with_own(data.rows),
    "known": _known,
}


def filmed(repeats: int = FILMED, apart: float = ERROR_LOG_SPREAD) -> dict[str, Any]:
    """How often 90% intervals of choosers hold the truth, by place in the list and in truth."""
    inside: dict[str, list[tuple[Array, Array, Array]]] = {name: [] for name in TAKEN}
    spreads = []
    for seed in range(repeats):
        rng = np.random.default_rng([seed, round(1000 * apart)])
        data = class_of(np.array(GAMES), PLAYS, apart, rng)
        own = own_spreads(data.rows)
        spreads.append((own.low <= data.spread) & (data.spread <= own.high))
        for name, rows_of in TAKEN.items():
            levels = _levels(rows_of(data), rng)
            low, high = np.quantile(levels, [0.05, 0.95], axis=0)
            held = (low <= data.true) & (data.true <= high)
            listed = levels.mean(0).argsort()
            inside[name].append((held, held[listed], held[data.true.argsort()]))
    found: dict[str, Any] = {name: _by_place(one) for name, one in inside.items()}
    each = np.mean(spreads, axis=1)
    return found | {
        "spread": {"covered": float(each.mean()), "error": float(each.std() / np.sqrt(repeats))},
        "repeats": repeats,
    }


def _by_place(held: Sequence[tuple[Array, Array, Array]]) -> dict[str, dict[str, float]]:
    """Shares held, and their standard errors over the classes."""
    everybody, listed, truly = (np.array(x) for x in zip(*held, strict=True))
    last = listed.shape[1] - END
    parts = {
        "all": everybody,
        "first": listed[:, :END], "middle": listed[:, END:last], "last": listed[:, last:],
        "truly first": truly[:, :END], "truly middle": truly[:, END:last],
        "truly last": truly[:, last:],
    }  # fmt: skip
    root = np.sqrt(len(held))
    return {
        name: {"covered": float(x.mean()), "error": float(x.mean(1).std() / root)}
        for name, x in parts.items()
    }


def shuffled(repeats: int) -> dict[str, float]:
    """The same class with the players' names dealt out anew over the games."""
    firm, best = [], []
    for seed in range(repeats):
        rng = np.random.default_rng([seed, 7])
        data = made(0.2, rng)
        games = np.array(GAMES)
        labels = rng.permutation(np.repeat(np.arange(len(games)), games))
        groups = {"player": labels[data.rows.game]}
        rows = Rows(
            data.rows.y, data.rows.weight, data.rows.covariates, groups, data.rows.sizes,
            data.rows.game,
        )  # fmt: skip
        _, settled = ours(Made(rows, data.true), rng)
        firm.append(settled)
        best.append(ours(data, rng)[1])
    return {"firm": float(np.mean(firm)), "firm_true": float(np.mean(best))}


def demo() -> dict[str, Any]:
    """The invented class: what was estimated beside what is true, and how long it took."""
    from pointsleft.players.rank import rank
    from pointsleft.players.season import find_logs, read_season

    folder, truth = ROOT / "data_demo" / "class", ROOT / "data_demo" / "class-truth"
    logs = find_logs([folder])
    kept = ROOT / "out" / "bench" / "ranking"
    start = time.process_time()
    season = read_season([folder], kept_in=kept)
    priced = time.process_time() - start
    ranking = rank(season.games)
    start, wall = time.process_time(), time.perf_counter()
    twelve = read_season(logs[:12], kept_in=kept)
    rank(twelve.games)
    ranked, waited = time.process_time() - start, time.perf_counter() - wall
    with (truth / "quarterbacks.csv").open(encoding="utf-8") as file:
        true = {r["quarterback"]: r for r in csv.DictReader(file)}
    found = {}
    for measure in ("left", "delivered"):
        standing = ranking.standings["points"][measure]
        found[measure] = [
            {
                "player": name,
                "games": e.games,
                "raw": e.raw,
                "value": e.value,
                "low": e.interval.low,
                "high": e.interval.high,
                "true": float(true[name][f"{measure} a decision"]),
            }
            for name in (*standing.order, *standing.apart)
            for e in (standing.players[name],)
        ]
    return {
        "players": found,
        "logs": len(logs),
        "priced_now": season.priced,
        "priced_seconds": priced,
        "twelve_seconds": ranked,
        "twelve_waited": waited,
        "twelve_decisions": sum(len(g.his) for g in twelve.games),
    }


def _sections() -> Sequence[tuple[str, Callable[[], Any]]]:
    return (
        ("ours", lambda: {str(s): coverage(s, REPEATS, ours) for s in SPREADS}),
        ("library", lambda: {str(s): coverage(s, LIBRARY, library) for s in SPREADS}),
        ("filmed", filmed),
        ("shuffled", lambda: shuffled(REPEATS // 4)),
        ("demo", demo),
    )


@click.command(help=__doc__)
@click.argument("sections", nargs=-1, type=click.Choice([name for name, _ in _sections()]))
def command(sections: tuple[str, ...]) -> None:
    from threadpoolctl import threadpool_limits

    found = json.loads(OUT.read_text(encoding="utf-8")) if OUT.is_file() else {}
    with threadpool_limits(1):
        for name, measure in _sections():
            if not sections or name in sections:
                click.echo(name)
                found[name] = measure()
    found["about"] = {
        "date": datetime.date.today().isoformat(),
        "machine": f"{platform.machine()}, {os.cpu_count()} cores, Python "
        f"{platform.python_version()}",
        "repeats": REPEATS,
        "library": LIBRARY,
    }
    OUT.write_text(json.dumps(found, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    command()
