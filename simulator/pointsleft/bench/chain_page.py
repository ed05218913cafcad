"""The measured page of the engine beside its exact chains."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from pointsleft.bench.markdown import Lines, held, paragraph, table

#: Standard errors by which a simulated figure may miss the exact one.
MOST_OFF = 4.0


def chains(data: Any) -> Lines:
    """The section of the exact chains."""
    found = data["beside"]
    farthest = max(abs(one["off"]) for one in found)
    return [
        "## Does the engine play what its parts say?",
        "",
        *paragraph(
            f"""A coarse game is solved exactly: distances rounded, the clock standing still. Its
            next score is an absorbing chain (`playthrough/chain.py`), its winner after
            {data["snaps"]} snaps, the clock standing at {data["seconds"]} seconds to go, a chain
            that ends with the last of them and is solved from there backward
            (`playthrough/chain_wins.py`). Both are built from the tables that the engine draws from
            and solved by sparse linear algebra. They have calls, gains, flags, kicks, punts, lost
            balls, tries and kickoffs; waits, time-outs, kneels, spikes, last kicks and overtime are
            in neither. Beside them the engine plays the coarse game {data["games"]:,} times from
            every situation. Were it all luck, the gaps in
            standard errors would have a root mean square of 1; of {len(found)} figures the farthest
            is off by {farthest:.1f} (at most {MOST_OFF:g}: {held(farthest <= MOST_OFF)})."""
        ),
        "",
        *table(
            ("what", "situations", "exact", "mean gap", "root mean square", "farthest"),
            [_row(name, ones) for name, ones in _groups(found).items()],
        ),
    ]


def _groups(found: Sequence[Mapping[str, Any]]) -> dict[str, list[Mapping[str, Any]]]:
    """By what is compared, wins by the lead too."""
    groups: dict[str, list[Mapping[str, Any]]] = {}
    for one in found:
        groups.setdefault(_name(one), []).append(one)
    return groups


def _name(one: Mapping[str, Any]) -> str:
    if one["what"] != "wins":
        return str(one["what"])
    lead = one["lead"]
    return f"wins, {'ahead' if lead > 0 else 'behind'} by {abs(lead)}" if lead else "wins, level"


def _row(name: str, ones: Sequence[Mapping[str, Any]]) -> tuple[str, ...]:
    exact = np.array([one["exact"] for one in ones])
    gap = np.array([one["simulated"] for one in ones]) - exact
    off = np.array([one["off"] for one in ones])
    return (
        name, str(len(ones)), f"{exact.min():.3f} to {exact.max():.3f}", f"{gap.mean():+.4f}",
        f"{np.sqrt((off**2).mean()):.2f}", f"{off[np.abs(off).argmax()]:+.1f}",
    )  # fmt: skip
