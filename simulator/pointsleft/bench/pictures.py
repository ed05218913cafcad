"""Reliability pictures: share less chance by chance, one panel a kind of situation or law."""

from __future__ import annotations

import io
import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from pointsleft_models.bench.calibration import Bin
from pointsleft_models.cards.draw import HIGH, LINES, MARKERS, WIDE, save_small, style

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

#: Half width of the intervals drawn, in standard errors (90%).
DRAWN = 1.645

#: Columns of panels, and share of the axis by which groups of a panel stand apart.
COLUMNS, APART = 3, 0.006


@dataclass(frozen=True, slots=True)
class Shown:
    """One group of bins of a panel."""

    label: str
    bins: tuple[Bin, ...]


@dataclass(frozen=True, slots=True)
class ReliabilityPanel:
    """One small chart.

    Attributes
    ----------
    whole
        The horizontal axis runs from 0 to 1; else over the chances there are.
    """

    title: str
    shown: tuple[Shown, ...]
    whole: bool = True


def draw_reliability(
    panels: Sequence[ReliabilityPanel], path: Path, *, columns: int = COLUMNS
) -> None:
    """Draw panels into one PNG file; panels without bins are left empty with a word."""
    import matplotlib

    matplotlib.use("Agg")
    import matplotlib.pyplot as plt

    columns = min(columns, len(panels))
    with plt.style.context(style()):
        rows = math.ceil(len(panels) / columns)
        figure, axes = plt.subplots(
            rows, columns, figsize=(WIDE * columns, HIGH * rows + 0.3), squeeze=False,
            layout="constrained",
        )  # fmt: skip
        for panel, ax in zip(panels, axes.flat, strict=False):
            _panel(ax, panel)
        for ax in list(axes.flat)[len(panels) :]:
            ax.set_visible(False)
        _name_groups(figure, axes.flat[0])
        figure.supxlabel("chance", fontsize=8)
        figure.supylabel("share that came less chance, percentage points", fontsize=8)
        drawn = io.BytesIO()
        figure.savefig(drawn, format="png")
        plt.close(figure)
    path.parent.mkdir(parents=True, exist_ok=True)
    save_small(drawn, path, "")


def _panel(ax: Axes, panel: ReliabilityPanel) -> None:
    from matplotlib.ticker import FuncFormatter, MaxNLocator

    ax.axhline(0, color="0.35", lw=0.8)
    many = len(panel.shown)
    reach = 1.0
    for at, group in enumerate(panel.shown):
        if not group.bins:
            continue
        shift = APART * (at - (many - 1) / 2) if many > 1 else 0.0
        gap = [100 * (b.share - b.chance) for b in group.bins]
        half = [100 * DRAWN * b.error for b in group.bins]
        reach = max(reach, *(abs(g) + h for g, h in zip(gap, half, strict=True)))
        x = [100 * (b.chance + shift) for b in group.bins]
        colour = f"C{at % 4}"
        ax.errorbar(
            x, gap, half, fmt=MARKERS[at % 4], color=colour, elinewidth=0.8, ls=LINES[at % 4],
            lw=0.6, label=group.label or None,
        )  # fmt: skip
    ax.set_ylim(-1.05 * reach, 1.05 * reach)
    if panel.whole:
        ax.set_xlim(-3, 103)
    ax.xaxis.set_major_locator(MaxNLocator(5, steps=[1, 2, 5, 10]))
    ax.xaxis.set_major_formatter(FuncFormatter(lambda share, _: f"{share:g}%"))
    ax.yaxis.set_major_locator(MaxNLocator(5))
    ax.set_title(panel.title)


def _name_groups(figure: Figure, ax: Axes) -> None:
    """One legend for all panels, above them, where their groups have names."""
    marks, labels = ax.get_legend_handles_labels()
    if any(labels):
        figure.legend(marks, labels, loc="outside upper left", ncols=len(labels), fontsize=8)
