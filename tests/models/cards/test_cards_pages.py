"""The cards as files: counts, pictures and pages."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner
from pointsleft.report import palette
from pointsleft_models.bundle import Models
from pointsleft_models.cards import make
from pointsleft_models.cards.__main__ import command
from pointsleft_models.cards.counted import Counted, CountedError, Panel, Series, read_counted
from pointsleft_models.cards.draw import draw, drawn_from, style
from pointsleft_models.cards.page import about, card_page, components, index_page

PANEL = Panel(
    "complete: by air yards",
    "air yards",
    (
        Series("outside", (0.0, 10.5), (40.0, 30.25), (100.0, 80.0), (0.41, 0.3)),
        Series("middle", (1.0, 9.0), (55.0, 30.0), (90.0, 81.0), (0.6, 0.35)),
    ),
)
WORDS = Panel("by gap", "", (Series("all", (0.0, 1.0), (3.0, 9.0), (9.0, 9.0), (0.3, 0.9)),),
              ("middle", "end"), by_games=True)  # fmt: skip
COUNTED = Counted("passing", "abc", "invented plays", (PANEL, WORDS))


def test_counts_come_back_from_their_file(tmp_path: Path) -> None:
    path = tmp_path / "passing.json"
    path.write_text(COUNTED.text(), encoding="utf-8")
    assert read_counted(path) == COUNTED


@pytest.mark.parametrize("text", ["", "{", '{"format": 99}'])
def test_a_damaged_file_is_refused_with_what_to_do(tmp_path: Path, text: str) -> None:
    path = tmp_path / "passing.json"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(CountedError, match=r"passing\.json"):
        read_counted(path)


def test_wilson_intervals_hold_the_share() -> None:
    """90% Wilson interval of 40 in 100: .3227 to .4824 (worked out by hand from the formula)."""
    low, high = PANEL.series[0].intervals()
    assert low[0] == pytest.approx(0.3227, abs=5e-4)
    assert high[0] == pytest.approx(0.4824, abs=5e-4)


def test_a_picture_says_what_it_was_drawn_from(tmp_path: Path) -> None:
    path = tmp_path / "passing.png"
    draw(COUNTED, path)
    assert drawn_from(path) == COUNTED.digest()
    other = Counted("passing", "abc", "other plays", (PANEL,))
    assert other.digest() != COUNTED.digest()


def test_the_style_has_the_colours_of_the_report() -> None:
    """The models never import the report, so its colours stand here twice: in one file each."""
    text = Path(style()).read_text(encoding="utf-8")
    used = {f"#{word.strip(chr(39))}" for word in _colours(text)}
    assert used == {
        palette.PAPER, palette.INK, palette.VIOLET, palette.OCHRE, palette.STONE, palette.HAIR
    }  # fmt: skip


def _colours(text: str) -> list[str]:
    import re

    settings = "\n".join(line for line in text.splitlines() if not line.startswith("#"))
    return re.findall(r"\b[0-9a-f]{6}\b", settings)


def test_every_fit_and_component_is_told_in_words(models: Models) -> None:
    for name in models.fits:
        card, words = models.fits[name].card, about()[name]
        assert {"title", "what", "judgement", "limits"} <= set(words)
        told = set(words.get("components", {card.name}))
        assert told == set(components(card))
        for settings in components(card).values():
            for term in settings["basis"]:
                for axis in term["axes"]:
                    assert axis["variable"] in {*about()["variables"], "yards"}


def test_a_card_gives_scores_beside_the_marginal(models: Models) -> None:
    page = card_page(models.fits["passing"], COUNTED, None)
    score = models.fits["passing"].card.scores["complete"]
    assert f"| {score['log_loss']:.4f} | {score['marginal']:.4f} |" in page
    assert "needs participation data" in page
    assert models.fits["passing"].card.credit in page
    assert "**Counted beside an earlier fit.**" in page


def test_a_card_of_laws_shows_them_beside_others(models: Models) -> None:
    less = {"value": -0.05, "low": -0.06, "high": -0.04}
    law = {
        "family": "rushing", "component": "run", "log_loss": {"ours": 2.7, "frequency": 2.75,
        "boosted": 2.69}, "less": {"frequency": less, "boosted": {"value": 0.01, "low": -0.002,
        "high": 0.022}},
    }  # fmt: skip
    bench = {"laws": {"data": {"laws": [law]}}}
    text = card_page(models.fits["rushing"], None, bench)
    assert "| `run` | 2.7000 | 2.7500 (-0.0600 to -0.0400) | 2.6900 (-0.0020 to +0.0220) |" in text
    assert "(../img/laws/rushing.png)" in text
    assert "img/laws" not in card_page(models.fits["passing"], None, bench)


def test_a_card_of_a_value_takes_its_scores_from_the_bench(models: Models) -> None:
    learners = [
        {"learner": "ours", "log_loss": 0.51234, "brier": 0.2, "less": None},
        {"learner": "trees", "log_loss": 0.52, "brier": 0.21,
         "less": {"value": -0.00766, "low": -0.009, "high": -0.006}},
    ]  # fmt: skip
    task = {"task": "winner", "seasons": [2009, 2019], "learners": learners}
    text = card_page(models.fits["wins"], None, {"scores": {"data": {"tasks": [task]}}})
    assert "| ours | 0.51234 | 0.20000 |  |" in text
    assert "| trees | 0.52000 | 0.21000 | -0.00900 to -0.00600 |" in text
    other = {"scores": {"data": {"tasks": [{**task, "task": "another"}]}}}
    assert "0.51234" not in card_page(models.fits["wins"], None, other)
    assert "make bench" in card_page(models.fits["wins"], None, None)


def test_the_index_names_every_fit(models: Models) -> None:
    page = index_page(models)
    assert all(f"(cards/{name}.md)" in page for name in models.fits)


def test_without_plays_the_pictures_are_drawn_again(tmp_path: Path) -> None:
    folder = make.pictures(tmp_path)
    folder.mkdir(parents=True)
    (folder / "passing.json").write_text(COUNTED.text(), encoding="utf-8")
    absent = str(tmp_path / "no-such.parquet")
    done = CliRunner().invoke(command, ["--plays", absent, "--docs", str(tmp_path)])
    assert done.exit_code == 0
    assert "Nothing counted" in done.output
    assert "no-such.parquet" in done.output
    assert drawn_from(folder / "passing.png") == COUNTED.digest()
    assert (tmp_path / "cards" / "passing.md").is_file()
