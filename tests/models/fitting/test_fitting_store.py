"""Fits on disk: they come back as they were, or one message says what is wrong."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from pointsleft_models.fitting.store import FORMAT, Card, StoreError, load_fit, save_fit

Array = np.ndarray

CARD = Card(
    name="made-up", level="professional", data="none", seasons=(2011, 2012), rows=3, games=2,
    date="2026-01-01", settings={"basis": [{"axes": []}], "low": -3},
    scores={"it": {"log_loss": 1}},
    judgement="all of it", credit="nobody — a test", refits=4, scheme="halves",
)  # fmt: skip
ARRAYS: dict[str, Array] = {
    "it.coefficients": np.arange(3.0),
    "it.refits": np.ones((4, 3), dtype=np.float32),
    "low": np.array(-3),
}


def change_card(folder: Path, **changes: object) -> None:
    path = folder / "made-up.json"
    about = json.loads(path.read_text(encoding="utf-8"))
    path.write_text(json.dumps(about | changes), encoding="utf-8")


def change_arrays(folder: Path, arrays: dict[str, Array]) -> None:
    np.savez(folder / "made-up.npz", **arrays)  # type: ignore[arg-type]


def test_a_fit_comes_back_as_it_was(tmp_path: Path) -> None:
    saved = save_fit(tmp_path / "deep" / "down", CARD, ARRAYS)
    found = load_fit(tmp_path / "deep" / "down", "made-up")
    assert found.card == CARD == saved.card
    assert found.digest == saved.digest
    assert set(found.arrays) == set(ARRAYS)
    for name, array in ARRAYS.items():
        assert found.arrays[name].dtype == array.dtype
        assert (found.arrays[name] == array).all()


def test_the_same_arrays_have_the_same_hash_in_any_order(tmp_path: Path) -> None:
    one = save_fit(tmp_path / "a", CARD, ARRAYS)
    other = save_fit(tmp_path / "b", CARD, dict(reversed(ARRAYS.items())))
    assert one.digest == other.digest


@pytest.mark.parametrize("what", ["value", "type", "shape", "name", "more", "fewer"])
def test_changed_arrays_are_found_out(tmp_path: Path, what: str) -> None:
    save_fit(tmp_path, CARD, ARRAYS)
    changed = dict(ARRAYS)
    if what == "value":
        changed["it.coefficients"] = np.array([0, 1, 2 + 1e-12])
    elif what == "type":
        changed["it.refits"] = ARRAYS["it.refits"].astype(float)
    elif what == "shape":
        changed["it.refits"] = ARRAYS["it.refits"].reshape(3, 4)
    elif what == "name":
        changed["it.again"] = changed.pop("it.refits")
    elif what == "more":
        changed["extra"] = np.zeros(1)
    else:
        del changed["low"]
    change_arrays(tmp_path, changed)
    with pytest.raises(StoreError, match=r"'made-up' in .* was changed after it was written"):
        load_fit(tmp_path, "made-up")


def test_a_changed_hash_is_found_out(tmp_path: Path) -> None:
    save_fit(tmp_path, CARD, ARRAYS)
    change_card(tmp_path, hash="0" * 64)
    with pytest.raises(StoreError, match="its hash differs"):
        load_fit(tmp_path, "made-up")


def test_arrays_written_again_unchanged_are_fine(tmp_path: Path) -> None:
    """Negative control of the two tests above."""
    save_fit(tmp_path, CARD, ARRAYS)
    change_arrays(tmp_path, dict(ARRAYS))
    assert load_fit(tmp_path, "made-up").card == CARD


@pytest.mark.parametrize("other", [FORMAT + 1, None, "1"])
def test_another_format_is_refused(tmp_path: Path, other: object) -> None:
    save_fit(tmp_path, CARD, ARRAYS)
    change_card(tmp_path, format=other)
    with pytest.raises(StoreError) as error:
        load_fit(tmp_path, "made-up")
    assert "another format" in str(error.value)
    assert "pointsleft fit" in str(error.value)


@pytest.mark.parametrize("suffix", ["json", "npz"])
def test_a_missing_file_is_named(tmp_path: Path, suffix: str) -> None:
    save_fit(tmp_path, CARD, ARRAYS)
    (tmp_path / f"made-up.{suffix}").unlink()
    with pytest.raises(StoreError) as error:
        load_fit(tmp_path, "made-up")
    assert f"made-up.{suffix} is missing" in str(error.value)
    assert "install again or run: pointsleft fit" in str(error.value)


@pytest.mark.parametrize("kept", [0, 40, -1, -200])
@pytest.mark.parametrize("suffix", ["json", "npz"])
def test_a_cut_off_file_is_named(tmp_path: Path, suffix: str, kept: int) -> None:
    save_fit(tmp_path, CARD, ARRAYS)
    path = tmp_path / f"made-up.{suffix}"
    path.write_bytes(path.read_bytes().rstrip()[:kept])
    with pytest.raises(StoreError, match=r"'made-up' in .* cannot be read"):
        load_fit(tmp_path, "made-up")


def test_nothing_is_unpickled(tmp_path: Path) -> None:
    save_fit(tmp_path, CARD, ARRAYS)
    np.savez(tmp_path / "made-up.npz", it=np.array([{"a": 1}], dtype=object))
    with pytest.raises(StoreError, match="cannot be read"):
        load_fit(tmp_path, "made-up")


def test_what_would_be_pickled_is_not_written(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="pickle"):
        save_fit(tmp_path, CARD, {"it": np.array([{"a": 1}], dtype=object)})
