"""Checking a log: faults, warnings, what was assumed, and counts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from pointsleft.log.faults import Fault, as_data, in_order, render, wrap
from pointsleft.log.reader import examine
from pointsleft.log.record import LoggedGame, Snap
from pointsleft.log.rows import column_names

#: How a row of the template is known: its note begins so.
EXAMPLE = "example row"

#: How many warnings are told beside faults.
SHOWN = 6

#: Play families, and results, that are calls of the clock.
CLOCK_CALLS = ("spike", "kneel")


@dataclass(frozen=True, slots=True)
class CheckReport:
    """What checking a log found.

    Attributes
    ----------
    faults, warnings
        What must be mended, and what is worth a look.
    assumed
        Item or column, as the sheets write it -> in how many rows it was filled in from a
        documented default or from the row above.
    counts
        ``snaps``, ``decisions`` (chosen and at least one other option), ``options``.
    """

    source: str
    faults: tuple[Fault, ...]
    warnings: tuple[str, ...]
    assumed: Mapping[str, int]
    counts: Mapping[str, int]

    @property
    def clean(self) -> bool:
        return not self.faults

    def as_data(self) -> dict[str, object]:
        """Plain values, ready for JSON."""
        return {
            "log": self.source,
            "clean": self.clean,
            "counts": dict(self.counts),
            "faults": as_data(self.faults),
            "warnings": list(self.warnings),
            "assumed": dict(self.assumed),
        }

    def __str__(self) -> str:
        if self.faults:
            looks = _looks(self.warnings[:SHOWN])
            more = len(self.warnings) - SHOWN
            if more > 0:
                looks.append(f"  and {more} more worth a look once the faults are mended")
            return "\n".join([render(self.faults, self.source), *([""] if looks else []), *looks])
        looks = _looks(self.warnings)
        counts = ", ".join(f"{number} {name}" for name, number in self.counts.items())
        lines = [*wrap(f"{self.source} is clean: {counts}.", "", "  "), *looks]
        if self.assumed:
            filled = ", ".join(f"{name} {number}" for name, number in self.assumed.items())
            lines += wrap("filled in: " + filled, "  ", "    ")
        return "\n".join(lines)


def _looks(warnings: Iterable[str]) -> list[str]:
    return [line for w in warnings for line in wrap("worth a look: " + w, "  ", "    ")]


def is_decision(snap: Snap) -> bool:
    """Whether a snap can be priced: something was chosen and there was something else.

    A spike or a kneel is a call of the clock, never a throw or a run, whatever options stand
    beside it.
    """
    if snap.call.family in CLOCK_CALLS or snap.happened.result in CLOCK_CALLS:
        return False
    return snap.situation is not None and snap.happened.chosen is not None and len(snap.options) > 1


def counts(game: LoggedGame) -> dict[str, int]:
    """Snaps, decisions and options of a game."""
    return {
        "snaps": len(game.snaps),
        "decisions": sum(is_decision(s) for s in game.snaps),
        "options": sum(len(s.options) for s in game.snaps),
    }


def check_log(path: str | Path) -> CheckReport:
    """Check a log. Reads only; raises nothing for a faulty log."""
    game, findings = examine(path)
    assumed: Counter[str] = Counter()
    for text in findings.assumed:
        assumed[text] += 1
    snap_columns, option_columns = column_names("snaps"), column_names("options")
    warnings = list(findings.warnings)
    if game is not None:
        for snap in game.snaps:
            assumed.update(snap_columns.get(name, name) for name in snap.derived)
            for option in snap.options:
                assumed.update(
                    f"{option_columns.get(name, name)} of an option" for name in option.derived
                )
        examples = sum((s.note or "").lower().startswith(EXAMPLE) for s in game.snaps)
        if examples:
            warnings.append(f"{examples} example rows of the template are still there")
    return CheckReport(
        Path(path).name,
        in_order(findings.faults),
        tuple(warnings),
        dict(sorted(assumed.items())),
        {} if game is None else counts(game),
    )
