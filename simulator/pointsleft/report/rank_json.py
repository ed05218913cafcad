"""A ranking as the dictionary of ``ranking.json``.

The shape is that of :class:`pointsleft.players.result.Ranking`, field by field, beside ``format``
and ``made_by``. Figures are full floats, never rounded; amounts a decision.
"""

from __future__ import annotations

import json
from typing import Any

from pointsleft_models import __version__

from pointsleft.players.result import Ranking
from pointsleft.report.as_json import plain

#: Goes up when a key is renamed, removed or changes its meaning.
FORMAT = 1


def ranking_data(ranking: Ranking) -> dict[str, Any]:
    """The dictionary of ``ranking.json``.

    Raises
    ------
    NotWritableError
        A figure is not finite; the message says which.
    """
    data: dict[str, Any] = plain(ranking, "ranking")
    head = {"format": FORMAT, "made_by": {"program": "pointsleft", "version": __version__}}
    return {**head, **data}


def ranking_text(ranking: Ranking) -> str:
    """``ranking.json`` as text: strict JSON, readable by eye, non-ASCII letters kept.

    Raises
    ------
    NotWritableError
        A figure is not finite; the message says which.
    """
    data = ranking_data(ranking)
    return json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False) + "\n"
