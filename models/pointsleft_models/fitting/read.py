"""Fitted components from a stored fit."""

from __future__ import annotations

from pointsleft_models.fitting.fitted import FittedLogit
from pointsleft_models.fitting.store import StoredFit
from pointsleft_models.fitting.yardage import YardageLaw


def components_of(stored: StoredFit) -> dict[str, FittedLogit | YardageLaw]:
    """Every component of a stored family of laws, by name."""
    out: dict[str, FittedLogit | YardageLaw] = {}
    for name, about in stored.card.settings["components"].items():
        kind = YardageLaw if about["kind"] == "yards" else FittedLogit
        out[name] = kind.from_arrays(about["basis"], stored.arrays, name)
    return out
