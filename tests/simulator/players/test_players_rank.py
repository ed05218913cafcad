"""The ranking as a whole: luck does not rank, truth does, and what it hangs on is what it says."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
import pytest
from class_sample import NAMES, REFITS, make_class, make_game, relabelled, true_left
from pointsleft.players.design import plays_of, table_of
from pointsleft.players.measures import MEASURES
from pointsleft.players.people import people_of
from pointsleft.players.rank import rank
from pointsleft.players.result import Ranking, Standing
from pointsleft.players.rows import TooLittleError
from pointsleft.players.seen import Money, SeenDecision, SeenGame
from pointsleft.players.standing import Fitted, standing_of
from pointsleft.players.steadiness import share_interval

NOISES = (0.2, 0.4, 0.6, 0.6, 0.8, 1.1)
GAMES = (3, 4, 2, 5, 4, 1)


def fitted(games: Sequence[SeenGame], seed: int = 1, measure: str = "left") -> Fitted:
    """One measure alone, in points."""
    people = people_of(games)
    table = table_of(plays_of(people, "points"), people, MEASURES[measure])
    return standing_of(table, "points", np.random.default_rng(seed), draws=2000)


def left(games: Sequence[SeenGame], seed: int = 1) -> Standing:
    return fitted(games, seed).standing


def changed(game: SeenGame, change: Callable[[SeenDecision, Money], Money]) -> SeenGame:
    """A game with every ledger in points changed."""
    return replace(
        game,
        decisions=tuple(
            replace(d, points=change(d, d.points)) if d.points else d for d in game.decisions
        ),
    )


@pytest.fixture(scope="module")
def games() -> list[SeenGame]:
    return make_class(NOISES, GAMES, 3, charters=("ab", "cd"), bias=0.02)


@pytest.fixture(scope="module")
def ranking(games: list[SeenGame]) -> Ranking:
    return rank(games, draws=1500)


# -- luck and truth -----------------------------------------------------------------------------


def test_a_permutation_of_the_labels_yields_no_ranking() -> None:
    """Names dealt out anew over the games: who is called firm is called so by luck."""
    games = [
        replace(g, them=f"opponent {i}")
        for i, g in enumerate(make_class(NOISES, (4,) * 6, 7, snaps=30))
    ]
    firm = pairs = 0
    first = []
    for seed in range(24):
        rng = np.random.default_rng(seed)
        standing = left(relabelled(games, rng), seed)
        firm += standing.settled["firm"]
        pairs += sum(standing.settled.values())
        first.append(max(p[0] for p in standing.places.values()))
    assert firm / pairs < 0.15
    assert np.mean(first) < 0.6
    # negative control: with the true labels most pairs are settled
    assert left(games).settled["firm"] > 0.4 * 15


def test_many_games_find_the_true_order() -> None:
    noises = (0.2, 0.45, 0.7, 1.0)
    standing = left(make_class(noises, (9,) * 4, 11, bias=0.01))
    assert standing.order == NAMES[:4]
    for name, noise in zip(NAMES, noises, strict=False):
        interval = standing.players[name].interval
        assert interval.low - 0.02 < true_left(noise) < interval.high + 0.02


def test_shrunken_is_nearer_to_the_truth_than_plain() -> None:
    noises = (0.45, 0.5, 0.5, 0.55, 0.6, 0.65)
    truth = np.array([true_left(n) for n in noises])
    plain = shrunken = 0.0
    for seed in range(12):
        found = left(make_class(noises, (1, 1, 2, 2, 3, 3), seed, snaps=30)).players
        plain += float(
            sum(((found[n].raw or 0.0) - t) ** 2 for n, t in zip(NAMES, truth, strict=False))
        )
        shrunken += float(
            sum((found[n].value - t) ** 2 for n, t in zip(NAMES, truth, strict=False))
        )
    assert shrunken < 0.75 * plain


def test_one_perfect_game_does_not_top_the_list() -> None:
    """The luckiest one game there can be, beside nine good ones."""
    games = make_class((0.3, 0.5, 0.7), (9, 4, 4), 5)
    lucky = changed(
        make_game(NAMES[5], 1, 0.9, np.random.default_rng(1), them="Heron Vale"),
        lambda d, m: replace(m, left=0.0, crossfit=0.0, took_best=True, refits=(0.0,) * REFITS),
    )
    standing = left([*games, lucky])
    name = lucky.player
    estimate = standing.players[name]
    assert estimate.raw == 0
    assert standing.apart == (name,)
    assert name not in standing.order
    assert standing.order[0] == NAMES[0]
    assert estimate.value > 0.02 + (estimate.raw or 0)
    assert estimate.own < standing.players[NAMES[0]].own


def test_where_nobody_was_seen_twice_nobody_stands_apart() -> None:
    standing = left(make_class((0.3, 0.6, 0.9), (1, 1, 1), 2))
    assert standing.apart == ()
    assert len(standing.order) == 3


# -- what one decision is charged with ----------------------------------------------------------


def test_only_the_quarterbacks_share_is_charged(games: list[SeenGame]) -> None:
    whole = left(games).players
    half = [
        changed(
            g,
            lambda d, m: replace(
                m, blame={**m.blame, "left": {**m.blame["left"], "quarterback": 0.5, "call": 0.5}}
            ),
        )
        if g.player == NAMES[4]
        else g
        for g in games
    ]
    found = left(half).players
    assert found[NAMES[4]].raw == pytest.approx(0.5 * (whole[NAMES[4]].raw or 0))
    assert found[NAMES[0]].raw == pytest.approx(whole[NAMES[0]].raw)


def test_a_kick_is_the_sidelines_choice(games: list[SeenGame]) -> None:
    def with_kick(game: SeenGame) -> SeenGame:
        first = game.decisions[0]
        dear = None if first.points is None else replace(first.points, left=5.0, crossfit=5.0)
        return replace(
            game, decisions=(*game.decisions, replace(first, of_call=True, points=dear, wins=None))
        )

    with_kicks = rank([with_kick(g) for g in games], draws=300)
    assert with_kicks.standings == rank(games, draws=300).standings
    assert with_kicks.decisions == sum(len(g.decisions) for g in games)


def test_blame_splits_and_creates_nothing(games: list[SeenGame], ranking: Ranking) -> None:
    for name, entries in ranking.blame["points"].items():
        his = [d.points for g in games if g.player == name for d in g.decisions if d.points]
        totals = {
            "left": np.mean([m.crossfit for m in his]),
            "delivered": np.mean([m.delivered for m in his]),
        }
        for blame in entries:
            assert sum(blame.shares.values()) == pytest.approx(totals[blame.entry])


def test_hard_snaps_are_allowed_for() -> None:
    """Two equal quarterbacks, one of whom was given the harder half of the snaps."""
    rng = np.random.default_rng(4)

    def harder(decision: SeenDecision, money: Money) -> Money:
        left = float(rng.uniform() < 0.4) * money.stake
        return replace(money, left=left, crossfit=left)

    pool = [changed(make_game(NAMES[2], i, 0.6, rng, snaps=60), harder) for i in range(8)]
    games = []
    for at, game in enumerate(pool):
        decisions = sorted(game.decisions, key=lambda d: d.points.stake if d.points else 0)
        easy, hard = decisions[:36], decisions[24:]
        for name, kept in ((NAMES[0], easy), (NAMES[1], hard)):
            games.append(
                replace(game, player=name, title=f"{name} {at}", them=f"team {at}",
                        decisions=tuple(kept))
            )  # fmt: skip
    found = left(games).players
    plain = (found[NAMES[1]].raw or 0) - (found[NAMES[0]].raw or 0)
    assert plain > 0.05
    assert abs(found[NAMES[1]].value - found[NAMES[0]].value) < 0.5 * plain


# -- charters -----------------------------------------------------------------------------------


def _charted(harsh: float) -> list[SeenGame]:
    """Everybody is equal; charter cd adds to whatever he sees left, and charts one player more."""
    games = make_class((0.6,) * 4, (4,) * 4, 9)
    out = []
    for at, game in enumerate(games):
        by_cd = game.player == NAMES[3] or (game.player != NAMES[0] and at % 2 == 0)
        out.append(
            changed(
                replace(game, charter="cd", them=f"team {at}"),
                lambda d, m: replace(m, left=m.left + harsh, crossfit=m.crossfit + harsh),
            )
            if by_cd
            else replace(game, charter="ab", them=f"team {at}")
        )
    return out


def test_a_harsh_charter_is_not_taken_for_a_bad_player() -> None:
    games = _charted(0.15)
    known = left(games).players
    unknown = left([replace(g, charter="ab") for g in games]).players

    def gap(found: dict[str, object]) -> float:
        return found[NAMES[3]].value - found[NAMES[0]].value  # type: ignore[attr-defined]

    assert gap(dict(known)) < 0.6 * gap(dict(unknown))


def test_two_logs_of_one_game_are_one_game(games: list[SeenGame]) -> None:
    first = games[0]
    second = replace(first, charter="zz", source="other", decisions=first.decisions[1:-1])
    people = people_of([*games, second])
    assert people.games_by(people.players.index(first.player)) == GAMES[0]
    assert people.logs_of_game(people.game_of[0]) == 2
    twice = left([*games, second]).players[first.player]
    once = left(games).players[first.player]
    assert twice.games == once.games
    assert twice.own == pytest.approx(once.own, abs=0.08)
    # a game of the same two teams on another day is another game
    other = make_game(first.player, 9, 0.3, np.random.default_rng(77), them=first.them)
    assert len(set(people_of([first, other]).game_of)) == 2


def test_a_game_with_two_voices_is_named_and_counted_once(games: list[SeenGame]) -> None:
    first = games[0]
    second = replace(first, charter="zz", source="other")
    once, twice = rank(games, draws=300), rank([*games, second], draws=300)
    player = first.player
    steady = twice.steadiness["points"][player]
    assert steady.repeats == once.steadiness["points"][player].repeats
    titles = [title for title, _, _ in steady.game_means]
    assert f"{first.title}, charted by {first.charter}" in titles
    assert f"{first.title}, charted by zz" in titles
    assert games[1].title in titles
    for one, two in zip(once.blame["points"][player], twice.blame["points"][player], strict=True):
        assert two.shares == pytest.approx(one.shares)


def test_repeats_of_a_concept_carry_an_interval(ranking: Ranking) -> None:
    """Jeffreys' interval of a share: as wide as its count is small, and open to 0 and 1."""
    for steady in ranking.steadiness["points"].values():
        assert steady.repeats
        for repeat in steady.repeats:
            share = np.mean(repeat.taken)
            assert repeat.interval.low <= share <= repeat.interval.high
    wide = [share_interval(n // 2, n) for n in (4, 40, 400)]
    assert wide[0].high - wide[0].low > 2 * (wide[1].high - wide[1].low)
    assert wide[1].high - wide[1].low == pytest.approx(3.2 * (wide[2].high - wide[2].low), rel=0.1)
    assert (share_interval(0, 5).low, share_interval(5, 5).high) == (0.0, 1.0)


def test_charted_by_nobody_else_is_said() -> None:
    games = make_class((0.3, 0.6), (2, 2), 1)
    alone = [replace(g, charter="zz") if g.player == NAMES[0] else g for g in games]
    assert any(NAMES[0] in w and "charter" in w for w in rank(alone, draws=300).warnings)
    assert not any("charter" in w for w in rank(games, draws=300).warnings)


# -- what it hangs on ---------------------------------------------------------------------------


def test_the_change_of_judgement_swaps_them(games: list[SeenGame], ranking: Ranking) -> None:
    """Change exactly the judgements it names and rank again: the two lie level."""
    swaps = [s for s in ranking.swaps["points"] if 0 < len(s.moved) <= 12]
    assert swaps
    for swap in swaps:
        to = {(m.player, m.game, m.snap): m.to for m in swap.moved}

        def move(
            game: SeenGame, share: float, to: dict[tuple[str, str, str], float] = to
        ) -> SeenGame:
            def change(decision: SeenDecision, money: Money) -> Money:
                target = to.get((game.player, game.title, decision.snap))
                if target is None:
                    return money
                by = share * (target - money.left)
                return replace(money, left=money.left + by, crossfit=money.crossfit + by)

            return changed(game, change)

        before = left(games).players
        gaps = []
        for share in (0.0, 1.0):
            found = left([move(g, share) for g in games]).players
            gaps.append(found[swap.behind].value - found[swap.ahead].value)
        assert gaps[0] == pytest.approx(before[swap.behind].value - before[swap.ahead].value)
        assert abs(gaps[1]) < 0.3 * gaps[0]


def test_the_extremes_of_the_doubtful_reads(games: list[SeenGame], ranking: Ranking) -> None:
    logged, all_in, none_in = ranking.extremes["points"]
    standing = ranking.standings["points"]["left"]
    assert logged.order == (*standing.order, *standing.apart)
    assert logged.values == {n: e.value for n, e in standing.players.items()}
    # in this sample left is 1.3 times as much with all in the read, 0.6 times with none
    mean = {e.name: np.mean(list(e.values.values())) for e in (logged, all_in, none_in)}
    assert mean["all in the read"] == pytest.approx(1.3 * mean["as logged"], rel=0.1)
    assert mean["none in the read"] == pytest.approx(0.6 * mean["as logged"], rel=0.1)


def test_so_many_more_games_halve_the_interval() -> None:
    games = make_class((0.3, 0.5, 0.7, 0.9), (2, 4, 4, 4), 21, snaps=40)
    games = [replace(g, them=f"team {i}") for i, g in enumerate(games)]
    before = left(games).players[NAMES[0]]
    assert before.games_to_halve is not None
    rng = np.random.default_rng(8)
    more = [
        make_game(NAMES[0], 20 + i, 0.3, rng, them=f"more {i}")
        for i in range(round(before.games_to_halve))
    ]
    after = left([*games, *more]).players[NAMES[0]]
    wide = [e.interval.high - e.interval.low for e in (before, after)]
    assert 0.38 < wide[1] / wide[0] < 0.62


def test_nobody_takes_more_than_all_there_was() -> None:
    games = make_class((0.03, 0.05, 0.3), (2, 2, 2), 6, snaps=20)
    ranking = rank(games, draws=400)
    cells = [c for found in ranking.cells["points"]["taken"].values() for c in found]
    players = ranking.standings["points"]["taken"].players.values()
    highs = [x.interval.high for x in (*cells, *players)]
    assert max(highs) == 1.0  # the law beneath does reach further
    assert all(x.interval.low <= x.value <= 1.0 for x in (*cells, *players))
    assert max(c.interval.high for c in ranking.cells["points"]["left"]["down"]) < 1.0


# -- by situation and steadiness ----------------------------------------------------------------


def test_a_weakness_in_one_situation_is_found() -> None:
    games = [
        changed(
            g,
            lambda d, m: (
                replace(m, left=m.left + 0.4, crossfit=m.crossfit + 0.4)
                if d.groups["pressure"] == "pressure"
                else m
            ),
        )
        if g.player == NAMES[1]
        else g
        for g in make_class((0.5,) * 4, (4,) * 4, 13)
    ]
    ranking = rank(games, draws=800)
    cells = {
        (c.player, c.group): c
        for c in ranking.cells["points"]["left"]["pressure"]
    }  # fmt: skip
    weak = cells[NAMES[1], "pressure"]
    assert weak.interval.low > weak.class_value
    assert abs(weak.value - weak.class_value) < abs(weak.raw - weak.class_value)
    other = cells[NAMES[0], "pressure"]
    assert other.interval.high < weak.interval.low
    contrast = {
        c.what: c for c in ranking.steadiness["points"][NAMES[1]].contrasts
    }["pressure against none logged"]  # fmt: skip
    assert contrast.interval.low > 0
    assert contrast.chance_more > 0.95
    spread = {n: s.spread.value for n, s in ranking.steadiness["points"].items()}
    assert max(spread, key=lambda n: spread[n]) == NAMES[1]


# -- as a whole ---------------------------------------------------------------------------------


def test_chances_are_chances(ranking: Ranking) -> None:
    for standings in ranking.standings.values():
        for standing in standings.values():
            for one, others in standing.ahead.items():
                assert sum(standing.places[one]) == pytest.approx(1)
                for other, chance in others.items():
                    assert chance + standing.ahead[other][one] == pytest.approx(1)


def test_every_entry_of_the_ledger_has_the_same_treatment(ranking: Ranking) -> None:
    for currency in ("points", "wins"):
        for measure in ("offered", "left", "delivered", "breaks", "taken", "best"):
            standing = ranking.standings[currency][measure]  # type: ignore[index]
            assert set(standing.players) == set(NAMES[:6])
            for estimate in standing.players.values():
                assert estimate.interval.low < estimate.value < estimate.interval.high


def test_the_same_games_and_seed_give_the_same(games: list[SeenGame], ranking: Ranking) -> None:
    assert rank(games, draws=1500) == ranking


def test_without_clock_and_score_there_are_points_only(games: list[SeenGame]) -> None:
    bare = [replace(g, decisions=tuple(replace(d, wins=None) for d in g.decisions)) for g in games]
    found = rank(bare, main="wins", draws=300)
    assert found.main == "points"
    assert set(found.standings) == {"points"}
    assert any("wins" in w for w in found.warnings)


def test_too_little_is_refused() -> None:
    game = make_game(NAMES[0], 1, 0.5, np.random.default_rng(1), snaps=5)
    with pytest.raises(TooLittleError, match="5 plays"):
        rank([game])
