"""Who left how much by calls: teams, weeks, situations, and the league as a whole."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pointsleft.calls.parts import OPTIONS
from pointsleft.calls.review import Review
from pointsleft.pricing.result import Interval
from pointsleft.pricing.settings import FIRM, HIGH, LOW, SLIGHT, Z90

Array = np.ndarray

#: Share of refits from which a published study calls a fourth down settled.
PUBLISHED_SHARE = 0.83

#: Chance to win between which a game is still open.
OPEN_GAME = (0.1, 0.9)

#: Seconds left in a half below which the clock has its say.
LATE = 300


@dataclass(frozen=True, slots=True)
class Group:
    """Fourth downs that belong together.

    Attributes
    ----------
    calls, games
        Fourth downs with a call seen, and games that they come from.
    agreed
        Share of calls that were the best one of the point fit.
    wins, points
        Left in a game, cross-fitted, means over the games.
    interval
        90% interval of ``wins`` over games: how far another handful of games of the same group
        would move it. Games are the units, since calls of one game share its course.
    total_wins
        Left in all, cross-fitted.
    """

    name: str
    calls: int
    games: int
    agreed: float
    wins: float
    interval: Interval
    points: float
    total_wins: float


def groups(review: Review, names: Array) -> tuple[Group, ...]:
    """Groups by name, the dearest first.

    Parameters
    ----------
    names
        (n,) name of each fourth down's group; empty leaves it out.
    """
    found = [
        _group(review, str(name), np.flatnonzero((names == name) & review.seen))
        for name in np.unique(names[names != ""])
    ]
    return tuple(sorted((g for g in found if g.calls), key=lambda g: -g.wins))


def _group(review: Review, name: str, rows: Array) -> Group:
    """One group; the game of a team is the unit."""
    table = review.downs
    unit = np.array([f"{g} {t}" for g, t in zip(table.game[rows], table.team[rows], strict=True)])
    _, games = np.unique(unit, return_inverse=True)
    count = int(games.max()) + 1 if len(rows) else 0
    wins = np.bincount(games, review.wins.crossfit[rows], count) if count else np.zeros(0)
    points = np.bincount(games, review.points.crossfit[rows], count) if count else np.zeros(0)
    mean = float(wins.mean()) if count else 0.0
    error = float(wins.std(ddof=1) / np.sqrt(count)) if count > 1 else np.nan
    return Group(
        name=name,
        calls=len(rows),
        games=count,
        agreed=float((review.wins.best[rows] == table.called[rows]).mean()) if count else np.nan,
        wins=mean,
        interval=Interval(mean - Z90 * error, mean + Z90 * error),
        points=float(points.mean()) if count else 0.0,
        total_wins=float(wins.sum()),
    )


def team_names(review: Review) -> Array:
    """Team and season of each fourth down; the season alone is left out where there is one."""
    table = review.downs
    if len(np.unique(table.season)) == 1:
        return np.asarray(table.team.astype(str))
    return np.array([f"{t} {s}" for t, s in zip(table.team, table.season, strict=True)])


def week_names(review: Review) -> Array:
    """Week of each fourth down, all seasons together; unknown weeks are left out."""
    return np.array([f"week {w}" if w >= 0 else "" for w in review.downs.week])


def situation_names(review: Review) -> Array:
    """Field position and yards to go of each fourth down."""
    at = review.downs.at
    zones = np.select(
        [at.yards_to_goal > 80, at.yards_to_goal > 50, at.yards_to_goal > 35,
         at.yards_to_goal > 20],
        ["own 1 to 19", "own 20 to 49", "50 to opp 36", "opp 35 to 21"], "opp 20 and in",
    )  # fmt: skip
    go = np.select([at.distance <= 1, at.distance <= 3, at.distance <= 6, at.distance <= 10],
                   ["1 to go", "2 to 3", "4 to 6", "7 to 10"], "11 and more")  # fmt: skip
    return np.array([f"{z}, {g}" for z, g in zip(zones, go, strict=True)])


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the account: a part of what was left, in wins a team-season."""

    what: str
    calls: int
    wins: float


