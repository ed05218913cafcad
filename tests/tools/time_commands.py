"""Time the commands of the README in a fresh clone, and write docs/measured.json.

    python tests/tools/time_commands.py

Clones the last commit into a temporary folder and runs ``make demo``, ``make test`` and
``make fits`` there, virtual environment and installation included. The fits take what shared data
there are beside this clone, or where ``POINTSLEFT_SHARED_DATA`` says.
"""

from __future__ import annotations

import datetime
import json
import os
import platform
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
TARGETS = ("demo", "test", "fits")
SHARED = os.environ.get("POINTSLEFT_SHARED_DATA", str(ROOT.parent / "shared" / "data"))


def main() -> None:
    seconds = {}
    with tempfile.TemporaryDirectory() as folder:
        clone = Path(folder) / "pointsleft"
        subprocess.run(["git", "clone", "--quiet", str(ROOT), str(clone)], check=True)
        for target in TARGETS:
            start = time.perf_counter()
            done = subprocess.run(
                ["make", target, f"PYTHON={sys.executable}", f"SHARED={SHARED}"], cwd=clone,
                stdout=subprocess.DEVNULL, check=False,
            )  # fmt: skip
            if done.returncode:
                sys.exit(f"make {target} failed in a fresh clone; nothing was measured")
            seconds[f"make {target}"] = round(time.perf_counter() - start, 1)
    commit = subprocess.run(
        ["git", "rev-parse", "--short", "HEAD"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    ).stdout.strip()
    measured = {
        "seconds": seconds,
        "date": datetime.date.today().isoformat(),
        "commit": commit,
        "cores": os.cpu_count(),
        "python": platform.python_version(),
        "packages": "from the index or its cache",
    }
    path = ROOT / "docs" / "measured.json"
    path.write_text(json.dumps(measured, indent=1) + "\n", encoding="utf-8")
    print(path.read_text(encoding="utf-8"), end="")


if __name__ == "__main__":
    main()
