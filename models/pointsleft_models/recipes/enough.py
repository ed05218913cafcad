"""Whether a table of plays can carry the models at all, before hours of fitting.

The minima follow from what fits do with less. On college games drawn at random, a law of third
and fourth downs moved by 20 games is as good on other games as the professional one untouched,
and by fewer it is worse; so a level that leans on another takes 20. One that stands alone is
fitted on fifths of its games, and each of them takes as many.
"""

from __future__ import annotations

import polars as pl

from pointsleft_models.fitting.logit import FitError
from pointsleft_models.recipes.borrowing import ALONE_GAMES, FEWEST_GAMES

#: A game has some 130 snaps with a down; with fewer than this on average rows are missing.
FEWEST_SNAPS = 40

#: Next scores that every table of whole games has.
USUAL_SCORES = ("touchdown", "touchdown against", "field goal", "field goal against", "none")


def refuse_too_little(plays: pl.DataFrame, *, leans: bool) -> None:
    """Raise one :class:`FitError` with everything that is too little, and the minimum of it.

    Parameters
    ----------
    plays
        A validated play table.
    leans
        Another level's fits are there to lean on.
    """
    found = shortfalls(plays, leans=leans)
    if found:
        raise FitError("the plays cannot carry the models:\n  " + "\n  ".join(found))


def shortfalls(plays: pl.DataFrame, *, leans: bool) -> list[str]:
    """Everything in which a table falls short, one line each with the minimum."""
    found = []
    games = plays["game"].n_unique()
    wanted = FEWEST_GAMES if leans else ALONE_GAMES
    if games < wanted:
        more = "" if leans else f" (a level of another name leans on the shipped fits: from " \
                                f"{FEWEST_GAMES})"  # fmt: skip
        found.append(f"{games} games; it takes {wanted}{more}")
    snaps = plays.filter(pl.col("down").is_not_null() & (pl.col("half") < 3))
    if len(snaps) < FEWEST_SNAPS * games:
        found.append(
            f"{len(snaps) / max(games, 1):.0f} snaps with a down a game; whole games have some "
            f"130, and it takes {FEWEST_SNAPS}"
        )
    seen = set(snaps["next_score"].drop_nulls())
    missing = [word for word in USUAL_SCORES if word not in seen]
    if missing:
        found.append(
            f"no snap is followed by: {', '.join(missing)}; it takes every usual next score "
            "(does the table state the score before every row?)"
        )
    if not (plays["kind"] == "kickoff").any():
        found.append("no kickoffs; the value of a score rests on where the next drive starts")
    won = set(snaps["result"].drop_nulls())
    if not {0.0, 1.0} <= won:
        found.append("no game was both won and lost; it takes results of whole games")
    return found
