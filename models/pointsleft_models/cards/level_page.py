"""The page of the levels of play: ``python -m pointsleft_models.cards.level_page``.

Writes docs/levels.md and docs/img/levels.png from the shipped fits alone.
"""

from __future__ import annotations

import hashlib
import io
import itertools
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import click

from pointsleft_models.bundle import Models, load_models, shipped_levels
from pointsleft_models.cards.draw import drawn_from, save_small, style
from pointsleft_models.cards.levels import LEVEL, SEASON, Curve, Figure, Row, curves, rows

PICTURE = Path("img/levels.png")

LINES = ("-", (0, (5, 2)), (0, (1.2, 1.5)), "-.")

_HEAD = """# Levels of play

<!-- Made by `python -m pointsleft_models.cards.level_page`; edit cards/level_page.py. -->

A *level* is a set of fits. `professional` and `college` are shipped; `pointsleft levels` lists
those and your own. The game sheet of a log names its level, and `--level` of `pointsleft price` and
`pointsleft value` picks another one. Rules are another matter: they come from the level and the
season of the log ([rule-sets.md](rule-sets.md)).

## What a level that is not professional is made from

It leans on the shipped professional fits. Every part of it is made in one of four ways, and the
card says which (`settled`):

- **borrowed**: the plays of the level do not tell what the part is made from (air yards, gaps,
  a clock read to the second, who went out of bounds), or there are too few of them. The
  professional part stands in, and every price at that level says so.
- **as it is**: the plays would do, but on games held out the professional part is the best.
- **moved**: the same basis, and only the departure from the professional fit is penalised. What the
  plays of the level never met stays as it is there.
- **alone**: as if there were no other level. It is taken only where it is ahead on games held out.

Games held out decide between the last three: a fifth of the games at a time, the loss of a row
averaged over all of them (for the next score and the wins over two of the fifths). Refit r of a
level leans on refit r of the professional fits, so the doubt of both is in its intervals.
"""

_OWN = """## A level of your own

```
pointsleft plays our-league.csv                               does it add up?
pointsleft fit --plays our-league.csv --level prep --rules college --keep
pointsleft levels
pointsleft price our-game --level prep
```

- The table is the [play table](play-table.md); only its required columns must be there.
- It takes {games} games, with some {snaps} snaps each at the least, kickoffs, wins and losses, and
  every usual next score. A table that falls short is refused with everything it lacks. A level
  called `professional` leans on nothing and takes {alone}.
- `--keep` puts the finished fits into the folder that `pointsleft levels` names
  (`POINTSLEFT_LEVELS` sets another). What is shipped is never shadowed.
- Without `--keep` the folder of `--out` serves as `pointsleft price --models FOLDER`.
- An interrupted run goes on where it stopped: finished families, and within the next score and the
  wins every ten refits. The arrays do not depend on interruptions or on the number of workers.

The college season is read with `--plays college:FILE`: the columns of its own feed, scores after
the play, the try in brackets. In three games of five the clock is read about once a drive; between
two readings it is spread over the plays by how long plays of their kind take, which is near enough
for the next score and for wins, and too rough for the laws of the clock. Runners out of bounds,
gaps, air yards and formations are not in it; quarterback runs are not told from called ones.
"""


def page(models: dict[str, Models]) -> str:
    """The page as Markdown."""
    from pointsleft_models.recipes.borrowing import ALONE_GAMES, FEWEST_GAMES
    from pointsleft_models.recipes.enough import FEWEST_SNAPS

    own = _OWN.format(games=FEWEST_GAMES, snaps=FEWEST_SNAPS, alone=ALONE_GAMES)
    parts = [_HEAD, _levels(models), _differences(models)]
    parts += [_settled(m) for m in models.values() if m.leans_on]
    return "\n".join([*parts, own])


def _levels(models: dict[str, Models]) -> str:
    lines = []
    for name, own in models.items():
        card = own.fits["next-score"].card
        first, last = card.seasons[0], card.seasons[-1]
        lines.append(
            (
                f"`{name}`", str(first) if first == last else f"{first} to {last}",
                f"{card.games:,}", f"{card.rows:,}", str(card.refits), card.data,
            )
        )  # fmt: skip
    head = ("level", "seasons", "games", "snaps", "refits", "data")
    return "## The shipped levels\n\n" + _table(head, lines, right=(2, 3, 4))


