"""Keeps the computed values of the last run, so that a page need not compute them again.

The file stands in the user's cache folder under the fingerprint of the code and the data; when
either changes, nothing is remembered and every value is computed anew.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
from collections.abc import Iterable, Sequence
from functools import cache
from pathlib import Path

import numpy as np

from tubecalc.datafiles import data_dir
from tubecalc.evidence.book import Row

_OUTER = ("app", "share", "cli")  # floors that compute nothing


@cache
def fingerprint() -> str:
    """Word that changes whenever the code or the data does.

    Returns
    -------
    str
        Hexadecimal digest of the package's own files and of the numerical library's version.

    Examples
    --------
    >>> len(fingerprint())
    32
    """
    package = Path(__file__).resolve().parents[1]
    digest = hashlib.blake2b(np.__version__.encode(), digest_size=16)
    found = [p for p in package.rglob("*.py") if not _outer(p.relative_to(package))]
    found += [p for suffix in ("csv", "toml") for p in data_dir().rglob(f"*.{suffix}")]
    for path in sorted(found):
        digest.update(path.name.encode() + b"\0" + path.read_bytes())
    return digest.hexdigest()


def _outer(path: Path) -> bool:
    return path.parts[0].removesuffix(".py").split("_")[0] in _OUTER


def place() -> Path:
    """File of the remembered values.

    Returns
    -------
    pathlib.Path
        It need not exist.
    """
    base = os.environ.get("XDG_CACHE_HOME") or os.environ.get("LOCALAPPDATA")
    folder = Path(base) if base else Path.home() / ".cache"
    return folder / "tubecalc" / f"evidence-{fingerprint()}.json"


def recall(rows: Sequence[Row]) -> int:
    """Give rows the values computed by the same code before.

    Parameters
    ----------
    rows : sequence of Row
        Rows; those already computed keep their value.

    Returns
    -------
    int
        How many rows are computed now [-]; a file that cannot be read counts as none.
    """
    known: dict[str, float | None] = {}
    with contextlib.suppress(OSError, ValueError, AttributeError):
        known = dict(json.loads(place().read_text(encoding="utf-8")).items())
    for row in rows:
        value = known.get(row.id, "")
        if value is None or isinstance(value, float):
            row.__dict__.setdefault("computed", value)
    return sum("computed" in row.__dict__ for row in rows)


def keep(rows: Iterable[Row]) -> None:
    """Remember the values of rows; a folder that cannot be written is no fault.

    Parameters
    ----------
    rows : iterable of Row
        Rows, computed.
    """
    values = {r.id: None if r.computed is None else float(r.computed) for r in rows}
    path = place()
    with contextlib.suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
        for old in path.parent.glob("evidence-*.json"):
            old.unlink(missing_ok=True)
        draft = path.with_suffix(f".{os.getpid()}")
        draft.write_text(json.dumps(values), encoding="utf-8")
        draft.replace(path)


def forget(rows: Iterable[Row]) -> None:
    """Drop the computed values of rows, so that they are computed anew.

    Parameters
    ----------
    rows : iterable of Row
        Rows.
    """
    for row in rows:
        row.__dict__.pop("computed", None)
