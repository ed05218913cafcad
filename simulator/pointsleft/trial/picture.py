"""The picture of the study: shares of pairs in the right order, by games and by noise."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pointsleft.report.palette import INK, OCHRE, PAPER, STONE, VIOLET
from pointsleft.trial.study import QUESTIONS

if TYPE_CHECKING:
    from matplotlib.axes import Axes

#: Charter of the left column, and how the four rankings are drawn: they differ by mark and line
#: and not by colour alone.
USUAL = "as in the demo class"
STYLES: Mapping[str, tuple[str, str, str]] = {
    "left": (VIOLET, "o", "-"),
    "left and delivered": (OCHRE, "s", "-"),
    "EP added": (INK, "^", "--"),
    "passer rating": (STONE, "v", ":"),
}

#: Half width of the intervals drawn, standard errors (90%).
DRAWN = 1.645

#: Games at which noise is compared.
AT = 3


def draw(data: Mapping[str, Any], path: Path) -> None:
    """Draw the study into a PNG file.

    Parameters
    ----------
    data
        What :func:`pointsleft.trial.study.study` gives.
    """
    import matplotlib

    matplotlib.use("Agg")
    import matplotlib.pyplot as plt

    figure, axes = plt.subplots(2, 2, figsize=(10.0, 7.4), layout="constrained", sharey="row")
    figure.set_facecolor(PAPER)
    for row, question in zip(axes, QUESTIONS, strict=True):
        _by_games(row[0], data, question)
        _by_noise(row[1], data, question)
    handles, labels = axes[0][0].get_legend_handles_labels()
    figure.legend(handles, labels, loc="outside upper left", ncols=4, frameon=False)
    path.parent.mkdir(parents=True, exist_ok=True)
    figure.savefig(path, dpi=110, metadata={"Software": None})
    plt.close(figure)


def _plain(ax: Axes, title: str) -> None:
    ax.set_facecolor(PAPER)
    ax.axhline(50, color=STONE, lw=0.8)
    ax.set_title(title, loc="left", fontsize=10)
    ax.set_ylabel("pairs in the right order, %", fontsize=9)
    ax.spines[["top", "right"]].set_visible(False)


def _one(data: Mapping[str, Any], name: str, question: str, noise: str) -> Mapping[str, Any]:
    held = data["plain"] if name in data["plain"] else data["charted"][noise]
    found: Mapping[str, Any] = held[name][question]
    return found


def _by_games(ax: Axes, data: Mapping[str, Any], question: str) -> None:
    at = list(range(len(data["after"])))
    for shift, (name, (colour, mark, line)) in enumerate(STYLES.items()):
        found = _one(data, name, question, USUAL)
        ax.errorbar(
            [x + 0.05 * (shift - 1.5) for x in at],
            [100 * v for v in found["share"]], [100 * DRAWN * e for e in found["error"]],
            color=colour, marker=mark, ls=line, lw=1.4, ms=5, label=name,
        )  # fmt: skip
    ax.set_xticks(at, [str(games) for games in data["after"]])
    ax.set_xlabel("games", fontsize=9)
    _plain(ax, f"The {question}: charter {USUAL}")


def _by_noise(ax: Axes, data: Mapping[str, Any], question: str) -> None:
    after = data["after"].index(AT)
    noises = [n for n in data["noises"] if not (n["own_charter"] or n["hindsight"])]
    at = list(range(len(noises)))
    for shift, (name, (colour, mark, line)) in enumerate(STYLES.items()):
        found = [_one(data, name, question, n["name"]) for n in noises]
        ax.errorbar(
            [x + 0.08 * (shift - 1.5) for x in at],
            [100 * f["share"][after] for f in found],
            [100 * DRAWN * f["error"][after] for f in found],
            color=colour, marker=mark, ls=line, lw=1.4, ms=5,
        )  # fmt: skip
    names = [
        f"{_short(n['name'])}\n{n['kappa']:.2f}".replace("-0", "\N{MINUS SIGN}0") for n in noises
    ]
    ax.set_xticks(at, names, fontsize=8)
    ax.set_xlabel("charter, and kappa of two such charters on windows", fontsize=9)
    _plain(ax, f"The same after {AT} games, by charter")


def _short(name: str) -> str:
    """A charter's name in two lines at most."""
    words = name.removesuffix(" class").split()
    half = (len(words) + 1) // 2
    return "\n".join(" ".join(w) for w in (words[:half], words[half:]) if w)
