"""Tests on the bench: what a person told of each, its curve, and the reduced result."""

from __future__ import annotations

import csv
import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tubecalc.datafiles import data_dir
from tubecalc.errors import InputError
from tubecalc.testing.column_reduce import sideways
from tubecalc.testing.curve import Curve
from tubecalc.testing.curves import read_curves
from tubecalc.testing.reduce import reduce_test
from tubecalc.testing.reduce_facts import scaled
from tubecalc.testing.reduce_kinds import KINDS
from tubecalc.testing.reduce_path import paths
from tubecalc.testing.result import FAILURES, TestResult

Array = NDArray[np.float64]
# What may be told of a test, as text; `wall_of` is the construction, `count` "no" leaves it out.
FIELDS = (
    "name", "wall_of", "kind", "od", "wall", "id", "span", "gauge_length", "inner_span", "ends",
    "frame", "failure", "way", "origin", "linear_from", "linear_to", "peak_at", "count", "batch",
    "nose", "load_factor",
)  # fmt: skip
# What may be told of how a file is read, as arguments of `read_curves`.
READING = (
    "force", "travel", "extension", "deflection", "torque", "angle", "time", "force_unit",
    "travel_unit", "extension_unit", "strain_unit", "stress_unit", "torque_unit", "angle_unit",
    "time_unit", "decimal", "delimiter", "encoding", "split", "sheet",
)  # fmt: skip
_LENGTHS = ("span", "od", "wall", "id", "gauge_length", "inner_span", "nose", "origin", "peak_at")
RIGID = "rigid-bar"  # the kind of a run on a rigid bar, which is no test
RIGID_SAID = "A run on a rigid bar: it is taken out of the travel of tests that name it."
LARGEST = 9_000_000  # bytes of a file that the page takes
POINTS = 160  # of a curve that is kept with its result
_LOADS = ("force_N", "torque_N_m")
_WAYS = ("travel_mm", "extension_mm", "deflection_mm", "angle_deg", "strain")


@dataclass(frozen=True)
class Entry:
    """One test as it was told.

    Attributes
    ----------
    file : str
        Name of its file.
    digest : str
        Tells the file from others of its name.
    number : int
        Place of the specimen in the file, from 0 [-].
    texts : mapping
        A key of `FIELDS` -> what was typed.
    """

    file: str
    digest: str
    number: int = 0
    texts: Mapping[str, str] = field(default_factory=dict)

    def get(self, key: str) -> str:
        """What was typed, "" for nothing."""
        return self.texts.get(key, "")

    def put(self, key: str, text: str) -> Entry:
        """The same with another text."""
        texts = {k: v for k, v in self.texts.items() if k != key}
        return replace(self, texts={**texts, key: text} if text else texts)

    @property
    def counted(self) -> bool:
        """Whether it counts in statistics."""
        return self.get("count") != "no"


@dataclass(frozen=True, eq=False)
class Seen:
    """One test with what was found.

    Attributes
    ----------
    entry : Entry
        As told.
    curve : Curve or None
        As read; None where the file is not here.
    result : TestResult or None
        None where it cannot be reduced.
    problems : mapping
        Field -> sentence; "" for the test as a whole.
    x, y : numpy.ndarray
        Points to draw, signs as recorded: travel [mm or deg], load [N or N m].
    understood : tuple of str
        How the file was read, one sentence each.
    label : str
        Name that a job had for it.
    """

    entry: Entry
    curve: Curve | None
    result: TestResult | None
    problems: Mapping[str, str]
    x: Array
    y: Array
    understood: tuple[str, ...]
    label: str = ""

    @property
    def name(self) -> str:
        """Name of the specimen."""
        told = self.entry.get("name").strip()
        found = self.curve or self.result
        return told or (found.name if found else self.label) or self.entry.file

    @property
    def asked(self) -> int:
        """Questions that are open [-]."""
        return sum(q.open for q in self.curve.questions) if self.curve else 0


def digest_of(content: bytes) -> str:
    """Short mark of a file's content.

    Examples
    --------
    >>> digest_of(b"")
    'e3b0c44298fc'
    """
    return hashlib.sha256(content).hexdigest()[:12]


