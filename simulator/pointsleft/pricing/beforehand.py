"""What is done with a pre-game spread, in words."""

from __future__ import annotations

from pointsleft_models.bundle import Models

from pointsleft.log.words import spread_words


def spread_told(models: Models, spread: float | None) -> str:
    """What the values of these fits know of a spread from our view; empty where there is none."""
    if spread is None:
        return ""
    if models.favoured is None:
        return (
            f"the pre-game spread is kept but not used: level {models.level} has no fit of what "
            "it changes, so win probability is that of equal teams"
        )
    return (
        f"win probability knows the pre-game spread ({spread_words(spread)}); expected points and "
        "overtime are those of equal teams"
    )
