"""The options of one snap, from its concept, its one-cell notation and its option rows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pointsleft_models.football.field import END_ZONE

from pointsleft.log import vocabulary
from pointsleft.log.cells import CellError
from pointsleft.log.concepts import Templates, template
from pointsleft.log.drafts import Draft, finish
from pointsleft.log.record import LoggedOption, Range
from pointsleft.log.rows import Findings, Row
from pointsleft.log.schema import CHOICES, plain
from pointsleft.log.shorthand import expand

#: Fields of an option that a row states, in order.
FIELDS = (
    "id", "kind", "route", "air_yards", "third", "side", "gap", "place", "group", "drop",
    "hitches", "in_read", "chance", "reaction", "note",
)  # fmt: skip

#: Slack on chances that must not sum past 1.
ROUNDING = 1e-6

_KIND_WORDS = {
    plain(word): kind for kind, words in CHOICES["kind"].items() for word in (kind, *words)
}


def build(
    snap: Row,
    rows: Sequence[Row],
    own: Templates,
    findings: Findings,
    yards_to_goal: int | None = None,
) -> tuple[tuple[LoggedOption, ...], str | None]:
    """Options of a snap and the id of the chosen one."""
    flipped = snap.values.get("flipped") is True
    concept = snap.values.get("concept")
    pattern = template(str(concept) if concept else None, own, flipped=flipped)
    drafts: list[Draft] = []
    if snap.has("shorthand"):
        try:
            drafts, warnings = expand(str(snap.values.get("shorthand", "")), pattern)
        except CellError as error:
            findings.fault(snap, "shorthand", str(error))
        else:
            place = f"snaps, row {snap.number}, {snap.header('shorthand')}"
            findings.warnings += [f"{place}: {warning}" for warning in warnings]
    elif pattern and snap.has("chosen") and not rows:
        drafts = list(pattern)
    for row in rows:
        _add(drafts, row, findings)
    drafts = [_on_the_field(d, snap, rows, yards_to_goal, findings) for d in drafts]
    chosen = _chosen(snap, rows, drafts, findings)
    options = finish(drafts)
    _unique(options, rows, snap, findings)
    _groups(options, snap, findings)
    if chosen is None:
        return options, None
    return options, options[chosen].id


def _add(drafts: list[Draft], row: Row, findings: Findings) -> None:
    values: dict[str, object] = {n: row.values[n] for n in FIELDS if n in row.values}
    if "drop" in values:
        values["drop"] = int(str(values["drop"]))
    window = row.values.get("window")
    if isinstance(window, tuple):
        values |= {k: v for k, v in zip(("window", "window_low", "window_high"), window,
                                        strict=True) if v is not None}  # fmt: skip
    name = plain(str(values.get("id") or values.get("route") or values.get("kind") or ""))
    same = next((i for i, d in enumerate(drafts) if d.row is None and plain(d.name) == name), None)
    if same is None:
        _kind_from_name(values)
    chosen = row.values.get("chosen") is True
    if values.get("kind", "throw") != "throw":
        for name in ("route", "air_yards", "window"):
            if name in values:
                findings.fault(row, name, f"a blank: a {values['kind']} is not a throw")
    if same is not None:
        merged = drafts[same].with_(values, chosen=chosen)
        drafts[same] = Draft(merged.values, merged.derived, merged.chosen, row.number, row.extra)
        return
    drafts.append(Draft(values, frozenset(), chosen, row.number, row.extra))


def _on_the_field(
    draft: Draft,
    snap: Row,
    rows: Sequence[Row],
    yards_to_goal: int | None,
    findings: Findings,
) -> Draft:
    """No catch beyond the end line: a template's depth is cut, a stated one is a fault."""
    air_yards = draft.values.get("air_yards")
    if yards_to_goal is None or not isinstance(air_yards, int):
        return draft
    deepest = yards_to_goal + END_ZONE - 1
    if air_yards <= deepest:
        return draft
    if "air_yards" in draft.derived:
        return replace(draft, values={**draft.values, "air_yards": deepest})
    row = next((r for r in rows if r.number == draft.row), snap)
    name = "air_yards" if row is not snap else "shorthand"
    findings.fault(row, name, f"at most {deepest} air yards here: the end line is that near")
    return draft


