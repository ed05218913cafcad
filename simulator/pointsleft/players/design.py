"""From decisions to the rows of the model: response, weight, what is allowed for."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from pointsleft.players.groups import DIMENSIONS
from pointsleft.players.measures import Measure
from pointsleft.players.people import People
from pointsleft.players.rows import Rows
from pointsleft.players.seen import Money, SeenDecision
from pointsleft.pricing.result import Currency

Array = np.ndarray

#: Situations that are allowed for, beside the difficulty of the snap.
ALLOWED = ("down", "field", "clock", "score", "pressure", "play family")

#: A situation that holds fewer decisions than this is not told apart.
RARE = 6


@dataclass(frozen=True)
class Play:
    """One decision with everything the rows are made from."""

    log: int
    player: int
    game: int
    charter: int
    opponent: int
    share: float  # 1 over the number of logs of this game
    decision: SeenDecision
    money: Money


@dataclass(frozen=True)
class Columns:
    """Covariates as they were made, so that a situation can be put in again.

    Attributes
    ----------
    names
        ``down=third down`` and the like, in the order of the columns.
    middle, scale
        Weighted mean and standard deviation taken out of each.
    """

    names: tuple[str, ...]
    middle: Array
    scale: Array

    def at(self, dimension: str, group: str) -> Array:
        """The covariates of the usual snap, but in this group of one dimension."""
        out = np.zeros(len(self.names))
        for place, name in enumerate(self.names):
            if name.startswith(f"{dimension}="):
                inside = name == f"{dimension}={group}"
                out[place] = (inside - self.middle[place]) / self.scale[place]
        return out


def plays_of(people: People, currency: Currency) -> list[Play]:
    """Every decision of a quarterback that has a ledger in a currency."""
    found = []
    for log, game in enumerate(people.games):
        number = people.game_of[log]
        share = 1 / people.logs_of_game(number)
        for decision in game.his:
            money = decision.money(currency)
            if money is not None:
                found.append(
                    Play(
                        log, people.player_of[log], number, people.charter_of[log],
                        people.opponent_of[log], share, decision, money,
                    )
                )  # fmt: skip
    return found


def group_of(play: Play, dimension: str) -> str | None:
    """The group of a decision; where the best option lay stands with its ledger."""
    return play.money.groups.get(dimension) or play.decision.groups.get(dimension)


@dataclass(frozen=True)
class Table:
    """The decisions on which a measure is defined, worked out once.

    Attributes
    ----------
    y, value
        (plays,) response, and the weight before it is brought to a mean of 1.
    refits
        (plays, refits) deviations, or ``None``.
    groups
        Dimension -> group of every play.
    """

    people: People
    measure: Measure
    plays: tuple[Play, ...]
    y: Array
    value: Array
    refits: Array | None
    groups: Mapping[str, Sequence[str | None]]

    @property
    def unit(self) -> float:
        """The mean value of a decision: what counts as a weight of 1."""
        return float(np.average(self.value, weights=[p.share for p in self.plays]))

    def part(self, at: Sequence[int]) -> Table:
        """Some of the plays."""
        chosen = np.array(at, dtype=int)
        return replace(
            self,
            plays=tuple(self.plays[i] for i in at),
            y=self.y[chosen],
            value=self.value[chosen],
            refits=None if self.refits is None else self.refits[chosen],
            groups={d: [g[i] for i in at] for d, g in self.groups.items()},
        )


#: Dimension -> group of every play.
Groups = Mapping[str, Sequence[str | None]]


def groups_of_plays(plays: Sequence[Play]) -> Groups:
    """The groups of some plays in every dimension that is shown or allowed for."""
    dimensions = dict.fromkeys((*ALLOWED, *DIMENSIONS))
    return {d: [group_of(p, d) for p in plays] for d in dimensions}


def table_of(
    plays: Sequence[Play], people: People, measure: Measure, groups: Groups | None = None
) -> Table:
    """The table of a measure; decisions on which it is not defined are left out.

    Parameters
    ----------
    groups
        What :func:`groups_of_plays` gives for these plays, where it is at hand.
    """
    found = groups_of_plays(plays) if groups is None else groups
    y = [measure.response(p.money) for p in plays]
    at = [i for i, v in enumerate(y) if v is not None]
    kept = [plays[i] for i in at]
    return Table(
        people=people,
        measure=measure,
        plays=tuple(kept),
        y=np.array([v for v in y if v is not None], dtype=float),
        value=np.array([measure.weight(p.money) for p in kept]),
        refits=_refits(kept, measure),
        groups={d: [g[i] for i in at] for d, g in found.items()},
    )


def rows_of(
    table: Table,
    *,
    response: Array | None = None,
    extra: Mapping[str, Sequence[str | None]] | None = None,
    without: Sequence[str] = (),
    unit: float | None = None,
) -> tuple[Rows, Columns]:
    """The rows of a measure.

    Parameters
    ----------
    response
        Figures to use in place of the measure's own, one a play.
    extra
        Further dimensions to allow for: dimension -> group of every play.
    without
        Dimensions that are not to be allowed for.
    unit
        Value that counts as one decision's weight; the table's own when absent.
    """
    plays, people = table.plays, table.people
    share = np.array([p.share for p in plays])
    weight = share * table.value / (unit or table.unit)
    wanted = {d: table.groups[d] for d in ALLOWED if d not in without}
    columns, matrix = _covariates(table, {**wanted, **(extra or {})}, weight)
    groups: dict[str, Array] = {"player": np.array([p.player for p in plays])}
    sizes = {"player": len(people.players)}
    charter = np.array([p.charter for p in plays])
    if len(np.unique(charter)) > 1:
        groups["charter"], sizes["charter"] = charter, len(people.charters)
    opponent, game = np.array([p.opponent for p in plays]), np.array([p.game for p in plays])
    if _met_twice(opponent, game):
        groups["opponent"], sizes["opponent"] = opponent, len(people.opponents)
    y = table.y if response is None else response
    return Rows(y, weight, matrix, groups, sizes, game, table.refits, share=share), columns


def with_cells(rows: Rows, cells: Array, count: int) -> Rows:
    """The rows with one more group of effects, ``cell``."""
    return replace(rows, groups={**rows.groups, "cell": cells}, sizes={**rows.sizes, "cell": count})


def _met_twice(opponent: Array, game: Array) -> bool:
    """Whether opponents can be told from games: several of them, one met in several games."""
    pairs = np.unique(np.stack([opponent, game]), axis=1)
    met = np.bincount(pairs[0])
    return int((met > 0).sum()) > 1 and int(met.max()) > 1


def _refits(plays: Sequence[Play], measure: Measure) -> Array | None:
    if measure.refits is None:
        return None
    lengths = {len(p.money.refits) for p in plays}
    if len(lengths) != 1 or lengths == {0}:
        return None
    return np.array([measure.refits(p.money) for p in plays])


def _covariates(
    table: Table, wanted: Mapping[str, Sequence[str | None]], weight: Array
) -> tuple[Columns, Array]:
    plays = table.plays
    found: dict[str, Array] = {}
    if table.measure.difficulty:
        found["stake"] = np.array([p.money.stake for p in plays])
        found["offered"] = np.array([p.money.offered for p in plays])
    for dimension, groups in wanted.items():
        names = sorted({g for g in groups if g is not None})
        counts = Counter(groups)
        usual = max(names, key=lambda n: (counts[n], n), default=None)
        among = np.array(groups, dtype=object)
        for name in names:
            if name != usual and counts[name] >= RARE:
                found[f"{dimension}={name}"] = (among == name).astype(float)
    columns: list[str] = []
    kept, middle, scale = [], [], []
    for name, column in found.items():
        mean = float(np.average(column, weights=weight))
        sd = float(np.sqrt(np.average((column - mean) ** 2, weights=weight)))
        if sd > 1e-9:
            columns.append(name)
            kept.append((column - mean) / sd)
            middle.append(mean)
            scale.append(sd)
    matrix = np.stack(kept, 1) if kept else np.zeros((len(plays), 0))
    return Columns(tuple(columns), np.array(middle), np.array(scale)), matrix
