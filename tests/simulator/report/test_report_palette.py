"""The palette: distinct by lightness, legible as text."""

from __future__ import annotations

from itertools import pairwise

import pytest
from pointsleft.report import palette


def test_known_contrasts() -> None:
    """Black on white is 21 to 1 by definition (WCAG 2)."""
    assert palette.contrast("#000000", "#ffffff") == pytest.approx(21)
    assert palette.contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)
    assert palette.lightness("#ffffff") == pytest.approx(100)


def test_meanings_stay_apart_in_grey() -> None:
    steps = [palette.lightness(c) for c in palette.MEANINGS]
    assert all(b - a >= 15 for a, b in pairwise(steps))
    assert palette.lightness(palette.MIST) - palette.lightness(palette.INK) > 50


@pytest.mark.parametrize("colour", palette.TEXTS)
@pytest.mark.parametrize("ground", [palette.PAPER, palette.SAND])
def test_text_is_legible(colour: str, ground: str) -> None:
    assert palette.contrast(colour, ground) >= 4.5


def test_no_red_and_no_green() -> None:
    """No colour whose hue a reader would call red or green."""
    import colorsys

    for name, colour in vars(palette).items():
        if not (name.isupper() and isinstance(colour, str)):
            continue
        red, green, blue = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
        hue, _, saturation = colorsys.rgb_to_hls(red, green, blue)
        if saturation > 0.12:
            away_from_red, degrees = min(hue, 1 - hue) * 360, hue * 360
            assert away_from_red > 20, name
            assert not 75 < degrees < 170, name
