"""What must be said beside the figures of a test."""

from __future__ import annotations

import math

import numpy as np

from tubecalc.testing.reduce_kinds import Rig
from tubecalc.testing.reduce_path import Path
from tubecalc.testing.reduce_points import End
from tubecalc.testing.reduce_read import Read
from tubecalc.testing.result import FAILURE_WORDS, FAILURES

STEPS = 20_000  # of a long curve that are looked at, of those between all its rows
BEGINS = 0.1  # of the largest load, from which a record begins under load
CROOKED = 0.03  # two senses whose slopes differ by more look crooked
UNMEASURED = ("beyond the range", "gap", "clipped", "held")  # the largest load was not recorded
_WHY = {
    "beyond the range": "the load ran beyond the range of its sensor",
    "gap": "readings of the load are missing next to it",
    "clipped": "the load stands at one value while the travel runs on, its sensor was at its limit",
    "held": "the record stands at its largest load: the limit of the frame",
    "turned back": "the test was turned back before anything broke",
    "rising": "the record ends before the load falls",
}


def censored(end: End, failure: str | None) -> bool:
    """Whether the largest load is only "at least" that of the tube.

    Parameters
    ----------
    end : End
        How the record ends.
    failure : str or None
        As the user entered it.

    Returns
    -------
    bool

    Examples
    --------
    >>> censored(End(True), None), censored(End(True), "grip")
    (False, True)
    >>> censored(End(False, "rising"), None), censored(End(False, "rising"), "break")
    (True, False)
    """
    if end.why in UNMEASURED:
        return True
    return FAILURES[failure] if failure else not end.broke


def failure_notes(rig: Rig, read: Read, failure: str | None, *, open_end: bool) -> list[str]:
    """Say what the largest load is worth.

    Parameters
    ----------
    rig : Rig
        How the specimen was held.
    read : Read
        What was found.
    failure : str or None
        As the user entered it.
    open_end : bool
        Whether the largest load is only "at least".

    Returns
    -------
    list of str
    """
    out = []
    if open_end:
        why = (
            FAILURE_WORDS[failure] if failure and FAILURES[failure] else _WHY.get(read.end.why, "")
        )
        out.append(f"The largest load is a lower bound: {why}.")
    if read.end.flat and read.end.why != "clipped" and rig.kind != "column":
        out.append(
            f"The load stands at exactly one value over {read.end.flat} rows while the travel runs "
            'on: the limit of its sensor, or yield? If it is the sensor\'s, say "stopped".'
        )
    if failure == "break" and read.end.why == "held":
        out.append('"break" was entered, but the record stands at the limit of the frame.')
    if failure in ("grip", "jaw"):
        out.append(
            "Sharp grips break composite tubes at less than half of their strength (common "
            "practice, no source): an inside plug and collets help."
        )
    slips = [d for d in read.drops if d.top < read.top]
    if slips and not (failure and not FAILURES[failure]):
        count = len(slips)
        times = "once" if count == 1 else f"{count} times"
        said = f"The load fell {times} and rose again"
        if rig.kind in ("tension", "torsion"):
            said += ": it looks like slip in the grips" if not failure else ""
        elif rig.kind in ("compression", "ring"):
            said += ": splits or plies letting go" if not failure else ""
        out.append(said + ".")
    if not failure and read.end.broke:
        out.append("Where and how it failed was not said: a grip failure is no strength.")
    return out


def start_notes(read: Read, peak: float, unit: str, *, preload: bool) -> list[str]:
    """Say what load the record begins with where it is more than a trifle.

    Parameters
    ----------
    read : Read
        What was found.
    peak : float
        Largest load, tare taken off [N or N m].
    unit : str
        Of the load.
    preload : bool
        Whether the file names a preload.

    Returns
    -------
    list of str
    """
    if abs(read.tare) < 0.005 * peak:
        begins = float(np.median(read.path.y[:3]))
        if preload or begins < BEGINS * peak:
            return []
        return [
            f"The record begins at about {begins:.3g} {unit}: a preload, or the second part of a "
            "test?"
        ]
    return [
        f"{read.tare:.3g} {unit} stand before anything is loaded: taken off as weight or zero of "
        f"the cell. With them the largest load is {peak + read.tare:.5g} {unit}."
    ]


