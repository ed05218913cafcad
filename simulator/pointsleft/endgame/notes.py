"""What a reader must know of the figures of one late situation."""

from __future__ import annotations

from pointsleft_models.playthrough.parts import Parts
from pointsleft_models.playthrough.restart import EXPECTED_FROM
from pointsleft_models.playthrough.start import Start

from pointsleft.endgame.actions import Action
from pointsleft.endgame.choices import Side


def notes_on(
    parts: Parts, start: Start, side: Side, actions: tuple[Action, ...]
) -> tuple[str, ...]:
    """Notes in the order in which they are read."""
    codes = {a.code for a in actions}
    notes = ["After the first action both sides play as sides have played, not as they should."]
    if side == "offense" and any(a.opening.answered for a in actions):
        notes.append(
            "Kneels and runs that are made again (kneel, run-and-kick, kneel-and-kick) the defense "
            "answers with its time-outs."
        )
    if start.half == 1:
        notes.append("The second half is priced by the regression of wins, not played out.")
    if start.half == 2 and abs(start.lead) <= 8:
        notes.append("A game that ends level counts half.")
    if "onside" in codes:
        notes.append(_onside(parts, start))
    if codes & {"let-score", "score"}:
        notes.append("Standing aside is priced as if the runner always took the touchdown.")
    if side == "offense" and codes & {"run", "pass", "go", "field-goal"} and start.down < 4:
        notes.append("A called first snap draws no flag.")
    return tuple(notes)


def _onside(parts: Parts, start: Start) -> str:
    expected = start.half == 2 and start.lead < 0 and start.seconds <= EXPECTED_FROM
    kept = 100 * parts.onside_kept[int(expected)]
    if expected:
        return f"An onside kick is expected here (behind, last quarter) and kept in {kept:.0f}%."
    return (
        f"An onside kick is a surprise here and kept in {kept:.0f}%, from few attempts: see "
        "docs/late-choices.md."
    )
