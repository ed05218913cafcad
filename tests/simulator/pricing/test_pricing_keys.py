"""Option keys: what the key's action makes right by the rule of the play."""

from __future__ import annotations

import pytest
from pointsleft.log.record import LoggedOption, Read, Snap
from pointsleft.pricing.keys import matched, right_by_rule, rule_option
from pricing_sample import snap

GIVE, KEEP, PITCH = (LoggedOption(k, k) for k in ("give", "keep", "pitch"))
GLANCE = LoggedOption("glance", "throw")


def read(*options: LoggedOption, action: str | None, says: str | None = None,
         chosen: str | None = None) -> Snap:  # fmt: skip
    row_read = Read(key="end", key_action=action, rule_says=says)
    return snap(*options, chosen=chosen or options[0].id, read=row_read)


@pytest.mark.parametrize(
    ("options", "action", "right"),
    [
        # the pitch key takes the quarterback: pitch; he stays with the back: keep
        ((KEEP, PITCH), "crash", "pitch"),
        ((KEEP, PITCH), "squeeze", "pitch"),
        ((KEEP, PITCH), "widen", "keep"),
        ((KEEP, PITCH), "sit", None),
        # the dive key takes the back: pull; he stays outside: give
        ((GIVE, KEEP), "crash", "keep"),
        ((GIVE, KEEP), "squeeze", "keep"),
        ((GIVE, KEEP), "widen", "give"),
        ((GIVE, KEEP), "sit", "give"),
        ((GIVE, KEEP), "scrape", "give"),
        # the conflict man fits: throw behind him; he drops: give
        ((GIVE, GLANCE), "crash", "glance"),
        ((GIVE, GLANCE), "drop", "give"),
        # two keys in a triple option: one action does not say which
        ((GIVE, KEEP, PITCH), "crash", None),
        ((GIVE, KEEP), None, None),
        ((GLANCE, LoggedOption("flat", "throw")), "drop", None),
    ],
)
def test_what_the_rule_says(
    options: tuple[LoggedOption, ...], action: str | None, right: str | None
) -> None:
    assert rule_option(read(*options, action=action)) == right


def test_what_the_log_states_goes_first() -> None:
    assert rule_option(read(GIVE, KEEP, action="crash", says="give")) == "give"
    two = (LoggedOption("inside", "give"), KEEP)
    assert rule_option(read(*two, action="crash", says="give")) == "inside"
    twice = (LoggedOption("a", "throw"), LoggedOption("b", "throw"))
    assert rule_option(read(*twice, action="crash", says="throw")) is None
    assert rule_option(read(GIVE, KEEP, action="crash", says="pitch")) is None


def test_two_of_a_kind_cannot_be_told_apart() -> None:
    keeps = (GIVE, KEEP, LoggedOption("keep 2", "keep"))
    assert rule_option(read(*keeps, action="crash")) is None


def test_right_by_rule_is_having_done_it() -> None:
    assert right_by_rule(read(GIVE, KEEP, action="crash", chosen="keep")) is True
    assert right_by_rule(read(GIVE, KEEP, action="crash", chosen="give")) is False
    assert right_by_rule(read(GIVE, KEEP, action=None, chosen="give")) is None


def test_which_runs_go_away_from_what_the_key_took() -> None:
    crash = read(GIVE, KEEP, action="crash")
    assert (matched(crash, KEEP), matched(crash, GIVE)) == (True, False)
    assert matched(read(GIVE, GLANCE, action="drop"), GLANCE) is None
    assert matched(read(GIVE, KEEP, action=None, says="give"), GIVE) is None
    triple = read(GIVE, KEEP, PITCH, action="crash", says="pitch")
    assert matched(triple, PITCH) is True
    assert matched(triple, KEEP) is False
    assert matched(triple, GIVE) is None
