"""The ten-minute first log is what its page shows."""

import re
from pathlib import Path

from pointsleft.log import check_log

PAGE = Path(__file__).parents[3] / "docs" / "first-log.md"


def block(name: str) -> str:
    found = re.search(rf"```(?:csv|text) {name}\n(.*?)```", PAGE.read_text("utf-8"), re.DOTALL)
    assert found is not None, name
    return found.group(1)


def typed(folder: Path, snaps: str) -> Path:
    folder.mkdir()
    for name, text in (("game", block("game")), ("snaps", snaps), ("options", block("options"))):
        (folder / f"{name}.csv").write_text(text, encoding="utf-8")
    return folder


def test_the_log_of_the_page_is_clean_as_it_says(tmp_path: Path) -> None:
    report = check_log(typed(tmp_path / "my-game", block("snaps")))
    assert str(report).startswith(block("clean").strip())
    assert report.warnings == ()


def test_the_fault_of_the_page_is_the_message_that_comes(tmp_path: Path) -> None:
    wrong = block("snaps").replace("2,1:34,,12:02,,,,,,l", "2,1:34,,12:02,,,,,own 30,l")
    report = check_log(typed(tmp_path / "my-game", wrong))
    assert str(report) == block("fault").rstrip("\n")
