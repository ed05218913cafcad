"""The synthetic game keeps what the renderings rely on."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pointsleft.report.figures import ledger_of
from sample import make_game


@settings(max_examples=12, deadline=None)
@given(seed=st.integers(0, 10_000))
def test_ledgers_close_and_lines_telescope(seed: int) -> None:
    game = make_game(seed, 20)
    for currency in ("points", "wins"):
        priced = 0.0
        for decision in game.decisions:
            entry = ledger_of(decision, currency)
            assert entry is not None
            change = entry.after - entry.before
            total = entry.offered - entry.left + entry.delivered + entry.breaks
            assert total == pytest.approx(change, abs=1e-12)
            assert entry.left >= -1e-12
            for law in (entry.outcome.chosen, entry.outcome.best):
                assert sum(law.probabilities) == pytest.approx(1)
                mean = sum(p * v for p, v in zip(law.probabilities, law.values, strict=True))
                assert mean == pytest.approx(law.mean, abs=1e-9)
            priced += change
        lines = game.lines[currency]
        assert lines is not None
        assert lines.priced == pytest.approx(priced)
        reached = lines.start + lines.priced + lines.unpriced + lines.between
        assert reached == pytest.approx(lines.end, abs=1e-9)
