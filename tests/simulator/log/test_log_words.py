"""Situations, results and options in words."""

import pytest
from pointsleft.log.record import Call, Defense, Flag, Happened, LoggedOption, Read, Snap
from pointsleft.log.words import describe_option, describe_result, describe_situation
from pointsleft_models.football.rules import rule_set
from pointsleft_models.football.situation import Situation

RULES = rule_set("professional", 2019)
POST = LoggedOption("post", "throw", route="post")


def snap(happened: Happened, family: str | None = None, *options: LoggedOption) -> Snap:
    return Snap("1", None, None, None, None, Call(family=family), Defense(), Read(), happened,
                options)  # fmt: skip


@pytest.mark.parametrize(
    ("situation", "words"),
    [
        (Situation(2, 492, 3, 7, 59, -3, RULES),
         "3rd and 7 at own 41, 8:12 left in the 2nd, trailing by 3"),
        (Situation(4, 4, 1, 5, 5, 0, RULES), "1st and goal at opp 5, 0:04 left in the 4th, level"),
        (Situation(5, None, 2, 10, 50, None, RULES),
         "2nd and 10 at 50, in overtime, clock not logged, score not logged"),
        (Situation(1, 900, 4, 1, 99, 10, RULES),
         "4th and 1 at own 1, 15:00 left in the 1st, leading by 10"),
    ],
)  # fmt: skip
def test_situations(situation: Situation, words: str) -> None:
    assert describe_situation(situation) == words


@pytest.mark.parametrize(
    ("logged", "words"),
    [
        (snap(Happened("post", result="complete", yards=22), None, POST), "post complete for 22"),
        (snap(Happened("post", result="drop"), None, POST), "post dropped"),
        (snap(Happened(result="sack", yards=-7, fumble="lost", end_yards_to_goal=36)),
         "sacked, loss of 7, fumbled and lost, their ball at own 36"),
        (snap(Happened(result="run", yards=0), "hand-off"), "hand-off for no gain"),
        (snap(Happened(result="run", yards=-2), "qb-run"), "quarterback run for a loss of 2"),
        (snap(Happened(result="scramble", yards=5, touchdown=True)),
         "scramble for 5, touchdown"),
        (snap(Happened(result="interception", defense_scored=True)),
         "intercepted, run back for a touchdown"),
        (snap(Happened(result="punt", yards=33, end_yards_to_goal=91)),
         "punt, 33 yards, their ball at opp 9"),
        (snap(Happened(result="complete", yards=14,
                       flag=Flag("offense", decision="accepted", yards=10, foul="holding"))),
         "complete for 14; flag on the offense (holding), 10 yards, the play does not count"),
        (snap(Happened(result="no-play", flag=Flag("offense", when="dead", yards=5))),
         "no play; flag on the offense, 5 yards"),
        (snap(Happened(result="good"), "try"), "try good"),
        (snap(Happened()), "result not logged"),
    ],
)  # fmt: skip
def test_results(logged: Snap, words: str) -> None:
    assert describe_result(logged) == words


@pytest.mark.parametrize(
    ("option", "words"),
    [
        (LoggedOption("x", "throw", route="post", air_yards=18, third="middle", window="narrow"),
         "post, 18 air yards, middle, narrow"),
        (LoggedOption("flat", "throw", route="flat", air_yards=1, window="unseen"),
         "flat, 1 air yard, window not visible"),
        (LoggedOption("keep", "keep", gap="end", side="boundary"),
         "keep, off the end, into the boundary"),
        (LoggedOption("give", "give", gap="middle"), "give, up the middle"),
        (LoggedOption("go", "go"), "go for it"),
        (LoggedOption("run", "scramble", reaction=2), "scramble, after the play broke down"),
    ],
)  # fmt: skip
def test_options(option: LoggedOption, words: str) -> None:
    assert describe_option(option) == words
