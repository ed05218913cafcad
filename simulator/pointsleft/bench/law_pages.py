"""The measured pages of the outcome laws."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pointsleft.bench.markdown import Lines, held, paragraph, table

OTHERS = (("frequency", "counted shares"), ("boosted", "boosted trees"))


def laws(data: Any) -> Lines:
    """The section of the laws on the page of all measures."""
    rows = data["laws"]
    lines = [
        "## Laws of outcomes on unseen seasons",
        "",
        "Log loss of every fitted law against counted shares and against boosted trees on the same",
        "columns; each law is in [laws.md](laws.md), with a picture.",
        "",
    ]
    body = []
    for key, name in OTHERS:
        below = sum(r["less"][key]["value"] < 0 for r in rows)
        surely = sum(r["less"][key]["high"] < 0 for r in rows)
        above = sum(r["less"][key]["low"] > 0 for r in rows)
        body.append((name, f"{below} of {len(rows)}", str(surely), str(above)))
    head = ("ours against", "below", "below, 90% interval too", "above, 90% interval too")
    return [*lines, *table(head, body)]


MARKS = """Marks: share that came less chance, by chance, in bins of about equally many rows, with
90% intervals that count games; of a law of yards the chance to be stopped at a yard."""

_HEAD = """# The laws on seasons they have not seen

<!-- Made by `python -m pointsleft.bench laws`. -->

Seasons 2010, 2014 and 2018 are each left out in turn; for laws on participation data every season
that has them. Losses are log losses a play. A law of yards is scored at every yard a carrier
reached, was he stopped there or not; the losses of a play's yards add up to that of its gain. All
three learners get the same rows:

- **counted**: the share of the other seasons, for a law of yards at every yard, whatever else is
  known;
- **trees**: boosted trees on the same columns, rounds chosen on a fifth of the games they are
  fitted on. For a law that is added to another one they get that law's log odds as well.

The bases of the laws were made finer where these trees still saw more, so these seasons had a say
in them, and none in the settings of the trees: a law just below its trees is as good as they are
and not better.

*Ours less it* is our loss less the other's, with a 90% interval from games drawn again: below
nothing ours is better. What each law was fitted on, on how many plays, and what part of it is
judgement is on its card ([models.md](models.md)).
"""


def laws_page(measured: Mapping[str, Any]) -> str:
    """docs/laws.md."""
    data, about = measured["data"], measured["about"]
    parts = [_HEAD]
    for family in dict.fromkeys(r["family"] for r in data["laws"]):
        rows = [r for r in data["laws"] if r["family"] == family]
        parts.append(f"## {family.capitalize()}\n\nCard: [{family}](cards/{family}.md)\n")
        parts.append("\n".join(_table(rows)) + "\n")
        parts.append(
            f"![Share less chance of the laws of {family}](img/laws/{family}.png)\n\n"
            + "\n".join(paragraph(MARKS))
            + "\n"
        )
    parts.append("\n".join(_seasons(data["drifts"])) + "\n")
    if data["left_out"]:
        parts.append(
            "Not scored, since the data measured on lack what they need: "
            + ", ".join(f"`{name}`" for name in data["left_out"])
            + ".\n"
        )
    parts.append(f"Measured {about['date']} at commit {about['commit']} ({about['machine']}).\n")
    return "\n".join(parts)


WANDERING = """The shipped fits on all seasons they were made from, season by season. *Moved* is
by how much the log odds of the last season lie above the law; *trend* how much the seasons rise
against the law in ten years, with the standard error of their scatter; *between seasons* their
standard deviation beyond what the luck of games would bring. Laws that know the year have less of
both. For the others it is an error that the refits do not hold: they draw games again, not
seasons. A law of yards tells the chance to be stopped at a yard (of clock laws, at a second).
All laws whose seasons differ by {least} or more are here."""

#: Standard deviation between seasons, in log odds, from which a law is listed: at even odds a
#: point and a quarter of a hundred.
LEAST_WANDER = 0.05


def _seasons(drifts: list[Any]) -> Lines:
    listed = sorted(
        (d for d in drifts if d["wander"] >= LEAST_WANDER), key=lambda d: -float(d["wander"])
    )
    body = []
    for d in listed:
        first, last = d["seasons"][0], d["seasons"][-1]
        body.append((
            f"`{d['component']}`",
            *(f"{s['season']}: {100 * s['said']:.1f}%, {100 * s['came']:.1f}%"
              for s in (first, last)),
            f"{last['moved']:+.2f} \u00b1 {last['error']:.2f}",
            f"{d['trend']:+.2f} \u00b1 {d['trend_error']:.2f}",
            f"{d['wander']:.2f}",
        ))  # fmt: skip
    head = (
        "law", "first season: said, came", "last: said, came", "moved", "trend", "between seasons",
    )  # fmt: skip
    told = paragraph(WANDERING.format(least=LEAST_WANDER))
    return ["## Seasons differ", "", *told, "", *table(head, body)]


def _table(rows: list[Any]) -> Lines:
    body = []
    for r in rows:
        name = f"`{r['component']}`" + (f", added to `{r['added_to']}`" if r["added_to"] else "")
        cells = []
        for key, _ in OTHERS:
            less = r["less"][key]
            cells += [
                f"{r['log_loss'][key]:.4f}",
                f"{less['value']:+.4f} ({less['low']:+.4f} to {less['high']:+.4f})",
            ]
        met = all(r["less"][key]["value"] < 0 for key, _ in OTHERS)
        body.append((name, f"{r['plays']:,}", f"{r['log_loss']['ours']:.4f}", *cells, held(met)))
    head = (
        "law", "plays", "ours", "counted", "ours less it", "trees", "ours less it", "below both",
    )  # fmt: skip
    return table(head, body)
