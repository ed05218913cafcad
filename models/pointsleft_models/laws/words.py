"""Canonical words for routes, coverage shells and run gaps, and their codes in the fits.

Code 0 is always "not known": it adds nothing to a law.
"""

from __future__ import annotations

#: Routes that participation data tell apart.
ROUTES = (
    "hitch",
    "go",
    "flat",
    "cross",
    "out",
    "slant",
    "screen",
    "post",
    "angle",
    "in",
    "corner",
    "wheel",
)

#: Coverage played, by the number of deep safeties and man or zone beneath.
SHELLS = (
    "zero",
    "one-deep man",
    "two-deep",
    "two-deep man",
    "three-deep",
    "quarters",
    "quarter-quarter-half",
    "prevent",
)

ROUTE_CODES = {word: at for at, word in enumerate(ROUTES, 1)}
SHELL_CODES = {word: at for at, word in enumerate(SHELLS, 1)}
