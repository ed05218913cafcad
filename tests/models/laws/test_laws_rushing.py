"""Where runners end: a quarterback who has taken off steps out of bounds oftener."""

from __future__ import annotations

import pytest
from pointsleft_models.bundle import Models, Worth
from pointsleft_models.football.rules import rule_set
from pointsleft_models.laws.lattice import OTHER, STOPPED, OutcomeLaw
from pointsleft_models.laws.setting import Setting

#: Counted on the archive: 7,481 scrambles of regulation that did not score, and runs around the
#: end. The first share is over the last two minutes of a half, the second before them.
SCRAMBLED_OUT, RAN_END_OUT = (0.365, 0.292), 0.181


def setting(half_seconds: int, lead: int = -4) -> Setting:
    return Setting(down=2, distance=7, yards_to_goal=70, half=2, half_seconds=half_seconds,
                   lead=lead)  # fmt: skip


def stopped(law: OutcomeLaw) -> float:
    """Share of the cells in which the offense keeps the ball and the clock stands still."""
    return float((law.weights[0][:, None] * law.cells[0])[:, STOPPED:OTHER].sum())


@pytest.mark.parametrize(("half_seconds", "share"), [(60, 0), (1500, 1)])
def test_scrambles_end_out_of_bounds_as_they_did(
    models: Models, half_seconds: int, share: int
) -> None:
    """By all scores: behind they step out, far ahead late they stay in. In the middle of the
    archive: more runs end there than did, and what was counted is a mean of all seasons."""
    worth = models.under(rule_set("professional", 2014))
    found = stopped(worth.rushing.scramble(setting(half_seconds)))
    assert found == pytest.approx(SCRAMBLED_OUT[share], abs=0.06)
    outside = stopped(worth.rushing.run(setting(half_seconds), gap="end"))
    assert found > outside + 0.05  # negative control: it was the chance of such a run
    if share:
        assert outside == pytest.approx(RAN_END_OUT, abs=0.03)


def test_whoever_is_ahead_late_stays_in(worth: Worth) -> None:
    behind, ahead = (stopped(worth.rushing.scramble(setting(60, lead))) for lead in (-4, 4))
    assert ahead < behind - 0.05
