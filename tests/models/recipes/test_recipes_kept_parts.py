"""Parts of a long fit: whole or not there, and never those of another plan."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from pointsleft_models.recipes.kept_parts import NAME, KeptParts


def test_a_part_comes_back_as_it_was(tmp_path: Path) -> None:
    kept = KeptParts(tmp_path, "abc")
    assert kept.load("wins-0000") is None
    kept.save("wins-0000", {"found": np.arange(6.0).reshape(2, 3)})
    again = kept.load("wins-0000")
    assert again is not None
    assert (again["found"] == np.arange(6.0).reshape(2, 3)).all()


def test_another_plan_does_not_see_it(tmp_path: Path) -> None:
    KeptParts(tmp_path, "abc").save("wins-0000", {"found": np.ones(1)})
    assert KeptParts(tmp_path, "abd").load("wins-0000") is None


def test_a_part_that_broke_off_is_made_again(tmp_path: Path) -> None:
    kept = KeptParts(tmp_path, "abc")
    kept.save("wins-0000", {"found": np.ones(1000)})
    path = next((tmp_path / NAME).iterdir())
    path.write_bytes(path.read_bytes()[:200])
    assert kept.load("wins-0000") is None


def test_finished_fits_leave_no_parts(tmp_path: Path) -> None:
    kept = KeptParts(tmp_path, "abc")
    kept.save("wins-0000", {"found": np.ones(1)})
    kept.save("next-score-td-point", {"found": np.ones(1)})
    kept.clear("wins")
    assert kept.load("wins-0000") is None
    assert kept.load("next-score-td-point") is not None
    kept.clear("next-score")
    assert not (tmp_path / NAME).exists()
