"""Passes: caught, intercepted, yards after the catch, fumbled; what coverage and rush add.

Air yards, third of the field and field position are in the archive; route, coverage and
pressure come from participation data and are fitted as additions to those.
"""

from __future__ import annotations

import polars as pl

from pointsleft_models.fitting.basis import Basis, Bends, Levels, Term
from pointsleft_models.fitting.yardage import YARDS
from pointsleft_models.recipes.component import Component
from pointsleft_models.recipes.scrimmage import ROUTES, SHELLS, THIRDS, YEARS, live, with_look

AIR = Bends("air", (-8, -4, -1, 1, 3, 5, 8, 12, 16, 20, 26, 33, 42, 55))
COARSE_AIR = Bends("air", (-6, 0, 5, 11, 18, 28, 45))
NEAR = Bends("near", (1, 4, 8, 14, 21, 30))
AFTER = (-6, -3, -1, 0, 1, 2, 3, 4, 5, 6, 8, 10, 13, 17, 22, 30, 45, 70, 99)
COARSE_AFTER = Bends(YARDS, (-6, -1, 1, 4, 9, 18, 40))
#: Yards after the catch bend with the depth of the throw and the room in front of the goal line.
CATCH_AIR = Bends("air", (-8, -5, -3, -1, 0, 1, 2, 3, 5, 8, 11, 15, 20, 28, 45))
CATCH_AFTER = Bends(YARDS, (-6, -3, -1, 0, 1, 2, 3, 4, 6, 9, 13, 18, 40))
FINE_ROOM = Bends("room", (1, 2, 3, 4, 6, 8, 12, 16, 20, 30))
COARSE_ROOM = Bends("room", (1, 3, 6, 12, 20, 30))

#: Air yards that the game book also gives to throws whose depth it does not know: of throws of 0
#: air yards 39% are incomplete, between 17% at -1 and 25% at 1. So none of them is used here;
#: ``laws/passing.py`` has what they add.
NO_DEPTH = 0

#: Room behind the goal line is used up when a throw is aimed this near the end line.
DEEPEST = 9


def _throws(plays: pl.DataFrame) -> pl.DataFrame:
    throws = live(plays).filter(
        (pl.col("kind") == "pass")
        & pl.col("targeted")
        & (pl.col("air_yards") != NO_DEPTH)
        & (pl.col("air_yards") <= pl.col("yards_to_goal") + DEEPEST)
    )
    return with_look(throws).with_columns(
        air=pl.col("air_yards").clip(-10, 60).cast(pl.Int32),
        in_end_zone=(pl.col("air_yards") >= pl.col("yards_to_goal")).cast(pl.Int32),
    )


def _not_caught(plays: pl.DataFrame) -> pl.DataFrame:
    return _throws(plays).filter(~pl.col("complete"))


def _caught_in_play(plays: pl.DataFrame) -> pl.DataFrame:
    field = pl.col("yards_to_goal") - pl.col("air_yards")
    return (
        _throws(plays)
        .filter(
            pl.col("complete")
            & pl.col("yards_after_catch").is_not_null()
            & (field > 0)
            & ~pl.col("fumble")
        )
        .with_columns(
            room=pl.min_horizontal(field, pl.lit(30)).cast(pl.Int32),
            after=pl.when(pl.col("touchdown"))
            .then(field)
            .otherwise(pl.min_horizontal("yards_after_catch", field - 1)),
        )
    )


def _caught(plays: pl.DataFrame) -> pl.DataFrame:
    return _throws(plays).filter(pl.col("complete"))


def _known_pressure(plays: pl.DataFrame) -> pl.DataFrame:
    return _throws(plays).filter(pl.col("pressure_code") > 0)


def _known_route(plays: pl.DataFrame) -> pl.DataFrame:
    return _throws(plays).filter(pl.col("route_code") > 0)


def _known_look(plays: pl.DataFrame) -> pl.DataFrame:
    return _throws(plays).filter((pl.col("route_code") > 0) & (pl.col("shell_code") > 0))


def _known_look_missed(plays: pl.DataFrame) -> pl.DataFrame:
    return _known_look(plays).filter(~pl.col("complete"))


def _known_pressure_missed(plays: pl.DataFrame) -> pl.DataFrame:
    return _known_pressure(plays).filter(~pl.col("complete"))


