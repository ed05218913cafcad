"""Drawing the panels of a card: counted shares with their intervals, the fit as a line."""

from __future__ import annotations

import io
import math
from importlib.resources import as_file, files
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pointsleft_models.cards.counted import Counted, Panel, Series

if TYPE_CHECKING:
    from matplotlib.axes import Axes

COLUMNS = 3

#: Size of a panel in inches.
WIDE, HIGH = 3.05, 2.35

LINES = ("-", (0, (5, 2)), "-", (0, (1.2, 1.5)))
MARKERS = ("o", "s", "^", "D")

#: Colours of a picture's file.
COLOURS = 160

#: Key of the text in a picture's file that says what it was drawn from.
SOURCE = "Source"

CAPTION = "Marks: shares counted, with 90% Wilson intervals. Lines: the fit over the same rows."
BY_GAMES = " Intervals count games, since the snaps of a game share its result."


def style() -> str:
    """Path of the one style of our figures."""
    with as_file(files(__package__).joinpath("house.mplstyle")) as path:
        return str(path)


def draw(counted: Counted, path: Path) -> None:
    """Draw all panels of a card into one PNG file."""
    import matplotlib

    matplotlib.use("Agg")
    import matplotlib.pyplot as plt

    with plt.style.context(style()):
        many = len(counted.panels)
        columns = 2 if many == 4 else min(COLUMNS, many)
        rows = math.ceil(many / columns)
        figure, axes = plt.subplots(
            rows, columns, figsize=(WIDE * columns, HIGH * rows + 0.3), squeeze=False,
            layout="constrained",
        )  # fmt: skip
        for panel, ax in zip(counted.panels, axes.flat, strict=False):
            _panel(ax, panel)
        for ax in list(axes.flat)[many:]:
            ax.set_visible(False)
        caption = CAPTION + (BY_GAMES if any(p.by_games for p in counted.panels) else "")
        if columns < COLUMNS:
            caption = caption.replace(". ", ".\n")
        figure.supxlabel(caption, fontsize=7.5, x=0.01, ha="left")
        drawn = io.BytesIO()
        figure.savefig(drawn, format="png")
        plt.close(figure)
    save_small(drawn, path, counted.digest())


def save_small(drawn: io.BytesIO, path: Path, digest: str) -> None:
    """The picture in few colours, which a line drawing can spare, with the hash of its counts."""
    from PIL import Image
    from PIL.PngImagePlugin import PngInfo

    about = PngInfo()
    about.add_text(SOURCE, digest)
    with Image.open(drawn) as picture:
        few = picture.convert("RGB").quantize(COLOURS, dither=Image.Dither.NONE)
        few.save(path, optimize=True, pnginfo=about)


def drawn_from(path: Path) -> str:
    """Hash of the counts that a picture was drawn from, empty when it does not say."""
    from PIL import Image

    with Image.open(path) as picture:
        return str(picture.info.get(SOURCE, ""))


def _panel(ax: Axes, panel: Panel) -> None:
    from matplotlib.ticker import FuncFormatter, MaxNLocator

    many = len(panel.series)
    top = 0.0
    for at, series in enumerate(panel.series):
        shift = 0.0
        if panel.ticks and many > 1:
            shift = 0.5 * ((at + 0.5) / many - 0.5)
        top = max(top, _series(ax, series, at, shift, bool(panel.ticks)))
    ax.set_xlabel(panel.x_label)
    ax.set_ylim(0, min(1.08 * top, 1.02))
    ax.yaxis.set_major_locator(MaxNLocator(5))
    ax.yaxis.set_major_formatter(FuncFormatter(lambda share, _: f"{100 * share:.3g}%"))
    if panel.ticks:
        _words(ax, panel.ticks)
    elif panel.scale == "log":
        _logarithmic(ax, panel)
    else:
        whole = max(x for series in panel.series for x in series.x) > 2
        ax.xaxis.set_major_locator(MaxNLocator(6, integer=whole, steps=[1, 2, 5, 10]))
    lines = _legend(ax, panel) if many > 1 else 0
    ax.set_title(panel.title, pad=6 + 11 * lines)


def _legend(ax: Axes, panel: Panel) -> int:
    """The names of the groups between title and axes; how many lines they take."""
    many = len(panel.series)
    long = sum(len(series.label) + 6 for series in panel.series) > 46
    columns = math.ceil(many / 2) if long else many
    ax.legend(
        loc="lower left", bbox_to_anchor=(-0.02, 0.985), ncols=columns, columnspacing=1.0,
        labelspacing=0.25, handletextpad=0.5,
    )  # fmt: skip
    return math.ceil(many / columns)


def _logarithmic(ax: Axes, panel: Panel) -> None:
    """Steps of a factor are equally wide; ticks at the round numbers within the data."""
    lowest = min(x for series in panel.series for x in series.x)
    highest = max(x for series in panel.series for x in series.x)
    ax.set_xscale("log")
    ticks = [t for t in (2, 5, 10, 30, 60, 120, 300, 600, 1500) if lowest <= t <= highest]
    ax.set_xticks(ticks, [str(t) for t in ticks], minor=False)
    ax.set_xticks([], minor=True)


def _words(ax: Axes, ticks: tuple[str, ...]) -> None:
    longest = max(len(line) for word in ticks for line in word.splitlines())
    turned = len(ticks) * longest > 38
    ax.set_xticks(
        range(len(ticks)), ticks, rotation=40 if turned else 0, ha="right" if turned else "center",
        rotation_mode="anchor",
    )  # fmt: skip
    ax.set_xlim(-0.6, len(ticks) - 0.4)


def _series(ax: Axes, series: Series, at: int, shift: float, words: bool) -> float:
    """Draw one group; the highest share or fit in it."""
    colour = f"C{at % 4}"
    low, high = series.intervals()
    shares = [y / n for y, n in zip(series.yes, series.n, strict=True)]
    x = [value + shift for value in series.x]
    below = [max(s - v, 0.0) for s, v in zip(shares, low, strict=True)]
    above = [max(v - s, 0.0) for s, v in zip(shares, high, strict=True)]
    marks: dict[str, Any] = {
        "fmt": MARKERS[at % 4], "color": colour, "elinewidth": 0.8, "capsize": 0, "alpha": 0.85,
    }  # fmt: skip
    ax.errorbar(x, shares, [below, above], **marks)
    if words:
        ax.hlines(series.fit, [v - 0.16 for v in x], [v + 0.16 for v in x], color=colour, lw=1.4)
        ax.plot([], [], color=colour, marker=MARKERS[at % 4], label=series.label)
    else:
        ax.plot(x, series.fit, color=colour, ls=LINES[at % 4])
        ax.plot([], [], color=colour, ls=LINES[at % 4], marker=MARKERS[at % 4], label=series.label)
    return max([*shares, *series.fit, *(h for h, n in zip(high, series.n, strict=True) if n >= 30)])
