"""Column buckling with shear, the strut that is not quite straight, the shaft that bows."""

from __future__ import annotations

import math

import numpy as np

from tubecalc.beam_column import buckling_root, helix_torque
from tubecalc.checks.base import Candidates, Outcome, case_name, make
from tubecalc.checks.climate import knock_down
from tubecalc.laminate.elastic import Array
from tubecalc.loads import own_weight
from tubecalc.need import Case, Need
from tubecalc.section import Sections

# a beam lying under its own weight: moment / (w L^2), sag EI / (w L^4), shear sag kGA / (w L^2)
_LYING = {
    "pinned-pinned": (1 / 8, 5 / 384, 1 / 8),
    "fixed-fixed": (1 / 12, 1 / 384, 1 / 8),
    "fixed-pinned": (1 / 8, 1 / 184.6, 1 / 8),
    "fixed-free": (1 / 2, 1 / 8, 1 / 2),
}


def critical_load(
    s: Sections, span: float, ends: str | float = "pinned-pinned", guides: int = 0
) -> Array:
    """Elastic buckling load of a straight column with shear flexibility.

    Parameters
    ----------
    s : Sections
        N tubes.
    span : float
        Length [m].
    ends : str or float
        End condition, or effective length over length.
    guides : int
        Guides at equal distances that hold the column sideways.

    Returns
    -------
    numpy.ndarray
        Load [N].

    Raises
    ------
    InputError
        For an unknown end condition.

    Notes
    -----
    Exact column of Engesser 1891 for each end condition, guides included, see
    `tubecalc.beam_column`; a number is an effective length, P_E / (1 + P_E / kGA) (Timoshenko &
    Gere 1961, sec. 2.17). Within 0.3 % of a general finite-element solver at 25 diameters, grade A.
    """
    bay = span / (guides + 1)
    if isinstance(ends, str):
        root = buckling_root(ends, s.EI / (s.kGA * bay**2), guides)
    else:
        root = np.full(np.shape(s.EI), np.pi / ends)
    euler = (root / bay) ** 2 * s.EI
    return np.asarray(euler / (1.0 + euler / s.kGA))


def bowed_load(critical: Array, squash: Array, moment: Array, bow: Array | float) -> Array:
    """Load at which a bowed strut reaches its strength.

    Parameters
    ----------
    critical : numpy.ndarray
        Elastic buckling load [N].
    squash : numpy.ndarray
        Compressive strength of the section [N].
    moment : numpy.ndarray
        Bending strength of the section [N m].
    bow : numpy.ndarray or float
        Bow at mid-length [m].

    Returns
    -------
    numpy.ndarray
        Load [N].

    Notes
    -----
    Lower root of P/N + P bow / (M (1 - P/Pcr)) = 1 (Ayrton & Perry 1886).

    Examples
    --------
    >>> one = np.ones(1)
    >>> float(bowed_load(100 * one, 1e9 * one, 1e9 * one, 0.0)[0].round(3))
    100.0
    """
    b = critical + squash + critical * squash * bow / moment
    disc = np.sqrt(np.maximum(b * b - 4.0 * critical * squash, 0.0))
    return np.asarray(2.0 * critical * squash / (b + disc))


def lying_load(
    critical: Array, squash: Array, moment: Array, bow: Array | float, across: Array | float
) -> Array:
    """Load of a bowed strut that also carries a bending moment from its own weight.

    Parameters
    ----------
    critical, squash, moment : numpy.ndarray
        As in `bowed_load`.
    bow : numpy.ndarray or float
        Bow and sag at mid-length before the load acts [m].
    across : numpy.ndarray or float
        Bending moment of the weight [N m].

    Returns
    -------
    numpy.ndarray
        Load [N]; 0 where the weight alone breaks the tube.

    Notes
    -----
    P/N + (across + P bow / (1 - P/Pcr)) / M = 1: the weight uses up a share of both strengths and
    the rest is Ayrton & Perry (Timoshenko & Gere 1961, sec. 1.3: within 1 % of the exact
    beam-column between pins, on the safe side with fixed ends).

    Examples
    --------
    >>> one = np.ones(1)
    >>> float(lying_load(100 * one, 1e9 * one, one, 0.0, 0.0)[0].round(3))
    100.0
    """
    left = 1.0 - np.asarray(across / moment)
    rest = np.maximum(left, 1e-12)
    return np.asarray(
        np.where(left > 0, bowed_load(critical, squash * rest, moment * rest, bow), 0.0)
    )


