"""docs/judgements.md, from the table of judgements and the named figures of the code."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterable
from importlib import import_module
from importlib.resources import files
from pathlib import Path

from pointsleft_models.checks.window_scale import WITH_POSITIONS, WITHOUT, fifths
from pointsleft_models.laws.kickoff import BORROWED, ERAS

from pointsleft.log.record import WINDOWS
from pointsleft.pricing.depths import FAMILY_DROP, GENERAL_SHELLS, SHELLS, USUAL
from pointsleft.pricing.judgement_table import Judgement, judgements
from pointsleft.pricing.protection import DEPTHS
from pointsleft.reference.markdown import table

#: Groups of the table in the order of the page: heading, words, prefixes of their codes.
GROUPS: tuple[tuple[str, str, tuple[str, ...]], ...] = (
    (
        "Windows",
        "Moves of the log odds of a catch, beside passes that were thrown (see above).",
        ("window",),
    ),
    (
        "Flight of the ball",
        "Moves of the log odds of a catch by where on the field the ball was snapped.",
        ("flight",),
    ),
    ("In the read", "Chance that an option was in the read when the log gives none.", ("in_read",)),
    ("Ball-out time", "What an option needs.", ("drop",)),
    ("The free rusher", "What the rush gives.", ("rush",)),
    (
        "Option runs and designed runs",
        "Play-by-play does not mark them. Above zero is worse for the runner.",
        ("option", "pitch", "sneak"),
    ),
    ("Scrambles and throw-aways", "", ("escape", "scramble")),
    (
        "Hits",
        "Hits on the quarterback to expect. They are counted apart and never turned into points.",
        ("hit",),
    ),
    (
        "Execution",
        "How often each placement and timing occurs, and what it moves. Over all of them, each as "
        "often as it occurs, the law of the option comes out again, so a snap whose execution was "
        "not judged has `delivered` 0.",
        ("share", "catch", "pick", "lost"),
    ),
    ("The grader", "", ("grader",)),
    (
        "Kicks",
        "Moves of the log odds of a field goal, and of where the other side starts after a punt, "
        "for a call typed at the prompt.",
        ("kick", "punt"),
    ),
    (
        "Conventions and defaults",
        "What stands in for a blank; the output marks each one it used.",
        ("blame", "clock", "score", "air", "third", "route", "shell", "gap", "result", "takeover"),
    ),
)

_HEAD = """# Judgements

<!-- Made by `python -m pointsleft.reference`; edit judgements.csv and constants.csv. -->

Everything in the pricing that is not a fit. The first tables are
`pointsleft/pricing/judgements.csv`, the one table that the code reads; the output of a priced game
names the code of every row it used. A range is what the figure may be by the same eye: ranges are
drawn jointly for the judgement spread, and the decisive judgement is the smallest single change,
in half ranges, that turns a verdict over. A source that says *common practice* or *from memory*
has not been looked up.

"""


def judgements_page(docs: Path | None = None) -> str:
    """The whole page.

    Parameters
    ----------
    docs
        Folder that may hold ``window-scale.json``, what the archive said when it was last asked.
    """
    parts = [_HEAD + _window_scale(docs)]
    rows = dict(judgements())
    for heading, words, prefixes in GROUPS:
        own = [rows.pop(code) for code in list(rows) if code.split(".")[0] in prefixes]
        parts.append(f"## {heading}\n\n" + (f"{words}\n\n" if words else "") + _rows(own))
    if rows:
        raise ValueError(f"judgements in no group of the page: {', '.join(rows)}")
    parts += [_depths(), _drops(), _shells(), _kickoffs(), _constants()]
    return "\n".join(parts)


def _window_scale(docs: Path | None) -> str:
    saved = None if docs is None else docs / "window-scale.json"
    asked = ""
    if saved is not None and saved.is_file():
        found = json.loads(saved.read_text(encoding="utf-8"))
        asked = (
            f" On {found['throws']:,} throws of {found['source']} the answer is "
            f"{found['sd']:.2f} (`python -m pointsleft_models.checks.window_scale`)."
        )
    means = table(
        ("window", "fifth of the throws", "mean of that fifth"),
        (
            (f"`{word}`", fifth, f"{mean:+.2f}")
            for word, fifth, mean in zip(
                WINDOWS, ("most open", "second", "middle", "fourth", "least open"), fifths(1.0),
                strict=True,
            )
        ),
        1,
    )  # fmt: skip
    return f"""## The scale of the window words

