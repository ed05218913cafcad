"""result.json: its fixed shape, strict, nothing rounded, nothing lost."""

from __future__ import annotations

import json
import re
from dataclasses import fields, is_dataclass, replace
from pathlib import Path

import numpy as np
import pytest
from pointsleft.pricing.result import Interval, PricedGame
from pointsleft.report.as_json import NotWritableError, plain, result, result_text

DOCS = Path(__file__).parents[3] / "docs" / "result-reference.md"

LEDGER = {
    "best", "offered", "left", "delivered", "breaks", "before", "after", "interval", "outcome",
    "break_even", "verdict", "settled_share",
}  # fmt: skip


def refuse(constant: str) -> None:
    raise AssertionError(f"{constant} is not strict JSON")


def test_shape_named_in_the_contract(game: PricedGame) -> None:
    read = json.loads(result_text(game), parse_constant=refuse)
    assert {"format", "game", "models", "decisions"} <= set(read)
    assert isinstance(read["format"], int)
    for currency in ("points", "wins"):
        assert set(read["game"][currency]) == {"start", "priced", "unpriced", "between", "end"}
    assert {"headline", "counts", "assumptions"} <= set(read["game"])
    assert all({"name", "version", "hash"} <= set(model) for model in read["models"])
    assert len(read["decisions"]) == len(game.decisions)
    for decision in read["decisions"]:
        assert {"snap", "clip", "situation", "chosen", "options", "points", "wins"} <= set(decision)
        for option in decision["options"]:
            assert {"id", "points", "wins", "in_read", "assumed"} <= set(option)
        for currency in ("points", "wins"):
            ledger = decision[currency]
            assert set(ledger) >= LEDGER
            assert set(ledger["interval"]) == {"model", "judgement"}
            assert {"chosen", "best"} <= set(ledger["outcome"])
            change = ledger["offered"] - ledger["left"] + ledger["delivered"] + ledger["breaks"]
            assert change == pytest.approx(ledger["after"] - ledger["before"], abs=1e-12)


def test_wins_are_null_without_clock(without_clock: PricedGame) -> None:
    read = json.loads(result_text(without_clock))
    assert read["game"]["wins"] is None
    assert all(d["wins"] is None and d["points"] is not None for d in read["decisions"])


def test_points_are_null_in_overtime(overtime: PricedGame) -> None:
    read = json.loads(result_text(overtime))
    assert read["game"]["points"] is None
    assert all(d["points"] is None for d in read["decisions"])


def test_floats_come_back_exactly(game: PricedGame) -> None:
    read = json.loads(result_text(game))
    for decision, written in zip(game.decisions, read["decisions"], strict=True):
        assert decision.points is not None
        assert written["points"]["left"] == decision.points.left
        assert written["points"]["outcome"]["best"]["sd"] == decision.points.outcome.best.sd


def _leaf_names(value: object) -> set[str]:
    """Names of every field reachable from a dataclass value."""
    found: set[str] = set()
    if is_dataclass(value) and not isinstance(value, type):
        for field in fields(value):
            found.add(field.name)
            found |= _leaf_names(getattr(value, field.name))
    elif isinstance(value, dict):
        for inner in value.values():
            found |= _leaf_names(inner)
    elif isinstance(value, tuple):
        for inner in value:
            found |= _leaf_names(inner)
    return found


def _keys(value: object) -> set[str]:
    if isinstance(value, dict):
        return set(value) | {k for inner in value.values() for k in _keys(inner)}
    if isinstance(value, list):
        return {k for inner in value for k in _keys(inner)}
    return set()


def test_every_field_of_the_result_is_written(game: PricedGame) -> None:
    renamed = {"interval_model", "interval_judgement", "lines"}
    missing = _leaf_names(game) - renamed - _keys(result(game))
    assert not missing


def test_every_key_stands_in_the_reference(game: PricedGame) -> None:
    documented = set(re.findall(r"`([a-z_0-9]+)`", DOCS.read_text(encoding="utf-8")))
    open_mappings = {"facts", "tags", "assumptions", "assumption_texts", "blame", "totals"}

    def keys(value: object) -> set[str]:
        if isinstance(value, dict):
            found = set(value)
            for key, inner in value.items():
                if key not in open_mappings or isinstance(inner, list):
                    found |= keys(inner)
            return found
        if isinstance(value, list):
            return {k for inner in value for k in keys(inner)}
        return set()

    assert keys(result(game)) - documented == set()


@pytest.mark.parametrize("bad", [float("nan"), float("inf"), -float("inf"), np.float64("nan")])
def test_a_figure_that_is_not_finite_is_named(game: PricedGame, bad: float) -> None:
    first = game.decisions[0]
    assert first.points is not None
    broken = replace(first, points=replace(first.points, interval_model=Interval(bad, 1.0)))
    with pytest.raises(NotWritableError, match=r"decisions\[0\]\.points\.interval\.model\.low"):
        result_text(replace(game, decisions=(broken, *game.decisions[1:])))


def test_numpy_scalars_become_numbers() -> None:
    found = plain({"a": np.float64(0.1), "b": np.int64(3), "c": np.bool_(True), "d": np.float32(2)})
    assert found == {"a": 0.1, "b": 3, "c": True, "d": 2.0}
    assert [type(v) for v in found.values()] == [float, int, bool, float]


def test_what_json_cannot_hold_is_refused() -> None:
    with pytest.raises(NotWritableError, match="complex"):
        plain({"a": 1j})
