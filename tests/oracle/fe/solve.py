"""Runs the solver on a deck and reads what it printed."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

CCX = shutil.which("ccx")
PATIENCE = 240  # seconds for one deck; the longest takes some twenty


@dataclass
class Result:
    """What was printed: displacements of each set, step by step; factors; frequencies."""

    displacement: dict[str, list[dict[int, np.ndarray]]] = field(default_factory=dict)
    factors: list[float] = field(default_factory=list)
    frequencies: list[float] = field(default_factory=list)


def run(deck: str, folder: Path, name: str = "tube") -> Result:
    """Solve a deck in a folder.

    Parameters
    ----------
    deck : str
        The deck.
    folder : Path
        Where the solver may write.
    name : str
        Name of its files.

    Raises
    ------
    AssertionError
        If the solver stops early, with its last words.
    """
    assert CCX is not None
    (folder / f"{name}.inp").write_text(deck, encoding="utf-8")
    done = subprocess.run(
        [CCX, "-i", name], cwd=folder, capture_output=True, text=True, timeout=PATIENCE,
        check=False, env={**os.environ, "OMP_NUM_THREADS": "1"},
    )  # fmt: skip
    said = done.stdout + done.stderr
    errors = [line for line in said.splitlines() if "*ERROR" in line]
    assert (done.returncode, errors) == (0, []), said[-1500:]
    return read((folder / f"{name}.dat").read_text(encoding="utf-8"))


def read(text: str) -> Result:
    """Read the solver's table file."""
    result = Result()
    blocks = re.split(r"\n\s*\n", text)
    for head, body in zip(blocks, [*blocks[1:], ""], strict=True):
        shown = re.search(r"displacements \(vx,vy,vz\) for set (\S+)", head)
        rows = [line.split() for line in body.splitlines()]
        if shown:
            step = {int(r[0]): np.array([float(x) for x in r[1:4]]) for r in rows if len(r) == 4}
            result.displacement.setdefault(shown[1], []).append(step)
    result.factors = _table(text, "B U C K L I N G   F A C T O R   O U T P U T", 1)
    result.frequencies = _table(text, "E I G E N V A L U E   O U T P U T", 3)
    return result


def _table(text: str, title: str, column: int) -> list[float]:
    """A column of numbers from the table under a title."""
    if title not in text:
        return []
    found: list[float] = []
    for line in text.split(title, 1)[1].splitlines():
        parts = line.split()
        if re.match(r"\s*\d+\s+[-+]?\d\.\d+E", line):
            found.append(float(parts[column]))
        elif found:
            break
    return found
