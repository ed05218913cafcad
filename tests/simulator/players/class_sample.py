"""A class of invented quarterbacks who choose among options by a known rule.

The rule is that of ``pointsleft.bench.choosers``; here its choices become games as the ranking
sees them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from pointsleft.bench import choosers
from pointsleft.bench.choosers import chosen, options
from pointsleft.log.record import BLAME_PARTIES
from pointsleft.players.seen import ENTRIES, Money, SeenDecision, SeenGame

Array = np.ndarray

REFITS = 20
NAMES = ("Alder Finch", "Bram Tolley", "Corin Hale", "Dax Merrow", "Ewan Stile", "Flint Garrow",
         "Gil Harker", "Hob Senn")  # fmt: skip
TEAMS = ("Combe Rooks", "Dunmoor Hares", "Eskdale Kites", "Fallow Bulls", "Garth Otters")
DOWNS = ("first down", "second down", "third down")
FAMILIES = ("drop-back", "quick", "play-action")
CONCEPTS = ("smash", "mesh", "stick", "flood", "curl-flat")
SHELLS = ("one", "two", "three", "four")
DEPTHS = ("0 to 9 yards", "10 to 19 yards", "20 yards and more")
QUARTERS = ("first quarter", "second quarter", "third quarter", "fourth quarter")
SCORES = ("behind by 1 to 8", "level", "ahead by 1 to 8")

NOBODY = dict.fromkeys(BLAME_PARTIES, 0.0)


def true_left(noise: float) -> float:
    """Mean of ``left`` of a quarterback with this noise, over very many snaps."""
    return choosers.true_left(noise)[0]


def make_money(
    values: Array, at: int, scale: float, bias: Array, rng: np.random.Generator
) -> Money:
    """The ledger of one choice; ``bias`` is what each refit of the models has wrong."""
    left = float(values.max() - values[at]) * scale
    delivered, breaks = rng.normal(0, 0.3, 2) * scale
    best = left == 0
    return Money(
        offered=float(values.max()) * scale,
        left=left,
        delivered=float(delivered),
        breaks=float(breaks),
        crossfit=left,
        available=float(values.max() - values.min()) * scale,
        stake=float(values.max() - values.mean()) * scale,
        certain=left * 1.3,
        without=left * 0.6,
        judged_low=left * 0.5,
        judged_high=left * 1.4 + 0.02 * scale,
        hangs_on="window of post",
        best="post" if best else "dig",
        took_best=best,
        settled=0.8,
        blame={e: {**NOBODY, "quarterback": float(e == "left")} for e in ENTRIES},
        refits=tuple(float(x) * scale * (left > 0) for x in bias),
        groups={"depth": str(rng.choice(DEPTHS)), "side": str(rng.choice(("left", "right")))},
    )


def make_game(
    player: str,
    number: int,
    noise: float,
    rng: np.random.Generator,
    *,
    snaps: int = 40,
    charter: str = "qx",
    them: str | None = None,
    day: float = 0.0,
    bias: Array | None = None,
) -> SeenGame:
    """One game; ``day`` is added to the noise of that day."""
    values = options(rng, snaps)
    at = chosen(values, max(0.05, noise + day), rng)
    bias = np.zeros(REFITS) if bias is None else bias
    them = them or TEAMS[number % len(TEAMS)]
    decisions = []
    for i in range(snaps):
        down = int(rng.integers(3))
        place = (1 + 4 * i // snaps, down + 1, int(rng.integers(1, 15)), int(rng.integers(1, 99)))
        pressed = rng.uniform() < 0.25
        decisions.append(
            SeenDecision(
                snap=str(i + 1),
                clip=f"{i // 2}:{i % 2 * 30:02d}",
                situation=f"down {down + 1}",
                chosen="dig",
                result="dig complete",
                place=place,
                groups={
                    "down": DOWNS[down],
                    "play family": str(rng.choice(FAMILIES)),
                    "concept": str(rng.choice(CONCEPTS)),
                    "shell": str(rng.choice(SHELLS)),
                    "pressure": "pressure" if pressed else "no pressure logged",
                    "quarter": QUARTERS[4 * i // snaps],
                    "score": str(rng.choice(SCORES)),
                },
                of_call=False,
                points=make_money(values[i], int(at[i]), 1.0, bias, rng),
                wins=make_money(values[i], int(at[i]), 0.03, bias, rng),
            )
        )
    return SeenGame(
        source=f"{player.split()[0].lower()}-{number}",
        title=f"{player.split()[1]} week {number}",
        player=player,
        us="Ashby Wrens",
        them=them,
        level="professional",
        rules="professional 2019",
        charter=charter,
        refits=len(bias),
        warnings=(),
        decisions=tuple(decisions),
    )


def make_class(
    noises: Sequence[float],
    games: Sequence[int],
    seed: int = 1,
    *,
    snaps: int = 40,
    charters: Sequence[str] = ("qx",),
    bias: float = 0.0,
) -> list[SeenGame]:
    """Several players; everybody is priced with the same models, so their errors are shared."""
    rng = np.random.default_rng(seed)
    shared = rng.normal(0, bias, REFITS) if bias else None
    return [
        make_game(
            NAMES[p], week, noise, rng, snaps=snaps, bias=shared,
            charter=charters[(p + week) % len(charters)],
        )
        for p, (noise, count) in enumerate(zip(noises, games, strict=True))
        for week in range(1, count + 1)
    ]  # fmt: skip


def relabelled(games: Sequence[SeenGame], rng: np.random.Generator) -> list[SeenGame]:
    """The same games with the players' names dealt out anew, each as often as before."""
    names = [g.player for g in games]
    return [
        replace(game, player=names[at])
        for game, at in zip(games, rng.permutation(len(names)), strict=True)
    ]
