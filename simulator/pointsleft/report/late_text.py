"""Late choices on the terminal: at most 80 columns of plain text."""

from __future__ import annotations

import textwrap

from pointsleft.endgame.choices import EndgameChoice, EndgameChoices
from pointsleft.report.cautions import CAUTION_LINE
from pointsleft.report.safe_text import fit, pad

WIDTH = 80
LABEL = 32


def late_text(found: EndgameChoices) -> str:
    """The choices of one situation as text, ending in a newline."""
    lines = [
        fit(found.situation, WIDTH),
        f"The {_chooser(found)} chooses, {found.rules} rules",
        "",
        "  " + pad("action", LABEL - 2)
        + "".join(pad(h, w, right=True) for h, w in (
            ("wins", 8), ("+-", 6), ("behind", 8), ("+-", 6), ("net pts", 9)))
        + "  verdict",
    ]  # fmt: skip
    lines += [line for choice in found.choices for line in _row(choice)]
    if found.refused:
        lines += ["", "  not here:"]
        for reason in dict.fromkeys(r.reason for r in found.refused):
            alike = ", ".join(r.action for r in found.refused if r.reason == reason)
            lines += textwrap.wrap(
                f"{alike}: {reason}", WIDTH - 4, initial_indent="    ", subsequent_indent="      "
            )
    lines += ["", *_explained(found)]
    return "\n".join(lines) + "\n"


def _chooser(found: EndgameChoices) -> str:
    return "kicking side" if found.situation.startswith("kickoff") else found.side


def _row(choice: EndgameChoice) -> list[str]:
    first, *rest = textwrap.wrap(f"{choice.action}: {choice.label}", LABEL - 3)
    behind = ["", ""]
    if choice.verdict is not None:
        behind = [f"{100 * choice.behind:.1f}%", f"{100 * choice.behind_error:.2f}"]
    cells = (
        (f"{100 * choice.wins:.1f}%", 8),
        (f"{100 * choice.error:.2f}", 6),
        (behind[0], 8),
        (behind[1], 6),
        (f"{choice.points:+.2f}", 9),
    )
    line = "  " + pad(first, LABEL - 2) + "".join(pad(text, w, right=True) for text, w in cells)
    return [f"{line}  {choice.verdict or 'best'}", *(f"    {more}" for more in rest)]


def _explained(found: EndgameChoices) -> list[str]:
    most = f"{found.draws:,} continuations of the closest actions"
    looks = f"{found.looks} look{'' if found.looks == 1 else 's'}"
    words = [
        f"+-: one standard error of the draws ({most}, {looks}); behind: paired, same luck for "
        "both. The verdict says how surely the best beats the action, repeated looks allowed for: "
        "firm, slight (told apart, but within what the simulator may be off), unsettled.",
        *found.notes,
        CAUTION_LINE,
    ]
    lines = []
    for text in words:
        lines += textwrap.wrap(
            text, WIDTH - 2, initial_indent="  ", subsequent_indent="    ",
            break_on_hyphens=False,
        )  # fmt: skip
    return lines
