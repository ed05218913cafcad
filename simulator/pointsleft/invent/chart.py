"""Charting: what a charter who errs writes down of a film."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from pointsleft_models.football.spot import write_spot

from pointsleft.invent.film import Film, FilmSnap
from pointsleft.invent.offers import word_of
from pointsleft.invent.people import Charter
from pointsleft.log.cells import write_clock
from pointsleft.log.parse import WINDOW_LETTERS
from pointsleft.log.record import PLACEMENTS, TIMINGS, UNSEEN, WINDOWS, LoggedOption
from pointsleft.log.sheets import RawSheet

#: Columns of the snaps sheet that are used, in the order of the log.
COLUMNS = (
    "snap", "clip", "quarter", "clock", "us", "them", "down", "distance", "ball", "hash",
    "alignment", "family", "concept", "flip", "shell", "box", "rushers", "free", "free side",
    "free depth", "free why", "options", "placement", "timing", "result", "yards", "touchdown",
    "fumble", "ended", "takeover", "they score", "safety", "hit", "blame", "sure",
)  # fmt: skip

#: Parties that a doubtful entry may be charged to instead.
PARTIES = ("quarterback", "protection", "receiver", "defense", "call")

_LETTERS = {word: letter for letter, word in WINDOW_LETTERS.items()}
_KINDS = {"field-goal": "fg", "punt": "punt", "go": "gfi", "throw-away": "ta", "scramble": "scr"}


@dataclass(frozen=True, slots=True)
class _Seen:
    """One option as the charter has it."""

    option: LoggedOption
    word: str | None
    hitches: int | None
    left_out: bool = False


def chart(
    film: Film, charter: Charter, rng: np.random.Generator, *, spelt: bool = False
) -> RawSheet:
    """The snaps sheet of a film as a charter logs it.

    Parameters
    ----------
    spelt
        Write the situation on every row: it must stand alone where snaps are left out.
    """
    rows: list[dict[str, str]] = []
    above: dict[str, str] = {}
    number = 0
    late = 0.0
    for made, after in zip(film.snaps, [*film.snaps[1:], None], strict=True):
        number += 1
        if rng.random() < charter.skipped and made.offer is not None:
            continue
        jitter = charter.clip_spread * float(rng.standard_normal())
        late = max(made.clip + jitter, late + 1.0)
        row = {"snap": str(number), "clip": _clip(late)}
        row |= _situation(made, above, spelt)
        row |= _call(made)
        row |= _play(made, charter, rng)
        above = row if row.get("family") != "try" else above
        if ends_possession(made, after):
            above = {}
        rows.append(row)
    cells = tuple(tuple(row.get(c, "") for c in COLUMNS) for row in rows)
    used = [i for i in range(len(COLUMNS)) if any(row[i] for row in cells)]
    return RawSheet(
        "snaps", tuple(COLUMNS[i] for i in used),
        tuple(tuple(row[i] for i in used) for row in cells),
    )  # fmt: skip


def ends_possession(made: FilmSnap, after: FilmSnap | None) -> bool:
    """Whether the next row starts a possession, so that nothing is carried to it."""
    if after is None or after.snap.situation is None or made.snap.situation is None:
        return after is not None and after.snap.situation is not None
    here, then = made.snap.situation, after.snap.situation
    done = made.snap.happened
    spot = here.yards_to_goal - (done.yards or 0)
    lost = done.fumble == "lost" or done.end_yards_to_goal is not None
    return (
        lost
        or here.half != then.half
        or spot != then.yards_to_goal
        or (here.down == 4 and (done.yards or 0) < here.distance)
    )


def _clip(seconds: float) -> str:
    minutes, rest = divmod(round(seconds), 60)
    return f"{minutes}:{rest:02d}"


def _situation(made: FilmSnap, above: dict[str, str], spelt: bool) -> dict[str, str]:
    at = made.snap.situation
    if at is None:
        return {}
    row = {"quarter": str(at.period), "clock": write_clock(at.seconds or 0), "hash": at.hash or ""}
    if spelt or not above:
        row |= {
            "us": str(made.us), "them": str(made.them), "down": str(at.down),
            "distance": str(at.distance), "ball": write_spot(at.yards_to_goal),
        }  # fmt: skip
    return row


def _call(made: FilmSnap) -> dict[str, str]:
    call, d = made.snap.call, made.snap.defense
    row = {"family": call.family or "", "concept": call.concept or ""}
    if call.alignment and call.family != "kick":
        row["alignment"] = call.alignment
    if call.flipped and made.offer is not None and not made.by_coach:
        row["flip"] = "yes"
    if d.box is not None:
        row["box"] = str(d.box)
    if d.rushers is not None:
        row |= {"shell": d.shell_after or "", "rushers": str(d.rushers)}
    if d.free_rusher:
        row |= {
            "free": "yes", "free side": d.free_side or "", "free why": d.free_why or "",
            "free depth": f"{d.free_depth or 0:.0f}",
        }  # fmt: skip
    return row


def _play(made: FilmSnap, charter: Charter, rng: np.random.Generator) -> dict[str, str]:
    done = made.snap.happened
    row = {"result": done.result or ""}
    gains = done.result in ("complete", "run", "scramble", "sack", "kneel")
    if gains and done.yards is not None:
        row["yards"] = str(done.yards)
    if done.touchdown:
        row["touchdown"] = "yes"
    if done.fumble:
        row["fumble"] = done.fumble
    if done.ended:
        row["ended"] = done.ended
    if done.end_yards_to_goal is not None:
        row["takeover"] = write_spot(100 - done.end_yards_to_goal)
    if done.defense_scored:
        row["they score"] = "yes"
    if done.safety:
        row["safety"] = "yes"
    if made.offer is None or made.chosen is None:
        return row
    if made.by_coach:
        options = made.offer.look.options
        row["options"] = " ".join(
            _KINDS[o.kind] + ("*" if i == made.chosen else "") for i, o in enumerate(options)
        )
        row["concept"] = ""
        row["blame"] = "left: call 1"
        return row
    row["hit"] = "yes" if done.hit else ""
    row["options"] = _options(made, charter, rng)
    row["placement"] = _slipped(done.placement, PLACEMENTS, charter.timing_slip, rng)
    row["timing"] = _slipped(done.timing, TIMINGS, charter.timing_slip, rng)
    row["blame"] = _blame(made, charter, rng)
    row["sure"] = str(rng.choice(["sure", "likely", "guess", ""], p=[0.1, 0.2, 0.05, 0.65]))
    return row


def _slipped(
    word: str | None, words: tuple[str, ...], chance: float, rng: np.random.Generator
) -> str:
    """A word, or with some chance its neighbour in the list."""
    if word is None:
        return ""
    at = words.index(word)
    if rng.random() < chance:
        at += 1 if at == 0 or (at < len(words) - 1 and rng.random() < 0.5) else -1
    return words[at]


def window_word(odds: float, charter: Charter, rng: np.random.Generator) -> str:
    """The word a charter gives to a window: the right one, or with some chance one step off."""
    at = WINDOWS.index(word_of(odds))
    if rng.random() < charter.window_slip:
        at += -1 if rng.random() < charter.leniency else 1
    return WINDOWS[min(max(at, 0), len(WINDOWS) - 1)]


def _options(made: FilmSnap, charter: Charter, rng: np.random.Generator) -> str:
    """The cell of options: windows in the order of the template, as short as it goes."""
    assert made.offer is not None
    options = made.offer.look.options
    seen = []
    for i, option in enumerate(options):
        odds, mine = float(made.offer.look.open[i]), i == made.chosen
        word = window_word(odds, charter, rng) if option.kind == "throw" else None
        if word is not None and not mine and rng.random() < charter.unseen:
            word = UNSEEN
        hitches = option.hitches
        if hitches is not None and option.kind == "throw" and rng.random() < charter.timing_slip:
            hitches = min(max(hitches + int(rng.choice([-1, 1])), 0), 4)
        missed = not mine and bool(rng.random() < charter.missed)
        seen.append(_Seen(option, word, hitches, missed))
    while sum(not s.left_out for s in seen) < 2:  # a decision needs another option
        other = next(i for i in range(len(seen)) if seen[i].left_out)
        seen[other] = replace(seen[other], left_out=False)
    return " ".join(_option(s, i == made.chosen, options) for i, s in enumerate(seen))


def _option(seen: _Seen, chosen: bool, options: tuple[LoggedOption, ...]) -> str:
    star = "*" if chosen else ""
    if seen.left_out:
        return "0"
    if seen.word is None:
        return "." + star
    letter = _LETTERS[seen.word]
    o = seen.option
    alone = sum(other.route == o.route for other in options) == 1
    if seen.hitches != o.hitches and alone and o.route is not None and o.drop is not None:
        return f"{o.route}.{o.drop}h{seen.hitches}/{letter}{star}"
    return letter + star


def _blame(made: FilmSnap, charter: Charter, rng: np.random.Generator) -> str:
    """Who answers for what went wrong; blank where nothing much did."""
    assert made.offer is not None
    found, done = made.offer, made.snap.happened
    entries = []
    best = int(np.argmax(found.worth))
    if found.worth[best] - found.worth[made.chosen or 0] > 0.5:
        party = "quarterback" if found.look.read[best] else "call"
        entries.append(("left", _charged(party, charter, rng)))
    if done.result == "sack":
        why = made.snap.defense.free_why
        party = "quarterback" if why in (None, "by-design") else "protection"
        entries.append(("delivered", _charged(party, charter, rng)))
    elif done.result in ("drop", "interception", "broken-up"):
        party = {"drop": "receiver", "broken-up": "defense"}.get(done.result, "quarterback")
        entries.append(("breaks", _charged(party, charter, rng)))
    return "; ".join(f"{entry}: {party} 1" for entry, party in entries)


def _charged(party: str, charter: Charter, rng: np.random.Generator) -> str:
    if rng.random() >= charter.blame_slip:
        return party
    return str(rng.choice([p for p in PARTIES if p != party]))
