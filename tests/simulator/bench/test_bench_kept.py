"""What a study keeps for an interrupted run belongs to the fits it was made with."""

from __future__ import annotations

from pathlib import Path

import pytest
from pointsleft.bench import coverage_sections
from pointsleft_models.fitting import store


def test_a_league_of_other_fits_keeps_its_repeats_apart(monkeypatch: pytest.MonkeyPatch) -> None:
    shipped = coverage_sections._kept_football(Path("root"))
    assert shipped == coverage_sections._kept_football(Path("root"))
    assert shipped.parent == Path("root") / coverage_sections.KEPT_FOOTBALL
    seen, honest = [], store.load_fit

    def other_kicks(folder: Path, name: str) -> store.StoredFit:
        found = honest(folder, name)
        seen.append(name)
        return store.StoredFit(found.card, found.arrays, "other") if name == "kicking" else found

    monkeypatch.setattr(store, "load_fit", other_kicks)
    assert coverage_sections._kept_football(Path("root")) != shipped
    assert "kicking" in seen
