"""Every notebook runs from top to bottom and shows a page."""

from __future__ import annotations

from pathlib import Path

import nbformat
import pytest
from nbclient import NotebookClient

from tubecalc.datafiles import notebooks_dir

NOTEBOOKS = sorted(notebooks_dir().glob("*.ipynb"))


def test_there_is_a_notebook_to_execute() -> None:
    """Without this an empty folder would pass in silence."""
    assert "choose.ipynb" in {path.name for path in NOTEBOOKS}


@pytest.mark.slow
@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_notebook_runs_and_shows_a_widget(path: Path, tmp_path: Path) -> None:
    """A page that raises, or shows nothing, is found here and not by a visitor.

    It runs in another folder than the checkout's, as behind the server of an installed wheel.
    """
    notebook = nbformat.read(path, as_version=4)
    client = NotebookClient(
        notebook, timeout=300, kernel_name="python3", resources={"metadata": {"path": tmp_path}}
    )
    client.execute()
    outputs = [out for cell in notebook.cells for out in cell.get("outputs", [])]
    assert [out for out in outputs if out.output_type == "error"] == []
    assert [out.text for out in outputs if out.get("name") == "stderr"] == []
    shown = {kind for out in outputs for kind in out.get("data", {})}
    assert "application/vnd.jupyter.widget-view+json" in shown
