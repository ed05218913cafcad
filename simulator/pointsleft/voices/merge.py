"""One log from two: a log that checks and prices, with both voices kept beside each other.

The log's own columns hold what a price needs; nothing that either charter wrote is dropped.

- Where one is silent the other speaks.
- A window that both judge becomes a range between their words, so their disagreement is priced as
  doubt. The word itself stays that of the leading log where it lies inside.
- An option that only one lists is kept, and its chance to have been in the read is halved with a
  range from none to the usual one.
- Blame is the mean of the two shares.
- In everything else the leading log stands.

Every cell that the other wrote differently stands in a column of its own, ``window (rk)``; snaps
that only the other has, where the leading log has every snap, stand on a sheet of their own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from typing import Any, TypeVar

from pointsleft.log.record import UNSEEN, WINDOWS, LoggedGame, LoggedOption, Range, Snap
from pointsleft.log.sheets import RawLog, RawSheet
from pointsleft.log.spelling import sheets_of
from pointsleft.pricing.options import in_read
from pointsleft.voices.match import Matched
from pointsleft.voices.options import same_options

T = TypeVar("T")

#: Share of the usual chance that an option was in the read, where only one charter lists it
#: (judgement: one of two who looked saw it).
ONE_SAW = 0.5

#: Parts of a snap in which the other speaks where the leading log is silent, and their fields.
_SILENT: Mapping[str, tuple[str, ...]] = {
    "call": ("personnel", "formation", "alignment", "motion", "family", "concept", "audible"),
    "defense": ("shell_before", "shell_after", "disguise", "box", "blockers", "conflict",
                "rushers", "free_rusher", "protection", "slide"),
    "read": ("kind", "key", "key_action"),
    "happened": ("phase", "platform", "missed_why", "placement", "timing", "security", "hit"),
}  # fmt: skip
_FREE = ("free_side", "free_depth", "free_why")


@dataclass(frozen=True, slots=True)
class Voices:
    """Who speaks first (the log's own columns are his) and who stands beside him."""

    lead: str
    other: str


def voices_of(lead: LoggedGame, other: LoggedGame) -> Voices:
    """Their initials where they differ; else ``lead`` and ``other``."""
    names = lead.charter, other.charter
    if names[0] and names[1] and names[0] != names[1]:
        return Voices(names[0], names[1])
    return Voices("lead", "other")


def lead_of(
    first: LoggedGame, second: LoggedGame, matched: Matched
) -> tuple[LoggedGame, LoggedGame, Matched]:
    """The log that leads, the other, and their match: the first, unless only the second has every
    snap."""
    if first.every_snap or not second.every_snap:
        return first, second, matched
    turned = Matched(
        tuple((j, i) for i, j in matched.pairs), matched.only_second, matched.only_first,
        None if matched.offset is None else -matched.offset,
    )  # fmt: skip
    return second, first, turned


def merge(lead: LoggedGame, other: LoggedGame, matched: Matched) -> RawLog:
    """Both logs in one.

    Parameters
    ----------
    lead
        The log whose columns stand; every snap of it is kept.
    matched
        Which snap of ``lead`` (first) is which of ``other`` (second).
    """
    voices = voices_of(lead, other)
    beside = _beside(lead, other, matched, voices)
    partner = dict(matched.pairs)
    snaps = []
    for i, snap in enumerate(lead.snaps):
        j = partner.get(i)
        if j is None:
            mark = {f"voices ({voices.other})": "not logged"}
            snaps.append(replace(snap, extra={**snap.extra, **mark}))
            continue
        both = _merged(snap, other.snaps[j], voices)
        snaps.append(replace(both, extra={**both.extra, **beside[i]}))
    alone = {other.snaps[j].number: j for j in matched.only_second}
    if not lead.every_snap:
        snaps = _inserted(snaps, lead, other, matched, voices)
        alone = {}
    game = replace(
        lead,
        snaps=tuple(snaps),
        charter=f"{voices.lead} + {voices.other}",
        extra={**lead.extra, **_game_beside(lead, other, voices)},
    )
    sheets = list(sheets_of(game).sheets)
    if alone:
        sheets += _rest(other, set(alone), voices)
    return RawLog(tuple(sheets))


def _inserted(
    snaps: list[Snap], lead: LoggedGame, other: LoggedGame, matched: Matched, voices: Voices
) -> list[Snap]:
    """The snaps of both in order, those of the other alone under new numbers."""
    taken = {s.number.lower() for s in snaps}
    before: dict[int, list[Snap]] = {}
    at = 0
    partner = {j: i for i, j in matched.pairs}
    for j, snap in enumerate(other.snaps):
        if j in partner:
            at = partner[j] + 1
            continue
        number = f"{snap.number}-{voices.other}"
        while number.lower() in taken:
            number += "x"
        taken.add(number.lower())
        mark = {f"voices ({voices.lead})": "not logged", f"snap ({voices.other})": snap.number}
        # his clip times are those of another copy of the film
        new = replace(snap, number=number, clip=None, extra={**snap.extra, **mark})
        before.setdefault(at, []).append(new)
    out: list[Snap] = []
    for i, snap in enumerate(snaps):
        out += [*before.get(i, ()), snap]
    return out + before.get(len(snaps), [])


def _merged(one: Snap, two: Snap, voices: Voices) -> Snap:
    changes: dict[str, Any] = {}
    for part, names in _SILENT.items():
        changes[part] = _filled(getattr(one, part), getattr(two, part), names)
    if changes["defense"].free_rusher:
        changes["defense"] = _filled(changes["defense"], two.defense, _FREE)
    return replace(
        one,
        **changes,
        options=_options(one, two, voices),
        blame=_blame(one.blame, two.blame),
        note=one.note if one.note is not None else two.note,
    )


def _filled(one: T, two: T, names: tuple[str, ...]) -> T:
    silent = {n: getattr(two, n) for n in names if getattr(one, n) is None}
    return replace(one, **silent)  # type: ignore[type-var]


def _options(one: Snap, two: Snap, voices: Voices) -> tuple[LoggedOption, ...]:
    pairs = dict(same_options(one.options, two.options))
    out = []
    for i, option in enumerate(one.options):
        if i in pairs:
            out.append(_both(option, two.options[pairs[i]], voices))
        else:
            out.append(_one_saw(option, voices.lead, chosen=option.id == one.happened.chosen))
    names = {o.id for o in out}
    for j, option in enumerate(two.options):
        if j in pairs.values():
            continue
        name = option.id
        while name in names:
            name += f" {voices.other}"
        names.add(name)
        added = replace(option, id=name, place=None, group=None)
        out.append(_one_saw(added, voices.other, chosen=False, usual=option))
    return tuple(out)


def _both(one: LoggedOption, two: LoggedOption, voices: Voices) -> LoggedOption:
    names = [f.name for f in fields(LoggedOption)]
    skipped = {"id", "window", "window_low", "window_high", "row", "extra", "derived", "place"}
    said = {n: (getattr(one, n), getattr(two, n)) for n in names if n not in skipped}
    silent = {n: b for n, (a, b) in said.items() if a is None and b is not None}
    differ = {
        f"{n.replace('_', ' ')} ({voices.other})": _text(b)
        for n, (a, b) in said.items() if a is not None and b is not None and a != b
    }  # fmt: skip
    extra = {**one.extra, **differ}
    window: dict[str, Any] = {}
    if one.window != two.window:
        extra |= {
            f"window ({voices.lead})": one.window or "not said",
            f"window ({voices.other})": two.window or "not said",
        }
        window = _range(one, two)
    return replace(one, **silent, **window, extra=extra)


def _range(one: LoggedOption, two: LoggedOption) -> dict[str, Any]:
    """A window as a range over both words; where only one saw it, his."""
    known = [o for o in (one, two) if o.window not in (None, UNSEEN)]
    if len(known) < 2:
        kept = known[0] if known else one
        return {n: getattr(kept, n) for n in ("window", "window_low", "window_high")}
    ends = [
        WINDOWS.index(w)
        for o in known for w in (o.window, o.window_low, o.window_high) if w is not None
    ]  # fmt: skip
    most_open, least_open = min(ends), max(ends)
    middle = (WINDOWS.index(one.window or "") + WINDOWS.index(two.window or "")) // 2
    apart = abs(WINDOWS.index(one.window or "") - WINDOWS.index(two.window or ""))
    word = one.window if apart < 2 else WINDOWS[middle]
    return {"window": word, "window_high": WINDOWS[most_open], "window_low": WINDOWS[least_open]}


def _one_saw(
    option: LoggedOption, who: str, *, chosen: bool, usual: LoggedOption | None = None
) -> LoggedOption:
    extra = {**option.extra, "listed by": who}
    if chosen:  # it was thrown: both know that it was there
        return replace(option, extra=extra)
    chance, _ = in_read(usual or option)
    return replace(option, in_read=Range(ONE_SAW * chance.value, 0.0, chance.value), extra=extra)


def _blame(
    one: Mapping[str, Mapping[str, float]] | None, two: Mapping[str, Mapping[str, float]] | None
) -> Mapping[str, Mapping[str, float]] | None:
    if not one or not two:
        return one or two
    out = {}
    for entry in dict.fromkeys((*one, *two)):
        said = [b[entry] for b in (one, two) if entry in b]
        parties = dict.fromkeys(p for shares in said for p in shares)
        mean = {p: sum(s.get(p, 0.0) for s in said) / len(said) for p in parties}
        out[entry] = {p: round(share, 4) for p, share in mean.items() if share > 0}
    return out


def _text(value: object) -> str:
    if isinstance(value, Range):
        return f"{value.value:g} ({value.low:g}-{value.high:g})"
    return str(value)


def _beside(
    lead: LoggedGame, other: LoggedGame, matched: Matched, voices: Voices
) -> dict[int, dict[str, str]]:
    """Snap of the lead -> cells of the other that differ from the lead's, spelt out."""
    sheets = [sheets_of(g).sheet("snaps") for g in (lead, other)]
    rows = [[dict(zip(s.header, r, strict=True)) for r in s.rows] if s else [] for s in sheets]
    out: dict[int, dict[str, str]] = {}
    for i, j in matched.pairs:
        one, two = rows[0][i], rows[1][j]
        out[i] = {
            f"{name} ({voices.other})": cell or "blank"
            for name, cell in two.items()
            if cell != one.get(name, "") and (cell or name == "chosen")
        }
    return out


def _game_beside(lead: LoggedGame, other: LoggedGame, voices: Voices) -> dict[str, str]:
    sheets = [sheets_of(g).sheet("game") for g in (lead, other)]
    items = [{row[0]: row[1] for row in s.rows} if s else {} for s in sheets]
    return {
        f"{name} ({voices.other})": cell
        for name, cell in items[1].items() if cell and cell != items[0].get(name, "")
    }  # fmt: skip


def _rest(other: LoggedGame, numbers: set[str], voices: Voices) -> list[RawSheet]:
    """Snaps that only the other logged, with their options, on sheets of their own."""
    out = []
    for name in ("snaps", "options"):
        sheet = sheets_of(other).sheet(name)
        if sheet is None:
            continue
        at = sheet.header.index("snap")
        rows = tuple(r for r in sheet.rows if r[at] in numbers)
        if rows:
            out.append(RawSheet(f"{name} only {voices.other} has", sheet.header, rows))
    return out