Play-by-play does not see how open a receiver was, so the words cannot be fitted. Their scale can
be bounded. A catch model that sees where everybody is has a log loss of {WITH_POSITIONS} where one
that sees depth and place of the throw has {WITHOUT} (Deshpande and Evans 2020, Journal of
Quantitative Analysis in Sports 16:85-94; quoted from another text, and part of the gain belongs to
a richer kind of model). Give every throw of the archive an unseen normal part on the log-odds
scale of our own completion law: how wide must it be for seeing it to shrink the log loss by that
share?{asked} The words stand at the means of the fifths of a normal with standard deviation 1:

{means}
The scale is that of all receivers. Passes that were thrown are more open than that
(`window.selection`, and more for each air yard beyond five), so a throw to a window called `even`
is completed less often than the average pass thrown so deep.

What hangs on the scale is in [window-words.md](window-words.md): every verdict of the demo game
with these figures halved and doubled.
"""


def _rows(rows: Iterable[Judgement]) -> str:
    return table(
        ("code", "value", "range", "unit", "what", "why", "source"),
        (
            (f"`{r.code}`", r.text, _range(r), r.unit, r.what, r.why, r.source)
            for r in rows
        ),
    )  # fmt: skip


def _range(row: Judgement) -> str:
    return f"{row.low_text} to {row.high_text}" if row.low_text else ""


def _depths() -> str:
    rows = (
        (f"`{route}`", str(air), third or "outside", law)
        for route, (air, third, law) in USUAL.items()
    )
    return (
        "## Where routes are usually run\n\nFor options logged without air yards or third "
        "(`air.default`, `third.default`). Common practice, no source. The last column is the "
        "route of the laws that prices it.\n\n"
        + table(("route", "air yards", "third", "priced as"), rows)
    )


def _drops() -> str:
    rows = ((f"`{f}`", str(steps), str(hitches)) for f, (steps, hitches) in FAMILY_DROP.items())
    depths = ", ".join(
        f"{steps} {'step' if steps == 1 else 'steps'} {depth:g}" for steps, depth in DEPTHS.items()
    )
    return (
        "## Drops by play family\n\nFor options logged without a drop (`drop.default`), counted "
        "from under centre; each later place in the read is one hitch later. Common practice, no "
        "source.\n\n"
        + table(("play family", "steps", "hitches"), rows)
        + f"\nYards behind the line at the top of the drop, from under centre: {depths}.\n"
    )


def _shells() -> str:
    rows = [(f"`{word}`", law, "") for word, law in SHELLS.items()]
    rows += [(f"`{word}`", law, "commonest of its kind") for word, law in GENERAL_SHELLS.items()]
    return "## Coverage words\n\n" + table(("in the log", "priced as", ""), rows)


def _kickoffs() -> str:
    rows = [(f"from the {spot}, touchback to the {back}", "fitted", "", "") for spot, back in ERAS]
    eras = {code: pair for pair, code in ERAS.items()}
    for (spot, back), (code, share, added) in BORROWED.items():
        base = eras[code]
        rows.append(
            (
                f"from the {spot}, touchback to the {back}",
                f"borrowed from the {base[0]}, to the {base[1]}; from memory",
                f"{share:.2f}", f"{added:+d} yards",
            )
        )  # fmt: skip
    return (
        "## Kickoffs without a season in the data\n\nRule sets whose pair of spots no season of "
        "the archive has borrow a law and move it.\n\n"
        + table(("kickoff", "law", "touchback share", "returned starts moved"), rows)
    )


def _constants() -> str:
    text = files(__package__).joinpath("constants.csv").read_text(encoding="utf-8")
    rows = []
    for row in csv.DictReader(text.splitlines()):
        module, name = row["where"].split(":")
        value = getattr(import_module(module), name, None)
        if value is None:
            raise ValueError(f"constants.csv names {row['where']}, which is gone; mend the row")
        where = f"`{module.split('.', 1)[1]}.{name}`"
        rows.append((where, f"{value:g}", row["unit"], row["what"], row["source"]))
    return (
        "## Figures with a name in the code\n\nConstants of laws, values and pricing that are "
        "neither fitted nor in the table above.\n\n"
        + table(("name", "value", "unit", "what", "source"), rows)
    )
