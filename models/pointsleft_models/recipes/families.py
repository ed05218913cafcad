"""Which components make which fit."""

from __future__ import annotations

from collections.abc import Iterator

from pointsleft_models.recipes.clock import CLOCK, ENDING
from pointsleft_models.recipes.component import Component
from pointsleft_models.recipes.going import GOING
from pointsleft_models.recipes.kicking import KICKING
from pointsleft_models.recipes.passing import PASSING
from pointsleft_models.recipes.rush import RUSH
from pointsleft_models.recipes.rushing import RUSHING
from pointsleft_models.recipes.turnovers import TURNOVERS

#: Families of laws by the name of their card.
LAWS: dict[str, tuple[Component, ...]] = {
    "passing": PASSING,
    "rushing": RUSHING,
    "rush": RUSH,
    "kicking": KICKING,
    "turnovers": TURNOVERS,
    "clock": CLOCK,
    "ending": ENDING,
    "going": GOING,
}


def every_component() -> Iterator[tuple[str, Component, Component | None]]:
    """Every component with the name of its family and the component that it is added to."""
    for family, components in LAWS.items():
        named = {c.name: c for c in components}
        for component in components:
            yield family, component, named.get(component.on)
