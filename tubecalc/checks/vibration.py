"""First natural frequency and critical speed of a span."""

from __future__ import annotations

import math

import numpy as np

from tubecalc.beam import Span, exact_root
from tubecalc.beam_table import first_root
from tubecalc.checks.base import Candidates, Outcome, case_name, make
from tubecalc.checks.column import critical_load, thrust
from tubecalc.laminate.elastic import Array
from tubecalc.need import Case, Need
from tubecalc.section import Sections


def _hertz(s: Sections, length: float, span: Span, tip_mass: float, mode: int, turn: int) -> Array:
    """Frequency of a span; turn is 1 at rest, -1 in forward whirl."""
    m = s.mass_per_length
    s2, r2 = s.EI / (s.kGA * length**2), turn * s.I / (s.area * length**2)
    tip = tip_mass / (m * length)
    root = first_root(span, s2, r2, tip) if mode == 1 else exact_root(span, mode, s2, r2, tip)
    return np.asarray(np.sqrt(root * s.EI / m) / (2.0 * math.pi * length**2))


def frequency(
    s: Sections, span: float, ends: str = "pinned-pinned", tip_mass: float = 0.0, mode: int = 1
) -> Array:
    """Natural frequency of a span in bending, with shear and rotary inertia.

    Parameters
    ----------
    s : Sections
        N tubes.
    span : float
        Length [m].
    ends : str
        End conditions; fixed-free is a cantilever.
    tip_mass : float
        Mass on the free tip, without inertia of its own about it [kg].
    mode : int
        1 to 5.

    Returns
    -------
    numpy.ndarray
        Frequency [Hz].

    Raises
    ------
    InputError
        For another mode, unknown ends, or a tip mass on ends that have no free tip.

    Notes
    -----
    Exact Timoshenko beam, `tubecalc.beam` (Huang 1961); mode 1 from its table, 0.01 %. Within 1 %
    of a general finite-element solver in modes 1 and 2 of cantilevers of 40 diameters, grade A.
    """
    return _hertz(s, span, Span(ends), tip_mass, mode, 1)


def critical_speed(
    s: Sections,
    span: float,
    ends: str = "pinned-pinned",
    overhang: float = 0.0,
    coupling_mass: float = 0.0,
) -> Array:
    """First speed at which a shaft whirls in step with its rotation; no margin inside.

    Parameters
    ----------
    s : Sections
        N tubes.
    span : float
        Between the bearings [m].
    ends : str
        What each bearing holds; "fixed-free" is a shaft on one bearing.
    overhang : float
        Length beyond the second bearing [m].
    coupling_mass : float
        Mass on the free end, taken as a point; over the bearing it has no effect [kg].

    Returns
    -------
    numpy.ndarray
        Frequency of rotation [Hz].

    Raises
    ------
    InputError
        For unknown ends, or an overhang of a shaft that has no second bearing.

    Notes
    -----
    Timoshenko beam with the gyroscopic moment of forward whirl, `tubecalc.beam` (Huang 1961,
    Eshleman & Eubanks 1969), stiff bearings, no damping. Grade B (5 %): a tested boron/epoxy drive
    shaft turned critical at 5500 rpm (Zinberg & Symonds 1970), 5769 computed.
    """
    beam = Span(ends, overhang / span)
    return _hertz(s, span, beam, coupling_mass if beam.takes_tip else 0.0, 1, -1)


def softened(share: Array) -> Array:
    """Frequency of a compressed beam over that of the free one.

    Parameters
    ----------
    share : numpy.ndarray
        End load over the buckling load [-].

    Returns
    -------
    numpy.ndarray
        sqrt(1 - P / Pcr), 0 beyond buckling [-].

    Notes
    -----
    Galef, J. Acoust. Soc. Am. 44 (1968) 643 (MEMORY): exact between pins; at other ends on the low
    side, 4 % at 0.8 of the buckling load (tests/test_beam.py).

    Examples
    --------
    >>> softened(np.array([0.0, 0.75, 2.0])).tolist()
    [1.0, 0.5, 0.0]
    """
    return np.asarray(np.sqrt(np.maximum(1.0 - share, 0.0)))


