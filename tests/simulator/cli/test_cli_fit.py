"""``pointsleft fit`` on a tiny invented table.

A table of two dozen games cannot carry the shipped bases, so these are coarse ones; everything
else is the command as it is: reader, resamples, cards, hashes, going on after an interruption.
"""

from __future__ import annotations

import json
from pathlib import Path

import joblib
import numpy as np
import polars as pl
import pytest
from click.testing import CliRunner, Result
from invented_facts import table_to_fit
from pointsleft.cli.main import main
from pointsleft_models.fitting.basis import Basis, Bends, Levels, Line, Term
from pointsleft_models.fitting.store import load_fit
from pointsleft_models.recipes import enough, everything, level_fits, next_score, wins
from pointsleft_models.recipes.going import GOING
from pointsleft_models.recipes.kicking import KICKING
from pointsleft_models.recipes.passing import PASSING
from pointsleft_models.recipes.playthrough_fit import FittedPlaythrough

#: What points need of the kicks, and a family that needs participation data.
FEW = {
    "kicking": tuple(c for c in KICKING if c.name == "extra point" or "kickoff" in c.name),
    "going": tuple(c for c in GOING if not c.is_yardage),
    "passing": tuple(c for c in PASSING if c.name in ("fumbled", "complete+pressure")),
}


def coarse_questions() -> dict[str, Basis]:
    spots = Bends("yards_to_goal", (1, 30, 70, 99))
    leads = Bends("lead", (-14, 0, 14))
    basis = Basis((Term((spots,), 10.0), Term((Levels("down", 4),), 10.0), Term((leads,), 10.0)))
    return dict.fromkeys(("td", "other", "theirs", "td_opp", "fg", "fg_opp"), basis)


def coarse_wins() -> Basis:
    ahead = Bends("effective", (-4, 0, 4))
    return Basis((Term((ahead,), 300.0), Term((Line("home"),), 300.0)))


def no_playthrough(*_: object, **__: object) -> FittedPlaythrough:
    """Two dozen games have too few kicks and flags for the parts of whole games."""
    return FittedPlaythrough({"teams": np.ones(6)}, {}, {})