def _kind_from_name(values: dict[str, object]) -> None:
    """An option named only ``give`` or ``post``: the name tells its kind or its route."""
    if "kind" in values or "route" in values or "id" not in values:
        return
    word = plain(str(values["id"]))
    # A go route with a depth or a window is no fourth-down choice.
    thrown = bool({"air_yards", "window", "third", "hitches"} & values.keys())
    if word in _KIND_WORDS and _KIND_WORDS[word] != "throw" and not thrown:
        values["kind"] = _KIND_WORDS[word]
    elif (route := vocabulary.look_up("route", word)) is not None:
        values["route"] = route


def _chosen(snap: Row, rows: Sequence[Row], drafts: list[Draft], findings: Findings) -> int | None:
    """Index of the chosen option; adds it where the word names a kind with no row."""
    starred = [i for i, d in enumerate(drafts) if d.chosen]
    if len(starred) > 1:
        where = next((r for r in reversed(rows) if r.values.get("chosen") is True), snap)
        findings.fault(where, "chosen", "one option as the chosen one; there is another")
        return None
    star = starred[0] if starred else None
    if "chosen" not in snap.values:
        if drafts and star is None and not snap.bad & {"chosen", "shorthand"}:
            findings.warnings.append(
                f"snaps, row {snap.number}: options but none chosen; it cannot be priced"
            )
        return star
    word = str(snap.values["chosen"])
    named = _find(drafts, word)
    if named is None and plain(word) in _KIND_WORDS:
        kind = _KIND_WORDS[plain(word)]
        same = [i for i, d in enumerate(drafts) if d.kind == kind]
        if len(same) == 1:
            named = same[0]
        elif not same and kind != "throw":
            drafts.append(Draft({"kind": kind}, frozenset({"kind"})))
            named = len(drafts) - 1
    if named is None and not snap.bad & {"shorthand"}:
        listed = ", ".join(d.name for d in drafts) or "none listed"
        findings.fault(snap, "chosen", f"an option of this snap: {listed}")
    if named is not None and star is not None and named != star:
        findings.fault(snap, "chosen", f"{drafts[star].name}, which has the star, or no star")
    return named


def _find(drafts: Sequence[Draft], word: str) -> int | None:
    wanted = {plain(word)}
    if (route := vocabulary.look_up("route", word)) is not None:
        wanted.add(plain(route))
    names: dict[str, int] = {}
    for place, draft in enumerate(drafts):
        name = plain(draft.name)
        names[name] = names.get(name, 0) + 1
        label = name if names[name] == 1 else f"{name} {names[name]}"
        if label in wanted:
            return place
    return None


def _unique(
    options: Sequence[LoggedOption], rows: Sequence[Row], snap: Row, findings: Findings
) -> None:
    seen: set[str] = set()
    for option in options:
        key = plain(option.id)
        if key in seen:
            row = next((r for r in rows if r.number == option.row), snap)
            name = "id" if row is not snap else "shorthand"
            findings.fault(row, name, f"a name used once in this snap; {option.id!r} is taken")
        seen.add(key)


def _groups(options: Sequence[LoggedOption], snap: Row, findings: Findings) -> None:
    """Chances of one read group sum to at most 1."""
    sums: dict[str, float] = {}
    for option in options:
        if option.group is not None and isinstance(option.in_read, Range):
            sums[option.group] = sums.get(option.group, 0.0) + option.in_read.value
    for group, total in sums.items():
        if total > 1 + ROUNDING:
            findings.fault(
                snap,
                "shorthand",
                f"chances of read group {group!r} that sum to at most 1; they sum to {total:g}",
            )
