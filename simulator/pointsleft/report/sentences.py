"""Sentences worked out from a priced game: what a reader in a hurry is told."""

from __future__ import annotations

from pointsleft.pricing.result import (
    BreakEven,
    Currency,
    Decision,
    DecisiveJudgement,
    Interval,
    Ledger,
    PricedGame,
    PricedOption,
)
from pointsleft.report import figures
from pointsleft.report.numbers import NAME, amount, count, fixed, interval, percent

#: The currencies in the order in which they are named.
CURRENCIES: tuple[Currency, ...] = ("points", "wins")

#: What must happen for an option of a kind to succeed.
SUCCESS = {
    "throw": "completion chance",
    "go": "chance of converting",
    "field-goal": "chance that the kick is good",
}

#: What would be sure where an option falls short at any chance.
SURE = {
    "throw": "every throw to it caught",
    "go": "it sure to convert",
    "field-goal": "the kick sure to be good",
}


def total_left(game: PricedGame, currency: Currency) -> str | None:
    """The headline total with its interval: ``9.41 pts (90% interval 6.10 to 12.80 pts)``."""
    total = game.total_left.get(currency)
    if not total:
        return None
    span = interval(Interval(total["low"], total["high"]), currency)
    return f"{amount(total['value'], currency)} (90% interval {span})"


def hurried(game: PricedGame) -> tuple[str, ...]:
    """Three sentences: how much, where most of it went, how far it can be trusted."""
    main = figures.main_currency(game)
    if not game.decisions:
        return (
            "No snap of this log could be priced as a decision, so nothing is said of choices.",
        )
    totals = " and ".join(t for c in CURRENCIES if (t := total_left(game, c)) is not None)
    share = figures.taken_share(game, main)
    took = "" if share is None else f", taking {percent(share)} of the value that was there to take"
    first = (
        f"Over {count(len(game.decisions), 'decision')} the choices of {game.quarterback} left "
        f"an estimated {totals} on the field{took}."
    )
    return first, _where(game, main), _trust(game, main)


def _where(game: PricedGame, main: Currency) -> str:
    best, known = figures.best_taken(game, main)
    top = figures.dearest(game, main, 1)
    if not top:
        return f"In all {known} of them the option taken was the best one by our estimate."
    decision, entry = top[0]
    clip = f", clip {decision.clip}" if decision.clip else ""
    return (
        f"The best option was the one chosen in {best} of {known}; the dearest miss was snap "
        f"{decision.snap} ({decision.situation}{clip}): {decision.chosen} was chosen, "
        f"{entry.best} was better, and {lost(decision)} stayed on the field."
    )


def _trust(game: PricedGame, main: Currency) -> str:
    left = figures.left_by_verdict(game, main)
    total = sum(left.values())
    counts = figures.verdict_counts(game, main)
    shares = ", ".join(
        f"{counts[v]} {v}" + (f" ({percent(left[v] / total)} of what was left)" if total else "")
        for v in figures.VERDICTS
    )
    return (
        f"How settled the best option is differs from snap to snap: {shares}; an unsettled one "
        "should be argued on film, not on its figure."
    )


def lost(decision: Decision) -> str:
    """What a decision left, in each currency that is known: ``2.90 pts and 14.1% WP``."""
    known = [
        (entry.left, currency)
        for currency in CURRENCIES
        if (entry := figures.ledger_of(decision, currency)) is not None
    ]
    if all(left == 0 for left, _ in known):
        return "nothing"
    return " and ".join(amount(left, currency) for left, currency in known)


def chosen_and_best(decision: Decision) -> str:
    """What was chosen, what was best, and whether the two currencies agree on it."""
    best = {
        c: entry.best for c in CURRENCIES if (entry := figures.ledger_of(decision, c)) is not None
    }
    names = set(best.values())
    if names == {decision.chosen}:
        return f"Chosen: {decision.chosen}, the best option by our estimate."
    if len(names) == 1:
        return f"Chosen: {decision.chosen}. Best: {names.pop()}."
    return (
        f"Chosen: {decision.chosen}. Best for points: {best['points']}; "
        f"for winning: {best['wins']}."
    )


def verdict(entry: Ledger, refits: int) -> str:
    """The verdict with the share of refits behind it."""
    return (
        f"{percent(entry.settled_share)} of {count(refits, 'refit')} of the models put "
        f"{entry.best} first."
    )