@pytest.fixture(autouse=True)
def coarse(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(everything, "LAWS", FEW)
    monkeypatch.setattr(enough, "ALONE_GAMES", 16)
    monkeypatch.setattr(enough, "FEWEST_GAMES", 16)
    monkeypatch.setattr(enough, "FEWEST_SNAPS", 5)
    monkeypatch.setattr(everything, "fit_playthrough", no_playthrough)
    for module in (everything, next_score, level_fits):
        monkeypatch.setattr(module, "next_score_bases", coarse_questions)
    for module in (everything, wins, level_fits):
        monkeypatch.setattr(module, "win_basis", coarse_wins)


@pytest.fixture(scope="module")
def table(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("plays") / "plays.csv"
    table_to_fit(1, 16).write_csv(path)
    return path


def fit(table: Path, out: Path, *more: object, refits: int = 5) -> Result:
    arguments = ["fit", "--plays", table, "--out", out, "--refits", refits, "--workers", 1, *more]
    return CliRunner().invoke(main, list(map(str, arguments)))


def hashes(result: Result) -> dict[str, str]:
    return {name: about["hash"] for name, about in json.loads(result.stdout)["fits"].items()}


def test_every_family_is_fitted_and_named(table: Path, tmp_path: Path) -> None:
    out = tmp_path / "fits"
    before = table.read_bytes()
    result = fit(table, out)
    assert result.exit_code == 0, result.output
    assert str(out) in result.stdout
    for name in ("next-score", "wins", *FEW):
        assert name in result.stdout
        stored = load_fit(out, name)
        assert stored.card.level == "professional"
        assert stored.card.refits == 5
        assert stored.card.games == 16
        assert stored.card.seasons == (2018, 2019)
        assert stored.digest[:12] in result.stdout
    assert "participation" in result.stderr  # what is left out is said
    assert not any(n.startswith("complete+pressure") for n in load_fit(out, "passing").arrays)
    assert table.read_bytes() == before


def same_fits(table: Path, tmp_path: Path) -> dict[str, str]:
    one, two = (fit(table, tmp_path / name, "--json") for name in ("a", "b"))
    assert one.stderr == two.stderr == ""
    assert hashes(one) == hashes(two)
    return hashes(one)


def test_the_same_seed_gives_the_same_fits_and_another_does_not(
    table: Path, tmp_path: Path
) -> None:
    mine = same_fits(table, tmp_path)
    other = hashes(fit(table, tmp_path / "c", "--seed", 5, "--json"))
    assert all(mine[name] != other[name] for name in ("next-score", "wins", "going"))


def test_fits_that_do_not_follow_the_seed_would_be_seen(
    table: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import numpy as np

    honest = np.random.default_rng
    monkeypatch.setattr(everything.np.random, "default_rng", lambda *a: honest())
    with pytest.raises(AssertionError):
        same_fits(table, tmp_path)


def test_the_number_of_workers_changes_nothing(table: Path, tmp_path: Path) -> None:
    one = hashes(fit(table, tmp_path / "a", "--json"))
    with joblib.parallel_config(backend="threading"):  # a process would not see the coarse bases
        two = hashes(fit(table, tmp_path / "b", "--json", "--workers", 2))
    assert one == two


def test_an_interrupted_run_goes_on_where_it_stopped(
    table: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "fits"
    whole = hashes(fit(table, out, "--json"))
    for path in out.glob("going*"):
        path.unlink()
    (out / "wins.npz").write_bytes((out / "wins.npz").read_bytes()[:100])  # broken off
    again: list[str] = []
    honest = everything._fit_laws

    def counted(plan: object, name: str, *rest: object) -> str:
        again.append(name)
        return honest(plan, name, *rest)  # type: ignore[arg-type]

    monkeypatch.setattr(everything, "_fit_laws", counted)
    kept = {p.name: p.stat().st_mtime_ns for p in out.glob("next-score*")}
    assert hashes(fit(table, out, "--json")) == whole
    assert again == ["going"]
    assert {p.name: p.stat().st_mtime_ns for p in out.glob("next-score*")} == kept


def test_other_plays_are_fitted_again(table: Path, tmp_path: Path) -> None:
    out = tmp_path / "fits"
    first = hashes(fit(table, out, "--json"))
    fewer = tmp_path / "fewer.csv"
    table_to_fit(2, 16).write_csv(fewer)
    second = hashes(fit(fewer, out, "--json"))
    assert all(first[name] != second[name] for name in first if name != "playthrough")


def test_a_table_that_says_too_little_is_one_message(table: Path, tmp_path: Path) -> None:
    bare = tmp_path / "bare.csv"
    lines = table.read_text().splitlines()
    at = lines[0].split(",").index("kick_result")
    bare.write_text("\n".join(_without(line, at) for line in lines) + "\n")
    result = fit(bare, tmp_path / "fits")
    assert result.exit_code == 1
    assert "bare.csv" in result.stderr
    assert "'extra point' is fitted on made" in result.stderr
    assert "docs/play-table.md" in result.stderr
    assert "Traceback" not in result.output
    assert result.stdout == ""


def _without(line: str, at: int) -> str:
    cells = line.split(",")
    return ",".join(cells[:at] + cells[at + 1 :])


def test_a_table_that_is_too_small_names_the_minimum(
    table: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.undo()  # the real minima and bases
    for level, least in (("professional", 100), ("prep", 20)):
        rules = () if level == "professional" else ("--rules", "college")
        result = fit(table, tmp_path / "fits", "--level", level, *rules)
        assert result.exit_code == 1
        assert f"16 games; it takes {least}" in result.stderr
        assert "Traceback" not in result.output
        assert not (tmp_path / "fits").exists()


def test_a_broken_table_is_told_everything_at_once(table: Path, tmp_path: Path) -> None:
    import polars as pl

    plays = pl.read_csv(table).filter(pl.col("kind") != "kickoff")
    bare = plays.with_columns(offense_score=0, defense_score=0, kick_result=None)
    broken = tmp_path / "broken.csv"
    bare.drop("touchdown", "defense_touchdown", "safety", strict=False).write_csv(broken)
    result = fit(broken, tmp_path / "fits")
    assert result.exit_code == 1
    assert "no kickoffs" in result.stderr
    assert "no snap is followed by" in result.stderr


@pytest.fixture
def leaned(table: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Coarse professional fits, which another level finds where it looks for the shipped ones."""
    from pointsleft_models import bundle

    folder = tmp_path / "professional"
    assert fit(table, folder).exit_code == 0
    honest = bundle.load_models

    def load(level: str = "professional", where: object = None) -> bundle.Models:
        return honest(level, folder if level == "professional" else where)  # type: ignore[arg-type]

    monkeypatch.setattr(bundle, "FAMILIES", ("next-score", "wins", *FEW))
    monkeypatch.setattr(bundle, "LAW_FAMILIES", tuple(FEW))
    monkeypatch.setattr(bundle, "load_models", load)
    monkeypatch.setenv("POINTSLEFT_LEVELS", str(tmp_path / "levels"))
    return folder


def other_table(tmp_path: Path) -> Path:
    """Another level's plays, which say nothing of throws."""
    path = tmp_path / "prep.csv"
    table_to_fit(5, 24).drop("air_yards", "yards_after_catch").write_csv(path)
    return path


def test_another_level_leans_borrows_and_is_found_by_its_name(leaned: Path, tmp_path: Path) -> None:
    from pointsleft_models import bundle

    plays, out = other_table(tmp_path), tmp_path / "prep"
    result = fit(plays, out, "--level", "prep", "--rules", "college", "--keep")
    assert result.exit_code == 0, result.output
    assert "borrowed: the plays do not say air_yards" in result.stdout
    assert "Kept as level prep" in result.stdout
    models = bundle.load_models("prep")
    assert models.leans_on == "professional"
    assert models.rules_level == "college"
    assert "fumbled" in models.borrowed["passing"]
    card = load_fit(out, "next-score").card
    assert set(card.settings["settled"]) == {"td", "other", "theirs", "td_opp", "fg", "fg_opp"}
    assert card.level == "prep"
    assert "seven next scores" in card.scores
    again = fit(plays, out, "--level", "prep", "--rules", "college", "--json")
    assert json.loads(again.stdout)["fits"]["passing"]["settled"]["fumbled"]["how"] == "borrowed"


def test_an_interrupted_level_goes_on_to_the_same_arrays(leaned: Path, tmp_path: Path) -> None:
    plays, out = other_table(tmp_path), tmp_path / "prep"
    asked = "--level", "prep", "--rules", "college", "--json"
    whole = hashes(fit(plays, out, *asked))
    for path in (*out.glob("wins*"), *out.glob("going*")):
        path.unlink()
    assert hashes(fit(plays, out, *asked)) == whole
    with joblib.parallel_config(backend="threading"):
        two = fit(plays, tmp_path / "two", *asked, "--workers", 2)
    assert hashes(two) == whole


def test_what_is_shipped_is_never_shadowed(leaned: Path, table: Path, tmp_path: Path) -> None:
    result = fit(table, tmp_path / "out", "--keep")
    assert result.exit_code == 2
    assert "level professional is shipped" in result.stderr
    unruled = fit(table, tmp_path / "out", "--level", "prep")
    assert unruled.exit_code == 2
    assert "say whose rules it plays under" in unruled.stderr
    odd = fit(table, tmp_path / "out", "--level", "../elsewhere", "--rules", "college", "--keep")
    assert odd.exit_code == 2
    assert "no name of a level" in odd.stderr


def test_a_level_without_a_name_takes_no_other_away(
    leaned: Path, table: Path, tmp_path: Path
) -> None:
    mine = tmp_path / "levels" / "mine" / "wins.json"
    mine.parent.mkdir(parents=True)
    mine.write_text("{}")
    result = fit(table, tmp_path / "out", "--level", "", "--rules", "college", "--keep")
    assert result.exit_code == 2
    assert "'' is no name of a level" in result.stderr
    assert mine.is_file()


def test_a_folder_holds_one_level(leaned: Path, tmp_path: Path) -> None:
    before = {path.name: path.read_bytes() for path in leaned.iterdir()}
    result = fit(other_table(tmp_path), leaned, "--level", "prep", "--rules", "college")
    assert result.exit_code == 1
    assert "holds fits of level professional; give level prep a folder of its own" in result.stderr
    assert {path.name: path.read_bytes() for path in leaned.iterdir()} == before


def test_games_that_are_left_out_are_named(table: Path, tmp_path: Path) -> None:
    plays = table_to_fit(1, 20)
    odd = plays["game"][3]
    path = tmp_path / "odd.csv"
    wrong = pl.when(pl.int_range(pl.len()) == 3)
    plays.with_columns(down=wrong.then(7).otherwise(pl.col("down"))).write_csv(path)
    refused = fit(path, tmp_path / "out")
    assert refused.exit_code == 1
    assert "--leave-out" in refused.stderr
    done = fit(path, tmp_path / "out", "--leave-out")
    assert done.exit_code == 0, done.output
    assert "1 games left out:" in done.stderr
    assert str(odd) in done.stderr
    again = json.loads(fit(path, tmp_path / "out", "--leave-out", "--json").stdout)
    assert list(again["left_out"]) == [odd]


def test_whose_rules_count_for_what_is_done(tmp_path: Path) -> None:
    """Of plays that say their level themselves, so that nothing else tells the two runs apart."""
    table = tmp_path / "plays.csv"
    table_to_fit(1, 16).with_columns(level=pl.lit("professional")).write_csv(table)
    assert fit(table, tmp_path / "a").exit_code == 0
    under_others = fit(table, tmp_path / "a", "--rules", "college", "--json")
    wins = load_fit(tmp_path / "a", "wins").card.settings["rules"]
    assert under_others.exit_code == 0, under_others.output
    assert wins.startswith("college")


@pytest.mark.parametrize(
    ("source", "code", "message"),
    [("nowhere.csv", 2, "no such file"), ("film", 2, "no source of plays")],
)
def test_a_source_that_is_none(tmp_path: Path, source: str, code: int, message: str) -> None:
    result = fit(Path(source), tmp_path / "fits")
    assert result.exit_code == code
    assert message in result.stderr
    assert not (tmp_path / "fits").exists()


def test_faults_of_a_table_leave_with_one(table: Path, tmp_path: Path) -> None:
    bad = tmp_path / "bad.csv"
    bad.write_text(table.read_text().replace("pass,", "moonshot,"))
    result = fit(bad, tmp_path / "fits", "--json")
    assert result.exit_code == 1
    assert "moonshot" in json.loads(result.stdout)["error"]
    assert not (tmp_path / "fits").exists()


def test_one_season_is_scored_on_games_held_out(table: Path, tmp_path: Path) -> None:
    one = tmp_path / "one.csv"
    table_to_fit(2, 16, seasons=(2019,)).write_csv(one)
    found = json.loads(fit(one, tmp_path / "fits", "--json").stdout)["fits"]
    score = found["going"]["scores"]["go lost"]
    assert 0 < score["log_loss"] < 1
    assert 0 < score["marginal"] < 1
    assert score["log_loss"] != score["marginal"]
