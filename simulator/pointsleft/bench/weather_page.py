"""The measured page of what cold and wind move."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from pointsleft.bench.markdown import Lines, paragraph, table

#: Wind and cold of the published study, log odds (table 1).
STUDY = (-0.140, -0.341)


def weather(data: Any) -> Lines:
    """The section of the weather."""
    return [
        "## What cold and wind move",
        "",
        *paragraph(
            f"""Outdoor games of the archive whose weather is known: wind of {data["windy"]} miles
            an hour or more, {data["cold"]} F or colder. Each play is held against its law of the
            average day; what is given is how far such a day lies from a calm and mild one, with the
            standard error by game: log odds that it comes off, or yards by which the other side
            starts farther up. *Unseen* is the change of the mean loss (log loss, or squared yards)
            on seasons that were left out, with a 90% interval by game: below nothing, knowing the
            weather helps."""
        ),
        "",
        *table(
            ("what", "plays", "unit", "windy", "cold", "mean loss", "unseen", "90% interval"),
            [_row(one) for one in data["moved"]],
        ),
        "",
        *paragraph(
            f"""Beside it a published study of field goals (Clark, Johnson and Stimpson 2013): wind
            {STUDY[0]:+.3f}, cold {STUDY[1]:+.3f}{_sums(data["moved"])}. It tells neither how much
            wind nor how much cold it means, and a windy day is often a cold one, so the two may
            share what they do otherwise. The tool moves field goals by the study, punts from the
            own half by this table, and nothing else: for the rest, knowing the weather does not
            foretell the seasons left out."""
        ),
    ]


def _sums(moved: Sequence[Mapping[str, Any]]) -> str:
    """Wind and cold together, by the study and by the archive."""
    for one in moved:
        if one["what"] == "field goals":
            own = one["wind"][0] + one["cold"][0]
            return f", together {sum(STUDY):+.2f} where the archive has {own:+.2f}"
    return ""


def _row(one: Mapping[str, Any]) -> tuple[str, ...]:
    log_odds = one["unit"] == "log odds"
    few, many = (3, 6) if log_odds else (2, 3)
    unseen = one["unseen"]
    return (
        one["what"], f"{one['plays']:,}", one["unit"],
        *(f"{value:+.{few}f} ± {error:.{few}f}" for value, error in (one["wind"], one["cold"])),
        f"{one['loss']:.{4 if log_odds else 1}f}", f"{unseen['value']:+.{many}f}",
        f"{unseen['low']:+.{many}f} to {unseen['high']:+.{many}f}",
    )  # fmt: skip
