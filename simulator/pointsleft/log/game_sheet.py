"""The game sheet: one item a row."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from pointsleft_models.football.rules import RuleSet, RuleSetError, rule_set, rule_sets

from pointsleft.log.cells import FORMULA, CellError
from pointsleft.log.faults import Fault
from pointsleft.log.parse import read_cell
from pointsleft.log.rows import Findings
from pointsleft.log.schema import GAME_COLUMNS, by_name, columns, plain
from pointsleft.log.sheets import RawSheet


@dataclass(frozen=True, slots=True)
class GameItems:
    """What the game sheet says. ``rules`` is ``None`` where they could not be told."""

    values: Mapping[str, object]
    rules: RuleSet | None
    extra: Mapping[str, str]

    def text(self, name: str, default: str = "") -> str:
        return str(self.values.get(name, default))

    @property
    def every_snap(self) -> bool:
        return self.values.get("snaps_logged", "all") == "all"


def read_game(sheet: RawSheet, findings: Findings) -> GameItems:
    """The items of the game sheet; anything wrong becomes a fault."""
    heads = [plain(h) for h in sheet.header]
    absent = [name for name in GAME_COLUMNS if name not in heads]
    if absent:
        findings.faults.append(
            Fault(sheet.name, 1, None, ", ".join(sheet.header), "two columns: item, value")
        )
        return GameItems({}, None, {})
    item_at, value_at = (heads.index(name) for name in GAME_COLUMNS)
    known = by_name("game")
    values: dict[str, object] = {}
    rows: dict[str, int] = {}
    extra: dict[str, str] = {}
    for number, row in zip(sheet.numbers, sheet.rows, strict=True):
        item, cell = row[item_at], row[value_at]
        column = known.get(plain(item))
        if column is None:
            if item.strip():
                extra[item] = cell
            elif cell.strip():
                findings.faults.append(Fault(sheet.name, number, "item", "", "an item"))
            continue
        if column.field in rows:
            first = rows[column.field]
            findings.faults.append(
                Fault(sheet.name, number, "item", item, f"this item once (also on row {first})")
            )
            continue
        rows[column.field] = number
        if not cell.strip():
            continue
        if cell.startswith(FORMULA):
            rows[column.field] = -number
            continue
        try:
            values[column.field], _ = read_cell(column, cell)
        except CellError as error:
            findings.faults.append(Fault(sheet.name, number, column.name, cell, str(error)))
            rows[column.field] = -number
    for column in columns("game"):
        filled = column.field in values or rows.get(column.field, 0) < 0
        if column.required and not filled:
            place = rows.get(column.field)
            findings.faults.append(Fault(sheet.name, place, column.name, "", column.meaning))
    return GameItems(values, _rules(sheet, values, rows, findings), extra)


def _rules(
    sheet: RawSheet, values: dict[str, object], rows: Mapping[str, int], findings: Findings
) -> RuleSet | None:
    if rows.get("season", 0) < 0 or rows.get("level", 0) < 0:
        return None
    if "level" not in values:
        findings.assumed.append("level: professional")
    level = str(values.setdefault("level", "professional"))
    season = values.get("season")
    if season is None:
        season = max(r.season for r in rule_sets() if r.level == level)
        values["season"] = season
        findings.assumed.append(f"season: {season}, the newest rule set")
    try:
        return rule_set(level, int(str(season)))
    except RuleSetError as error:
        findings.faults.append(
            Fault(sheet.name, rows.get("season"), "season", str(season), str(error))
        )
        return None
