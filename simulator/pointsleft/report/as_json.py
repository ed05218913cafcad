"""A priced game as the dictionary of ``result.json``.

The shape is fixed: ``format``, ``game``, ``models``, ``decisions``, ``unpriced`` and what is
listed in ``docs/result-reference.md``. Keys may be added in a later format, none is renamed or
taken away without a new ``format`` number. Figures are full floats, never rounded.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from typing import Any

from pointsleft_models import __version__

from pointsleft.pricing.result import (
    Decision,
    Interval,
    Ledger,
    PricedGame,
    PricedOption,
    Spread,
)

#: Goes up when a key is renamed, removed or changes its meaning.
FORMAT = 1


class NotWritableError(ValueError):
    """A figure that JSON cannot hold; the message says where it stands."""


def plain(value: object, where: str = "result") -> Any:
    """A value made of dictionaries, lists, strings, finite numbers, booleans and ``None``.

    Dataclasses become dictionaries of their fields, tuples and sets become lists, numpy scalars
    Python numbers.

    Raises
    ------
    NotWritableError
        A figure that is not finite, or a kind of value that has no place in JSON.
    """
    if value is None or isinstance(value, (bool, str)):
        return value
    if isinstance(value, int):
        return int(value)
    if isinstance(value, float):
        if not math.isfinite(value):
            raise NotWritableError(
                f"{where} is {value}: a figure that is not finite cannot be written. This is a "
                "fault of the pricing, not of the log; please report it with the log."
            )
        return float(value)
    if is_dataclass(value) and not isinstance(value, type):
        return {f.name: plain(getattr(value, f.name), f"{where}.{f.name}") for f in fields(value)}
    if isinstance(value, Mapping):
        return {str(k): plain(v, f"{where}.{k}") for k, v in value.items()}
    if isinstance(value, (frozenset, set)):
        return [plain(v, f"{where}[...]") for v in sorted(value, key=str)]
    if isinstance(value, (tuple, list)):
        return [plain(v, f"{where}[{i}]") for i, v in enumerate(value)]
    item = getattr(value, "item", None)
    if callable(item) and getattr(value, "shape", None) == ():
        return plain(item(), where)
    raise NotWritableError(f"{where} is a {type(value).__name__}, which JSON cannot hold")


def _interval(found: Interval) -> dict[str, Any]:
    return {"low": found.low, "high": found.high}


def _spread(found: Spread) -> dict[str, Any]:
    return {f.name: getattr(found, f.name) for f in fields(found)}


def _ledger(found: Ledger | None) -> dict[str, Any] | None:
    if found is None:
        return None
    return {
        "best": found.best,
        "offered": found.offered,
        "left": found.left,
        "delivered": found.delivered,
        "breaks": found.breaks,
        "before": found.before,
        "after": found.after,
        "interval": {
            "model": _interval(found.interval_model),
            "judgement": _interval(found.interval_judgement),
        },
        "outcome": {
            "chosen": _spread(found.outcome.chosen),
            "best": _spread(found.outcome.best),
            "better_ends_worse": found.outcome.better_ends_worse,
            "lowest": found.outcome.lowest,
            "highest": found.outcome.highest,
        },
        "break_even": found.break_even,
        "verdict": found.verdict,
        "settled_share": found.settled_share,
        "if_certain": found.if_certain,
        "flag": found.flag,
        "crossfit_left": found.crossfit_left,
        "left_by_refit": found.left_by_refit,
        "values": found.values,
        "decisive": found.decisive,
        "blame": found.blame,
    }


def _option(found: PricedOption) -> dict[str, Any]:
    return {f.name: getattr(found, f.name) for f in fields(found)}


def _decision(found: Decision) -> dict[str, Any]:
    return {
        "snap": found.snap,
        "clip": found.clip,
        "situation": found.situation,
        "chosen": found.chosen,
        "options": [_option(o) for o in found.options],
        "points": _ledger(found.points),
        "wins": _ledger(found.wins),
        "facts": found.facts,
        "right_by_rule": found.right_by_rule,
        "rule_says": found.rule_says,
        "result": found.result,
        "hit_taken": found.hit_taken,
        "concept": found.concept,
        "tags": found.tags,
        "assumptions": found.assumptions,
        "note": found.note,
        "played_out": found.played_out,
    }


def result(game: PricedGame) -> dict[str, Any]:
    """The dictionary of ``result.json``.

    Raises
    ------
    NotWritableError
        A figure is not finite; the message says which.
    """
    parts = {
        "format": FORMAT,
        "made_by": {"program": "pointsleft", "version": __version__},
        "game": {
            "title": game.title,
            "us": game.us,
            "them": game.them,
            "quarterback": game.quarterback,
            "level": game.level,
            "rules": game.rules,
            "charter": game.charter,
            "headline": game.headline,
            "total_left": game.total_left,
            "counts": game.counts,
            "assumptions": game.assumptions,
            "assumption_texts": game.assumption_texts,
            "points": game.lines.get("points"),
            "wins": game.lines.get("wins"),
            "totals": game.totals,
            "course": game.course,
            "hits": game.hits,
            "seed": game.seed,
            "draws": game.draws,
            "refits": game.refits,
            "warnings": game.warnings,
            "beforehand": game.beforehand,
        },
        "models": game.models,
        "decisions": [_decision(d) for d in game.decisions],
        "unpriced": game.unpriced,
    }
    written: dict[str, Any] = plain(parts)
    return written


def result_text(game: PricedGame) -> str:
    """``result.json`` as text: strict JSON, readable by eye, non-ASCII letters kept.

    Raises
    ------
    NotWritableError
        A figure is not finite; the message says which.
    """
    return json.dumps(result(game), indent=1, ensure_ascii=False, allow_nan=False) + "\n"