def _known_look_after(plays: pl.DataFrame) -> pl.DataFrame:
    return _caught_in_play(plays).filter((pl.col("route_code") > 0) & (pl.col("shell_code") > 0))


THROW = ("air", "third_code", "near", "in_end_zone", "down0")
END_ZONE = Levels("in_end_zone", 2)
LOOK_YARDS = Bends(YARDS, (-6, 0, 3, 9, 25))

#: What a route says of a throw depends on how deep it is, and who knows the route reads less out
#: of the depth: on unseen seasons throws on known routes came off as told only with both.
ROUTE_DEPTH = (Term((AIR,), 30.0), Term((ROUTES, AIR), 50.0))


def _throw_basis(stiffness: float, *more: Term) -> Basis:
    return Basis(
        (
            *more,
            Term((AIR,), stiffness),
            Term((THIRDS, COARSE_AIR), stiffness),
            Term((NEAR, COARSE_AIR), stiffness),
            Term((END_ZONE,), stiffness),
            Term((Levels("down0", 4), COARSE_AIR), stiffness),
            Term((END_ZONE, THIRDS), stiffness),
            Term((END_ZONE, COARSE_AIR), stiffness),
        )
    )


PASSING = (
    Component(
        "complete",
        _throws,
        (*THROW, "year"),
        _throw_basis(3.0, Term((YEARS,), 3.0)),
        yes="complete",
    ),
    Component("intercepted", _not_caught, THROW, _throw_basis(10.0), yes="intercepted"),
    Component(
        "after",
        _caught_in_play,
        ("air", "third_code", "room"),
        Basis(
            (
                Term((Bends(YARDS, AFTER),), 1.0),
                Term((CATCH_AIR, CATCH_AFTER), 3.0),
                Term((THIRDS, COARSE_AIR, COARSE_AFTER), 5.0),
                Term((FINE_ROOM, CATCH_AFTER), 3.0),
                Term((COARSE_AIR, COARSE_ROOM, COARSE_AFTER), 10.0),
            )
        ),
        gain="after",
        scored="touchdown",
        low=-6,
    ),
    Component(
        "fumbled",
        _caught,
        ("air",),
        Basis((Term((COARSE_AIR,), 10.0),)),
        yes="fumble_lost",
    ),
    Component(
        "complete+pressure",
        _known_pressure,
        ("pressure_code", "air"),
        Basis((Term((Levels("pressure_code", 3), AIR), 100.0),)),
        yes="complete",
        on="complete",
        needs="participation",
    ),
    Component(
        "intercepted+pressure",
        _known_pressure_missed,
        ("pressure_code",),
        Basis((Term((Levels("pressure_code", 3),), 50.0),)),
        yes="intercepted",
        on="intercepted",
        needs="participation",
    ),
    Component(
        "complete+look",
        _known_look,
        ("route_code", "shell_code", "air"),
        Basis(
            (
                Term((ROUTES,), 100.0),
                Term((SHELLS,), 100.0),
                Term((ROUTES, SHELLS), 1000.0),
                *ROUTE_DEPTH,
            )
        ),
        yes="complete",
        on="complete",
        needs="participation",
    ),
    Component(
        "complete+route",
        _known_route,
        ("route_code", "air"),
        Basis((Term((ROUTES,), 100.0), *ROUTE_DEPTH)),
        yes="complete",
        on="complete",
        needs="participation",
    ),
    Component(
        "intercepted+look",
        _known_look_missed,
        ("route_code", "shell_code"),
        Basis((Term((ROUTES,), 500.0), Term((SHELLS,), 500.0))),
        yes="intercepted",
        on="intercepted",
        needs="participation",
    ),
    Component(
        "after+look",
        _known_look_after,
        ("route_code", "shell_code", "air"),
        Basis(
            (
                Term((ROUTES, LOOK_YARDS), 100.0),
                Term((SHELLS, LOOK_YARDS), 100.0),
                Term((COARSE_AIR, LOOK_YARDS), 100.0),
                Term((ROUTES, COARSE_AIR, LOOK_YARDS), 300.0),
            )
        ),
        gain="after",
        scored="touchdown",
        low=-6,
        on="after",
        needs="participation",
    ),
)