def slope_notes(rig: Rig, read: Read, *, framed: bool) -> list[str]:
    """Say what the slope is worth.

    Parameters
    ----------
    rig : Rig
        How the specimen was held.
    read : Read
        What was found.
    framed : bool
        Whether the frame is taken out of the travel.

    Returns
    -------
    list of str
    """
    if read.line is None:
        return ["No straight part spans a fifth of the load: there is no stiffness and no yield."]
    out = []
    if read.path.way == "travel_mm" and not framed:
        if rig.kind == "tension":
            out.append(
                "Without an extensometer the slope of a tension test is no modulus: grips and "
                "frame are in the travel (common practice, no source)."
            )
        elif rig.kind == "compression":
            out.append(
                "The travel is that of the crosshead: ends, plates and frame are in it, and the "
                "modulus is at least the one given."
            )
        elif rig.bends:
            out.append("The travel is that of the crosshead: frame and dents are in it.")
    level = read.line.level
    if rig.kind == "torsion" and level > 4 * read.line.rest and level > 0.002 * read.path.y.max():
        out.append(f"The straight part begins at {level:.3g} N m: friction of the bearings.")
    return out


def swapped_notes(path: Path) -> list[str]:
    """Say where load and travel look swapped: the load in even steps, the travel falling back.

    Parameters
    ----------
    path : Path
        Load over travel.

    Returns
    -------
    list of str
    """
    at = np.arange(0, len(path.y) - 1, max(1, len(path.y) // STEPS))
    steps = path.y[at + 1] - path.y[at]
    middle = float(np.median(steps)) if len(steps) else 0.0
    if len(steps) < 20 or not middle > 0:
        return []
    away = np.abs(path.x - path.x[0])
    even = float(np.mean(np.abs(steps - middle) < 0.02 * middle))
    if even > 0.95 and float(np.max(away[:-1] - away[1:])) > 0.2 * float(np.max(away)):
        return [
            "The load rises in even steps while the travel falls back at once: load and travel "
            "look swapped."
        ]
    return []


def sense_notes(slopes: list[float], read: Read) -> list[str]:
    """Compare the senses of loading.

    Parameters
    ----------
    slopes : list of float
        Load per travel of each.
    read : Read
        What was found on the first.

    Returns
    -------
    list of str
    """
    if len(slopes) < 2:
        return []
    if any(math.isnan(s) for s in slopes):
        return ["The second sense of loading has no straight part."]
    apart = slopes[1] / slopes[0] - 1
    said = f"The second sense is {100 * abs(apart):.1f} % {'stiffer' if apart > 0 else 'softer'}"
    said += "; the first one is given"
    if abs(apart) > CROOKED:
        said += ": so much looks like crookedness, play or a stack that is not balanced"
    return [said + "."]


def loop_notes(read: Read) -> list[str]:
    """Say what loops of loading show.

    Parameters
    ----------
    read : Read
        What was found.

    Returns
    -------
    list of str
    """
    if len(read.lines) < 2:
        return []
    count = len(read.lines)
    out = [f"{count} loadings: the stiffness is that of the ones after the first."]
    if read.seatings:
        first, more = read.seatings[0], read.seatings[1:]
        unit = "deg" if read.path.way == "angle_deg" else "mm"
        text = f"{first:.3g} {unit} stayed after the first loading"
        if more:
            text += f" and {sum(more):.3g} {unit} after the later ones"
        seats = bool(more) and abs(sum(more)) < 0.3 * abs(first)
        out.append(text + (": seating of the rig, not yield." if seats else "."))
    return out