def oval_frequency(s: Sections) -> Array:
    """Frequency at which the section of a long tube ovals, two waves round, free of its ends.

    Parameters
    ----------
    s : Sections
        N tubes.

    Returns
    -------
    numpy.ndarray
        Frequency [Hz].

    Notes
    -----
    Ring of the wall's hoop bending stiffness: omega^2 = n^2 (n^2 - 1)^2 / (n^2 + 1) D / (m'' R^4),
    n = 2 (Blevins 1979, Table 9-1, MEMORY). Held ends raise it: the lower bound of all modes of
    the wall that are not bending of the tube. 2 % below the solver from 12 diameters on, up to
    half of it at 5, grade B.

    Examples
    --------
    >>> from tubecalc.tube import Tube
    >>> round(float(oval_frequency(Tube("304", od="20 mm", wall="0.5 mm").sections)[0]))
    3420
    """
    per_area = s.mass_per_length / (2.0 * math.pi * s.R)
    ring = s.walls.d_reduced[:, 1, 1][s.index] / (per_area * s.R**4)
    return np.asarray(np.sqrt(36.0 / 5.0 * ring) / (2.0 * math.pi))


def _fixing(case: Case) -> str:
    """Ends of a case as a vibrating beam; guides leave pinned spans, which is on the safe side."""
    if case.kind == "cantilever" or (case.kind == "uniform" and case.ends == "fixed-free"):
        return "fixed-free"
    if case.kind not in ("strut", "shaft") or not isinstance(case.ends, str):
        return "pinned-pinned"
    return "pinned-pinned" if case.guides and case.ends != "fixed-free" else case.ends


def _frequency(candidates: Candidates, need: Need, case: Case, name: str) -> Outcome:
    s, least, ends = candidates.sections, need.limits.frequency_min, _fixing(case)
    length = case.span if ends == "fixed-free" else case.span / (case.guides + 1)
    span = Span(ends, case.overhang / length)
    bending = _hertz(s, length, span, case.tip_mass if span.takes_tip else 0.0, 1, 1)
    pushed = thrust(case)
    if pushed:
        bending = bending * softened(pushed / critical_load(s, case.span, case.ends, case.guides))
    oval = oval_frequency(s)
    found = np.minimum(bending, oval)

    def why(n: int) -> str:
        at, asked = (candidates.show(x, "frequency") for x in (float(found[n]), least))
        wall = ", the wall ovals before the tube bends" if oval[n] < bending[n] else ""
        wall += " under its end load" if pushed and not wall else ""
        return f"first natural frequency {at}{wall}, at least {asked} asked"

    return make("frequency", name, found, least, "frequency", why, at=_slender(s, length))


def _whirl(candidates: Candidates, case: Case, name: str) -> Outcome:
    s = candidates.sections
    found = 2 * math.pi * critical_speed(s, case.span, _fixing(case), case.overhang, case.tip_mass)

    def why(n: int) -> str:
        at, runs = (candidates.show(x, "speed") for x in (float(found[n]), abs(case.speed)))
        return (
            f"first critical speed {at}, runs at {runs}; no margin inside, usual is to stay below "
            "70 to 75 % of it (common practice, no source)"
        )

    return make("whirl", name, found, abs(case.speed), "speed", why, at=_slender(s, case.span))


def _slender(s: Sections, length: float) -> dict[str, Array | float]:
    return {"L/D": np.asarray(length / (2.0 * s.ro))}


def outcomes(candidates: Candidates, need: Need) -> list[Outcome]:
    """Frequency limit of every span and critical speed of every shaft.

    Parameters
    ----------
    candidates : Candidates
        N tubes.
    need : Need
        The need.

    Returns
    -------
    list of Outcome
        Checks "frequency" and "whirl".
    """
    out: list[Outcome] = []
    for number, case in enumerate(need.cases, 1):
        if math.isnan(case.span):
            continue
        name = case_name(case, number)
        if not math.isnan(need.limits.frequency_min):
            out.append(_frequency(candidates, need, case, name))
        if not math.isnan(case.speed) and case.speed:
            out.append(_whirl(candidates, case, name))
    return out