def helix_load(s: Sections, span: float, ends: str, torque: float, thrust: float) -> Array:
    """Torque at which a shaft bows into a helix, its end thrust growing in step.

    Parameters
    ----------
    s : Sections
        N tubes.
    span : float
        Length [m].
    ends : str
        What holds the shaft.
    torque, thrust : float
        Torque [N m] and end load, compression positive [N]; only their ratio counts.

    Returns
    -------
    numpy.ndarray
        Torque [N m].

    Notes
    -----
    (T / T0)^2 + P / P0 = 1 (Greenhill 1883; Timoshenko & Gere 1961, sec. 2.21, MEMORY), exact
    between pins; T0 see `tubecalc.beam_column.helix_torque`. Thin walls buckle locally long before.
    """
    alone = abs(torque) * span / (helix_torque(ends) * s.EI)
    push = max(thrust, 0.0) / critical_load(s, span, ends)
    return np.asarray(abs(torque) * 2.0 / (push + np.sqrt(push**2 + 4.0 * alone**2)))


def thrust(case: Case) -> float:
    """Compression along a case, 0 for tension [N]."""
    load = case.load if case.kind == "strut" else case.axial
    return max(-load, 0.0)


def _column(candidates: Candidates, need: Need, case: Case, name: str) -> list[Outcome]:
    """Column buckling and bowed strut of one case."""
    s, unit, load = candidates.sections, candidates.unit(need), thrust(case)
    critical = critical_load(s, case.span, case.ends, case.guides)
    bay = case.span / (case.guides + 1)
    left = knock_down(case, need, candidates)
    strength = (unit["compression"].broken * left, unit["bending"].broken * left)
    weight, bow = own_weight(case, s), need.factors.bow * bay
    key = case.ends if isinstance(case.ends, str) and not case.guides else "pinned-pinned"
    part = _LYING["fixed-free" if case.ends == "fixed-free" else key]
    sag = weight * bay**2 * (part[1] * bay**2 / s.EI + part[2] / s.kGA)
    bowed = lying_load(critical, *strength, bow + sag, part[0] * weight * bay**2)
    ends = case.ends if isinstance(case.ends, str) else f"effective length {case.ends:g} L"
    guided = f", {case.guides} guide{'s' * (case.guides > 1)}" if case.guides else ""
    asked = f"asked {candidates.show(load, 'force')}"
    lying = " with its own weight across it" if case.own_weight else ""

    def column_why(n: int) -> str:
        at = candidates.show(float(critical[n]), "force")
        return f"column buckling ({ends}{guided}): bows out at {at}, {asked}"

    def bow_why(n: int) -> str:
        at = candidates.show(float(bowed[n]), "force")
        return (
            f"a bow of {candidates.show(bow, 'length')} grows under load{lying}: strength reached "
            f"at {at}, {asked}"
        )

    at = {"L/D": np.asarray(bay / (2.0 * s.ro))}
    factors = need.factors
    return [
        make("column", name, critical, load * factors.buckling, "force", column_why, at=at),
        make("column_bow", name, bowed, load * factors.strength, "force", bow_why, at=at),
    ]


def _helix(candidates: Candidates, need: Need, case: Case, name: str) -> Outcome:
    """A long thin shaft bows into a helix under its torque."""
    s, torque = candidates.sections, abs(case.torque)
    ends = case.ends if isinstance(case.ends, str) else "pinned-pinned"
    found = helix_load(s, case.span, ends, torque, thrust(case))

    def why(n: int) -> str:
        at = candidates.show(float(found[n]), "torque")
        asked = candidates.show(torque, "torque")
        return f"the shaft bows into a helix under torque at {at}, asked {asked}"

    at = {"L/D": np.asarray(case.span / (2.0 * s.ro))}
    return make("shaft_helix", name, found, torque * need.factors.buckling, "torque", why, at=at)


def outcomes(candidates: Candidates, need: Need) -> list[Outcome]:
    """Column buckling and bowed strut of every compressed case, bowing of every long shaft.

    Parameters
    ----------
    candidates : Candidates
        N tubes.
    need : Need
        The need.

    Returns
    -------
    list of Outcome
        Checks "column", "column_bow" and "shaft_helix".
    """
    out: list[Outcome] = []
    for number, case in enumerate(need.cases, 1):
        name = case_name(case, number)
        if math.isnan(case.span):
            continue
        if thrust(case) > 0:
            out += _column(candidates, need, case, name)
        if case.torque and not math.isnan(case.torque):
            out.append(_helix(candidates, need, case, name))
    return out
