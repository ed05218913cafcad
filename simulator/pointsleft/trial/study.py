"""The study: a class after another is drawn, filmed, charted and ranked.

The truth is what a quarterback of some skill comes to in the long run: points of his side less the
other's, counted over many thousand games, no value table asked. The film is played with one fit and
priced with another that shares no game with it.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import numpy as np
from pointsleft_models.bundle import Models, shipped_folder
from pointsleft_models.fitting.store import load_fit
from pointsleft_models.football.rules import rule_set
from pointsleft_models.playthrough.load import NAME as PLAYTHROUGH

from pointsleft.invent.opponents import possessions
from pointsleft.log.record import WINDOWS
from pointsleft.pricing.progress import Progress
from pointsleft.trial.charting import NOISES, Noise, chart
from pointsleft.trial.deck import Deck, build
from pointsleft.trial.drives import Decisions, Field, World
from pointsleft.trial.fits import one_refit
from pointsleft.trial.parts import THROW
from pointsleft.trial.ranking import (
    AFTER,
    CHARTED,
    PLAIN,
    better_first,
    charted_figures,
    plain_figures,
)
from pointsleft.voices.agreement import window_distances
from pointsleft.voices.kappa import kappa, table

Array = np.ndarray

#: Skills of a class: decision error (points; its logarithm is normal), and accuracy. Chosen so
#: that the correlation of EP added between two seasons lies where published ones do (.30 to .60),
#: each of the two skills moving about as many points a game as the other.
ERROR, ERROR_LOG_SPREAD, ACCURACY_SPREAD = 0.5, 0.30, 0.05

#: Games of one batch when the truth is counted.
TRUTH_BATCH = 250

#: Games of a season, for that correlation.
SEASON_GAMES = 16

#: The two questions: who is better, and who decides better.
QUESTIONS = ("better quarterback", "better decider")


@dataclass(frozen=True, slots=True)
class Plan:
    """How large the study is.

    Attributes
    ----------
    classes, players
        Classes drawn, and quarterbacks of each.
    truth_games
        Games of every point of the grid from which the truth is read off, in whole batches of
        :data:`TRUTH_BATCH`.
    looks
        Looks of each situation by down; ``None`` for the usual ones.
    stretch
        How much more openness is worth in the world than the tool's words say.
    world, tool
        Refits that the film is played and priced with. Those of one cut (five in a row) share no
        game.
    """

    classes: int = 40
    players: int = 32
    truth_games: int = 4000
    seed: int = 1
    looks: tuple[tuple[int, int], ...] | None = None
    stretch: float = 1.0
    world: int = 0
    tool: int = 1
    season: int = 2019


@dataclass(frozen=True, slots=True)
class Truth:
    """Points a game by skill: a smooth surface through counted points.

    Attributes
    ----------
    coefficients
        Of :func:`terms`.
    error
        Standard error of the surface in the middle of the skills, points a game.
    misfit
        Mean square of what the surface misses, in squared standard errors of the counts; 1 for
        a surface that misses nothing.
    """

    coefficients: Array
    error: float
    misfit: float

    def points(self, error: Array, accuracy: Array) -> Array:
        """Points a game less the opponent's."""
        return terms(error, accuracy) @ self.coefficients


def terms(error: Array, accuracy: Array) -> Array:
    """(n, 8) terms of the surface."""
    e, a = np.log(error / ERROR), accuracy / ACCURACY_SPREAD
    one = np.ones_like(e)
    return np.stack([one, e, a, e * e, e * a, a * a, e**3, a**3], axis=-1)


def world_of(models: Models, plan: Plan, kept: Path | None, progress: Progress | None) -> World:
    """The deck, laid out or read again, and the other sides."""
    rules = rule_set(models.level, plan.season)
    path = None if kept is None else kept / f"deck-{_name(models, plan)}.npz"
    others = possessions(rules, 2000, plan.seed)
    if path is not None and path.is_file():
        return World(Deck.load(path), others)
    deck = build(
        one_refit(models, plan.world).under(rules), one_refit(models, plan.tool).under(rules),
        np.random.default_rng([plan.seed, 1]), None if plan.looks is None else dict(plan.looks),
        progress, plan.stretch,
    )  # fmt: skip
    if path is not None:
        deck.save(path)
    return World(deck, others)


def _name(models: Models, plan: Plan) -> str:
    """A deck belongs to its fits and its plan."""
    digests = "".join(fit.digest[:3] for _, fit in sorted(models.fits.items()))
    looks = "usual" if plan.looks is None else "-".join(str(n) for _, n in plan.looks)
    fits = f"{plan.world}-{plan.tool}"
    return f"{digests}-{looks}-{plan.stretch:g}-{fits}-{plan.seed}"


