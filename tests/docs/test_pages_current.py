"""The generated pages say what the code says now; pictures belong to the shipped fits."""

from __future__ import annotations

import importlib.util
from dataclasses import replace
from pathlib import Path
from types import ModuleType

import pytest
from pointsleft.pricing import judgement_table
from pointsleft.reference import worked
from pointsleft.reference.judgements import judgements_page
from pointsleft.reference.markdown import BlockError, filled, names
from pointsleft.reference.pages import WRITTEN, computed, generated, joined_blocks
from pointsleft.reference.rule_sets import _columns, used_columns
from pointsleft_models.bundle import FAMILIES, Models
from pointsleft_models.cards import make
from pointsleft_models.cards.counted import read_counted
from pointsleft_models.cards.draw import drawn_from
from pointsleft_models.football.rules import RuleSet

ROOT = Path(__file__).parents[2]
DOCS = ROOT / "docs"
HOW = "run: python -m pointsleft.reference (make docs)"


def relative(path: Path) -> str:
    return str(path.relative_to(ROOT))


@pytest.fixture(scope="module")
def now() -> dict[Path, str]:
    return generated(ROOT)


def test_two_computed_parts_of_one_name_are_refused() -> None:
    with pytest.raises(ValueError, match="two computed parts are named b; rename one"):
        joined_blocks({"a": str, "b": str}, {"b": str, "c": str})
    assert list(joined_blocks({"a": str}, {"b": str})) == ["a", "b"]


def test_generated_pages_are_current(now: dict[Path, str]) -> None:
    stale = [
        relative(path)
        for path, text in now.items()
        if not path.is_file() or path.read_text(encoding="utf-8") != text
    ]
    assert stale == [], HOW


def test_computed_parts_are_current() -> None:
    stale = [
        relative(path)
        for path, text in computed(ROOT).items()
        if path.read_text(encoding="utf-8") != text
    ]
    assert stale == [], HOW


def test_no_card_of_a_fit_that_is_gone(now: dict[Path, str]) -> None:
    cards = set((DOCS / "cards").glob("*.md"))
    assert cards == {path for path in now if path.parent.name == "cards"}


@pytest.mark.parametrize("name", FAMILIES)
def test_counts_and_pictures_belong_to_the_shipped_fits(name: str, models: Models) -> None:
    how = "run: python -m pointsleft_models.cards --participation FILE"
    counted = read_counted(make.pictures(DOCS) / f"{name}.json")
    assert counted.fit == models.fits[name].digest, how
    assert drawn_from(make.pictures(DOCS) / f"{name}.png") == counted.digest(), how


def picture_maker() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_picture", DOCS / "make_picture.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_picture_in_the_readme_is_current() -> None:
    maker = picture_maker()
    assert drawn_from(maker.PICTURE) == maker.digest(maker.demo()), (
        "run: python docs/make_picture.py"
    )


def test_a_changed_judgement_would_be_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    """Negative control."""
    before = judgements_page(DOCS)
    rows = dict(judgement_table.judgements())
    rows["rush.forty"] = replace(rows["rush.forty"], text="4.81")
    monkeypatch.setattr("pointsleft.reference.judgements.judgements", lambda: rows)
    assert judgements_page(DOCS) != before


def test_a_judgement_without_a_group_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    rows = dict(judgement_table.judgements())
    rows["new.row"] = replace(rows["rush.forty"], code="new.row")
    monkeypatch.setattr("pointsleft.reference.judgements.judgements", lambda: rows)
    with pytest.raises(ValueError, match=r"new\.row"):
        judgements_page(DOCS)


def test_every_computed_part_is_computed() -> None:
    known = {name for page in WRITTEN for name in names((ROOT / page).read_text(encoding="utf-8"))}
    assert set(worked.BLOCKS) <= known
    page = "a\n<!-- computed: no such part -->\nold\n<!-- end of computed -->\nb\n"
    with pytest.raises(BlockError, match="no such part"):
        filled(page, {"other": lambda: ""})


def test_computed_parts_are_replaced_and_the_rest_is_kept() -> None:
    page = "a\n<!-- computed: one -->\n\nold\n\n<!-- end of computed -->\nb\n"
    again = filled(page, {"one": lambda: "new\n"})
    assert again == "a\n<!-- computed: one -->\n\nnew\n\n<!-- end of computed -->\nb\n"
    assert filled(again, {"one": lambda: "new\n"}) == again


def test_every_column_of_a_rule_set_has_words_and_a_source() -> None:
    told = [row["column"] for row in _columns()]
    assert told == [name for name in RuleSet.__slots__ if name not in ("level", "season")]
    assert all(row["meaning"] and row["source"] for row in _columns())


def test_columns_in_use_are_found_in_the_code() -> None:
    used = used_columns()
    assert {"touchback", "kickoff_from", "two_minute_stop", "overtime"} <= used
    assert "lineman_downfield_yards" not in used
