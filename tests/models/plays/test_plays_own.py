"""A table of one's own: read whole, however a spreadsheet left it, or refused with every fault."""

from __future__ import annotations

import hashlib
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import polars as pl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented_plays import TRUTHS, invented_table
from pointsleft_models.plays.checking import PlayTableError
from pointsleft_models.plays.complete import DERIVED
from pointsleft_models.plays.own import read_own
from pointsleft_models.plays.schema import BY_NAME, REQUIRED
from pointsleft_models.plays.table_out import write_plays


def whole(seed: int) -> pl.DataFrame:
    """Invented games with every column of the schema, as a reading gives them."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "plays.parquet"
        invented_table(seed).write_parquet(path)
        return read_own(path).plays


@settings(max_examples=20, deadline=None)
@given(
    seed=st.integers(0, 500),
    suffix=st.sampled_from([".csv", ".parquet"]),
    lost=st.sets(st.sampled_from(sorted(DERIVED))),
)
def test_a_reading_written_and_read_again_is_the_same(
    seed: int, suffix: str, lost: set[str]
) -> None:
    plays = whole(seed)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"plays{suffix}"
        write_plays(plays.drop(lost - {"no_play"}), path)
        again = read_own(path)
    assert again.left_out == {}
    for name in plays.columns:
        assert again.plays[name].equals(plays[name]), name


def spoiled(plays: pl.DataFrame, separator: str, encoding: str, newline: str) -> bytes:
    """A CSV as a spreadsheet of another country might leave it."""
    words = pl.col(pl.Boolean)
    cells = plays.with_columns(
        pl.when(words).then(pl.lit("Yes")).when(~words).then(pl.lit("no")).name.keep(),
        pl.col("kind").str.to_titlecase().str.replace(" ", "_"),
        (pl.col("distance").cast(pl.Float64)),
        pl.format(
            "{}:{}",
            pl.col("clock") // 60,
            (pl.col("clock") % 60).cast(pl.String).str.zfill(2),
        ).alias("clock"),
        pl.col("home_spread").cast(pl.String).str.replace(".", ",", literal=True),
    )
    text = cells.rename(lambda name: name.replace("_", " ").title()).write_csv(
        separator=separator, null_value="NA", line_terminator=newline
    )
    return (text + newline).encode(encoding)


@pytest.mark.parametrize(
    ("separator", "encoding", "newline"),
    [(";", "utf-8-sig", "\r\n"), ("\t", "utf-16", "\r\n"), (";", "utf-8", "\n")],
)
def test_what_spreadsheets_do_is_undone(
    tmp_path: Path, separator: str, encoding: str, newline: str
) -> None:
    plays = invented_table(4).with_columns(home_spread=pl.lit(-3.5))
    path = tmp_path / "plays.csv"
    path.write_bytes(spoiled(plays, separator, encoding, newline))
    read = read_own(path).plays
    for name in plays.columns:
        assert read[name].equals(plays[name]), name


def test_none_is_a_next_score_and_no_missing_value(tmp_path: Path) -> None:
    plays = invented_table(2)
    plays.write_csv(tmp_path / "plays.csv")
    read = read_own(tmp_path / "plays.csv").plays
    assert (read["next_score"] == "none").sum() == (plays["next_score"] == "none").sum() > 0


def test_only_required_columns_are_needed(tmp_path: Path) -> None:
    plays = invented_table(4)
    plays.select(REQUIRED).write_csv(tmp_path / "plays.csv")
    reading = read_own(tmp_path / "plays.csv")
    assert reading.plays.columns == list(BY_NAME)
    assert reading.plays["lead"].equals(plays["lead"])
    assert reading.plays["shotgun"].null_count() == len(plays)


def test_columns_that_are_not_ours_are_ignored(tmp_path: Path) -> None:
    plays = invented_table(4).with_columns(mood=pl.lit("=1+1"))
    plays.write_csv(tmp_path / "plays.csv")
    assert "mood" not in read_own(tmp_path / "plays.csv").plays.columns


def test_text_that_would_run_as_a_formula_comes_back_as_it_was(tmp_path: Path) -> None:
    named = {"Alder": "=Alder", "Birch": "'+Birch", "Cedar": "@Cedar"}
    teams = pl.col("home", "away", "offense", "defense").replace(named)
    plays = invented_table(4, games=4).with_columns(teams)
    write_plays(plays, tmp_path / "plays.csv")
    text = (tmp_path / "plays.csv").read_text()
    assert ",=Alder" not in text
    assert ",@Cedar" not in text
    assert "'=Alder" in text or "'@Cedar" in text or "''+Birch" in text
    read = read_own(tmp_path / "plays.csv").plays
    assert read["offense"].equals(plays["offense"])


def test_the_file_is_not_touched(tmp_path: Path) -> None:
    path = tmp_path / "plays.csv"
    invented_table(4).write_csv(path)
    before = hashlib.sha256(path.read_bytes()).hexdigest(), path.stat().st_mtime_ns
    path.chmod(0o444)
    read_own(path)
    assert (hashlib.sha256(path.read_bytes()).hexdigest(), path.stat().st_mtime_ns) == before


def test_a_game_that_does_not_add_up_is_left_out_by_name(tmp_path: Path) -> None:
    plays = invented_table(4).drop(TRUTHS)
    jump = pl.when((pl.col("game") == "g01") & (pl.col("period") == 4)).then(11).otherwise(0)
    plays = plays.with_columns(pl.col("offense_score", "defense_score") + jump)
    plays.write_csv(tmp_path / "plays.csv")
    reading = read_own(tmp_path / "plays.csv")
    assert list(reading.left_out) == ["g01"]
    assert (reading.games_read, reading.finals_reproduced) == (2, 1)
    assert reading.plays["game"].unique().to_list() == ["g00"]


def test_when_no_game_adds_up_the_reasons_are_the_message(tmp_path: Path) -> None:
    plays = invented_table(4, games=1).drop(TRUTHS)
    jump = pl.when(pl.col("period") == 4).then(11).otherwise(0)
    plays.with_columns(pl.col("offense_score", "defense_score") + jump).write_csv(
        tmp_path / "plays.csv"
    )
    with pytest.raises(PlayTableError, match=r"no game of it adds up\n  game 'g00': the score"):
        read_own(tmp_path / "plays.csv")


# ---------------------------------------------------------------- faults


def spoil(column: str, value: object, at: int = 40) -> pl.DataFrame:
    """An invented table with one cell of one snap changed (as text, so that anything fits)."""
    plays = invented_table(6).drop(TRUTHS)
    snaps = plays.with_row_index("at").filter(pl.col("down") > 1)["at"]
    here = pl.int_range(pl.len()) == snaps[at]
    cell = pl.when(here).then(pl.lit(str(value))).otherwise(pl.col(column).cast(pl.String))
    return plays.with_columns(cell.alias(column))


FAULTS = {
    "down": (5, "column down: 1 rows, e.g. 5 in game 'g00' play {play}; expected at most 4"),
    "distance": (120, "column distance: 1 rows, e.g. 120 in game 'g00' play {play}; expected at "
                      "most 99 yards"),
    "yards_to_goal": (0, "column yards_to_goal: 1 rows, e.g. 0 in game 'g00' play {play}; "
                         "expected at least 1 yards"),
    "clock": (901, "column clock: 1 rows, e.g. 901 in game 'g00' play {play}; expected at most "
                   "900 seconds"),
    "period": ("first", "column period: 1 cells, e.g. 'first' in row {row}; expected a whole "
                        "number"),
    "gain": ("3.5", "column gain: 1 cells, e.g. '3.5' in row {row}; expected a whole number"),
    "no_play": ("perhaps", "column no_play: 1 cells, e.g. 'perhaps' in row {row}; expected yes "
                           "or no"),
    "kind": ("heave", "column kind: 1 rows, e.g. 'heave' in game 'g00' play {play}; expected one "
                      "of pass, sack"),
    "offense": ("Nobody", "column offense: 1 rows, e.g. in game 'g00' play {play} it is "
                          "'Nobody'; expected"),
    "season": (2019, "column season: 1 games have several, e.g. game 'g00' has 2020 and 2019"),
}  # fmt: skip


@pytest.mark.parametrize("column", FAULTS)
@pytest.mark.parametrize("suffix", [".csv", ".parquet"])
def test_an_impossible_cell_is_named_with_its_place(
    tmp_path: Path, column: str, suffix: str
) -> None:
    value, message = FAULTS[column]
    plays = spoil(column, value)
    at = plays.with_row_index("at").filter(pl.col(column) == str(value)).row(0, named=True)
    path = tmp_path / f"plays{suffix}"
    write_plays(plays, path)
    with pytest.raises(PlayTableError) as caught:
        read_own(path)
    row = at["at"] + (2 if suffix == ".csv" else 1)
    assert message.format(play=at["play"], row=row) in str(caught.value)


def test_a_score_that_falls_is_named(tmp_path: Path) -> None:
    plays = spoil("offense_score", 0, at=150)
    path = tmp_path / "plays.csv"
    plays.write_csv(path)
    with pytest.raises(PlayTableError, match=r"team's score falls from \d+ to 0; a score never"):
        read_own(path)


def test_a_play_number_twice_is_named(tmp_path: Path) -> None:
    plays = invented_table(6)
    pl.concat([plays, plays[50:51]]).write_csv(tmp_path / "plays.csv")
    with pytest.raises(PlayTableError, match=r"column play: 2 rows, .* each play number once"):
        read_own(tmp_path / "plays.csv")


def test_columns_that_follow_from_others_must_agree(tmp_path: Path) -> None:
    invented_table(6).with_columns(-pl.col("lead")).write_csv(tmp_path / "plays.csv")
    with pytest.raises(PlayTableError, match=r"column lead: .* the required columns give"):
        read_own(tmp_path / "plays.csv")


def test_every_fault_stands_in_one_message(tmp_path: Path) -> None:
    plays = spoil("down", 5)
    plays = plays.with_columns(
        pl.when(pl.int_range(pl.len()) == 60)
        .then(pl.lit("120"))
        .otherwise(pl.col("distance").cast(pl.String))
        .alias("distance"),
        pl.when(pl.int_range(pl.len()) == 61)
        .then(pl.lit("soon"))
        .otherwise(pl.col("clock").cast(pl.String))
        .alias("clock"),
        pl.when(pl.int_range(pl.len()) == 150)
        .then(0)
        .otherwise(pl.col("offense_score"))
        .alias("offense_score"),
        pl.when(pl.int_range(pl.len()) == 151)
        .then(0)
        .otherwise(pl.col("defense_score"))
        .alias("defense_score"),
    )
    pl.concat([plays, plays[50:51]]).write_csv(tmp_path / "plays.csv")
    with pytest.raises(PlayTableError) as caught:
        read_own(tmp_path / "plays.csv")
    message = str(caught.value)
    assert message.startswith(f"{tmp_path / 'plays.csv'} has faults:")
    for part in ("column down", "column distance", "column clock", "column play", "score falls"):
        assert part in message, part


def test_a_cell_that_cannot_be_read_is_told_once(tmp_path: Path) -> None:
    """It is not empty besides; one that is empty still is."""
    row = pl.int_range(pl.len())
    season = pl.col("season").cast(pl.String)
    plays = invented_table(6).with_columns(
        season=pl.when(row == 5).then(pl.lit("last year")).otherwise(season)
    )
    path = tmp_path / "plays.csv"
    plays.write_csv(path)
    with pytest.raises(PlayTableError) as caught:
        read_own(path)
    assert str(caught.value).count("column season") == 1
    assert "'last year' in row 7" in str(caught.value)
    plays.with_columns(season=pl.when(row != 9).then("season")).write_csv(path)
    with pytest.raises(PlayTableError) as caught:
        read_own(path)
    assert str(caught.value).count("column season") == 2
    assert "column season: 1 rows, e.g. None" in str(caught.value)


def test_games_with_faults_can_be_left_out_and_the_others_are_read(tmp_path: Path) -> None:
    plays = invented_table(6, games=5).drop(TRUTHS).with_columns(pl.col("clock").cast(pl.String))
    at = pl.int_range(pl.len()).over("game") == 60

    def spoilt(column: str, game: str, value: object) -> pl.Expr:
        here = (pl.col("game") == game) & at
        return pl.when(here).then(pl.lit(value)).otherwise(pl.col(column)).alias(column)

    plays = plays.with_columns(spoilt("down", "g01", 5), spoilt("clock", "g03", "soon"))
    path = tmp_path / "plays.csv"
    pl.concat([plays, plays.filter((pl.col("game") == "g04") & at)]).write_csv(path)
    with pytest.raises(PlayTableError, match=r"3 games have faults, 2 have none: .*--leave-out"):
        read_own(path)
    reading = read_own(path, leave_out=True)
    assert reading.plays["game"].unique().sort().to_list() == ["g00", "g02"]
    assert (reading.games_read, reading.finals_reproduced) == (5, 2)
    assert list(reading.left_out) == ["g01", "g03", "g04"]
    for game, part in (("g01", "down: 1 rows, e.g. 5"), ("g03", "clock: 1 cells, e.g. 'soon'"),
                       ("g04", "play: 2 rows")):  # fmt: skip
        assert part in reading.left_out[game]


def test_when_every_game_has_faults_nothing_is_left_to_read(tmp_path: Path) -> None:
    path = tmp_path / "plays.csv"
    invented_table(6).with_columns(down=pl.lit(5)).write_csv(path)
    with pytest.raises(PlayTableError) as caught:
        read_own(path)
    assert "--leave-out" not in str(caught.value)
    with pytest.raises(PlayTableError, match="no game of it adds up"):
        read_own(path, leave_out=True)


def test_a_row_of_no_game_cannot_be_left_out(tmp_path: Path) -> None:
    path = tmp_path / "plays.csv"
    here = pl.int_range(pl.len()) == 60
    plays = invented_table(6).with_columns(
        pl.when(~here).then("game").alias("game"),
        pl.when(here).then(5).otherwise("down").alias("down"),
    )
    plays.write_csv(path)
    with pytest.raises(PlayTableError, match=r"column game: 1 rows.*expected a value"):
        read_own(path, leave_out=True)


def test_missing_columns_are_all_named_with_those_there_are(tmp_path: Path) -> None:
    invented_table(6).drop("clock", "distance").write_csv(tmp_path / "plays.csv")
    with pytest.raises(PlayTableError, match="lacks the columns clock, distance; it has game, s"):
        read_own(tmp_path / "plays.csv")


@pytest.mark.parametrize(
    ("name", "content", "message"),
    [
        ("a.csv", b"", "the file is empty"),
        ("a.csv", b"\n\n", "first line must name the columns"),
        ("a.csv", b"game,Game\n1,2\n", "the column Game more than once"),
        ("a.xls", b"x", "not .csv, .tsv, .txt or .parquet"),
        ("a.parquet", b"PAR1 and no more", "no readable Parquet file"),
    ],
)
def test_a_file_that_is_no_table_says_why(
    tmp_path: Path, name: str, content: bytes, message: str
) -> None:
    (tmp_path / name).write_bytes(content)
    with pytest.raises(PlayTableError, match=message):
        read_own(tmp_path / name)


def test_no_file(tmp_path: Path) -> None:
    with pytest.raises(PlayTableError, match="no such file"):
        read_own(tmp_path / "none.csv")


def test_header_alone(tmp_path: Path) -> None:
    invented_table(6)[:0].write_csv(tmp_path / "plays.csv")
    with pytest.raises(PlayTableError, match="no rows below the header"):
        read_own(tmp_path / "plays.csv")


def test_wrong_encoding_names_the_line(tmp_path: Path) -> None:
    plays = invented_table(6)
    lines = plays.write_csv().replace(plays["home"][0], "Ünder")
    (tmp_path / "plays.csv").write_bytes(lines.encode("latin-1"))
    with pytest.raises(PlayTableError, match=r"line \d+ is not UTF-8 \(byte 0x..\); save"):
        read_own(tmp_path / "plays.csv")


def test_a_line_with_too_many_cells_is_named(tmp_path: Path) -> None:
    lines = invented_table(6).write_csv().splitlines()
    lines[20] += ",more"
    (tmp_path / "plays.csv").write_text("\n".join(lines))
    with pytest.raises(PlayTableError, match=r"line 21 has 37 cells, the header 36"):
        read_own(tmp_path / "plays.csv")


def test_a_date_in_a_number_column_of_a_parquet_file(tmp_path: Path) -> None:
    invented_table(6).with_columns(distance=pl.lit("2020-03-04").str.to_date()).write_parquet(
        tmp_path / "plays.parquet"
    )
    with pytest.raises(PlayTableError, match="column distance is of type Date; expected a whole"):
        read_own(tmp_path / "plays.parquet")


# ---------------------------------------------------------------- large files


def test_a_large_file_without_a_column_is_refused_before_it_is_read(tmp_path: Path) -> None:
    path = tmp_path / "plays.csv"
    path.write_text("game,season,home,away\n")
    with path.open("ab") as file:
        file.truncate(200_000_000)
    start = time.perf_counter()
    with pytest.raises(PlayTableError, match="lacks the columns"):
        read_own(path)
    assert time.perf_counter() - start < 1


_MEASURE = """
import resource, sys
from pointsleft_models.plays.own import read_own
before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
reading = read_own(sys.argv[1])
print(len(reading.plays), resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before)
"""


@pytest.mark.skipif(sys.platform != "linux", reason="peak memory is counted in KiB on Linux only")
def test_memory_stays_a_small_multiple_of_the_file(tmp_path: Path) -> None:
    part = invented_table(6, games=4).with_columns(
        note=pl.lit("a column that is not ours, and long: " * 8)
    )
    copies = pl.concat(
        part.with_columns(pl.format("{}-{}", "game", pl.lit(n)).alias("game")) for n in range(100)
    )
    path = tmp_path / "plays.csv"
    copies.write_csv(path)
    size = path.stat().st_size
    assert size > 30_000_000
    result = subprocess.run(
        [sys.executable, "-c", _MEASURE, str(path)], capture_output=True, text=True, check=True
    )
    rows, peak = map(int, result.stdout.split())
    assert rows == len(copies)
    assert peak * 1024 < 6 * size