def decisive(judgement: DecisiveJudgement | None) -> str:
    """The smallest single change of a judgement that turns the verdict over."""
    if judgement is None:
        return "No single judgement within its range turns this over."
    size = f"{fixed(judgement.steps, 1)} times its doubt away"
    word, _, inside = judgement.turns_at.partition(" (")
    # Within one word of the scale the figure tells where, the word would not.
    same = word == judgement.said.partition(" (")[0] and inside
    at = f"still {word} but {inside.removesuffix(')')}" if same else f"at {judgement.turns_at}"
    return (
        f"It hangs most on the {judgement.subject}, put at {judgement.said}: {at}, {size}, "
        f"{judgement.then_best} would be best."
    )


def break_even(decision: Decision, tie: BreakEven, currency: Currency) -> str | None:
    """At what chance a missed option ties with the one chosen; ``None`` for an option (a run, a
    throw-away) that has no single chance of success."""
    option = figures.option(decision, tie.option)
    chance = SUCCESS.get(option.kind, "chance of success")
    if tie.chance is None:
        return _no_tie(decision, option, currency)
    model = "" if tie.model_chance is None else f"; the models give it {percent(tie.model_chance)}"
    window = "" if tie.window is None else f" (about a window called {tie.window})"
    return (
        f"{tie.option} ties with {decision.chosen} at a {chance} of "
        f"{percent(tie.chance)}{window}{model}."
    )


def _no_tie(decision: Decision, option: PricedOption, currency: Currency) -> str | None:
    """Which of the two stays ahead where no chance of success makes them tie."""
    if option.kind not in SUCCESS:
        return None
    mine = figures.worth(option, currency)
    taken = figures.worth(figures.option(decision, decision.chosen), currency)
    if mine is None or taken is None:
        return None
    if mine > taken:
        return f"{option.id} is worth more than {decision.chosen} at any {SUCCESS[option.kind]}."
    return f"{option.id} is worth less than {decision.chosen} even were {SURE[option.kind]}."


def certainty(entry: Ledger, currency: Currency) -> str | None:
    """What the doubt about the read takes off the figure, where there is any."""
    if abs(entry.if_certain - entry.left) < 5e-4:
        return None
    return (
        f"If every option was surely in the read: {amount(entry.if_certain, currency)} left; "
        f"allowing for the chance that it was: {amount(entry.left, currency)}."
    )


def ranges(entry: Ledger, currency: Currency) -> str:
    """The two intervals of ``left``, kept apart."""
    return (
        f"90% interval of left: {interval(entry.interval_model, currency)} from refitting the "
        f"models{_below(entry)}; {interval(entry.interval_judgement, currency)} from the ranges "
        "of the judgements."
    )


def _below(entry: Ledger) -> str:
    if entry.interval_model.low >= 0 or entry.left <= 0:
        return ""
    return " (below zero the options change places)"


def ends_worse(entry: Ledger) -> str:
    """How often the better choice would still have ended worse."""
    found = entry.outcome
    return (
        f"Drawn independently, the better choice ends worse than the one taken "
        f"{percent(found.better_ends_worse)} of the time; how the two would have moved together "
        f"cannot be known, and the bounds are {percent(found.lowest)} and "
        f"{percent(found.highest)}."
    )


def rule(decision: Decision) -> str | None:
    """Right by rule, beside right by value."""
    if decision.right_by_rule is None:
        return None
    says = f" (the rule of the play says {decision.rule_says})" if decision.rule_says else ""
    word = "right" if decision.right_by_rule else "not right"
    return f"By rule the choice was {word}{says}; the figures here speak of value."


def flag(entry: Ledger, currency: Currency) -> str | None:
    """What a free play added to the offer."""
    if abs(entry.flag) < 5e-5:
        return None
    return (
        f"Of what was offered, {amount(entry.flag, currency, plus=True)} came from the flag: the "
        "offense could take the better of the result and the penalty."
    )


def currency_note(game: PricedGame, main: Currency) -> str:
    """Why the decisions are ranked as they are."""
    known = sum(figures.ledger_of(d, main) is not None for d in game.decisions)
    without = len(game.decisions) - known
    other = "" if not without else (
        f" {count(without, 'decision')} without that figure "
        f"{'is' if without == 1 else 'are'} listed in the table only."
    )  # fmt: skip
    return f"Ranked by {NAME[main]}.{other}"
