"""An option while it is being put together from template, shorthand and row."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from pointsleft.log.record import LoggedOption, Range

_TURNED = {"left": "right", "right": "left"}


@dataclass(frozen=True, slots=True)
class Draft:
    """Fields so far, which of them were derived, and whether this is the chosen one."""

    values: Mapping[str, object]
    derived: frozenset[str] = frozenset()
    chosen: bool = False
    row: int | None = None
    extra: Mapping[str, str] = field(default_factory=dict)

    @property
    def kind(self) -> str:
        return str(self.values.get("kind") or "throw")

    @property
    def name(self) -> str:
        """The stated id, or the route, or the kind."""
        return str(self.values.get("id") or self.values.get("route") or self.kind)

    def with_(self, values: Mapping[str, object], *, chosen: bool = False) -> Draft:
        """A copy with some fields stated; what is stated is no longer derived."""
        return replace(
            self,
            values={**self.values, **values},
            derived=self.derived - values.keys(),
            chosen=self.chosen or chosen,
        )

    def turned(self) -> Draft:
        """Left for right."""
        third = str(self.values.get("third"))
        if third not in _TURNED:
            return self
        return replace(self, values={**self.values, "third": _TURNED[third]})


def finish(drafts: list[Draft]) -> tuple[LoggedOption, ...]:
    """Frozen options: unique ids, the order of the read for throws that state none."""
    options: list[LoggedOption] = []
    names: dict[str, int] = {}
    place = 0
    ranks = _ranks(drafts)
    for index, draft in enumerate(drafts):
        values, derived = dict(draft.values), set(draft.derived)
        if index in ranks:
            values["place"] = ranks[index]
        name = draft.name
        names[name] = names.get(name, 0) + 1
        if "id" not in values and names[name] > 1:
            name = f"{name} {names[name]}"
        values["id"] = name
        if "kind" not in values:
            values["kind"] = "throw"
            derived.add("kind")
        in_order = values["kind"] == "throw" and values.get("reaction", 1) == 1
        if isinstance(values.get("place"), int):
            place = max(place, int(str(values["place"])))
        elif in_order:
            place += 1
            values["place"] = place
            derived.add("place")
        options.append(
            LoggedOption(
                **values,  # type: ignore[arg-type]
                derived=frozenset(derived),
                row=draft.row,
                extra=draft.extra,
            )
        )
    return tuple(options)


def _ranks(drafts: list[Draft]) -> dict[int, int]:
    """Places in the read closed up, where a template's option was left out."""
    placed = {i: d.values["place"] for i, d in enumerate(drafts) if "place" in d.values}
    if any("place" not in drafts[i].derived for i in placed):
        return {}
    order = sorted(set(map(int, map(str, placed.values()))))
    return {i: order.index(int(str(p))) + 1 for i, p in placed.items()}


def stated(value: float, low: float | None = None, high: float | None = None) -> Range:
    """A range from its figure and its ends."""
    return Range(value, value if low is None else low, value if high is None else high)
