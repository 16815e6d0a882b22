"""A folder of tests: an index of what each file is, and all of them reduced one after the other.

The index is a CSV or a workbook's table with the columns file, block, specimen, construction, kind,
od_mm, id_mm or wall_mm, span_mm, inner_span_mm, gauge_length_mm, frame and failure; only file and
kind are needed. A file that cannot be read is named with its sentence; the others are reduced.
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from tubecalc.errors import InputError
from tubecalc.testing.column_reduce import way_of
from tubecalc.testing.reduce import reduce_test
from tubecalc.testing.reduce_group import doubles, same_tests
from tubecalc.testing.reduce_kinds import UNSAID
from tubecalc.testing.reduce_path import WAYS
from tubecalc.testing.result import TestResult

INDEX = "index.csv"
SUFFIXES = (".csv", ".txt", ".tsv", ".dat", ".asc", ".log", ".xlsx", ".xlsm")
_LENGTHS = {"od": "od_mm", "id": "id_mm", "wall": "wall_mm", "span": "span_mm",
            "inner_span": "inner_span_mm", "gauge_length": "gauge_length_mm",
            "nose": "nose_mm"}  # fmt: skip
_ONE_TEST = 300  # curves, above which pairs are not looked through
Progress = Callable[[int, int, str], None]


@dataclass(frozen=True)
class Bench:
    """Tests of a folder.

    Attributes
    ----------
    results : tuple of TestResult
        What could be reduced.
    curves : tuple
        Curve of each result.
    constructions : tuple of str
        Key of the wall of each result; "" where the index does not say.
    problems : tuple of str
        One sentence for each file or specimen that could not.
    notes : tuple of str
        What several tests say together.
    """

    results: tuple[TestResult, ...]
    curves: tuple[Any, ...]
    constructions: tuple[str, ...]
    problems: tuple[str, ...]
    notes: tuple[str, ...]

    @cached_property
    def doubles(self) -> dict[int, int]:
        """Place of a result that is the same test as another -> the one that counts."""
        return doubles(self.curves) if len(self.curves) <= _ONE_TEST else {}

    @property
    def counting(self) -> list[tuple[TestResult, str]]:
        """Results that count, each with its construction: a test that is there twice once."""
        found = zip(self.results, self.constructions, strict=True)
        return [one for n, one in enumerate(found) if n not in self.doubles]


def read_index(path: Path) -> list[dict[str, str]]:
    """Rows of an index.

    Parameters
    ----------
    path : pathlib.Path
        CSV file, UTF-8.

    Returns
    -------
    list of dict
        One a specimen.

    Raises
    ------
    InputError
        If a column or the kind of a row is missing.
    """
    try:
        with path.open(encoding="utf-8-sig", newline="") as handle:
            rows = [
                {k: (v or "").strip() for k, v in r.items() if k} for r in csv.DictReader(handle)
            ]
    except (UnicodeDecodeError, csv.Error):
        raise InputError("is not a CSV table in UTF-8", where=path.name) from None
    for n, row in enumerate(rows, start=2):
        for key in ("file", "kind"):
            if not row.get(key):
                raise InputError(f"says no {key}", where=f"{path.name}:row {n}")
    return rows


def reduce_folder(folder: Path, *, progress: Progress | None = None, **told: Any) -> Bench:
    """Reduce every test of a folder.

    Parameters
    ----------
    folder : pathlib.Path
        With an index.csv; without one, every file of a test machine in it is one kind of test.
    progress : callable, optional
        Called with how many are done, how many there are, and the name of the next.
    **told
        Arguments of `reduce_test` for all of them, the index counts first; without a `kind`, loads
        and slope are found and nothing is said of the wall.

    Returns
    -------
    Bench

    Raises
    ------
    InputError
        If there is no such folder or nothing in it, or the index cannot be read.

    Examples
    --------
    >>> from tubecalc.datafiles import data_dir
    >>> bench = reduce_folder(data_dir() / "tests")
    >>> len(bench.results), bench.problems
    (20, ())
    """
    return reduce_rows([(folder, row) for row in listed(folder)], progress=progress, **told)


def listed(folder: Path) -> list[dict[str, str]]:
    """Rows of a folder's index; without one, a row for every file of a test machine.

    Parameters
    ----------
    folder : pathlib.Path
        Folder.

    Returns
    -------
    list of dict

    Raises
    ------
    InputError
        If there is no such folder or nothing in it, or the index cannot be read.
    """
    if not folder.is_dir():
        raise InputError("there is no such folder", where=str(folder))
    if (folder / INDEX).is_file():
        rows = read_index(folder / INDEX)
    else:
        files = [p for p in folder.iterdir() if p.suffix.lower() in SUFFIXES]
        names = sorted(p.name for p in files if not p.name.startswith((".", "~")))
        rows = [{"file": name} for name in names]
    if not rows:
        raise InputError("has no file of a test machine", where=str(folder))
    return rows


def reduce_rows(
    rows: Iterable[tuple[Path, Mapping[str, str]]],
    *,
    progress: Progress | None = None,
    reading: Mapping[str, Any] | None = None,
    **told: Any,
) -> Bench:
    """Reduce tests by rows of an index, a file at a time.

    Parameters
    ----------
    rows : iterable
        Pairs of folder and row.
    progress : callable, optional
        As in `reduce_folder`.
    reading : mapping, optional
        Arguments of `read_curves`.
    **told
        As in `reduce_folder`.

    Returns
    -------
    Bench
    """
    all_rows = list(rows)
    read: dict[Path, Any] = {}
    results: list[TestResult] = []
    curves: list[Any] = []
    walls: list[str] = []
    problems: list[str] = []
    for n, (folder, row) in enumerate(all_rows):
        name = row.get("specimen") or row["file"]
        if progress is not None:
            progress(n, len(all_rows), name)
        try:
            found = _curves(read, folder / row["file"], reading)
            picked = _picked(found, row)
        except (InputError, OSError, MemoryError) as error:
            problems.append(_problem(row["file"], error))
            continue
        for curve in picked:  # one bad sheet or specimen does not take the others with it
            try:
                results.append(_reduced(curve, len(found), folder, row, told, read))
            except (InputError, OSError, MemoryError) as error:
                problems.append(_problem(row["file"], error))
                continue
            curves.append(curve)
            walls.append(row.get("construction", ""))
    if progress is not None:
        progress(len(all_rows), len(all_rows), "")
    notes = same_tests(curves) if len(curves) <= _ONE_TEST else []
    return Bench(tuple(results), tuple(curves), tuple(walls), tuple(problems), tuple(notes))


def _problem(file: str, error: Exception) -> str:
    """Why a file or a specimen of it could not be reduced."""
    if isinstance(error, InputError):
        return str(error) if file in str(error) else f"{file}: {error}"
    said = getattr(error, "strerror", None) or "is too large for the memory"
    return f"{file}: {said}."


def _curves(read: dict[Path, Any], path: Path, reading: Mapping[str, Any] | None = None) -> Any:
    """Curves of a file, read once; the sentence of a bad one is said again."""
    from tubecalc.testing.curves import read_curves

    if path not in read:
        try:
            if not path.is_file():
                raise InputError("there is no such file", where=path.name)
            read[path] = read_curves(path, **(reading or {}))
        except InputError as error:
            read[path] = error
    if isinstance(read[path], InputError):
        raise read[path]
    return read[path]


def _picked(found: Any, row: Mapping[str, str]) -> list[Any]:
    """Curves that a row speaks of: the block it names, else all of the file."""
    if not row.get("block"):
        return list(found)
    try:
        block = int(row["block"])
    except ValueError:
        block = 0
    if not 1 <= block <= len(found):
        raise InputError("there is no such block", where=row["file"], got=row["block"],
                         expected=f"1 to {len(found)}")  # fmt: skip
    return [found[block - 1]]


def _reduced(
    curve: Any, count: int, folder: Path, row: Mapping[str, str], told: Mapping[str, Any],
    read: dict[Path, Any],
) -> TestResult:  # fmt: skip
    given = dict(told)
    for argument, column in _LENGTHS.items():
        if row.get(column):
            given[argument] = f"{row[column]} mm"
    if row.get("id_mm") or row.get("wall_mm"):  # two sizes of the row, not of all
        for argument, column in (("id", "id_mm"), ("wall", "wall_mm")):
            if not row.get(column):
                given.pop(argument, None)
    if row.get("failure"):
        given["failure"] = row["failure"]
    if row.get("batch"):
        given["batch"] = row["batch"]
    if row.get("kind"):
        given["kind"] = row["kind"]
    given.setdefault("kind", "torsion" if "torque_N_m" in curve.data else UNSAID)
    if row.get("frame"):
        file = folder / row["frame"]
        given["frame"] = _curves(read, file)[0] if file.suffix in SUFFIXES else row["frame"]
    name = row.get("specimen") or (curve.name if count > 1 else Path(row["file"]).stem)
    if _on_specimen(curve, given["kind"]):
        given.pop("frame", None)  # the frame is not in what is measured on the specimen
    return reduce_test(curve, given.pop("kind"), name=name, **given)


def _on_specimen(curve: Any, kind: str) -> bool:
    """Whether the curve has a way that is measured on the specimen."""
    if way_of(curve, kind, None) is not None:
        return True
    ways = [w for w in WAYS.get(kind, ()) if w in curve.data.columns]
    return bool(ways) and ways[0] not in ("travel_mm", "angle_deg")
