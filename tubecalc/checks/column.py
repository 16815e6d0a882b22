"""Column buckling with shear, and the strength of a strut that is not quite straight."""

from __future__ import annotations

import numpy as np

from tubecalc.checks.base import Candidates, Outcome, case_name, make
from tubecalc.checks.climate import knock_down
from tubecalc.laminate.elastic import Array
from tubecalc.need import Case, Need
from tubecalc.section import Sections


def critical_load(s: Sections, span: float, end_factor: float) -> Array:
    """Elastic buckling load of a straight column with shear flexibility.

    Parameters
    ----------
    s : Sections
        N tubes.
    span : float
        Length [m].
    end_factor : float
        Effective length over length [-].

    Returns
    -------
    numpy.ndarray
        Load [N].

    Notes
    -----
    P_E / (1 + P_E / kGA), Engesser 1891; Timoshenko & Gere 1961, sec. 2.17.
    """
    euler = np.pi**2 * s.EI / (end_factor * span) ** 2
    return np.asarray(euler / (1.0 + euler / s.kGA))


def bowed_load(critical: Array, squash: Array, moment: Array, bow: float) -> Array:
    """Load at which a bowed strut reaches its strength.

    Parameters
    ----------
    critical : numpy.ndarray
        Elastic buckling load [N].
    squash : numpy.ndarray
        Compressive strength of the section [N].
    moment : numpy.ndarray
        Bending strength of the section [N m].
    bow : float
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


def _struts(need: Need) -> list[tuple[int, Case, float]]:
    """Cases in compression with their axial load."""
    out = []
    for number, case in enumerate(need.cases, 1):
        load = case.load if case.kind == "strut" else case.axial
        if load < 0 and not np.isnan(case.span):
            out.append((number, case, -load))
    return out


def outcomes(candidates: Candidates, need: Need) -> list[Outcome]:
    """Column buckling and bowed strut of every compressed case.

    Parameters
    ----------
    candidates : Candidates
        N tubes.
    need : Need
        The need.

    Returns
    -------
    list of Outcome
        Checks "column" and "column_bow".
    """
    out: list[Outcome] = []
    for number, case, load in _struts(need):
        s, unit = candidates.sections, candidates.unit(need)
        name = case_name(case, number)
        critical = critical_load(s, case.span, case.end_factor)
        bow = need.factors.bow * case.span / (case.guides + 1)
        left = knock_down(case, need, candidates)
        bowed = bowed_load(
            critical, unit["compression"].broken * left, unit["bending"].broken * left, bow
        )
        ends = case.ends if isinstance(case.ends, str) else f"effective length {case.ends:g} L"

        def column_why(n: int, c: Array = critical, p: float = load, e: str = ends) -> str:
            at = candidates.show(float(c[n]), "force")
            return f"column buckling ({e}): bows out at {at}, asked {candidates.show(p, 'force')}"

        def bow_why(n: int, c: Array = bowed, p: float = load, b: float = bow) -> str:
            return (
                f"a bow of {candidates.show(b, 'length')} grows under load: strength reached at "
                f"{candidates.show(float(c[n]), 'force')}, asked {candidates.show(p, 'force')}"
            )

        out.append(
            make("column", name, critical, load * need.factors.buckling, "force", column_why)
        )
        out.append(make("column_bow", name, bowed, load * need.factors.strength, "force", bow_why))
    return out
