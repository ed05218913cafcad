"""Which option of one charter is which of the other."""

from __future__ import annotations

from collections.abc import Sequence

from pointsleft.log.record import LoggedOption, Snap
from pointsleft.pricing.depths import law_route

#: Air yards that two charters may be apart on one throw.
DEPTH_APART = 6


def same_options(
    first: Sequence[LoggedOption], second: Sequence[LoggedOption]
) -> list[tuple[int, int]]:
    """Pairs of indices: the same name first, then the same kind and much the same throw."""
    pairs: list[tuple[int, int]] = []
    for alike in (_same_name, _same_thing):
        for i, one in enumerate(first):
            if any(i == a for a, _ in pairs):
                continue
            taken = {b for _, b in pairs}
            found = [j for j, two in enumerate(second) if j not in taken and alike(one, two)]
            if found:
                near = min(found, key=lambda j: _apart(one, second[j]))
                pairs.append((i, near))
    return sorted(pairs)


def _same_name(one: LoggedOption, two: LoggedOption) -> bool:
    return one.id == two.id and one.kind == two.kind


def _same_thing(one: LoggedOption, two: LoggedOption) -> bool:
    if one.kind != two.kind:
        return False
    if one.kind != "throw":
        return one.gap in (None, two.gap) or two.gap is None
    routes = law_route(one.route), law_route(two.route)
    same_route = None in routes or routes[0] == routes[1]
    sides = one.third, two.third
    return (
        same_route and (None in sides or sides[0] == sides[1]) and _apart(one, two) <= DEPTH_APART
    )


def _apart(one: LoggedOption, two: LoggedOption) -> float:
    if one.air_yards is None or two.air_yards is None:
        return 0.0
    return abs(one.air_yards - two.air_yards)


def chosen_of(snap: Snap) -> int | None:
    """Index of the chosen option."""
    return next((i for i, o in enumerate(snap.options) if o.id == snap.happened.chosen), None)
