"""Option keys: what the key's action makes right, and what the rule of the play says.

With a pitch in the play the key is on the quarterback or off him; without one he takes the back
or stays outside; in a run with an attached pass he fits the run or drops.
"""

from __future__ import annotations

from pointsleft.log.record import LoggedOption, Snap

#: Actions by which the key takes what is nearest to the middle of the play.
INSIDE = {"crash", "squeeze"}

#: Actions by which he stays away from it.
OUTSIDE = {"widen", "drop", "scrape", "sit"}


def rule_option(snap: Snap) -> str | None:
    """Id of the option that the rule of the play makes right, ``None`` when it cannot be told.

    What the log states outright goes first; else it is worked out from the key's action.
    """
    said = snap.read.rule_says
    ids = [o.id for o in snap.options]
    if said is not None:
        if said in ids:
            return said
        of_kind = [o.id for o in snap.options if o.kind == said]
        return of_kind[0] if len(of_kind) == 1 else None
    return _from_key(snap)


def _from_key(snap: Snap) -> str | None:
    action = snap.read.key_action
    if action is None:
        return None
    by_kind: dict[str, list[str]] = {}
    for o in snap.options:
        by_kind.setdefault(o.kind, []).append(o.id)

    def only(kind: str) -> str | None:
        found = by_kind.get(kind, [])
        return found[0] if len(found) == 1 else None

    if "pitch" in by_kind and "give" not in by_kind:
        if action in INSIDE:
            return only("pitch")
        return only("keep") if action == "widen" else None
    if "give" in by_kind and "pitch" not in by_kind:
        if action in INSIDE:
            return only("keep") or only("throw")
        return only("give") if action in OUTSIDE else None
    return None


def matched(snap: Snap, option: LoggedOption) -> bool | None:
    """Whether a run goes away from what the key took; ``None`` when not known."""
    if option.kind not in ("give", "keep", "pitch"):
        return None
    right = rule_option(snap)
    if right is None or snap.read.key_action is None:
        return None
    if right == option.id:
        return True
    others = [o for o in snap.options if o.kind in ("give", "keep", "pitch")]
    # with three runs one key speaks for the two that share it: the one it spares and the other
    # that it takes; the give of a triple option is untouched by the pitch key
    if len(others) > 2 and option.kind == "give":
        return None
    return False


def right_by_rule(snap: Snap) -> bool | None:
    """Whether the choice was the one the rule of the play calls for."""
    right = rule_option(snap)
    if right is None or snap.happened.chosen is None:
        return None
    return right == snap.happened.chosen
