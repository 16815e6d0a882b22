"""How much the test frame itself gives way, from a run on a rigid bar or from a value."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from tubecalc.errors import InputError
from tubecalc.testing.reduce_line import Array, block_means, find_line
from tubecalc.testing.reduce_path import frame_of, paths

_KNOTS = 200


@dataclass(frozen=True)
class Frame:
    """Travel that a frame takes by itself, over load.

    Attributes
    ----------
    load, travel : numpy.ndarray
        Loads and travels of the run [N, mm] or [N m, deg]; beyond them it goes on straight.
    slope, half : float
        Load per travel of its straight part, and half its 95 % interval (0 for a given value).
    most : float
        Largest load of the run.
    """

    load: Array
    travel: Array
    slope: float
    half: float
    most: float

    def at(self, load: Array) -> Array:
        """Travel of the frame under loads.

        Parameters
        ----------
        load : numpy.ndarray
            In the unit of the run.

        Returns
        -------
        numpy.ndarray
        """
        inside = np.interp(load, self.load, self.travel)
        more = np.maximum(load - self.load[-1], 0.0) + np.minimum(load - self.load[0], 0.0)
        return np.asarray(inside + more / self.slope)


def read_frame(frame: Any, kind: str) -> Frame:
    """Frame from a run on a rigid bar, a stiffness or a compliance.

    Parameters
    ----------
    frame : Curve, DataFrame, str or Quantity
        Run with the same rig and a bar that does not give; or "2400 N/mm"; or "0.4 um/N".
    kind : str
        Kind of test it is used for.

    Returns
    -------
    Frame

    Raises
    ------
    InputError
        If the run has no straight part, or the value is no stiffness.

    Examples
    --------
    >>> read_frame("2400 N/mm", "three-point").slope
    2400.0
    >>> round(read_frame("0.4 um/N", "tension").slope, 9)
    2500.0
    """
    if hasattr(frame, "data") or hasattr(frame, "columns"):
        return _run(frame, kind)
    from tubecalc.units import Q_

    unit = "N*m/deg" if kind == "torsion" else "N/mm"
    try:
        given = Q_(frame) if isinstance(frame, str) else frame
        slope = float(given.to(unit).magnitude)
    except InputError:
        raise
    except Exception:
        try:
            slope = float((1 / given).to(unit).magnitude)
        except Exception:
            raise InputError(
                "is neither a run on a rigid bar nor a stiffness of the frame",
                where="frame", got=frame, expected='"2400 N/mm" or "0.4 um/N"',
            ) from None  # fmt: skip
    if not slope > 0 or not math.isfinite(slope):
        raise InputError("must be above zero", where="frame", got=frame)
    ends = np.array([0.0, 1.0])
    return Frame(ends, ends / slope, slope, 0.0, math.inf)


def _run(frame: Any, kind: str) -> Frame:
    name = getattr(frame, "name", "frame")
    columns = frame_of(frame).columns
    way = "angle_deg" if kind == "torsion" else "travel_mm"
    if way not in columns:
        raise InputError("the run on a rigid bar has no travel", where=str(name))
    path = paths(frame, kind, way=way, gauge_mm=math.nan, where=str(name))[0]
    top = int(np.argmax(path.y)) + 1
    line = find_line(path.x[:top], path.y[:top])
    if line is None:
        raise InputError("the run on a rigid bar has no straight part", where=str(name))
    x, y, _ = block_means(path.x[:top], path.y[:top], _KNOTS)
    keep = np.concatenate([[True], y[1:] > np.maximum.accumulate(y)[:-1]])
    load, travel = y[keep], x[keep]
    return Frame(load, travel - travel[0], line.slope, line.half, float(np.max(path.y)))
