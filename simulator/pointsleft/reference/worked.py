"""Worked numbers of docs/method.md: situations, values and laws.

Every function computes one part of the page with the shipped fits and gives Markdown back.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

import numpy as np
from pointsleft_models.bundle import Models, Worth, load_models
from pointsleft_models.fitting.logit import expit
from pointsleft_models.fitting.yardage import YARDS, from_stops
from pointsleft_models.football.rules import rule_set
from pointsleft_models.football.situation import Situation
from pointsleft_models.football.spot import write_spot
from pointsleft_models.laws.passing import Throw
from pointsleft_models.laws.setting import setting_of
from pointsleft_models.laws.years import FIRST_SEASON, LAST_SEASON
from pointsleft_models.values.ending import kneel_seconds
from pointsleft_models.values.rest import spread_of_rest
from pointsleft_models.values.states import states

from pointsleft.log.record import WINDOWS
from pointsleft.pricing.availability import best_shares
from pointsleft.pricing.protection import Rush, ball_out, depth_of, protection
from pointsleft.pricing.windows import openness, word_odds
from pointsleft.reference.markdown import code, table

#: Season of the rules in the worked numbers, unless they say otherwise.
SEASON = 2019


@cache
def models() -> Models:
    """The shipped professional fits."""
    return load_models("professional")


@cache
def worth(season: int = SEASON) -> Worth:
    """The shipped professional fits under the rules of a season."""
    return models().under(rule_set("professional", season))


def situation(**given: object) -> Situation:
    """A first and ten at the own 25, ten minutes left in the first quarter, with changes."""
    usual: dict[str, object] = {
        "period": 1, "seconds": 600, "down": 1, "distance": 10, "yards_to_goal": 75, "lead": 0,
        "rules": rule_set("professional", SEASON),
    }  # fmt: skip
    return Situation(**{**usual, **given})  # type: ignore[arg-type]


def run_command(*arguments: str) -> str:
    """A command as typed, and what it prints."""
    from click.testing import CliRunner

    from pointsleft.cli.main import main

    done = CliRunner().invoke(main, list(arguments), prog_name="pointsleft")
    if done.exit_code:
        raise RuntimeError(f"pointsleft {' '.join(arguments)} left with {done.exit_code}")
    typed = " ".join(_quoted(argument) for argument in arguments)
    lines = [line for line in done.output.splitlines() if line.strip() != typed]
    return code(f"$ pointsleft {typed}\n" + "\n".join(lines), "text")


def _quoted(argument: str) -> str:
    return f"'{argument}'" if " " in argument else argument


def kickoff_price() -> str:
    """What receiving a kickoff is worth, and what a score then brings, by season."""
    rows = []
    for season in (2010, 2014, 2019, 2025):
        points = worth(season).points
        k = float(points.receiving(np.array([900]))[0])
        touchdown = 6 + points.try_points
        rows.append(
            (
                str(season), f"{points.rules.touchback}", f"{k:.2f}", f"{touchdown:.2f}",
                f"{touchdown - k:.2f}", f"{3 - k:.2f}",
            )
        )  # fmt: skip
    head = (
        "rules of",
        "touchback at",
        "k",
        "touchdown, gross",
        "touchdown, net",
        "field goal, net",
    )
    return table(head, rows, 5)


def level_score() -> str:
    """Expected points with the score as it is, and with the score level."""
    points = worth().points
    leads = (-17, -7, 0, 7, 17)
    at = states(yards_to_goal=75, half=2, half_seconds=480, lead=np.array(leads))
    as_is, level = points.next_score.both(at)
    own, even = points.worth_of(as_is, at), points.worth_of(level, at)
    rows = [
        (f"{lead:+d}" if lead else "0", f"{a:+.2f}", f"{b:+.2f}")
        for lead, a, b in zip(leads, own, even, strict=True)
    ]
    return table(("points ahead", "next score as teams play it", "expected points"), rows, 3)


def effective_lead() -> str:
    """The main variable of the win model, step by step."""
    rows = []
    for left, seconds in (("half time gone, 30:00", 1800), ("8:00", 480), ("2:00", 120)):
        at = states(yards_to_goal=75, half=2, half_seconds=seconds, lead=3)
        points, wins = worth().wins.with_points(at)
        scale = float(spread_of_rest(at.game_seconds)[0])
        ahead = 3 + float(points[0, 0])
        rows.append(
            (
                left, f"{points[0, 0]:+.2f}", f"{ahead:.2f}", f"{scale:.2f}",
                f"{ahead / scale:.2f}", f"{100 * wins[0, 0]:.1f}%",
            )
        )  # fmt: skip
    head = ("left in the game", "EP", "ahead + EP", "a rest moves", "effective lead", "WP")
    return table(head, rows, 5)


def pre_game_spread() -> str:
    """Win probability with the score level, by the pre-game spread and the clock."""
    spreads = (-10, -3, 0, 3, 10)
    rows = []
    for left, half, seconds in (
        ("60:00", 1, 1800), ("half time gone, 30:00", 2, 1800), ("8:00", 2, 480), ("2:00", 2, 120)
    ):  # fmt: skip
        at = states(yards_to_goal=75, half=half, half_seconds=seconds, spread=[np.nan, *spreads])
        wins = worth().wins.wins(at)
        rows.append((left, *(f"{100 * w:.0f}%" for w in wins)))
    favoured = (f"{'−' if s < 0 else ''}{abs(s)}" for s in spreads)
    return table(("left in the game", "not known", *favoured), rows, 6)


def kneels() -> str:
    """Seconds that can be knelt out, by down and time-outs of the other side."""
    rows = []
    for down in (1, 2, 3):
        seconds = [int(kneel_seconds(np.array([down]), np.array([t]))[0]) for t in range(4)]
        clocks = [f"{s // 60}:{s % 60:02d}" for s in seconds]
        rows.append((f"{down}", *clocks))
    return table(("down", "0 time-outs", "1", "2", "3"), rows, 4)


def stops() -> str:
    """A law of runs as chances of being stopped."""
    at = setting_of(situation(down=3, distance=2, yards_to_goal=40))
    law, low = worth().rushing.run_law(at, "guard")
    rows, reached = [], 1.0
    for gain in range(low, 6):
        chance = float(law[gain - low])
        if gain >= -2:
            rows.append(
                (
                    f"{gain}", f"{100 * reached:.1f}%", f"{100 * chance / reached:.1f}%",
                    f"{100 * chance:.1f}%",
                )
            )  # fmt: skip
        reached -= chance
    head = ("net gain", "gets that far", "stopped there", "so this gain")
    more = f"\nSix yards and more: {100 * reached:.1f}%."
    near = setting_of(situation(down=3, distance=2, yards_to_goal=2))
    scored = float(worth().rushing.run_law(near, "guard")[0][-1])
    more += f" The same run from the opponent's 2 scores {100 * scored:.0f}% of the time.\n"
    return table(head, rows, 4) + more


def toy_stops() -> str:
    """Two yards of field and a coin at each."""
    return f"`from_stops([0.5, 0.5])` is `{from_stops(np.array([0.5, 0.5])).tolist()}`.\n"


def seasons() -> str:
    """Laws that move with the years, at the ends of the archive and in its middle."""
    shown = (FIRST_SEASON, (FIRST_SEASON + LAST_SEASON) // 2, LAST_SEASON)
    at = setting_of(situation())
    rows: dict[str, list[str]] = {}
    for season in shown:
        laws = worth(season)
        caught = expit(laws.passing.catch_odds(Throw(12, third="left"), at)[0])
        end_run = {"gap_code": 4, **at.clock_codes()}
        out = laws.library.logit("ran out of bounds").probability(end_run)[0]
        starts = np.arange(1, 100)
        stops = laws.library.logit("punt").eta({"yards_to_goal": 70, YARDS: starts})
        law = from_stops(expit(stops))[0]
        start = float(law[:-1] @ starts / law[:-1].sum())
        for name, told in (
            ("a throw of 12 yards to the left is caught", f"{100 * caught:.1f}%"),
            ("a run around the end goes out of bounds", f"{100 * float(out):.1f}%"),
            ("a punt from the own 30 that stays in play: the other side's mean start",
             f"own {start:.1f}"),
        ):  # fmt: skip
            rows.setdefault(name, []).append(told)
    body = [(name, *told) for name, told in rows.items()]
    return table(("", *(str(s) for s in shown)), body, right=len(shown))


def protection_clock() -> str:
    """In rhythm, hurried, sacked: drops against rushes, from under centre."""
    library = models().library
    rushes = (
        ("four rush, nobody free", Rush(4)),
        ("free off the edge, on the line", Rush(5, True, 0.0, "left")),
        ("free off the edge, five yards deep", Rush(5, True, 5.0, "left")),
    )
    drops = (("three steps", 3, 0), ("three and a hitch", 3, 1), ("five and a hitch", 5, 1))
    rows = []
    for words, steps, hitches in drops:
        mean = ball_out(steps, hitches, gun=False, fake=False)
        depth = depth_of(steps, gun=False)
        cells = []
        for _, rush in rushes:
            clock = protection(library, mean, rush, depth, refits=False)
            shares = (clock.on_time[0], clock.hurried[0], clock.sacked[0])
            cells.append(" / ".join(f"{100 * float(x):.0f}%" for x in shares))
        rows.append((words, f"{mean:.2f} s", *cells))
    return table(("drop", "ball out", *(words for words, _ in rushes)), rows)


def windows() -> str:
    """Completion by depth and window, beside passes that were thrown."""
    at = setting_of(situation(yards_to_goal=60))
    rows = []
    for air in (5, 15, 25):

        def complete(odds: float, air: int = air) -> str:
            throw = Throw(air, "right", odds=odds)
            return f"{100 / (1 + np.exp(-float(worth().passing.catch_odds(throw, at)[0]))):.0f}%"

        by_word = [complete(word_odds(word).value - openness(air)) for word in WINDOWS]
        rows.append((f"{air}", complete(0.0), *by_word))
    return table(("air yards", "as thrown", *(f"`{word}`" for word in WINDOWS)), rows, 6)


def availability() -> str:
    """Three options, two of them perhaps not in the read."""
    values, chances = np.array([2.9, 1.2, 0.4]), np.array([0.6, 0.75, 1.0])
    shares = best_shares(values, chances, [None, None, None])
    rows = [
        (name, f"{v:.1f}", f"{100 * c:.0f}%", f"{100 * s:.0f}%")
        for name, v, c, s in zip(
            ("post", "dig", "check-down"), values, chances, shares, strict=True
        )
    ]
    best = float(shares @ values)
    return (
        table(("option", "worth", "in the read", "is the best one there"), rows, 3)
        + f"\nM = {best:.2f}. With the check-down chosen, `left` is {best - 0.4:.2f}; were every "
        f"option surely in the read it would be {2.9 - 0.4:.2f}.\n"
    )


def winners_curse() -> str:
    """Four equal options, valued with error: choosing and valuing by one fit or by two."""
    rng = np.random.default_rng(1)
    one, other = rng.standard_normal((2, 200_000, 4))
    pick = one.argmax(1)
    same = one.max(1).mean()
    apart = other[np.arange(len(pick)), pick].mean()
    rows = [
        ("the same fit chooses and values", f"{same:+.2f}"),
        ("some games choose, others value", f"{apart + 0.0:+.2f}"),
    ]
    return table(("four equal options, error 1", "phantom gain of the best"), rows, 1)


def spots() -> str:
    """Expected points of a first and ten by field position."""
    yards = (99, 90, 75, 50, 25, 10)
    at = states(yards_to_goal=np.array(yards), half_seconds=1500)
    net, gross = worth().points.points(at), worth().points.gross_points(at)
    rows = [
        (write_spot(y), f"{n:+.2f}", f"{g:+.2f}") for y, n, g in zip(yards, net, gross, strict=True)
    ]
    return table(("first down at", "expected points", "gross (no price of the kickoff)"), rows, 2)


BLOCKS: dict[str, Callable[[], str]] = {
    "spots": spots,
    "kickoff price": kickoff_price,
    "level score": level_score,
    "effective lead": effective_lead,
    "pre-game spread": pre_game_spread,
    "kneels": kneels,
    "stops": stops,
    "toy stops": toy_stops,
    "seasons": seasons,
    "protection clock": protection_clock,
    "windows": windows,
    "availability": availability,
    "winners curse": winners_curse,
}
