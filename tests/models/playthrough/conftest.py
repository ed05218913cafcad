"""The shipped parts of the play-through under the rules of 2016."""

from __future__ import annotations

import pytest
from pointsleft_models.football.rules import rule_set
from pointsleft_models.playthrough.load import load_playthrough
from pointsleft_models.playthrough.parts import Parts
from pointsleft_models.playthrough.teams import Teams

RULES = rule_set("professional", 2016)


@pytest.fixture(scope="session")
def loaded() -> tuple[Parts, Teams]:
    return load_playthrough(RULES)


@pytest.fixture(scope="session")
def parts(loaded: tuple[Parts, Teams]) -> Parts:
    return loaded[0]


@pytest.fixture(scope="session")
def teams(loaded: tuple[Parts, Teams]) -> Teams:
    return loaded[1]
