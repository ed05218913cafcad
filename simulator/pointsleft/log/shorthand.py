"""The one-cell notation: all options of a snap in one cell.

Options stand in the order of the read with blanks between them. One option is::

    post18.m.5h1/n%60=35*
    |   | | |   | |  |  +--- *      this is what he chose
    |   | | |   | |  +------ =35    stated chance of success: 35%
    |   | | |   | +--------- %60    chance that it was in the read: 60%
    |   | | |   +----------- /n     window: l s e n x ?
    |   | | +--------------- .5h1   five steps and one hitch
    |   | +----------------- .m     third: l m r (or side: f b; for runs gap: m g t e)
    |   +------------------- 18     air yards
    +----------------------- route, or give keep pitch run scr ta fg punt gfi

Every piece but the first is optional. Windows: ``l`` loose, ``s`` step, ``e`` even, ``n``
narrow, ``x`` smothered, ``?`` not visible; two letters are a range, three a range with its
middle (``sen``). Chances may have a range: ``%40..80`` or ``%40..60..80``. Options in
parentheses exclude one another as first read: ``(post18/n curl10/s) flat2/l*``. After ``>``
come the options of the second reaction.

Under a concept with a template a window alone stands for the template's next option
(``n s* l``), ``0`` leaves that option out and ``.`` takes it as it is; a route by name picks it
or adds one.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from pointsleft.log import vocabulary
from pointsleft.log.cells import CellError
from pointsleft.log.drafts import Draft, stated
from pointsleft.log.parse import WINDOW_LETTERS, window
from pointsleft.log.schema import CHOICES, plain

_OPTION = re.compile(
    r"(?P<word>[^\W\d_]+(?:-[^\W\d_]+)*)?"
    r"(?P<yards>-?\d{1,2})?"
    r"(?P<mods>(?:\.(?:[1357](?:h[0-4])?|[a-z]))*)"
    r"(?P<as_is>\.)?"
    r"(?:/(?P<window>[lsenx?]{1,3}))?"
    r"(?:%(?P<read>\d{1,3}(?:\.\.\d{1,3}){0,2}))?"
    r"(?:=(?P<chance>\d{1,3}(?:\.\.\d{1,3}){0,2}))?"
    r"(?P<star>\*)?"
)
_BARE_WINDOW = re.compile(r"([lsenx?]{1,3})(?=$|[%=*])")
_THIRDS = {"l": "left", "m": "middle", "r": "right"}
_SIDES = {"f": "field", "b": "boundary"}
_GAPS = {"m": "middle", "g": "guard", "t": "tackle", "e": "end"}
_KINDS = {
    plain(word): kind for kind, words in CHOICES["kind"].items() for word in (kind, *words)
} | {"scr": "scramble"}
#: Words of the list of kinds that mean a route when they stand in a cell of options.
_ROUTES_FIRST = {"go", "t", "pass", "throw"}
_RUNS = {"give", "keep", "pitch", "run", "scramble"}

EXPECTED = "options such as post18/n curl10/s* flat2/l, or windows such as n s* l under a concept"


@dataclass(frozen=True, slots=True)
class _Written:
    """One option as written, before it meets the template."""

    text: str
    word: str | None
    values: Mapping[str, object]
    star: bool
    left_out: bool = False


def expand(text: str, template: tuple[Draft, ...] = ()) -> tuple[list[Draft], list[str]]:
    """Options of a cell on top of a concept's template, with warnings on unknown routes.

    >>> [d.name for d in expand("post18/n curl10/s* flat2/l")[0]]
    ['post', 'curl', 'flat']

    Raises
    ------
    CellError
        A piece that cannot be read.
    """
    drafts: list[Draft | None] = list(template)
    warnings: list[str] = []
    place, named = 0, set[int]()
    for written in _pieces(text):
        if written.word is None:
            if place >= len(template):
                raise CellError(_one_too_many(len(template)))
            current = drafts[place]
            if current is not None:
                drafts[place] = (
                    None if written.left_out else current.with_(written.values, chosen=written.star)
                )
            named.add(place)
            place += 1
            continue
        values, warning = _named(written)
        warnings += [warning] if warning else []
        same = next(
            (
                (i, d)
                for i, d in enumerate(drafts[: len(template)])
                if d is not None and i not in named and _matches(d, values)
            ),
            None,
        )
        if same is not None:
            drafts[same[0]] = same[1].with_(values, chosen=written.star)
            named.add(same[0])
            place = max(place, same[0] + 1)
        else:
            drafts.append(Draft(values, frozenset(), written.star))
    kept = [d for d in drafts if d is not None]
    if sum(d.chosen for d in kept) > 1:
        raise CellError("one star: only one option was chosen")
    return kept, warnings


def _one_too_many(options: int) -> str:
    """What to write where a window alone stands for no option of the template."""
    if not options:
        return "a route with each window, such as flat2/l: this concept has no template"
    return (
        f"at most {options} windows, one for each option of the template; a further option needs "
        "its route, such as flat2/l"
    )


def _matches(draft: Draft, values: Mapping[str, object]) -> bool:
    kind = str(values.get("kind") or "throw")
    return draft.kind == kind and draft.values.get("route") == values.get("route")


def _pieces(text: str) -> Iterator[_Written]:
    spaced = re.sub(r"([()>])", r" \1 ", text.strip().lower())
    group, groups, reaction = False, 0, 1
    for token in spaced.split():
        if token == "(":
            if group:
                raise CellError("one pair of parentheses inside another is not known")
            group, groups = True, groups + 1
        elif token == ")":
            if not group:
                raise CellError("parentheses in pairs")
            group = False
        elif token == ">":
            if group or reaction == 3:
                raise CellError("at most two > between options, outside parentheses")
            reaction += 1
        else:
            piece = _piece(token)
            more: dict[str, object] = {}
            if group:
                more["group"] = f"first {groups}"
            if reaction > 1:
                more["reaction"] = reaction
            yield _Written(
                piece.text, piece.word, {**piece.values, **more}, piece.star, piece.left_out
            )
    if group:
        raise CellError("parentheses in pairs")


def _piece(token: str) -> _Written:
    if token in ("0", "."):
        return _Written(token, None, {}, False, token == "0")
    bare = _BARE_WINDOW.match(token)
    if bare is not None and token not in _KINDS and vocabulary.look_up("route", token) is None:
        token = "/" + token
    match = _OPTION.fullmatch(token)
    if match is None or (match["word"] is None and (match["yards"] or match["mods"])):
        raise CellError(f"{EXPECTED}; {token!r} cannot be read")
    if match["word"] is None and not (match["window"] or match["as_is"] or match["star"]
                                      or match["read"] or match["chance"]):  # fmt: skip
        raise CellError(f"{EXPECTED}; {token!r} cannot be read")
    values: dict[str, object] = {}
    if match["yards"]:
        values["air_yards"] = int(match["yards"])
    _modifiers(match["mods"], match["word"], values, token)
    if match["window"]:
        values |= _window(match["window"])
    for field, piece in (("in_read", match["read"]), ("chance", match["chance"])):
        if piece:
            values[field] = _percent(piece)
    return _Written(token, match["word"], values, bool(match["star"]))


def _modifiers(text: str, word: str | None, values: dict[str, object], token: str) -> None:
    run = _KINDS.get(plain(word or ""), "") in _RUNS and plain(word or "") not in _ROUTES_FIRST
    for mod in filter(None, text.split(".")):
        if mod[0].isdigit():
            values["drop"] = int(mod[0])
            if len(mod) > 1:
                values["hitches"] = int(mod[2])
        elif mod in _SIDES:
            values["side"] = _SIDES[mod]
        elif run and mod in _GAPS:
            values["gap"] = _GAPS[mod]
        elif mod in _THIRDS:
            values["third"] = _THIRDS[mod]
        else:
            raise CellError(f"{EXPECTED}; .{mod} in {token!r} is not known")


def _window(letters: str) -> dict[str, object]:
    if len(letters) == 1:
        return {"window": WINDOW_LETTERS[letters]}
    if len(letters) == 2:
        middle, low, high = window(f"{letters[0]}..{letters[1]}")
    else:
        middle, low, high = window(f"{letters[1]} ({letters[0]}..{letters[2]})")
    return {"window": middle, "window_low": low, "window_high": high}


def _percent(text: str) -> object:
    figures = [int(piece) / 100 for piece in text.split("..")]
    if any(f > 1 for f in figures) or figures != sorted(figures):
        raise CellError(f"percent from 0 to 100 in rising order; {text!r} is not")
    if len(figures) == 2:
        return stated(round(sum(figures) / 2, 4), figures[0], figures[1])
    return stated(figures[len(figures) // 2], figures[0], figures[-1])


def _named(written: _Written) -> tuple[dict[str, object], str | None]:
    """Fields of an option that names its route or its kind."""
    word = plain(written.word or "")
    values = dict(written.values)
    if word in _KINDS and word not in _ROUTES_FIRST:
        if "air_yards" in values:
            raise CellError(f"no air yards on {written.word!r}; it is not a throw")
        return {**values, "kind": _KINDS[word]}, None
    if word in _ROUTES_FIRST - {"go"}:
        return {**values, "kind": "throw"}, None
    route = vocabulary.look_up("route", word)
    warning = None if route else f"route {written.word!r} is not known; kept as written"
    return {**values, "kind": "throw", "route": route or written.word}, warning