def read_file(name: str, content: bytes, answers: Mapping[str, str]) -> list[Curve]:
    r"""Read a file with the answers given so far.

    Parameters
    ----------
    name : str
        Name of the file.
    content : bytes
        The file.
    answers : mapping
        A key of `READING` -> answer.

    Returns
    -------
    list of Curve

    Raises
    ------
    InputError
        If it is too large for a page, or as `read_curves` does.

    Examples
    --------
    >>> read_file("a.csv", b"mm,load\n0,0\n1,5\n2,9\n", {"force_unit": "kN"})[0].data.shape
    (3, 2)
    """
    if len(content) > LARGEST:
        raise InputError(
            "is too large for the page", where=name[:80], got=f"{len(content) / 1e6:.1f} MB",
            expected="at most 9 MB; `tubecalc reduce` takes larger ones",
        )  # fmt: skip
    given: dict[str, Any] = {
        k: int(v) if k in READING[:7] and v.isdecimal() and len(v) < 4 else v
        for k, v in answers.items()
        if k in READING and v
    }
    return read_curves(content, name=name, **given)


def thin(x: Array, y: Array, points: int) -> tuple[Array, Array]:
    """Fewer points of a curve that keep its peaks and dips.

    Parameters
    ----------
    x, y : numpy.ndarray
        The curve, in the order of the record.
    points : int
        At most so many [-].

    Returns
    -------
    tuple of numpy.ndarray

    Examples
    --------
    >>> x = np.arange(1000.0)
    >>> a, b = thin(x, np.where(x == 777, 9.0, 0.0), 50)
    >>> len(a) <= 50, b.max()
    (True, np.float64(9.0))
    """
    good = np.isfinite(x) & np.isfinite(y)
    x, y = x[good], y[good]
    if len(x) <= points:
        return x, y
    edges = np.linspace(0, len(x), max(points // 2 - 1, 1) + 1).astype(int)
    keep = {0, len(x) - 1}
    for a, b in pairwise(edges.tolist()):
        keep |= {a + int(np.argmin(y[a:b])), a + int(np.argmax(y[a:b]))}
    at = np.array(sorted(keep))
    return x[at], y[at]


def drawn(curve: Curve, way: str = "", points: int = 1800) -> tuple[Array, Array]:
    """Points of a curve to draw; none where it has no load or no travel.

    Parameters
    ----------
    curve : Curve
        As read.
    way : str
        Column of the travel; the first there is when not given.
    points : int
        At most so many [-].

    Returns
    -------
    tuple of numpy.ndarray
        Travel and load as recorded.
    """
    data = curve.data
    load = next((c for c in _LOADS if c in data), None)
    along = way if way in data else next((c for c in _WAYS if c in data), None)
    if load is None or along is None:
        return np.zeros(0), np.zeros(0)
    return thin(data[along].to_numpy(float), data[load].to_numpy(float), points)


def reduced(entry: Entry, curve: Curve, frame: Any = None) -> TestResult:
    """Reduce a test as it was told.

    Parameters
    ----------
    entry : Entry
        As told.
    curve : Curve
        As read.
    frame : Curve or str, optional
        Run on a rigid bar, or stiffness of the frame.

    Returns
    -------
    TestResult

    Raises
    ------
    InputError
        If the kind of test is not told, a half of a pair is missing, or as `reduce_test` does.
    """
    kind = entry.get("kind")
    if not kind:
        raise InputError("say which kind of test it was", where="kind")
    ends = [entry.get(k).strip() or None for k in ("linear_from", "linear_to")]
    if sum(e is not None for e in ends) == 1:
        raise InputError("needs both ends of the straight part", where="linear_from")
    told: dict[str, Any] = {k: entry.get(k).strip() or None for k in _LENGTHS}
    return reduce_test(
        curve, kind, frame=frame, failure=entry.get("failure") or None,
        ends=entry.get("ends") or "pinned-pinned", way=entry.get("way") or None,
        linear=(ends[0], ends[1]) if ends[0] else None, batch=entry.get("batch"),
        load_factor=entry.get("load_factor").strip() or None,
        name=entry.get("name").strip() or curve.name, **told,
    )  # fmt: skip


def look(entry: Entry, curve: Curve, frame: Any = None) -> Seen:
    """A test with its result, or with what is wrong.

    Parameters
    ----------
    entry : Entry
        As told.
    curve : Curve
        As read.
    frame : Curve or str, optional
        Run on a rigid bar, or stiffness of the frame.

    Returns
    -------
    Seen
    """
    problems: dict[str, str] = {}
    result = None
    if entry.get("kind") == RIGID:
        problems[""] = RIGID_SAID
    elif curve.ready:
        try:
            result = reduced(entry, curve, frame)
        except InputError as error:
            last = (error.where or "").split(":")[-1].strip()
            key = {"linear": "linear_from", "kind of test": "kind"}.get(last, last)
            said = str(InputError(error.message, got=error.got, expected=error.expected))
            problems[key if key in FIELDS else ""] = said[:1].upper() + said[1:]
    elif curve.questions:
        problems[""] = "Answer the questions about its file first."
    else:
        problems[""] = "Its file has no column of load, or none of travel: say which they are."
    x, y = (
        _record(curve, result, entry.get("load_factor").strip())
        if result
        else drawn(curve, entry.get("way"))
    )
    lines = (*curve.understood.lines(), *curve.notes)
    return Seen(entry, curve, result, problems, x, y, tuple(lines))


def _record(curve: Curve, result: TestResult, factor: str) -> tuple[Array, Array]:
    """Points of a curve as it was reduced, signs as recorded."""
    curve, _ = scaled(sideways(curve, result.kind), factor, result.name)
    try:
        parts = paths(curve, result.kind, way=result.way, gauge_mm=result.rig.gauge * 1e3,
                      where=result.name)  # fmt: skip
    except InputError:
        return drawn(curve, result.way)
    x = np.concatenate([p.sign_x * p.x for p in parts])
    y = np.concatenate([p.sign_y * p.y for p in parts])
    order = np.argsort(np.concatenate([p.rows for p in parts]), kind="stable")
    return thin(x[order], y[order], 1800)


def entries_of(name: str, content: bytes, curves: Sequence[Curve]) -> list[Entry]:
    """Entries of a file that was read: nothing is told yet but what the columns say.

    Parameters
    ----------
    name : str
        Name of the file.
    content : bytes
        The file.
    curves : sequence of Curve
        As read.

    Returns
    -------
    list of Entry
    """
    mark = digest_of(content)
    return [
        Entry(name, mark, n, {"kind": "torsion"} if "torque_N_m" in c.data else {})
        for n, c in enumerate(curves)
    ]


@dataclass(frozen=True)
class Demo:
    """The invented set: its files, and what is told of each specimen."""

    files: tuple[tuple[str, bytes], ...]
    told: Mapping[tuple[str, int], Mapping[str, str]]


def demo() -> Demo:
    """Open the invented set of tests that comes with tubecalc.

    Returns
    -------
    Demo

    Examples
    --------
    >>> len(demo().files) > 3
    True
    """
    folder = data_dir() / "tests"
    told: dict[tuple[str, int], dict[str, str]] = {}
    names: dict[str, None] = {}
    with (folder / "index.csv").open(encoding="utf-8", newline="") as lines:
        for row in csv.DictReader(lines):
            names[row["file"]] = None
            texts = {"name": row["specimen"], "wall_of": row["construction"], "kind": row["kind"],
                     "failure": row["failure"], "frame": row["frame"],
                     "batch": row.get("batch") or ""}  # fmt: skip
            for key in ("od", "id", "span", "gauge_length", "nose"):
                length = row.get(f"{key}_mm")
                texts[key] = f"{length} mm" if length else ""
            if row["kind"] in KINDS and row["failure"] in ("", *FAILURES):
                place = (row["file"], int(row["block"] or 1) - 1)
                told[place] = {k: v for k, v in texts.items() if v}
            if row["frame"].endswith(".csv"):
                names[row["frame"]] = None
                told[(row["frame"], 0)] = {"kind": RIGID}
    found = tuple((n, (folder / n).read_bytes()) for n in names if (folder / n).is_file())
    return Demo(found, told)


__all__ = [
    "FIELDS", "LARGEST", "POINTS", "READING", "RIGID", "RIGID_SAID", "Demo", "Entry",
    "Seen", "demo", "digest_of",
    "drawn", "entries_of", "look", "read_file", "reduced", "thin",
]  # fmt: skip
