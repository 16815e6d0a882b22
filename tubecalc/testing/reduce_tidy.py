"""Oddities of a record, mended and said before it is reduced: order, spikes, gaps, full turns."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tubecalc.errors import InputError
from tubecalc.testing.reduce_line import Array, Ints, noise, resolution

Flags = NDArray[np.bool_]
LEAST_ROWS = 20  # below which a single high row is the peak of a short list, not a spike
JUMP = 0.05  # of the largest load, below which a jump out and back is no spike
FLAT = 6.0  # times what its neighbours differ by, that a spike stands out
DEEP = 0.5  # of the load beside it, from which a dip is a spike: a slip loses less
MANY = 0.01  # of the rows, above which jumps are the rule, not the exception
_BLOCKS = 400  # medians of neighbouring rows that show the size of a load without its spikes
STANDS = 0.03  # of its range, within which an extensometer stands still
WENT_ON = 0.15  # of its range, that the other one goes on meanwhile


@dataclass(frozen=True)
class Tidy:
    """Load over travel with its oddities mended.

    Attributes
    ----------
    x, y : numpy.ndarray
        Travel and load of the rows that count.
    rows : numpy.ndarray
        Row of each in the data.
    beside_gap : numpy.ndarray or None
        Whether rows without a reading of the load stand next to it; None where none do.
    notes : tuple of str
        What was mended.
    """

    x: Array
    y: Array
    rows: Ints
    beside_gap: Flags | None
    notes: tuple[str, ...]


def numbers(data: Any, column: str, where: str) -> Array:
    """Values of a column as numbers.

    Parameters
    ----------
    data : pandas.DataFrame
        Data of a curve.
    column : str
        Name of the column.
    where : str
        Name of the specimen.

    Returns
    -------
    numpy.ndarray

    Raises
    ------
    InputError
        If the column is there twice or holds words.
    """
    values = data[column]
    if getattr(values, "ndim", 1) != 1:
        raise InputError("is there more than once", where=f"{where}:{column}")
    try:
        return np.asarray(values.to_numpy(float))
    except (TypeError, ValueError):
        got = next((v for v in values if isinstance(v, str)), values.iloc[0])
        raise InputError(
            f'holds "{str(got)[:40]}" in place of a number', where=f"{where}:{column}"
        ) from None


def tidied(
    x: Array, y: Array, time: Array | None, *, beyond: Flags, turns: bool, unit: str
) -> Tidy:
    """Mend what is odd in a record.

    Parameters
    ----------
    x, y : numpy.ndarray
        Travel and load of all rows; NaN where there is no reading.
    time : numpy.ndarray or None
        Time of the rows, where it is known.
    beyond : numpy.ndarray of bool
        Where the load ran beyond the range of its sensor.
    turns : bool
        Whether the travel is an angle that may begin anew after 360 deg.
    unit : str
        Of the load, for the notes.

    Returns
    -------
    Tidy
    """
    notes: list[str] = []
    rows = np.arange(len(x))
    if time is not None and _backwards(time) and not _begins_unloaded(y):
        rows = rows[::-1]
        x, y, beyond = x[::-1], y[::-1], beyond[::-1]
        notes.append("The rows run from the last to the first: they are read backwards.")
    if turns:
        x, count = _unwound(x)
        if count:
            times = "once" if count == 1 else f"{count} times"
            notes.append(f"The angle begins anew after 360 deg {times}: it is read on.")
    whole = len(x) > 0 and bool(np.isfinite([x.min(), x.max(), y.min(), y.max()]).all())
    loaded = None if whole else np.isfinite(y)
    out, said = _spikes_said(y, rows, loaded, unit)
    notes += said
    if whole and not len(out):
        return Tidy(x, y, rows, None, tuple(notes))
    loaded = np.ones(len(y), bool) if loaded is None else loaded
    blank = ~loaded & ~beyond & np.isfinite(x)
    gap = _beside(loaded, blank) if blank.any() else None
    kept = loaded.copy()
    kept[out] = False
    x, filled = _filled(x, y, kept)
    if filled:
        rows_have = (
            "row of the largest load has" if filled == 1 else "rows of the largest load have"
        )
        notes.append(f"{filled} {rows_have} no travel in the file: put between the rows beside.")
    good = kept & np.isfinite(x)
    return Tidy(x[good], y[good], rows[good], None if gap is None else gap[good], tuple(notes))


def _backwards(time: Array) -> bool:
    """Whether time only runs back."""
    if len(time) and time[0] <= time[-1]:
        return False
    known = time[np.isfinite(time)]
    if len(known) < 3 or not known[0] > known[-1]:
        return False
    return bool(np.all(np.diff(known) <= 0))


def _begins_unloaded(y: Array) -> bool:
    """Whether the rows run forward all the same, under a time that counts down."""
    load = np.abs(y[np.isfinite(y)])
    if len(load) < 6:
        return True
    first, last, peak = float(np.median(load[:3])), float(np.median(load[-3:])), float(load.max())
    small = 0.02 * peak
    if first <= small and last <= small:
        return int(np.argmax(load)) >= len(load) / 2
    return first < last


def _unwound(x: Array) -> tuple[Array, int]:
    """Angle that goes on where it began anew, and how often that was."""
    good = np.isfinite(x)
    known = x[good]
    if len(known) < 5 or float(np.ptp(known)) > 361:
        return x, 0
    step = np.diff(known)
    usual = float(np.median(np.abs(step)))
    anew = np.abs(np.abs(step) - 360) <= max(20 * usual, 1.0)
    if usual > 18 or not anew.any():
        return x, 0
    out = x.copy()
    out[good] = known - 360 * np.concatenate([[0.0], np.cumsum(np.where(anew, np.sign(step), 0))])
    return out, int(anew.sum())


def spikes(y: Array) -> Ints:
    """Rows where the load jumps out and comes back within one or two rows.

    Parameters
    ----------
    y : numpy.ndarray
        Load in the order of the record, without gaps.

    Returns
    -------
    numpy.ndarray
        Places of the rows. A jump must be six times what the rows on both sides of it differ by,
        ten times the noise, three steps of the resolution and a twentieth of the largest load;
        a dip must lose half of the load beside it, since a slip loses less.

    Examples
    --------
    >>> load = np.arange(40.0)
    >>> load[[20, 30]] = 900.0, -400.0
    >>> spikes(load).tolist()
    [20, 30]
    """
    n = len(y)
    if n < LEAST_ROWS:
        return np.zeros(0, np.intp)
    size = max(5, n // _BLOCKS)
    medians = np.median(np.abs(y[: n // size * size]).reshape(-1, size)[:, :5], axis=1)
    least = JUMP * float(np.max(medians))
    step = np.diff(y)
    at = np.flatnonzero(np.abs(step) > least) + 1  # rows that a jump leads to
    at = at[at < n - 1]
    if not len(at):
        return at
    least = max(least, 10 * noise(np.arange(float(n)), y), 3 * resolution(np.delete(y, at)))
    one = at[_out_and_back(y, at, 1, least)]
    two = at[at < n - 2]
    two = two[_out_and_back(y, two, 2, least)]
    return np.unique(np.concatenate([one, two, two + 1]))


def _out_and_back(y: Array, at: Ints, width: int, least: float) -> Flags:
    """Whether the rows from a place on stand out from those before and after."""
    before, after = y[at - 1], y[at + width]
    beside = np.stack([y[at + k] for k in range(width)])
    away = beside - (before + after) / 2
    nearest = np.min(np.abs(away), axis=0)
    alike = np.max(np.abs(away), axis=0) <= 2 * nearest
    one_way = np.all(away > 0, axis=0) | np.all(away < 0, axis=0)
    level = (before + after) / 2
    dip = np.sign(away[0]) != np.sign(level)
    deep = ~dip | (nearest > DEEP * np.abs(level))
    out = nearest > np.maximum(least, FLAT * np.abs(after - before))
    return np.asarray(out & alike & one_way & deep)


def _spikes_said(y: Array, rows: Ints, loaded: Flags | None, unit: str) -> tuple[Ints, list[str]]:
    """Rows left out as spikes, and the sentence that names them."""
    place = None if loaded is None else np.flatnonzero(loaded)
    found = spikes(y if place is None else y[place])
    if not len(found):
        return found, []
    at = found if place is None else place[found]
    count = len(at)
    some = ", ".join(f"{y[i]:.5g} {unit} in row {rows[i] + 1}" for i in at[:3].tolist())
    more = f" and {count - 3} more" if count > 3 else ""
    said = (
        f"The load jumps out and back at once in {count} row{'s' if count > 1 else ''} of the "
        f"data ({some}{more})"
    )
    if count > max(6, MANY * len(y)):
        return at[:0], [f"{said}: so many spikes are kept; look at the cell and its cable."]
    what = "these are spikes, left" if count > 1 else "this is a spike, left"
    return at, [f"{said}: {what} out of the largest load and of the straight part."]


def _beside(loaded: Flags, blank: Flags) -> Flags:
    """Rows next to readings that are missing where they are not missing by the beat of the file."""
    at = np.flatnonzero(loaded)
    out = np.zeros(len(loaded), bool)
    if not len(at):
        return out
    wide = np.diff(at)
    usual = float(np.median(wide)) if len(wide) else 1.0
    run = np.concatenate([[0], np.cumsum(blank)])
    after = np.flatnonzero((wide > usual) & (run[at[1:]] > run[at[:-1]]))
    out[at[after]] = out[at[after + 1]] = True
    if len(loaded) - 1 - at[-1] >= usual and run[-1] > run[at[-1] + 1]:
        out[at[-1]] = True
    return out


def _filled(x: Array, y: Array, kept: Flags) -> tuple[Array, int]:
    """Travel put in where only a load larger than all others lacks it, and in how many rows."""
    known = kept & np.isfinite(x)
    lost = np.flatnonzero(kept & ~np.isfinite(x))
    if not len(lost) or known.sum() < 2:
        return x, 0
    most = lost[np.abs(y[lost]) > float(np.max(np.abs(y[known])))]
    if not len(most):
        return x, 0
    at = np.flatnonzero(known)
    x = x.copy()
    x[most] = np.interp(most, at, x[at])
    return x, len(most)


def slipped(a: Array, b: Array, load: Array) -> int:
    """Which of two extensometers stood still while load and the other one went on.

    Parameters
    ----------
    a, b : numpy.ndarray
        Extensions or strains.
    load : numpy.ndarray
        Load of the same rows.

    Returns
    -------
    int
        1 or 2; 0 where neither did.

    Examples
    --------
    >>> x = np.arange(40.0)
    >>> slipped(x, np.minimum(x, 20), 3 * x), slipped(x, 0.9 * x, 3 * x)
    (2, 0)
    """
    top = int(np.argmax(np.abs(load))) + 1
    a, b, load = a[:top], b[:top], np.abs(load[:top])
    if top < 8:
        return 0
    for number, (still, other) in enumerate(((a, b), (b, a)), start=1):
        away = np.abs(still - still[-1]) > STANDS * float(np.ptp(still))
        first = int(np.flatnonzero(away)[-1]) + 1 if away.any() else 0
        on = float(np.abs(other[-1] - other[first]))
        mine = float(np.abs(still[-1] - still[first]))
        rose = load[-1] - load[first] > 0.1 * load[-1]
        went_on = on > WENT_ON * float(np.ptp(other)) and mine < 0.1 * on
        if rose and went_on and top - first >= 5:
            return number
    return 0


def stopped(x: Array, y: Array) -> int | None:
    """Row from which the load rises on without any more of its travel.

    Parameters
    ----------
    x, y : numpy.ndarray
        Travel measured on the specimen and load, both growing in loading.

    Returns
    -------
    int or None
        None where the travel goes on: where the last tenth of the load has a travel of its own.

    Examples
    --------
    >>> x = np.arange(40.0)
    >>> stopped(np.where(x > 20, 0, x), 3 * x), stopped(x, 3 * x)
    (20, None)
    """
    top = int(np.argmax(y))
    part = x[: top + 1]
    if top < 8 or not np.ptp(part) > 0:
        return None
    first = int(np.argmax(part >= np.max(part) - STANDS * float(np.ptp(part))))
    if top - first < 5 or not y[top] - y[first] > 0.1 * y[top] or first < 5:
        return None
    return first


__all__ = ["Tidy", "numbers", "slipped", "spikes", "stopped", "tidied"]
