"""The measured page of the case for the tool."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from pointsleft.bench.markdown import Lines, paragraph, table
from pointsleft.trial.picture import USUAL
from pointsleft.trial.study import QUESTIONS

#: Standard errors by which the tool must lead or trail to be called ahead or behind.
SURELY = 1.645

#: Which of the tool's two rankings answers which question.
ANSWERS = {"better quarterback": "left and delivered", "better decider": "left"}

_HEAD = """# Whose ranking puts the better quarterback first?

<!-- Made by `python -m pointsleft.bench players`. -->

Quarterbacks of known skill are invented, filmed, charted by people who err, and ranked in four
ways; counted is how often the better of two comes first. Half of all pairs would come right by
lot.

- **left**: `left` a decision, less is better. It judges decisions and nothing else.
- **left and delivered**: `delivered` less `left` a decision: decisions and execution, luck taken
  out.
- **EP added**: expected points after each play less those before, a decision. It needs no
  charter.
- **passer rating**: the box score's formula.

*Better quarterback* is whose side scores more points than the other in the long run; *better
decider* is who errs less on the worth of his options. The first asks for both skills, the second
for one of them.

![Shares of pairs in the right order](img/case.png)

*Left: by number of games. Right: after three games, by charter. Marks with 90% intervals over
the classes drawn. The line at 50% is drawing lots.*
"""

_HOW = """## How it is made

**The film.** Every snap is a concept of the log's own templates, with coverage, rush and, for
each option, how open he truly is. A quarterback sees each option that is in his read at its true
worth and an error of his own (standard deviation: his *decision error*, in points) and takes the
best. His *accuracy* tilts how often his balls are in stride and on time. What comes of it is
drawn from the laws. Hand-offs, fourth downs and kicks are the same for all; the other side's
possessions are taken from games of the play-through.

**The truth.** {games} games at each of 49 pairs of skills are counted out, points of his side
less the other's; a smooth surface through the counts is the truth (standard error {error:.2f}
points a game; what it misses is {misfit:.2f} times what luck explains). No value of a situation
enters.

**The skills.** Decision error about .5 points, its logarithm normal with standard deviation .30;
accuracy normal. Together they spread quarterbacks by {spread:.1f} points a game (standard
deviation), decisions alone by {decision:.1f}, execution alone by {execution:.1f}. The size is
set by a published figure: quarterback value measures correlate by .30 to .60 from year to year
(Yurko, Ventura & Horowitz 2019); here EP added does by {correlation:.2f} over two seasons of 16
games. The even split between both skills is a judgement. Passes are completed {completed:.1%} of
the time; a game has {decisions:.0f} decisions.

**The charter.** A window word is one step off with some chance; options that were not thrown are
overlooked or do not show; hitches, placement and timing are judged as their neighbours with some
chance. Everything else is logged right.

