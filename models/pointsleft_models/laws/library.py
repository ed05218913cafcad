"""All fitted components of one level, loaded once and tabulated on first use."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.tabulated import Range, Tabulated
from pointsleft_models.fitting.yardage import YARDS, YardageLaw, logit_of
from pointsleft_models.laws.years import LAST_YEAR, YEAR, year_of

#: Range of every variable that a law conditions on: first value, number of values.
RANGES: dict[str, Range] = {
    YARDS: (-10, 112),
    "air": (-10, 71),
    "third_code": (0, 4),
    "near": (1, 30),
    "room": (1, 30),
    "in_end_zone": (0, 2),
    "down0": (0, 4),
    "pressure_code": (0, 3),
    "route_code": (0, 13),
    "shell_code": (0, 9),
    "gap_code": (0, 5),
    "to_go": (1, 20),
    "box_code": (0, 11),
    "stopped_at": (-5, 26),
    "gun": (0, 2),
    "behind": (1, 25),
    "kick_yards": (18, 51),
    YEAR: (0, LAST_YEAR + 1),
    "long": (0, 2),
    "passed": (0, 2),
    "always": (0, 1),
    "yards_to_goal": (1, 99),
    "era": (0, 5),
    "expected": (0, 2),
    "goal_near": (1, 60),
    "sacked": (0, 2),
    "late": (0, 601),
    "state": (0, 5),
    "half0": (0, 2),
    "tenths": (8, 63),
    "rush": (3, 5),
    "pressed": (0, 2),
    "distance": (1, 40),
}


class LawError(LookupError):
    """A component that the loaded fits do not have; the message says what to do."""


@dataclass(frozen=True)
class Library:
    """Fitted components by name.

    ``has`` tells whether a component is there: those that need participation data are absent
    from a fit made without it.

    Attributes
    ----------
    season
        Season whose game the laws speak of; without one, those that move with the years have to
        be told the year.
    """

    components: Mapping[str, FittedLogit | YardageLaw]
    season: int | None = None
    _shared: dict[tuple[str, int | None], Tabulated] = field(
        default_factory=dict, repr=False, compare=False
    )
    _tables: dict[str, Tabulated] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )

    def of(self, season: int) -> Library:
        """The same laws as they are in one season; tables that no year moves are shared."""
        return replace(self, season=season)

    @property
    def year(self) -> int | None:
        """Number of the season's year (``laws/years.py``)."""
        return None if self.season is None else year_of(self.season)

    def has(self, name: str) -> bool:
        return name in self.components

    def logit(self, name: str) -> Tabulated:
        """Look-ups of a component (of its stopping chances, for a law of yards)."""
        if name not in self._tables:
            self._tables[name] = self._tabulated(name)
        return self._tables[name]

    def _tabulated(self, name: str) -> Tabulated:
        logit = logit_of(self._component(name))
        year = self.year if YEAR in logit.basis.variables else None
        if (name, year) not in self._shared:
            ranges = RANGES if year is None else {**RANGES, YEAR: (year, 1)}
            self._shared[name, year] = Tabulated(logit, ranges)
        return self._shared[name, year]

    def low(self, name: str) -> int:
        """Smallest yards of a law of yards."""
        fitted = self._component(name)
        if not isinstance(fitted, YardageLaw):
            raise LawError(f"component {name!r} is no law of yards")
        return fitted.low

    def _component(self, name: str) -> FittedLogit | YardageLaw:
        try:
            return self.components[name]
        except KeyError:
            raise LawError(
                f"the loaded fits have no component {name!r}; there is "
                f"{', '.join(sorted(self.components))}. Components that need participation data "
                "are fitted with: pointsleft fit --participation FILE"
            ) from None
