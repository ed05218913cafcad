"""What the panels of a card compare: three kinds of question asked of a fit and of the counts."""

from __future__ import annotations

from dataclasses import dataclass

import polars as pl

#: Label and rows of a group; ``None`` stands for all rows.
Group = tuple[str, pl.Expr | None]

EVERYBODY: tuple[Group, ...] = (("all", None),)


@dataclass(frozen=True, kw_only=True, slots=True)
class Against:
    """A variable on the horizontal axis: in bins, or in words.

    Attributes
    ----------
    x
        The variable, whole numbers.
    edges
        Bins ``[edge, next edge)``; empty where there are words.
    words
        Category -> word, in the order drawn.
    """

    x: pl.Expr
    edges: tuple[float, ...] = ()
    words: tuple[tuple[int, str], ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Chance:
    """How often yes, against a variable."""

    component: str
    title: str
    x_label: str = ""
    against: Against
    groups: tuple[Group, ...] = EVERYBODY


@dataclass(frozen=True, kw_only=True, slots=True)
class Reach:
    """How often a gain lies between two limits (both included), against a variable.

    Without parts: how often it goes all the way, to the end of the field there was.
    """

    component: str
    title: str
    x_label: str = ""
    against: Against
    parts: tuple[tuple[str, int, int], ...] = ()
    rows: pl.Expr | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Gains:
    """The law of gains itself: how often a gain falls into each bin."""

    component: str
    title: str
    x_label: str
    edges: tuple[int, ...]
    groups: tuple[Group, ...] = EVERYBODY


Question = Chance | Reach | Gains