def _differences(models: dict[str, Models]) -> str:
    found = rows(models)
    names = list(models)
    out = [
        "## Where they differ\n",
        f"Values with their {LEVEL}% intervals over the refits, each level under its own rules of "
        f"{SEASON}, expected points with 15:00 left in the half. A figure in brackets rests on a "
        "part that is taken over from another level. **Apart**: the intervals do not meet.\n",
        f"![Values of the levels beside each other]({PICTURE.as_posix()})\n",
        "*Lines: the fits; bands: their intervals. Sampled on the field and the clock as the axes "
        "say; a single season's tails are in the width of its bands.*\n",
    ]
    for group, own in itertools.groupby(found, key=lambda row: row.group):
        body = [
            (row.what, *(_cell(row, name) for name in names), "apart" if _told(row) else "")
            for row in own
        ]
        out.append(_table((group, *names, ""), body, right=tuple(range(1, 1 + len(names)))))
    return "\n".join(out)


def _told(row: Row) -> bool:
    return row.apart() and all(row.own.values())


def _cell(row: Row, name: str) -> str:
    text = _figure(row.figures[name], row.unit)
    return text if row.own[name] else f"({text})"


def _figure(figure: Figure, unit: str) -> str:
    if unit == "share":
        value, low, high = (100 * x for x in (figure.value, figure.low, figure.high))
        return f"{value:.1f}% [{low:.1f}, {high:.1f}]"
    sign = "+" if unit == "points" else ""
    return f"{figure.value:{sign}.2f} [{figure.low:{sign}.2f}, {figure.high:{sign}.2f}]"


def _settled(models: Models) -> str:
    """How every part of a leaning level came about, with losses on games held out."""
    lines = []
    for name, fit in models.fits.items():
        settings: Any = fit.card.settings
        about = settings.get("settled") or {
            part: own["settled"] for part, own in settings["components"].items()
        }
        for part, own in about.items():
            losses = own.get("losses", {})
            cells = [f"{losses[w]:.4f}" if w in losses else ""
                     for w in ("alone", "moved", "as it is")]  # fmt: skip
            lines.append((name, part, own["how"], *cells, own.get("why", "")))
    head = ("fit", "part", "way", "alone", "moved", "as it is", "why borrowed")
    return (
        f"## How `{models.level}` was settled\n\nLog losses a row on games held out; for a law of "
        f"yards a row is a carrier.\n\n" + _table(head, lines, right=(3, 4, 5))
    )


def _table(head: tuple[str, ...], lines: Iterable[tuple[str, ...]], right: tuple[int, ...]) -> str:
    rule = ["---:" if at in right else "---" for at in range(len(head))]
    return "\n".join(f"| {' | '.join(cells)} |" for cells in (head, tuple(rule), *lines)) + "\n"


def source(models: dict[str, Models]) -> str:
    """Hash of the fits that the picture shows."""
    every = [fit.digest for own in models.values() for fit in own.fits.values()]
    return hashlib.sha256("|".join(every).encode()).hexdigest()[:16]


def draw_levels(found: list[Curve], path: Path, digest: str) -> None:
    """The curves of the levels beside each other, in one PNG file."""
    import matplotlib

    matplotlib.use("Agg")
    import matplotlib.pyplot as plt
    from matplotlib.ticker import FuncFormatter

    with plt.style.context(style()):
        figure, axes = plt.subplots(2, 2, figsize=(8.0, 5.6), layout="constrained")
        for curve, ax in zip(found, axes.flat, strict=True):
            for at, (name, (value, low, high)) in enumerate(curve.lines.items()):
                ax.fill_between(curve.x, low, high, color=f"C{at}", alpha=0.18, lw=0)
                ax.plot(curve.x, value, color=f"C{at}", ls=LINES[at % 4], label=name)
            ax.set_title(curve.what)
            ax.set_xlabel(curve.x_label)
            if curve.unit == "share":
                ax.yaxis.set_major_formatter(FuncFormatter(lambda share, _: f"{100 * share:.0f}%"))
            ax.legend()
        drawn = io.BytesIO()
        figure.savefig(drawn, format="png")
        plt.close(figure)
    save_small(drawn, path, digest)


def shipped() -> dict[str, Models]:
    """The shipped levels, professional first."""
    return {name: load_models(name) for name in sorted(shipped_levels(), reverse=True)}


@click.command(help=__doc__)
@click.option(
    "--docs", type=click.Path(path_type=Path), default=Path("docs"), show_default=True,
    help="Folder for levels.md and img/levels.png.",
)  # fmt: skip
def command(docs: Path) -> None:
    models = shipped()
    path = docs / PICTURE
    if not path.is_file() or drawn_from(path) != source(models):
        draw_levels(curves(models), path, source(models))
    (docs / "levels.md").write_text(page(models), encoding="utf-8")
    click.echo(f"{docs / 'levels.md'}\n{path}")


if __name__ == "__main__":
    command()
