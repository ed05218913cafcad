"""Review every fourth down of the archive, and write docs/calls.json, which docs/calls.md shows.

    python tests/tools/measure_calls.py

What ``pointsleft calls archive`` prints, with the seconds it took. Measure on an idle machine, or
say in the page that it was not.
"""

from __future__ import annotations

import datetime
import json
import os
import resource
import time
from pathlib import Path

import numpy as np
from pointsleft.bench.data import archive_plays
from pointsleft.calls.play_table import fourth_downs
from pointsleft.calls.review import review
from pointsleft.calls.totals import groups, league, situation_names
from pointsleft.report.as_json import plain
from pointsleft_models.bundle import load_models

ROOT = Path(__file__).resolve().parents[2]
RECENT = range(2015, 2020)


def main() -> None:
    start = time.perf_counter()
    models = load_models()
    plays = archive_plays(ROOT, games=True)
    table = fourth_downs(plays)
    found = review(models, table)
    whole, recent = league(found), league(found, np.isin(table.season, RECENT))
    seconds = time.perf_counter() - start
    used = resource.getrusage(resource.RUSAGE_SELF)
    measured = {
        "date": datetime.date.today().isoformat(),
        "cores": os.cpu_count(),
        "load_at_the_end": round(os.getloadavg()[0], 1),
        "seconds": round(seconds, 1),
        "processor_seconds": round(used.ru_utime + used.ru_stime, 1),
        "league": plain(whole),
        "seasons_2015_to_2019": plain(recent),
        "left_out": plain(table.left_out),
        "by_season": {
            str(s): round(league(found, table.season == s).crossfit, 3)
            for s in np.unique(table.season)
        },
        "situations": plain(groups(found, situation_names(found))[:6]),
    }
    if plays["home_spread"].null_count() < len(plays):
        known = league(review(models, fourth_downs(plays, with_spread=True)))
        measured["league_with_spread"] = plain(known)
    path = ROOT / "docs" / "calls.json"
    path.write_text(json.dumps(measured, indent=1) + "\n", encoding="utf-8")
    print(path.read_text(encoding="utf-8"), end="")


if __name__ == "__main__":
    main()
