"""Counts beside a fit, as data: what every panel of a card shows, and its small JSON file."""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

#: Raised whenever the file changes its meaning.
FORMAT = 1

#: Central part of the intervals drawn.
LEVEL = 0.90


class CountedError(RuntimeError):
    """A file of counts that cannot be used; the message says what to do."""


@dataclass(frozen=True, slots=True)
class Series:
    """Points of one group of a panel.

    Attributes
    ----------
    x
        Position of every point (mean of the variable in its bin, or number of its category).
    yes, n
        Successes and trials counted, shapes as ``x``. Where the rows of one game share their
        result, ``n`` is the number of games and ``yes`` the share of rows times ``n``.
    fit
        Mean of the fitted chance over the same rows.
    """

    label: str
    x: tuple[float, ...]
    yes: tuple[float, ...]
    n: tuple[float, ...]
    fit: tuple[float, ...]

    def intervals(self) -> tuple[tuple[float, ...], tuple[float, ...]]:
        """Ends of the 90% Wilson intervals of every share."""
        import numpy as np
        from statsmodels.stats.proportion import proportion_confint

        low, high = proportion_confint(
            np.array(self.yes), np.array(self.n), alpha=1 - LEVEL, method="wilson"
        )
        return tuple(float(v) for v in low), tuple(float(v) for v in high)


@dataclass(frozen=True, slots=True)
class Panel:
    """One small chart: shares counted and fitted.

    Attributes
    ----------
    ticks
        Words of the categories 0, 1, 2, ...; empty for a numeric axis.
    by_games
        Intervals count games, not rows.
    scale
        ``log`` for a logarithmic horizontal axis.
    """

    title: str
    x_label: str
    series: tuple[Series, ...]
    ticks: tuple[str, ...] = ()
    by_games: bool = False
    scale: str = ""


@dataclass(frozen=True, slots=True)
class Counted:
    """All panels of one card.

    Attributes
    ----------
    fit
        Hash of the stored fit they were made from.
    data
        Where the counts come from.
    """

    name: str
    fit: str
    data: str
    panels: tuple[Panel, ...]

    def text(self) -> str:
        """The file's content; short numbers, one panel a line."""
        head = {"format": FORMAT, "name": self.name, "fit": self.fit, "data": self.data}
        lines = [json.dumps(_short(asdict(panel)), ensure_ascii=False) for panel in self.panels]
        body = json.dumps(head, ensure_ascii=False)[:-1]
        return body + ', "panels": [\n' + ",\n".join(lines) + "\n]}\n"

    def digest(self) -> str:
        """Hash that a picture drawn from this carries."""
        return hashlib.sha256(self.text().encode()).hexdigest()[:16]


def _short(value: Any) -> Any:
    if isinstance(value, float):
        rounded = float(f"{value:.6g}")
        return int(rounded) if rounded.is_integer() else rounded
    if isinstance(value, dict):
        return {key: _short(own) for key, own in value.items()}
    if isinstance(value, list | tuple):
        return [_short(own) for own in value]
    return value


def read_counted(path: Path) -> Counted:
    """Read a file of counts.

    Raises
    ------
    CountedError
        Absent, unreadable or of another format.
    """
    try:
        about = json.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        raise CountedError(
            f"no counts in {path}; count them from play-by-play: "
            "python -m pointsleft_models.cards --plays archive"
        ) from None
    except (OSError, ValueError) as error:
        raise CountedError(f"counts in {path} cannot be read: {error}") from None
    if about.pop("format", None) != FORMAT:
        raise CountedError(
            f"counts in {path} have another format than {FORMAT}; count them again: "
            "python -m pointsleft_models.cards --plays archive"
        )
    panels = tuple(
        Panel(
            **{
                **panel,
                "ticks": tuple(panel["ticks"]),
                "series": tuple(
                    Series(own["label"], *(tuple(own[k]) for k in ("x", "yes", "n", "fit")))
                    for own in panel["series"]
                ),
            }
        )
        for panel in about.pop("panels")
    )
    return Counted(panels=panels, **about)
