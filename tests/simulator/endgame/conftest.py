"""The rest-of-game simulator and the regressions under one rule set."""

from __future__ import annotations

import pytest
from pointsleft_models.bundle import Worth, load_models
from pointsleft_models.football.rules import rule_set
from pointsleft_models.playthrough.load import load_playthrough
from pointsleft_models.playthrough.parts import Parts

RULES = rule_set("professional", 2019)


@pytest.fixture(scope="session")
def parts() -> Parts:
    return load_playthrough(RULES)[0]


@pytest.fixture(scope="session")
def worth() -> Worth:
    return load_models("professional").under(RULES)