class Kept:
    """Lists on disk that grow by one piece of work at a time, so that a run can be interrupted.

    They belong to the fits, to the games of the play-through and to the plan.
    """

    def __init__(self, folder: Path | None, models: Models, plan: Plan) -> None:
        self.folder = folder
        if folder is not None:
            games = load_fit(shipped_folder(models.level), PLAYTHROUGH).digest[:6]
            self.name = f"{_name(models, plan)}-{games}-{plan.players}-{plan.truth_games}.json"

    def pieces(
        self, what: str, many: int, make: Callable[[int], Any], progress: Progress | None
    ) -> list[Any]:
        """So many pieces, those that are there read again, the others made and kept."""
        done: list[Any] = []
        path = None if self.folder is None else self.folder / f"{what}-{self.name}"
        if path is not None and path.is_file():
            done = json.loads(path.read_text(encoding="utf-8"))[:many]
        todo: Iterable[int] = range(len(done), many)
        if progress is not None:
            todo = progress(todo, many - len(done), f"making {what}")
        for number in todo:
            done.append(make(number))
            if path is not None:
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_text(json.dumps(done), encoding="utf-8")
        return done


def count_truth(world: World, plan: Plan, kept: Kept, progress: Progress | None = None) -> Truth:
    """Play many games at points of a grid of skills and lay a surface through them."""
    spread = np.linspace(-2.2, 2.2, 7)
    x, y = (g.ravel() for g in np.meshgrid(spread, spread))
    field = Field(ERROR * np.exp(ERROR_LOG_SPREAD * x), ACCURACY_SPREAD * y, np.zeros(len(x)))
    size = min(TRUTH_BATCH, plan.truth_games)

    def batch(number: int) -> list[list[float]]:
        """Sums of points and of their squares."""
        rng = np.random.default_rng([plan.seed, 2, number])
        net, _ = world.play(field, size, rng, record=False)
        return [net.sum(1).tolist(), (net**2).sum(1).tolist()]

    sums = np.array(kept.pieces("truth", plan.truth_games // size, batch, progress))
    games = size * len(sums)
    counted, squares = sums.sum(0) / games
    se = np.sqrt((squares - counted**2) / (games - 1))
    design = terms(field.error, field.accuracy)
    scaled = design / se[:, None]
    cover = np.linalg.inv(scaled.T @ scaled)
    b = cover @ scaled.T @ (counted / se)
    middle = terms(np.array([ERROR]), np.zeros(1))[0]
    missed = float((((counted - design @ b) / se) ** 2).sum() / (len(counted) - len(b)))
    return Truth(b, float(np.sqrt(middle @ cover @ middle)), missed)


def draw_field(players: int, rng: np.random.Generator) -> Field:
    """Quarterbacks of a class."""
    error = ERROR * np.exp(ERROR_LOG_SPREAD * rng.standard_normal(players))
    return Field(error, ACCURACY_SPREAD * rng.standard_normal(players), np.zeros(players))


def one_class(world: World, truth: Truth, plan: Plan, number: int) -> dict[str, Any]:
    """One class: shares of pairs in the right order by figure, question, games and noise."""
    seeds = np.random.SeedSequence([plan.seed, 3, number]).spawn(3 + len(NOISES))
    field = draw_field(plan.players, np.random.default_rng(seeds[0]))
    games = max(AFTER)
    _, found = world.play(field, games, np.random.default_rng(seeds[1]))
    assert found is not None
    shape = plan.players, games
    truths = dict(
        zip(QUESTIONS, (truth.points(field.error, field.accuracy), -field.error), strict=True)
    )
    plain = plain_figures(found, world.deck, shape)
    out: dict[str, Any] = {
        "plain": {name: _shares(plain[name], truths) for name in PLAIN}, "charted": {}
    }  # fmt: skip
    for noise, seed in zip(NOISES, seeds[3:], strict=True):
        rng = np.random.default_rng(seed)
        charted = charted_figures(found, chart(found, world.deck, noise, rng), shape)
        out["charted"][noise.name] = {name: _shares(charted[name], truths) for name in CHARTED}
    return out


def _shares(figure: Array, truths: dict[str, Array]) -> dict[str, list[float]]:
    """Question -> share of pairs in the right order after each number of games."""
    return {
        question: [better_first(figure[:, games - 1], truth) for games in AFTER]
        for question, truth in truths.items()
    }


def season_to_season(world: World, plan: Plan) -> dict[str, float]:
    """Correlation of EP added between two seasons, and what a class looks like."""
    rng = np.random.default_rng([plan.seed, 4])
    field = draw_field(200, rng)
    seasons = []
    for _ in range(2):
        _, found = world.play(field, SEASON_GAMES, rng)
        assert found is not None
        seasons.append((found, plain_figures(found, world.deck, (200, SEASON_GAMES))))
    added = [s["EP added"][:, -1] for _, s in seasons]
    found = seasons[0][0]
    return {
        "correlation": float(np.corrcoef(added[0], added[1])[0, 1]),
        "decisions": len(found) / (200 * SEASON_GAMES),
        "completed": _completed(found, world.deck),
        "rating": float(np.nanmean(seasons[0][1]["passer rating"][:, -1])),
    }


def _completed(found: Decisions, deck: Deck) -> float:
    thrown = found.grade >= 0
    return float((thrown & (found.branch <= 1)).sum() / thrown.sum())


def kappa_of(noise: Noise, world: World, plan: Plan) -> dict[str, float | None]:
    """Agreement of two charters with the same noise, as ``pointsleft compare`` measures it."""
    rng = np.random.default_rng([plan.seed, 5])
    field = draw_field(40, rng)
    _, found = world.play(field, 2, rng)
    assert found is not None
    words = [chart(found, world.deck, noise, rng).words for _ in range(2)]
    deck = world.deck
    throws = deck.there[found.look] & (deck.kind[found.look] == THROW)
    said = throws & (words[0] < len(WINDOWS)) & (words[1] < len(WINDOWS))
    one, two = (w[said] for w in words)
    counts = table(one.tolist(), two.tolist(), len(WINDOWS))
    return {"same": float((one == two).mean()), "kappa": kappa(counts, window_distances())}


def summary(classes: list[dict[str, Any]]) -> dict[str, Any]:
    """Means over the classes and their standard errors, class by class."""

    def mean(values: list[list[float]]) -> dict[str, list[float]]:
        a = np.array(values)
        error = a.std(0, ddof=1) / np.sqrt(len(a)) if len(a) > 1 else np.zeros(a.shape[1])
        return {"share": a.mean(0).tolist(), "error": error.tolist()}

    plain = {
        name: {q: mean([c["plain"][name][q] for c in classes]) for q in QUESTIONS}
        for name in PLAIN
    }  # fmt: skip
    charted = {
        noise.name: {
            name: {q: mean([c["charted"][noise.name][name][q] for c in classes]) for q in QUESTIONS}
            for name in CHARTED
        }
        for noise in NOISES
    }
    over = {
        noise.name: {
            name: {q: mean(_gains(classes, noise.name, name, q)) for q in QUESTIONS}
            for name in CHARTED
        }
        for noise in NOISES
    }
    return {"plain": plain, "charted": charted, "over EP added": over}


def _gains(
    classes: list[dict[str, Any]], noise: str, name: str, question: str
) -> list[list[float]]:
    """Share of the tool less that of EP added, class by class: the same games, so paired."""
    return [
        (np.array(c["charted"][noise][name][question])
         - np.array(c["plain"]["EP added"][question])).tolist()
        for c in classes
    ]  # fmt: skip


def study(
    models: Models, plan: Plan, *, kept: Path | None = None, progress: Progress | None = None
) -> dict[str, Any]:
    """The whole study as plain data; ``kept`` is where an interrupted one goes on."""
    world = world_of(models, plan, kept, progress)
    stored = Kept(kept, models, plan)
    truth = count_truth(world, plan, stored, progress)
    done = stored.pieces(
        "classes", plan.classes, lambda number: one_class(world, truth, plan, number), progress
    )
    spread = draw_field(4000, np.random.default_rng([plan.seed, 6]))
    both = truth.points(spread.error, spread.accuracy)
    decides = truth.points(spread.error, np.zeros(len(spread)))
    throws = truth.points(np.full(len(spread), ERROR), spread.accuracy)
    return {
        "plan": asdict(plan),
        "after": list(AFTER),
        "noises": [{**asdict(n), **kappa_of(n, world, plan)} for n in NOISES],
        "truth": {
            "error": truth.error, "misfit": truth.misfit, "spread": float(both.std()),
            "decision spread": float(decides.std()), "execution spread": float(throws.std()),
        },
        "class": season_to_season(world, plan),
        **summary(done),
    }  # fmt: skip
