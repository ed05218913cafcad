"""Two charters of one game: agreement, prices both ways, one merged log."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from pointsleft.cli.main import main
from pointsleft.game.price import price_game
from pointsleft.log import check_log, read_log, write_log
from pointsleft.log.record import WINDOWS, LoggedGame, Snap
from pointsleft.log.source import read_sheets
from pointsleft.pricing.settings import PriceSettings
from pointsleft.voices.agreement import Topic, agreement, window_distances
from pointsleft.voices.as_text import summary
from pointsleft.voices.compare import Comparison, NotOneGame, compare
from pointsleft.voices.match import match
from pointsleft.voices.merge import lead_of, merge
from pointsleft_models.bundle import Models

CLASS = Path(__file__).parents[3] / "data_demo" / "class"
EXACT = PriceSettings(draws=0, judgement_draws=2, refits=False)


@pytest.fixture(scope="module")
def games() -> tuple[LoggedGame, LoggedGame]:
    return read_log(CLASS / "tindlemere-01"), read_log(CLASS / "tindlemere-01-rk")


@pytest.fixture(scope="module")
def found(games: tuple[LoggedGame, LoggedGame], models: Models) -> Comparison:
    return compare(*games, models, draws=200, refits=False)


def topics(first: LoggedGame, second: LoggedGame) -> dict[str, Topic]:
    matched = match(first.snaps, second.snaps)
    pairs = [(first.snaps[i], second.snaps[j]) for i, j in matched.pairs]
    return {t.what: t for t in agreement(pairs, 0, np.random.default_rng(1))}


def test_a_charter_agrees_with_himself(games: tuple[LoggedGame, LoggedGame]) -> None:
    for topic in topics(games[0], games[0]).values():
        assert topic.agreed.value == 1
        assert topic.said_by_one == 0
        if topic.what != "choice set":
            assert topic.beyond_chance.value == pytest.approx(1)


def test_two_charters_agree_less_and_more_than_chance(found: Comparison) -> None:
    by = {t.what: t for t in found.topics}
    assert set(by) == {"choice set", "window", "chosen", "blame"}
    window = by["window"]
    assert window.agreed.value is not None
    assert 0.4 < window.agreed.value < 0.95
    assert window.beyond_chance.low is not None
    assert window.beyond_chance.low > 0.3
    assert sum(sum(row.values()) for row in window.counts.values()) == window.compared


def test_noise_put_in_is_noise_seen(games: tuple[LoggedGame, LoggedGame]) -> None:
    """Windows slipped by one word in a known share of cases; drawn anew there is none left."""
    first = games[0]
    rng = np.random.default_rng(7)

    def worded(snap: Snap, share: float, anew: bool) -> Snap:
        options = []
        for o in snap.options:
            if o.window in WINDOWS and rng.random() < share:
                at = WINDOWS.index(o.window)
                to = int(rng.integers(5)) if anew else at + (1 if at < 4 else -1)
                o = replace(o, window=WINDOWS[to])
            options.append(o)
        return replace(snap, options=tuple(options))

    slipped = replace(first, snaps=tuple(worded(s, 0.3, False) for s in first.snaps))
    anew = replace(first, snaps=tuple(worded(s, 1.0, True) for s in first.snaps))
    by = [topics(first, other)["window"] for other in (slipped, anew)]
    assert by[0].agreed.value == pytest.approx(0.7, abs=0.1)
    kappas = [t.beyond_chance.value for t in by]
    assert kappas[0] is not None
    assert kappas[1] is not None
    assert kappas[0] > 0.7
    assert abs(kappas[1]) < 0.25


def test_far_words_weigh_more_than_near_ones() -> None:
    far = window_distances()
    assert far[0, 4] > far[0, 1] > 0
    assert np.allclose(far, far.T)
    assert not far.diagonal().any()


def test_prices_are_those_of_each_log(
    games: tuple[LoggedGame, LoggedGame], found: Comparison, models: Models
) -> None:
    priced = [price_game(g, EXACT, models=models) for g in games]
    left = [{d.snap: d.points.left for d in p.decisions if d.points} for p in priced]
    prices = found.prices["points"]
    assert prices.decisions > 40
    for snap in prices.snaps:
        assert snap.first.left == pytest.approx(left[0][snap.first.snap])
        assert snap.second.left == pytest.approx(left[1][snap.second.snap])
        assert snap.moves == pytest.approx(snap.second.left - snap.first.left)
    assert prices.difference[1] == pytest.approx(prices.left_second - prices.left_first)
    moves = [abs(s.moves) for s in prices.snaps]
    assert moves == sorted(moves, reverse=True)
    told = [s for s in prices.snaps if abs(s.moves) > 0.005]
    assert told
    assert all(s.differences for s in told), "nothing moves without a difference"


def test_the_merged_log_checks_prices_and_keeps_both(
    games: tuple[LoggedGame, LoggedGame], models: Models, tmp_path: Path
) -> None:
    matched = match(games[0].snaps, games[1].snaps)
    target = write_log(merge(*lead_of(*games, matched)), tmp_path / "both")
    assert check_log(target).clean, str(check_log(target))
    both = read_log(target)
    assert len(both.snaps) == len(games[0].snaps)
    priced = price_game(both, EXACT, models=models)
    alone = price_game(games[0], EXACT, models=models)
    assert [d.snap for d in priced.decisions] == [d.snap for d in alone.decisions]
    for i, j in matched.pairs:
        merged, one, two = both.snaps[i], games[0].snaps[i], games[1].snaps[j]
        assert merged.happened.chosen == one.happened.chosen
        assert {o.id for o in one.options} <= {o.id for o in merged.options}
        by_id = {o.id: o for o in merged.options}
        for o in one.options:
            other = next((p for p in two.options if p.id == o.id), None)
            if other is None or o.window == other.window:
                continue
            assert by_id[o.id].extra["window (jm)"] == (o.window or "not said")
            assert by_id[o.id].extra["window (rk)"] == (other.window or "not said")
            if o.window in WINDOWS and other.window in WINDOWS:
                low, high = by_id[o.id].window_low, by_id[o.id].window_high
                assert {low, high} == {o.window, other.window}


def test_both_ways_round_and_extra_snaps_stand_apart(
    games: tuple[LoggedGame, LoggedGame], tmp_path: Path
) -> None:
    """The log with every snap leads; what only the other has is kept on a sheet of its own."""
    full, some = games
    matched = match(some.snaps, full.snaps)
    lead, other, turned = lead_of(some, full, matched)
    assert lead is full
    assert len(turned.only_first) == len(matched.only_second)
    shorter = replace(full, snaps=full.snaps[:-3], final_us=None, final_them=None)
    log = merge(shorter, other, match(shorter.snaps, other.snaps))
    names = [s.name for s in log.sheets]
    assert "snaps only rk has" in names
    target = write_log(log, tmp_path / "both")
    assert check_log(target).clean, str(check_log(target))
    assert read_sheets(target).sheet("snaps only rk has") is not None


def test_two_partial_logs_fill_each_other(
    games: tuple[LoggedGame, LoggedGame], tmp_path: Path
) -> None:
    full, some = games
    part = replace(
        full, every_snap=False, snaps=tuple(s for i, s in enumerate(full.snaps) if i % 5)
    )
    log = merge(part, some, match(part.snaps, some.snaps))
    target = write_log(log, tmp_path / "both")
    assert check_log(target).clean, str(check_log(target))
    both = read_log(target)
    matched = match(part.snaps, some.snaps)
    assert len(both.snaps) == len(part.snaps) + len(matched.only_second)
    clocks = [(s.situation.period, -(s.situation.seconds or 0)) for s in both.snaps if s.situation]
    assert clocks == sorted(clocks), "in the order of the game"


def test_not_one_game(games: tuple[LoggedGame, LoggedGame], models: Models) -> None:
    other = read_log(CLASS / "tindlemere-03")
    with pytest.raises(NotOneGame, match=r"only .* of the .* snaps"):
        compare(games[0], other, models)
    with pytest.raises(NotOneGame, match="quarterback"):
        compare(games[0], replace(games[1], quarterback="Somebody Else"), models)


def test_the_text_says_it(found: Comparison) -> None:
    text = summary(found)
    assert "charted by jm and by rk" in text
    assert "76 snaps matched" in text
    assert all(len(line) <= 80 for line in text.splitlines())
    assert summary(found, "wins") != text


def test_the_command_reads_only(tmp_path: Path) -> None:
    logs = [CLASS / "ostlow-03", CLASS / "ostlow-03-rk"]
    before = {f: f.read_bytes() for log in logs for f in log.iterdir()}
    out = tmp_path / "both.xlsx"
    run = CliRunner().invoke(
        main, ["compare", *map(str, logs), "--json", "--merge", str(out)], catch_exceptions=False
    )
    assert run.exit_code == 0, run.output
    data = json.loads(run.stdout)
    assert {t["what"] for t in data["topics"]} == {"choice set", "window", "chosen", "blame"}
    assert data["prices"]["wins"]["decisions"] > 0
    assert check_log(out).clean
    assert {f: f.read_bytes() for log in logs for f in log.iterdir()} == before
    again = CliRunner().invoke(main, ["compare", *map(str, logs), "--merge", str(out)])
    assert again.exit_code == 2
    assert "already" in again.output


def test_the_command_tells_every_fault_of_both(tmp_path: Path) -> None:
    bad = []
    for name in ("ostlow-03", "ostlow-03-rk"):
        folder = tmp_path / name
        folder.mkdir()
        for file in (CLASS / name).iterdir():
            text = file.read_text(encoding="utf-8")
            (folder / file.name).write_text(text.replace("complete", "kaught"), encoding="utf-8")
        bad.append(str(folder))
    run = CliRunner().invoke(main, ["compare", *bad])
    assert run.exit_code == 1
    assert run.output.count("faults; nothing was changed") == 2
    missing = CliRunner().invoke(main, ["compare", bad[0], str(tmp_path / "nothing")])
    assert missing.exit_code in (1, 2)