**Circles that are left.** The film is played with a fit on one fifth of the archive's games and
priced with one on another fifth, so the tool does not grade with the table the film was made
with, and its fits are less exact than the shipped ones. But both have the same form. The scale
of the window words is the same in both (`python -m pointsleft.bench players-moved` moves it). A
quarterback who errs less errs less about the film's own values, so decisions are good in the
sense in which the tool looks for them. Placement is seen by the charter nearly as it was, so
execution is easier to see here than on film. Real quarterbacks differ in more than two ways, and
their teams differ; here teams are equal, which flatters EP added and the passer rating most.
"""


def case(data: Any) -> Lines:
    """The section on the page of all measures."""
    main = data
    return [
        "## Whose ranking puts the better first?",
        "",
        *paragraph(
            f"Invented quarterbacks of known skill, {main['plan']['classes']} classes of "
            f"{main['plan']['players']}, charter {USUAL}; how it is made, and every other charter, "
            "is in [case.md](case.md)."
        ),
        "",
        *_games(main),
    ]


def _share(found: Mapping[str, Any], at: int) -> str:
    return f"{100 * found['share'][at]:.1f} ± {100 * found['error'][at]:.1f}"


def _head(main: Mapping[str, Any]) -> list[str]:
    return [f"{g} game{'s' if g > 1 else ''}" for g in main["after"]]


def _games(main: Mapping[str, Any]) -> Lines:
    rows = []
    for question in QUESTIONS:
        figures = {**main["charted"][USUAL], **main["plain"]}
        for name, found in figures.items():
            cells = [_share(found[question], i) for i in range(len(main["after"]))]
            rows.append((question, name, *cells))
    return table(("question", "ranked by", *_head(main)), rows, left=2)


def _noise(main: Mapping[str, Any], question: str) -> Lines:
    name = ANSWERS[question]
    rows = []
    for noise in main["noises"]:
        found = main["charted"][noise["name"]][name][question]
        cells = [_share(found, i) for i in range(len(main["after"]))]
        rows.append((noise["name"], f"{noise['same']:.0%}", f"{noise['kappa']:.2f}", *cells))
    added = main["plain"]["EP added"][question]
    cells = [_share(added, i) for i in range(len(main["after"]))]
    rows.append(("*EP added, no charter*", "", "", *cells))
    return table(("charter", "words the same", "kappa", *_head(main)), rows)


def _charters(noises: Sequence[Mapping[str, Any]]) -> Lines:
    rows = []
    for n in noises:
        more = [
            *(["a charter of his own for each"] if n["own_charter"] else []),
            *([f"hindsight {n['hindsight']:.0%}"] if n["hindsight"] else []),
            *(["all words drawn by lot"] if n["by_lot"] else []),
        ]
        slips = f"{n['slip']:.0%}" + (f", {n['rounds']} times over" if n["rounds"] > 1 else "")
        rows.append(
            (n["name"], slips, f"{n['missed']:.0%}", f"{n['unseen']:.0%}", f"{n['timing']:.0%}",
             "; ".join(more))
        )  # fmt: skip
    head = ("charter", "word a step off", "overlooked", "not seen", "timing, placement off", "and")
    return table(head, rows)


def verdicts(main: Mapping[str, Any]) -> Lines:
    """For each question and ranking of the tool: at which noise it stops paying."""
    lines: Lines = []
    for question in QUESTIONS:
        for name in main["charted"][USUAL]:
            text = f"- The {question}, by `{name}`: {_verdict(main, question, name)}."
            first, *rest = paragraph(text)
            lines += [first, *(f"  {line}" for line in rest)]
    return lines


def _verdict(main: Mapping[str, Any], question: str, name: str) -> str:
    by_words: dict[str, list[int]] = {}
    for at, games in enumerate(main["after"]):
        by_words.setdefault(_reach(main, question, name, at), []).append(games)
    parts = []
    for words, games in by_words.items():
        named = [str(g) for g in games]
        listed = named[0] if len(named) == 1 else f"{', '.join(named[:-1])} and {named[-1]}"
        parts.append(f"after {listed} game{'s' if games != [1] else ''} {words}")
    return "; ".join(parts)


def _reach(main: Mapping[str, Any], question: str, name: str, at: int) -> str:
    """Down to which charter the tool is surely ahead after some number of games."""
    plain = [n for n in main["noises"] if not (n["own_charter"] or n["hindsight"])]
    ahead = []
    for noise in plain:
        over = main["over EP added"][noise["name"]][name][question]
        if over["share"][at] <= SURELY * over["error"][at]:
            break
        ahead.append(noise)
    if not ahead:
        return "it is not surely ahead even with exact words"
    if len(ahead) == len(plain):
        return "it pays with every charter"
    last, stop = ahead[-1], plain[len(ahead)]
    return (
        f"it pays down to the charter *{last['name']}* (kappa {last['kappa']:.2f}) and no longer "
        f"with *{stop['name']}* ({stop['kappa']:.2f})"
    )


def moved(data: Any) -> Lines:
    """The section of the variants on the page of all measures."""
    plan = data[0]["study"]["plan"]
    rows = []
    for variant in data:
        study = variant["study"]
        at = study["after"].index(3)
        for question in QUESTIONS:
            name = ANSWERS[question]
            rows.append(
                (
                    variant["name"], question,
                    _share(study["charted"][USUAL][name][question], at),
                    _share(study["plain"]["EP added"][question], at),
                )
            )  # fmt: skip
    return [
        "## Whose ranking puts the better first, with the film or the tool moved",
        "",
        *paragraph(
            f"As in [case.md](case.md), after three games, charter {USUAL}, {plan['classes']} "
            f"classes of {plan['players']} and fewer looks of each situation. Openness is worth "
            "less or more in the film than the words of the tool say; or the tool prices by the "
            "very fit that the film was played with, as it never could."
        ),
        "",
        *table(("variant", "question", "the tool", "EP added"), rows, left=2),
    ]


def case_page(measured: Mapping[str, Any]) -> str:
    """docs/case.md."""
    main, about = measured["data"], measured["about"]
    truth, drawn = main["truth"], main["class"]
    how = _HOW.format(
        games=f"{main['plan']['truth_games']:,}", error=truth["error"], misfit=truth["misfit"],
        spread=truth["spread"], decision=truth["decision spread"],
        execution=truth["execution spread"], correlation=drawn["correlation"],
        completed=drawn["completed"], decisions=drawn["decisions"],
    )  # fmt: skip
    lines = [
        _HEAD, "## By games", "",
        *paragraph(f"Per cent of pairs in the right order ± one standard error, charter {USUAL}."),
        "", *_games(main), "", "## By charter", "",
        *paragraph(
            "Kappa is that of two charters with the same noise who log the same film, as "
            "`pointsleft compare` measures it, so it can be measured for two real ones "
            "([two-charters.md](two-charters.md)). *Hindsight* moves the word of the thrown option "
            "by how it ended; in the row before it every quarterback has a charter of his own, one "
            "strict, one lenient."
        ), "",
    ]  # fmt: skip
    for question in QUESTIONS:
        lines += [f"The {question}, by `{ANSWERS[question]}`:", "", *_noise(main, question), ""]
    lines += [
        "## Where it stops paying", "",
        *paragraph(
            "The tool pays where its ranking is surely (90%, the same classes) ahead of EP added, "
            "which needs no charter."
        ), "", *verdicts(main), "", how, *_charters(main["noises"]), "",
        f"Measured {about['date']} at commit {about['commit']} ({about['machine']}); "
        f"{main['plan']['classes']} classes of {main['plan']['players']} quarterbacks, seed "
        f"{main['plan']['seed']}.",
    ]  # fmt: skip
    return "\n".join(lines) + "\n"
