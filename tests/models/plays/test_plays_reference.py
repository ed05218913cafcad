"""The reference page of the play table says what the schema says."""

from __future__ import annotations

from pathlib import Path

from pointsleft_models.plays.complete import DERIVED
from pointsleft_models.plays.reference import reference_page
from pointsleft_models.plays.schema import BY_NAME, REQUIRED

PAGE = Path(__file__).parents[3] / "docs" / "play-table.md"


def test_the_committed_page_is_current() -> None:
    assert PAGE.read_text(encoding="utf-8") == reference_page(), (
        "write it again: python -m pointsleft_models.plays.reference > docs/play-table.md"
    )


def test_every_column_has_its_row() -> None:
    rows = {
        line.split("|")[1].strip(" `"): line
        for line in reference_page().splitlines()
        if line.startswith("| `")
    }
    assert set(rows) == set(BY_NAME)
    for name, column in BY_NAME.items():
        cells = [cell.strip() for cell in rows[name].split("|")[1:-1]]
        assert cells[5] == column.meaning
        assert cells[2] == column.unit
        assert cells[4] == ("required" if column.required else
                            "derived" if name in DERIVED else "")  # fmt: skip
        for word in column.words:
            assert f"`{word}`" in cells[3]
    assert not set(REQUIRED) & set(DERIVED)
    assert set(DERIVED) < set(BY_NAME)
