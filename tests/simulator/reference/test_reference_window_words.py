"""The page of the window words: what is scaled is on the scale, and the scale is seen."""

from __future__ import annotations

import pytest
from pointsleft.pricing.judgement_table import judged, judged_otherwise, judgements
from pointsleft.pricing.settings import PriceSettings
from pointsleft.reference import window_words
from pointsleft.reference.window_words import ON_SCALE, SETTINGS, scaled


def test_every_distance_on_the_scale_is_scaled() -> None:
    """All log odds of windows, and nothing else: `pick` is a share."""
    on_scale = {
        code
        for code, row in judgements().items()
        if code.startswith("window.") and row.unit.startswith("log odds")
    }
    assert set(ON_SCALE) == on_scale


def test_rows_are_replaced_inside_and_only_there() -> None:
    before = judged("window.loose").value
    with judged_otherwise(scaled(2.0)):
        assert judged("window.loose").value == pytest.approx(2 * before)
        assert judged("window.loose").low == pytest.approx(2 * 0.95)
        assert judged("window.pick").value == 0.60
    assert judged("window.loose").value == before


def test_rows_come_back_after_an_error() -> None:
    with pytest.raises(ZeroDivisionError), judged_otherwise(scaled(0.5)):
        raise ZeroDivisionError
    assert judged("window.loose").value == 1.40


def test_a_code_that_is_not_there_is_refused() -> None:
    with (
        pytest.raises(KeyError, match="wide-open"),
        judged_otherwise({"window.wide-open": judged("window.loose")}),
    ):
        pass


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """No refits: the point fit is enough to see a scale at work."""
    settings = PriceSettings(draws=50, judgement_draws=2, refits=False)
    monkeypatch.setattr(window_words, "SETTINGS", settings)
    window_words.priced.cache_clear()


@pytest.mark.usefixtures("quick")
def test_the_scale_reaches_the_prices_and_one_is_the_game_itself() -> None:
    """Control: a scale that moved nothing would leave every value where it was."""
    wide, same = window_words.priced(2.0), window_words.priced(1.0000001)
    own = window_words.demo()
    window_words.priced.cache_clear()

    def values(game: object) -> list[float]:
        return [v.value for d in game.decisions if d.points for v in d.points.values]  # type: ignore[attr-defined]

    assert values(same) == pytest.approx(values(own), abs=1e-4)
    assert max(abs(a - b) for a, b in zip(values(wide), values(own), strict=True)) > 0.3


def test_draws_do_not_touch_a_verdict_so_few_are_enough() -> None:
    assert SETTINGS.refits
    assert SETTINGS.seed == PriceSettings().seed
