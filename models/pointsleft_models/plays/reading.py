"""What every reader gives back, and how it shows its progress."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import polars as pl

#: Wraps an iterable of known length for display: ``progress(items, total, what)``.
Progress = Callable[[Iterable[Any], int, str], Iterable[Any]]


def quiet(items: Iterable[Any], total: int, what: str) -> Iterable[Any]:
    """No display."""
    return items


@dataclass(frozen=True, slots=True)
class Reading:
    """A source read into the neutral table.

    Attributes
    ----------
    plays
        The table, conformed and validated.
    games_read, finals_reproduced
        Games seen, and those whose final score the plays reproduce.
    left_out
        Game -> why it is not in the table.
    rough
        Columns that the source knows only roughly.
    """

    source: str
    plays: pl.DataFrame
    games_read: int
    finals_reproduced: int
    left_out: Mapping[str, str] = field(default_factory=dict)
    rough: tuple[str, ...] = ()
