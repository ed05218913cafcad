"""``pointsleft late``: what to do at the end of a half, by playing the rest of it out."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from pointsleft.cli.output import guarded, print_json, stop
from pointsleft.cli.situation import find_snap, situation_options, told

if TYPE_CHECKING:
    from pointsleft_models.football.situation import Situation

    from pointsleft.endgame.choices import EndgameChoices

#: Where a kickoff is said to be, for a reader of situations that wants a ball.
ANY_BALL = "own 25"

#: Fewest continuations of an action: what the standard errors and the looks are made for.
FEWEST = 20_000


@click.command()
@situation_options(ball=False)
@click.option(
    "--running/--stopped",
    default=False,
    show_default=True,
    help="Whether the clock runs now, before the snap.",
)
@click.option(
    "--side",
    type=click.Choice(["offense", "defense"]),
    default="offense",
    show_default=True,
    help="Who chooses. Us is the side with the ball in either case.",
)
@click.option("--kickoff", is_flag=True, help="We are about to kick off.")
@click.option("--actions", default="", help="Only these, e.g. 'kneel run'; all by default.")
@click.option(
    "--draws",
    type=click.IntRange(min=FEWEST),
    default=None,
    help="Most continuations of an action; by default 160,000 in the last 0:45 of a half, "
    "fewer before.",
)
@click.option("--seed", type=int, default=1, show_default=True)
@click.option("--workers", type=click.IntRange(min=1), default=1, show_default=True)
@click.option("--json", "as_json", is_flag=True, help="Print the choices as JSON.")
@guarded
def command(as_json: bool, **given: Any) -> None:
    """Price what can be done late in a half: kneel, spike, time-out, kick and more.

    The rest of the half is played out from the exact situation, at least 20,000 times for every
    action, and more until the two best are told apart or the draws are spent.
    """
    from pointsleft.endgame.price import EndgameError
    from pointsleft.report.as_json import plain
    from pointsleft.report.late_text import late_text

    situation = _situation(given, as_json)
    try:
        found = _priced(situation, given)
    except EndgameError as error:
        stop(told(str(error).split("\n")), as_json=as_json)
    if as_json:
        print_json(plain(found))
    else:
        click.echo(late_text(found), nl=False)


def _situation(given: dict[str, Any], as_json: bool) -> Situation:
    faults = []
    if given["kickoff"] and given["side"] == "defense":
        faults.append("--side: found defense; expected offense: a kickoff is the kicking side's "
                      "choice")  # fmt: skip
    if given["ball"] is None and not given["kickoff"]:
        faults.append("--ball: found nothing; expected the ball's position, e.g. opp 40, or "
                      "--kickoff")  # fmt: skip
    faults += [
        f"--{name}: found nothing; late choices are priced in wins, which need it"
        for name in ("clock", "us", "them")
        if given[name] is None
    ]
    if given["kickoff"]:
        given = {**given, "ball": ANY_BALL, "down": "1", "distance": None}
    snap, wrong = find_snap({**given, "ball": given["ball"] or ANY_BALL})
    if faults or snap is None:
        stop(told([*faults, *wrong]), as_json=as_json)
    assert snap.situation is not None
    return snap.situation.with_(clock_running=given["running"])


def _priced(situation: Situation, given: dict[str, Any]) -> EndgameChoices:
    from pointsleft_models.bundle import load_models
    from pointsleft_models.playthrough.load import load_playthrough

    from pointsleft.endgame.price import EndgameSettings, price_endgame

    parts, teams = load_playthrough(situation.rules, given["level"])
    worth = load_models(given["level"]).under(situation.rules)
    settings = EndgameSettings(budget=given["draws"], seed=given["seed"], workers=given["workers"])
    wanted = tuple(given["actions"].replace(",", " ").split())
    return price_endgame(
        parts, worth, situation, side=given["side"],
        phase="kickoff" if given["kickoff"] else "snap", wanted=wanted, settings=settings,
        teams=teams,
    )  # fmt: skip
