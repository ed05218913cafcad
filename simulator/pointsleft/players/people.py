"""Who played in which game, and who charted it: the logs as a set."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from pointsleft.players.seen import SeenGame

#: Two logs of one player against one opponent are of one game when they share this much of the
#: shorter one's situations.
SAME_GAME = 0.6

#: Situations of a log, each as often as it came up.
Places = Counter[tuple[int, int, int, int]]

#: What a charter is called who did not sign.
UNSIGNED = "not named"


@dataclass(frozen=True, slots=True)
class People:
    """The logs as a set.

    Attributes
    ----------
    games
        The logs.
    players
        Names, in order of first appearance; spelling as first met.
    player_of, game_of
        Of each log: number of its player, and of its game (two charters of one game share it).
    charters, charter_of, opponents, opponent_of
        In the same way.
    """

    games: tuple[SeenGame, ...]
    players: tuple[str, ...]
    player_of: tuple[int, ...]
    game_of: tuple[int, ...]
    charters: tuple[str, ...]
    charter_of: tuple[int, ...]
    opponents: tuple[str, ...]
    opponent_of: tuple[int, ...]

    def games_by(self, player: int) -> int:
        """Number of different games of a player."""
        at = zip(self.game_of, self.player_of, strict=True)
        return len({g for g, p in at if p == player})

    def logs_of_game(self, game: int) -> int:
        """How many logs there are of one game."""
        return sum(g == game for g in self.game_of)

    def title_of(self, log: int) -> str:
        """The title of a game, with its charter where there are several logs of it."""
        game = self.games[log]
        if self.logs_of_game(self.game_of[log]) == 1:
            return game.title
        return f"{game.title}, charted by {game.charter or UNSIGNED}"

    def charters_of(self, player: int) -> tuple[str, ...]:
        """Who charted him."""
        at = zip(self.charter_of, self.player_of, strict=True)
        return tuple(self.charters[c] for c in sorted({c for c, p in at if p == player}))


def _key(name: str) -> str:
    return " ".join(name.split()).casefold()


def people_of(games: Sequence[SeenGame]) -> People:
    """The logs as a set; names are the same whatever their case and spaces."""
    players, player_of = _numbered([g.player for g in games])
    charters, charter_of = _numbered([g.charter or UNSIGNED for g in games])
    opponents, opponent_of = _numbered([g.them for g in games])
    return People(
        tuple(games), players, player_of, _game_numbers(games), charters, charter_of,
        opponents, opponent_of,
    )  # fmt: skip


def _numbered(names: Sequence[str]) -> tuple[tuple[str, ...], tuple[int, ...]]:
    first: dict[str, str] = {}
    for name in names:
        first.setdefault(_key(name), " ".join(name.split()))
    place = {key: at for at, key in enumerate(first)}
    return tuple(first.values()), tuple(place[_key(n)] for n in names)


def _game_numbers(games: Sequence[SeenGame]) -> tuple[int, ...]:
    """A number for each game; logs of one game by two charters get the same one."""
    alike: dict[tuple[str, str], list[tuple[int, Places]]] = defaultdict(list)
    numbers: list[int] = []
    for game in games:
        key = (_key(game.player), _key(game.them))
        places = Counter(d.place for d in game.decisions)
        number = next((n for n, seen in alike[key] if _overlap(places, seen) >= SAME_GAME), None)
        if number is None:
            number = max(numbers, default=-1) + 1
        alike[key].append((number, places))
        numbers.append(number)
    return tuple(numbers)


def _overlap(one: Places, other: Places) -> float:
    shorter = min(one.total(), other.total())
    return (one & other).total() / shorter if shorter else 0.0
