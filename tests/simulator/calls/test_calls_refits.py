"""What the refits of a call vary: every law and both values, from one set of resampled games."""

from __future__ import annotations

import numpy as np
import pytest
from pointsleft.calls.parts import OPTIONS, law_of, parts_of
from pointsleft.pricing.cells import snap_values
from pointsleft_models.bundle import Models, Worth
from pointsleft_models.football.situation import Situation
from pointsleft_models.laws.setting import UNHURRIED, Setting

AT = Setting(4, 3, 38, 1, UNHURRIED, 0)


@pytest.mark.parametrize("option", OPTIONS)
def test_the_refits_of_every_law_differ(worth: Worth, option: str) -> None:
    parts = parts_of(law_of(worth, option, AT, refits=True), AT)
    chance = parts.scores[:, 1] if option == "field goal" else parts.lost @ np.arange(1, 100)
    assert len(chance) == 1 + worth.models.refits
    assert len(np.unique(chance[1:].round(9))) > 0.9 * worth.models.refits
    point = parts_of(law_of(worth, option, AT, refits=False), AT)
    assert len(point.lost) == 1


def test_refit_by_refit_the_value_follows_its_law(worth: Worth) -> None:
    """The refits that convert oftener are those that price going higher: one refit, one world."""
    at = Situation(2, 700, 4, 3, 38, 0, worth.rules)
    values = snap_values(worth, at, gun=True, box=None)
    law = law_of(worth, "go", values.setting, refits=True)
    converted = parts_of(law, values.setting).converted
    worths = values.value(law, "wins", law.seconds, refits=True)
    with_law = np.corrcoef(converted[1:], worths[1:])[0, 1]
    shuffled = np.corrcoef(np.roll(converted[1:], 1), worths[1:])[0, 1]
    assert with_law > 0.3
    assert abs(shuffled) < with_law  # negative control: another refit's law does not go with it


def test_every_family_has_the_same_refits_of_the_same_games(models: Models) -> None:
    """One resample drives every law and both values; the cards must not contradict that."""
    cards = {name: fit.card for name, fit in models.fits.items()}
    wanted = ("next-score", "wins", "going", "kicking")
    assert {cards[name].refits for name in wanted} == {models.refits}
    keys = {cards[name].settings["key"] for name in wanted}  # plays, refits, seed and scheme
    assert len(keys) == 1
