"""Run the benchmarks and write docs/bench.md and docs/bench.json."""

from __future__ import annotations

import datetime
import json
import os
import platform
import subprocess
import sys
from dataclasses import asdict
from pathlib import Path

from pointsleft_models.bench.scores import Scored, score_next_score, score_wins
from pointsleft_models.plays.sources import read_source

from pointsleft.bench import speed
from pointsleft.cli.progress import progress

DOCS = Path(__file__).resolve().parents[3] / "docs"


def _commit() -> str:
    run = subprocess.run(["git", "rev-parse", "--short", "HEAD"], capture_output=True, text=True)
    dirty = subprocess.run(["git", "status", "--porcelain"], capture_output=True, text=True)
    return run.stdout.strip() + (" with uncommitted changes" if dirty.stdout.strip() else "")


def _score_table(rows: list[Scored]) -> list[str]:
    brier = rows[0].brier is not None
    head = "| learner | log loss |" + (" Brier |" if brier else "") + " fit and predict, s |"
    lines = [head, "| --- | ---: |" + (" ---: |" if brier else "") + " ---: |"]
    for r in rows:
        middle = f" {r.brier:.4f} |" if r.brier is not None else ""
        lines.append(f"| {r.learner} | {r.log_loss:.4f} |{middle} {r.fit_seconds:.0f} |")
    return lines


def main() -> None:
    """Measure everything; scores take some minutes."""
    for name in ("OPENBLAS_CORETYPE", "OPENBLAS_L2_SIZE"):
        if name in os.environ:
            sys.exit(f"unset {name} first: it slows the linear algebra that is measured here")
    measured = speed.commands() + speed.exact_value() + speed.draws() + speed.reading()
    plays = read_source("archive", progress=progress).plays
    points = score_next_score(plays, progress=progress)
    wins = score_wins(plays, progress=progress)
    about = {
        "commit": _commit(),
        "date": datetime.date.today().isoformat(),
        "machine": f"{platform.machine()}, {os.cpu_count()} cores, Python "
        f"{platform.python_version()}",
    }
    lines = [
        "# Measured",
        "",
        f"Written by `make bench` on {about['date']}, commit {about['commit']} "
        f"({about['machine']}). Times are medians and depend on the machine; ratios do not.",
        "",
        "| what | measured | goal |",
        "| --- | ---: | ---: |",
        *(f"| {m.what} | {m.value:.3g} {m.unit}".rstrip() + f" | {m.goal} |" for m in measured),
        "",
        "## Next score: log loss of seven classes",
        "",
        "Seasons 2010, 2014 and 2018 each left out in turn, the same rows and columns for all.",
        "",
        *_score_table(points),
        "",
        "## Winner of decided games, no spread",
        "",
        "The same seasons; score over root time is among the columns of every learner.",
        "",
        *_score_table(wins),
        "",
    ]
    (DOCS / "bench.md").write_text("\n".join(lines), encoding="utf-8")
    data = {
        "about": about,
        "measured": [asdict(m) for m in measured],
        "next_score": [asdict(s) for s in points],
        "wins": [asdict(s) for s in wins],
    }
    (DOCS / "bench.json").write_text(json.dumps(data, indent=1) + "\n", encoding="utf-8")
    print("\n".join(lines))


main()
