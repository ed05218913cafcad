"""A kicker's record pulled toward the law, and the weather."""

from __future__ import annotations

import numpy as np
import pytest
from pointsleft.calls.kicker import Kicks, RecordError, kicker_odds, read_record
from pointsleft.calls.weather import weather_odds
from pointsleft.pricing.judgement_table import judged
from pointsleft_models.bundle import Worth


def test_nothing_seen_nothing_moved(worth: Worth) -> None:
    assert kicker_odds(worth.kicking, ()) == 0.0
    assert weather_odds(()) == 0.0


def test_a_short_record_hardly_moves_a_long_one_does(worth: Worth) -> None:
    """The same share of makes, ten times as many kicks; and without a pull it is all his own."""
    short = kicker_odds(worth.kicking, (Kicks(4, 4, 45),))
    long = kicker_odds(worth.kicking, (Kicks(39, 40, 45),))
    assert 0 < short < 0.12
    assert short < long
    alone = kicker_odds(worth.kicking, (Kicks(39, 40, 45),), spread=100.0)
    law = float(worth.kicking.make_chance(45)[0])
    assert alone == pytest.approx(np.log(39) - np.log(law / (1 - law)), abs=0.01)
    assert long < 0.6 * alone


def test_an_average_record_moves_nothing(worth: Worth) -> None:
    law = float(worth.kicking.make_chance(45)[0])
    kicks = Kicks(round(1000 * law), 1000, 45)
    assert abs(kicker_odds(worth.kicking, (kicks,))) < 0.01


def test_it_is_the_most_likely_number(worth: Worth) -> None:
    """Against a plain search over the log posterior."""
    record = (Kicks(9, 10, 33), Kicks(3, 9, 48))
    tau = judged("kick.kicker").value
    grid = np.linspace(-1, 1, 20001)
    total = -(grid**2) / (2 * tau**2)
    for k in record:
        p = float(worth.kicking.make_chance(k.yards)[0])
        moved = 1 / (1 + np.exp(-(np.log(p / (1 - p)) + grid)))
        total += k.made * np.log(moved) + (k.tried - k.made) * np.log(1 - moved)
    assert kicker_odds(worth.kicking, record) == pytest.approx(grid[total.argmax()], abs=2e-4)


def test_weather_adds_up() -> None:
    assert weather_odds(("cold", "wet")) == pytest.approx(-0.621)
    assert weather_odds(("high",)) > 0


def test_everything_wrong_with_a_record_is_said_at_once() -> None:
    with pytest.raises(RecordError) as caught:
        read_record("9/8@33, ten, 3/4@90")
    message = str(caught.value)
    assert "9/8@33" in message
    assert "'ten'" in message
    assert "3/4@90" in message
    assert "made/tried@yards" in message
