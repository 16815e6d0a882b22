"""The two columns of a curve that count for a kind of test, turned so that loading is upwards."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import numpy as np

from tubecalc.errors import InputError
from tubecalc.testing.reduce_asked import no_column, table_of
from tubecalc.testing.reduce_line import Array, Ints
from tubecalc.testing.reduce_tidy import Flags, numbers, slipped, stopped, tidied

if TYPE_CHECKING:
    import pandas as pd

LEAST_ROWS = 5
_MOST = 1e12  # N, mm or deg: nothing that is measured is larger, or smaller than one over it
TURN = 0.05  # of the travel, from which a way back is an unloading
OTHER_SENSE = 0.2  # of the largest load, from which load of the other sign is a second sense
# What the load is read against, best first, by kind of test.
_ALONG = ("extension_mm", "strain", "travel_mm")
_ACROSS = ("deflection_mm", "extension_mm", "travel_mm")
ON_SPECIMEN = ("extension_mm", "strain", "deflection_mm")
WAYS = {
    "tension": _ALONG, "compression": _ALONG, "column": ("travel_mm",),
    "three-point": _ACROSS, "four-point": _ACROSS, "ring": ("deflection_mm", "travel_mm"),
    "torsion": ("angle_deg",), "unsaid": ("travel_mm", "deflection_mm", "extension_mm"),
}  # fmt: skip


@dataclass(frozen=True)
class Branch:
    """Rows of one loading, first <= row < past, of a `Path`."""

    first: int
    past: int


@dataclass(frozen=True)
class Path:
    """Load over travel of one specimen in one sense.

    Attributes
    ----------
    x, y : numpy.ndarray
        Travel [mm or deg] and load [N or N m]; both grow in loading.
    rows : numpy.ndarray
        Row of each in the curve's data.
    way : str
        Column that x is from.
    sign_x, sign_y : float
        What the recorded values were multiplied by.
    over : bool
        Whether the load ran beyond the range of its sensor.
    notes : tuple of str
        What two extensometers say.
    recorded : numpy.ndarray or None
        Travel before that of the frame was taken out; None where nothing was.
    beside_gap : numpy.ndarray or None
        Whether rows without a reading of the load stand next to each; None where none do.
    lost : int or None
        Row from which the travel is held because its sensor stood still or was taken off.
    """

    x: Array
    y: Array
    rows: Ints
    way: str
    sign_x: float
    sign_y: float
    over: bool = False
    notes: tuple[str, ...] = field(default=())
    recorded: Array | None = None
    beside_gap: Flags | None = None
    lost: int | None = None

    @property
    def shown(self) -> Array:
        """Travel as recorded, also where that of the frame is taken out of x."""
        return self.x if self.recorded is None else self.recorded


def frame_of(curve: Any) -> pd.DataFrame:
    """Data of a curve, or the table itself."""
    return table_of(curve)


def load_column(kind: str) -> str:
    """Column that holds the load of a kind of test."""
    return "torque_N_m" if kind == "torsion" else "force_N"


def paths(curve: Any, kind: str, *, way: str | None, gauge_mm: float, where: str) -> list[Path]:
    """Load over travel, one for each sense that was loaded.

    Parameters
    ----------
    curve : Curve or pandas.DataFrame
        With unit-suffixed columns.
    kind : str
        Kind of test.
    way : str or None
        Column to read the load against; the best that is there when None.
    gauge_mm : float
        Length that a strain is over [mm]; NaN where not known.
    where : str
        Name of the specimen, for messages.

    Returns
    -------
    list of Path
        The sense that was loaded first comes first.

    Raises
    ------
    InputError
        If a column is missing, there are too few rows, or the load or travel does not change.
    """
    data = frame_of(curve)
    load = load_column(kind)
    if load not in data.columns:
        raise no_column(curve, kind, "load", where)
    y = numbers(data, load, where)
    x, used, notes = _travel(curve, y, kind, way, gauge_mm, where)
    beyond = curve.beyond(load) if hasattr(curve, "beyond") else np.isposinf(np.abs(y))
    time = numbers(data, "time_s", where) if "time_s" in data.columns else None
    made = tidied(x, y, time, beyond=beyond, turns=used == "angle_deg",
                  unit="N m" if kind == "torsion" else "N")  # fmt: skip
    x, y, rows = made.x, made.y, made.rows
    notes += made.notes
    if len(rows) < LEAST_ROWS:
        raise InputError(
            f"has {len(rows)} row{'s' if len(rows) != 1 else ''} with load and travel",
            where=where, expected=f"at least {LEAST_ROWS}",
        )  # fmt: skip
    for values, what in ((x, "travel"), (y, "load")):
        most = max(float(np.max(values)), -float(np.min(values)))
        if most > _MOST:
            raise InputError(f"the {what} is no number a machine writes", where=where,
                             got=f"{most:.3g}")  # fmt: skip
    if not np.ptp(y) > max(1e-9 * float(np.max(np.abs(y))), 1 / _MOST):
        raise InputError("the load never changes: nothing was loaded", where=where,
                         got=f"{y[0]:.4g} in all {len(y)} rows")  # fmt: skip
    if not np.ptp(x) > max(1e-9 * float(np.max(np.abs(x))), 1 / _MOST):
        raise InputError("the travel never changes", where=where, got=f"{used} = {x[0]:.4g}")
    over = bool(np.any(beyond))
    gap = made.beside_gap
    return [
        _turned(x[part], y[part], rows[part], used, over=over, notes=notes,
                gap=None if gap is None else gap[part])
        for part in _senses(x, y)
    ]  # fmt: skip


def _travel(
    curve: Any, y: Array, kind: str, way: str | None, gauge_mm: float, where: str
) -> tuple[Array, str, tuple[str, ...]]:
    """Travel and the column it is from."""
    data = frame_of(curve)
    if way is not None and way not in data.columns:
        raise InputError("there is no such column", where=f"{where}:way", got=way)
    known = [w for w in (WAYS[kind] if way is None else (way,)) if w in data.columns]
    filled = [w for w in known if np.isfinite(numbers(data, w, where)).any()]
    known = filled if len(data) >= LEAST_ROWS else known
    if not np.isfinite(gauge_mm):
        known = [w for w in known if w != "strain"]
    if not known:
        raise no_column(curve, kind, "travel", where)
    used = known[0]
    x = numbers(data, used, where)
    second = {"extension_mm": "extension_2_mm", "strain": "strain_2"}.get(used)
    notes: tuple[str, ...] = ()
    if second is not None and second in data.columns:
        other = numbers(data, second, where)
        both = np.isfinite(x) & np.isfinite(other)
        if both.sum() >= LEAST_ROWS:
            x, notes = _both(x, other, both, y)
    if used == "strain":
        x = x * gauge_mm
    return x, used, notes


def _both(x: Array, other: Array, both: Flags, y: Array) -> tuple[Array, tuple[str, ...]]:
    """Mean of two extensometers; of one that slipped the other one alone."""
    seen = both & np.isfinite(y)
    slip = slipped(x[seen], other[seen], y[seen])
    if slip:
        text = ("first", "second") if slip == 1 else ("second", "first")
        note = (
            f"The {text[0]} extensometer stands still while the load rises: it has slipped, the "
            f"{text[1]} one is used alone."
        )
        return (other if slip == 1 else x), (note,)
    middle = np.full(len(x), np.nan)
    middle[both] = (x[both] + other[both]) / 2
    return middle, _bent(x[both], other[both])


def _bent(a: Array, b: Array) -> tuple[str, ...]:
    """What two extensometers say of crookedness."""
    size = float(np.max(np.abs(a + b))) / 2
    part = float(np.max(np.abs(a - b))) / 2 / size if size > 0 else 0.0
    said = f"Two extensometers are averaged; they differ by {100 * part:.0f} % of the mean"
    return (said + (": the specimen was bent, grips or tube are crooked." if part > 0.1 else "."),)


def _senses(x: Array, y: Array) -> list[slice]:
    """Rows of each sense; one where all load has one sign."""
    top, bottom = float(np.max(y)), float(np.min(y))
    if not (top > 0 > bottom and min(top, -bottom) > OTHER_SENSE * max(top, -bottom)):
        return [slice(0, len(y))]
    edge = OTHER_SENSE / 4 * max(top, -bottom)
    sure = np.flatnonzero(np.abs(y) > edge)
    turns = np.flatnonzero(np.diff(np.sign(y[sure])) != 0)
    seen: dict[float, slice] = {}
    first = 0
    for t in [*turns.tolist(), -1]:  # of each sense the first time
        past = len(y)
        if t >= 0:
            between = slice(int(sure[t]), int(sure[t + 1]) + 1)
            past = between.start + int(np.argmin(np.abs(y[between])))
        if past - first >= LEAST_ROWS:
            part = slice(first, past)
            seen.setdefault(float(np.sign(y[part][np.argmax(np.abs(y[part]))])), part)
            if len(seen) > 1:
                break
        first = past
    return list(seen.values()) or [slice(0, len(y))]


def _turned(
    x: Array, y: Array, rows: Ints, way: str, *, over: bool, notes: tuple[str, ...],
    gap: Flags | None,
) -> Path:  # fmt: skip
    peak = int(np.argmax(np.abs(y)))
    sign_y = 1.0 if y[peak] >= 0 else -1.0
    first = slice(0, max(peak + 1, 2))
    start = float(np.median(x[: min(5, len(x))]))
    moved = float(x[peak] - start)
    if way in ON_SPECIMEN and peak >= 2:
        most = int(np.argmax(np.abs(x[first] - start)))
        moved = float(x[most] - start) if abs(moved) < 0.5 * abs(x[most] - start) else moved
    if peak < 2 or moved == 0:
        moved = float(np.sum((x[first] - x[first].mean()) * (sign_y * y[first]))) or 1.0
    sign_x = 1.0 if moved >= 0 else -1.0
    x, y = (x if sign_x > 0 else -x), (y if sign_y > 0 else -y)
    lost = stopped(x, y) if way in ON_SPECIMEN else None
    if lost is not None:
        x = np.concatenate([x[:lost], np.full(len(x) - lost, x[lost])])
        notes += (
            f"The travel measured on the specimen stops at {y[lost]:.4g} N, the load goes on to "
            f"{y[peak]:.4g} N: its sensor has slipped or was taken off. The straight part is from "
            "below; energy and yield are not known.",
        )
    return Path(x, y, rows, way, sign_x, sign_y, over, notes, beside_gap=gap, lost=lost)


def branches(path: Path) -> list[Branch]:
    """Loadings of a path, parted by ways back of more than a twentieth of the travel.

    Parameters
    ----------
    path : Path
        Load over travel.

    Returns
    -------
    list of Branch
        At least one.
    """
    x = path.x
    low, high = _turning(x, TURN * float(np.ptp(x)))
    found = [Branch(a, b + 1) for a, b in zip(low, high, strict=True) if b - a >= LEAST_ROWS - 1]
    return found or [Branch(0, len(x))]


def _turning(x: Array, least: float) -> tuple[list[int], list[int]]:
    """Rows where each way up begins and ends; ways of less than `least` are passed over."""
    size = max(1, len(x) // 2000)
    n = len(x) // size * size
    table = x[:n].reshape(-1, size)
    base = np.arange(0, n, size)
    at = np.sort(
        np.concatenate([base + table.argmin(axis=1), base + table.argmax(axis=1), [0, len(x) - 1]])
    )
    lows, highs = [0], []
    rising, best = True, 0
    for row in at.tolist():
        if rising:
            if x[row] >= x[best]:
                best = row
            elif x[best] - x[row] > least:
                highs.append(best)
                rising, best = False, row
            if not highs and len(lows) == 1 and x[row] < x[lows[0]] and best <= lows[0]:
                lows[0] = best = row
        elif x[row] <= x[best]:
            best = row
        elif x[row] - x[best] > least:
            lows.append(best)
            rising, best = True, row
    if rising:
        highs.append(best)
    return lows, highs[: len(lows)]


__all__ = ["WAYS", "Branch", "Path", "branches", "frame_of", "load_column", "paths"]
