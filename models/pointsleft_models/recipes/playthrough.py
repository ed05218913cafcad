"""All parts of the play-through, fitted on the play table."""

from __future__ import annotations

from pointsleft_models.recipes.component import Component
from pointsleft_models.recipes.playthrough_calls import PLAYTHROUGH_CALLS
from pointsleft_models.recipes.playthrough_clock import PLAYTHROUGH_CLOCK
from pointsleft_models.recipes.playthrough_flags import PLAYTHROUGH_FLAGS
from pointsleft_models.recipes.playthrough_results import PLAYTHROUGH_RESULTS

PLAYTHROUGH: tuple[Component, ...] = (
    *PLAYTHROUGH_FLAGS,
    *PLAYTHROUGH_CALLS,
    *PLAYTHROUGH_RESULTS,
    *PLAYTHROUGH_CLOCK,
)
