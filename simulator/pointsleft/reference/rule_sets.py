"""docs/rule-sets.md, from the table of rule sets."""

from __future__ import annotations

import ast
import csv
from collections.abc import Iterable
from dataclasses import fields
from importlib.resources import files
from itertools import groupby
from pathlib import Path

from pointsleft_models.football.rules import RuleSet, rule_sets

from pointsleft.reference.markdown import table

_HEAD = """# Rule sets

<!-- Made by `python -m pointsleft.reference`; edit rules.csv, and rule_columns.csv for words. -->

A rule set is a level and a season: one row of `pointsleft_models/football/rules.csv`. The game
sheet of a log picks it (`level`, `season`), as do `--level` and `--season` of `pointsleft value`.
One fit serves all of them: what a kickoff is worth and what a try brings follow from the row.

The rows were taken from digests of the rule books, not from the books: confirm a row against the
year's book before you rely on it. What was put down from memory and not looked up at all is
marked. A column that moves no value yet is kept for the rules it states, and marked as well. The
clock rules move the seconds that a snap takes, here and in games played through, and not what a
situation is worth with so much left on the clock: that was tried on a college season and is no
better ([bench.md](bench.md#the-clock-of-other-rules)).
"""

_ADD = """## Adding one

Add a row to `rules.csv` with every column filled in; an empty cell means that the rule does not
exist at that level. If kickoff spot and touchback spot are a pair that no season of the data has,
say in `pointsleft_models/laws/kickoff.py` which season's law to borrow and how to move it. Then run
`make docs` and `make test`.
"""


def _columns() -> list[dict[str, str]]:
    text = files(__package__).joinpath("rule_columns.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


def used_columns() -> set[str]:
    """Columns of a rule set that some code asks for, by the attributes that our modules name."""
    named: set[str] = set()
    for package in ("pointsleft_models", "pointsleft"):
        for path in Path(str(files(package))).rglob("*.py"):
            tree = ast.parse(path.read_text(encoding="utf-8"))
            named |= {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
    return named & {field.name for field in fields(RuleSet)}


def rule_sets_page() -> str:
    """The whole page."""
    used = used_columns()
    about = (
        (
            f"`{row['column']}`", row["meaning"], row["unit"], row["source"],
            (row["only"] or "yes") if row["column"] in used else "not yet",
        )
        for row in _columns()
    )  # fmt: skip
    parts = [
        _HEAD,
        "## Columns\n\n" + table(("column", "meaning", "unit", "source", "moves a value"), about),
    ]
    for level, sets in groupby(rule_sets(), key=lambda rules: rules.level):
        parts.append(f"## {level.capitalize()}\n\n{_level(list(sets))}")
    parts.append(_ADD)
    return "\n".join(parts)


def _level(sets: list[RuleSet]) -> str:
    rows = ((f"`{row['column']}`", _by_season(sets, row["column"])) for row in _columns())
    return table(("column", "by season"), rows)


def _by_season(sets: Iterable[RuleSet], column: str) -> str:
    spans = []
    for value, run in groupby(sets, key=lambda rules: getattr(rules, column)):
        seasons = [rules.season for rules in run]
        spans.append((_cell(value), seasons[0], seasons[-1]))
    if len(spans) == 1:
        return spans[0][0]
    return "; ".join(
        f"{value} ({first})" if first == last else f"{value} ({first} to {last})"
        for value, first, last in spans
    )


def _cell(value: object) -> str:
    if value is None:
        return "none"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:g}" if isinstance(value, float) else str(value)