@dataclass(frozen=True, slots=True)
class League:
    """The league as a whole.

    Attributes
    ----------
    plain, crossfit
        Wins left a team-season, picked and valued by the same fit, and cross-fitted.
    interval
        90% over the refits, the best calls held fixed: what the fits do not settle.
    account
        Parts of ``crossfit`` by what was done wrong; they sum to it.
    cuts
        Parts of ``crossfit`` by other marks, which overlap.
    firm, slight, unsettled
        Shares of all fourth downs by verdict, by wins.
    at_published
        Share of fourth downs on which the share of refits is at least the published one.
    """

    fourth_downs: int
    calls: int
    team_seasons: int
    plain: float
    crossfit: float
    interval: Interval
    account: tuple[Line, ...]
    cuts: tuple[Line, ...]
    firm: float
    slight: float
    unsettled: float
    at_published: float


def league(review: Review, rows: Array | None = None) -> League:
    """The league over all fourth downs, or over some of them (a mask)."""
    table = review.downs
    among = np.ones(len(table), dtype=bool) if rows is None else rows
    seen = review.seen & among
    teams = {(t, s) for t, s in zip(table.team[seen], table.season[seen], strict=True)}
    many = max(len(teams), 1)
    cross = np.where(seen, review.wins.crossfit, 0.0)
    by_refit = review.wins.refits[seen].sum(0) / many
    low, high = np.quantile(by_refit, [LOW, HIGH]) if len(by_refit) else (np.nan, np.nan)
    share = review.wins.share[among]
    return League(
        fourth_downs=int(among.sum()),
        calls=int(seen.sum()),
        team_seasons=len(teams),
        plain=float(review.wins.left[seen].sum()) / many,
        crossfit=float(cross.sum()) / many,
        interval=Interval(float(low), float(high)),
        account=_account(review, seen, many),
        cuts=_cuts(review, seen, many),
        firm=float((share >= FIRM).mean()),
        slight=float(((share >= SLIGHT) & (share < FIRM)).mean()),
        unsettled=float((share < SLIGHT).mean()),
        at_published=float((share >= PUBLISHED_SHARE).mean()),
    )


def _account(review: Review, seen: Array, many: int) -> tuple[Line, ...]:
    best, called = review.wins.best, review.downs.called
    cross = review.wins.crossfit
    words = {0: "went", 1: "kicked a field goal", 2: "punted"}
    better = {0: "going", 1: "a field goal", 2: "a punt"}
    lines = []
    for took in range(len(OPTIONS)):
        for was in range(len(OPTIONS)):
            if took == was:
                continue
            rows = seen & (called == took) & (best == was)
            lines.append(_line(f"{words[took]} where {better[was]} was better", rows, cross, many))
    lines.append(
        _line("the best call by all games was taken", seen & (called == best), cross, many)
    )
    return tuple(lines)


def _cuts(review: Review, seen: Array, many: int) -> tuple[Line, ...]:
    table, cross = review.downs, review.wins.crossfit
    worth = np.nanmax(review.values_wins, axis=1)
    low, high = OPEN_GAME
    wrong = seen & (review.wins.best != table.called)
    marks: Sequence[tuple[str, Array]] = (
        (f"the best call is firm ({FIRM:.0%} of refits)", wrong & (review.wins.share >= FIRM)),
        ("it is slight", wrong & (review.wins.share >= SLIGHT) & (review.wins.share < FIRM)),
        ("it is unsettled", wrong & (review.wins.share < SLIGHT)),
        (f"chance to win between {low:.0%} and {high:.0%}",
         wrong & (worth >= low) & (worth <= high)),
        ("the last five minutes of a half", wrong & (table.at.half_seconds <= LATE)),
        ("three yards or less to go", wrong & (table.at.distance <= 3)),
    )  # fmt: skip
    return tuple(_line(what, rows, cross, many) for what, rows in marks)


def _line(what: str, rows: Array, cross: Array, many: int) -> Line:
    return Line(what, int(rows.sum()), float(cross[rows].sum()) / many)
