"""Every notebook runs from top to bottom, and none is kept with its output."""

from __future__ import annotations

from pathlib import Path

import nbformat
import pytest
from nbclient import NotebookClient
from nbclient.exceptions import CellExecutionError

NOTEBOOKS = Path(__file__).parents[2] / "notebooks"
SECONDS = 600


def run(book: nbformat.NotebookNode, folder: Path) -> nbformat.NotebookNode:
    return NotebookClient(
        book, timeout=SECONDS, resources={"metadata": {"path": str(folder)}}
    ).execute()


@pytest.mark.parametrize("path", sorted(NOTEBOOKS.glob("*.ipynb")), ids=lambda p: p.stem)
def test_it_runs(path: Path) -> None:
    book = nbformat.read(path, as_version=4)
    nbformat.validate(book)
    assert all(not cell.get("outputs") for cell in book.cells), "kept with output; clear it"
    done = run(book, NOTEBOOKS)
    code = [cell for cell in done.cells if cell.cell_type == "code"]
    assert code
    assert any(cell.outputs for cell in code)


def test_a_cell_that_fails_is_seen() -> None:
    book = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell("1 / 0")])
    with pytest.raises(CellExecutionError, match="ZeroDivisionError"):
        run(book, NOTEBOOKS)
