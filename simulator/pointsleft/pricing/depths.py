"""Where routes are usually run, for options logged without depth or third.

Common practice, no source. Air yards from the line of scrimmage; thirds from behind the offense.
"""

from __future__ import annotations

from pointsleft_models.laws.words import ROUTES

#: Route -> air yards, third (``None``: outside, on a side not known), route of the laws.
USUAL: dict[str, tuple[int, str | None, str]] = {
    "go": (32, None, "go"),
    "fade": (22, None, "go"),
    "seam": (24, "middle", "go"),
    "post": (24, "middle", "post"),
    "corner": (18, None, "corner"),
    "dig": (14, "middle", "in"),
    "in": (12, "middle", "in"),
    "out": (9, None, "out"),
    "comeback": (15, None, "out"),
    "curl": (11, None, "hitch"),
    "hitch": (6, None, "hitch"),
    "stick": (6, None, "hitch"),
    "slant": (6, "middle", "slant"),
    "glance": (9, "middle", "slant"),
    "cross": (14, "middle", "cross"),
    "drag": (4, "middle", "cross"),
    "sail": (14, None, "corner"),
    "wheel": (20, None, "wheel"),
    "flat": (1, None, "flat"),
    "pivot": (4, None, "out"),
    "snag": (5, None, "hitch"),
    "angle": (4, "middle", "angle"),
    "swing": (-2, None, "flat"),
    "check-down": (1, "middle", "angle"),
    "sit": (7, "middle", "hitch"),
    "screen": (-4, None, "screen"),
    "bubble": (-2, None, "screen"),
}

#: Depth of a route with an unknown word and no air yards.
UNKNOWN_DEPTH = 8

#: The log's coverage words -> those of the laws; words of a whole kind are marked as assumed.
SHELLS: dict[str, str] = {
    "zero": "zero",
    "one": "one-deep man",
    "two": "two-deep",
    "two man": "two-deep man",
    "three": "three-deep",
    "quarters": "quarters",
    "six": "quarter-quarter-half",
    "prevent": "prevent",
}
GENERAL_SHELLS: dict[str, str] = {
    "no high": "zero",
    "one high": "three-deep",
    "two high": "two-deep",
    "nine": "two-deep",
}

#: Play family -> steps from under centre and hitches of the first look.
FAMILY_DROP: dict[str, tuple[int, int]] = {
    "drop-back": (5, 1),
    "quick": (3, 0),
    "play-action": (5, 1),
    "rpo": (1, 0),
    "screen": (3, 0),
    "sprint-out": (3, 1),
}


def law_route(route: str | None) -> str | None:
    """The laws' word for a route of the log, ``None`` where they have none."""
    if route is None:
        return None
    if route in USUAL:
        return USUAL[route][2]
    return route if route in ROUTES else None
