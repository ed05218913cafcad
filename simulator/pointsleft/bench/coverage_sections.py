"""The sections that hold intervals against known truths."""

from __future__ import annotations

from dataclasses import asdict
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pointsleft.cli.progress import progress

if TYPE_CHECKING:
    from pointsleft_models.bench.known_league import Known

#: Repeats and refits of the coverage study, and the numbers of games it is made at: the archive's,
#: and that of the published figures.
REPEATS, REFITS = 100, 40
ARCHIVE_GAMES, PUBLISHED_GAMES = 2926, 4101

#: Refits of the shipped fits, which the second truth is tried with too.
SHIPPED_REFITS = 100

#: Where repeats of the coverage studies are kept, so that they go on after an interruption; each
#: estimator and truth has a folder of its own inside.
KEPT, KEPT_FOOTBALL = Path("out/bench/coverage"), Path("out/bench/coverage-football")

#: Seed of the situations of known value.
KNOWN_SEED = 17


def coverage(games: int, root: Path) -> Any:
    """Random-walk football at a number of games."""
    from joblib import cpu_count
    from pointsleft_models.bench.coverage import one_walk
    from pointsleft_models.bench.covered import study
    from pointsleft_models.bench.keys import key_of
    from pointsleft_models.recipes.next_score_basis import next_score_bases
    from pointsleft_models.recipes.win_basis import win_basis

    bases = {name: basis.settings() for name, basis in next_score_bases().items()}
    kept = root / KEPT / key_of(bases, win_basis().settings())
    found = study(
        one_walk, games, REPEATS, REFITS, workers=cpu_count(), kept=kept, progress=progress
    )
    return asdict(found)


def _kept_football(root: Path) -> Path:
    """The league plays by the shipped play-through and kicks, and is fitted from the shipped
    values on."""
    from pointsleft_models.bench.keys import key_of
    from pointsleft_models.bundle import shipped_folder
    from pointsleft_models.fitting.store import load_fit

    fits = ("playthrough", "kicking", "next-score", "wins")
    about = [load_fit(shipped_folder("professional"), name).digest for name in fits]
    return root / KEPT_FOOTBALL / key_of(about)


def _known(root: Path) -> Known:
    from joblib import cpu_count
    from pointsleft_models.bench.coverage_football import league_parts
    from pointsleft_models.bench.known_league import known_situations

    return known_situations(
        league_parts(), KNOWN_SEED,
        workers=cpu_count(), kept=_kept_football(root), progress=progress,
    )  # fmt: skip


def one_step(root: Path) -> Any:
    """One archive of each truth, refitted by one step and all the way."""
    from pointsleft_models.bench.one_step import on_the_league, on_the_walk

    return [
        asdict(on_the_walk(ARCHIVE_GAMES, KNOWN_SEED)),
        asdict(on_the_league(_known(root), ARCHIVE_GAMES, KNOWN_SEED)),
    ]


def coverage_football(root: Path) -> Any:
    """The simulated league, under the schemes tried and as shipped."""
    from joblib import cpu_count
    from pointsleft_models.bench.coverage_football import one_as_shipped, one_league
    from pointsleft_models.bench.covered import study
    from pointsleft_models.bench.known_league import PLAYED_OUT

    kept, workers = _kept_football(root), cpu_count()
    known = _known(root)
    found, shipped = (
        study(
            partial(one, known), ARCHIVE_GAMES, REPEATS, refits, workers=workers, kept=folder,
            progress=progress,
        )
        for one, refits, folder in (
            (one_league, REFITS, kept), (one_as_shipped, SHIPPED_REFITS, kept / "as-shipped")
        )
    )  # fmt: skip
    luck = known.luck()
    return {
        **asdict(found), "as_shipped": asdict(shipped),
        "situations": len(known.wins), "played_out": PLAYED_OUT,
        "truth_error": float(known.error.mean()), "luck": luck,
    }  # fmt: skip
