"""Reserve of every ply of one tube under loads: first damage and fibres, and what breaks it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from tubecalc import section
from tubecalc.checks.strength import end_pull, pressures
from tubecalc.errors import InputError
from tubecalc.laminate import residual, strength
from tubecalc.laminate.elastic import Array
from tubecalc.laminate.layer import Layer, strengths_of
from tubecalc.laminate.layup import Layup
from tubecalc.loads import own_weight, section_loads
from tubecalc.need import Case
from tubecalc.plystress import Loads, ply_stress_table
from tubecalc.tube import Tube, single

if TYPE_CHECKING:
    import pandas as pd

ROOM = 20.0  # degC
NIL = 1e-10  # share of the largest stress below which one is rounding alone
_PLACES = {"all round": "all round", "tension side": "where bending pulls",
           "compression side": "where bending presses", "side": "at the side",
           "other side": "at the other side"}  # fmt: skip


@dataclass(frozen=True)
class Run:
    """Equal plies next to each other, and how they fare; stresses in Pa, radii in m.

    Parameters
    ----------
    first, last : int
        Numbers of the plies, 1 is the innermost.
    material, angle : str and float
        Key or name, and angle from the axis [deg].
    inner, outer : float
        Radii [m].
    stress : numpy.ndarray
        (s1, s2, t12) of the loads at each place and both faces, shape (places, 2, 3) [Pa].
    cure : numpy.ndarray
        Of cure and temperature, at both faces, shape (2, 3) [Pa].
    damage, fibre : float
        Factor on the loads at first damage and at fibre failure; infinite where nothing drives
        it, NaN where a strength is not known [-].
    damage_mode, damage_place, fibre_place : str
        What happens first, and where round the tube.
    """

    first: int
    last: int
    material: str
    angle: float
    inner: float
    outer: float
    stress: Array
    cure: Array
    damage: float
    damage_mode: str
    damage_place: str
    fibre: float
    fibre_place: str

    @property
    def numbers(self) -> str:
        """Numbers of the plies in words."""
        return f"{self.first}" if self.first == self.last else f"{self.first} to {self.last}"


@dataclass(frozen=True)
class Carried:
    """How a tube carries loads, ply by ply.

    Parameters
    ----------
    runs : tuple of Run
        Inside to outside.
    places : tuple of str
        Places round the tube, as the stresses of a run are ordered.
    broken : float
        Factor on the loads at which the tube is broken, cracks across the fibres being survived
        where the fibres alone carry more [-].
    cure_known : bool
        Whether the stress of cure is counted.
    why_not : str
        Why not, where it was asked for.
    """

    runs: tuple[Run, ...]
    places: tuple[str, ...]
    broken: float
    cure_known: bool
    why_not: str = ""

    @property
    def damaged(self) -> Run:
        """Run that is damaged first."""
        return min(self.runs, key=lambda r: _last(r.damage))

    @property
    def parted(self) -> Run:
        """Run whose fibres fail first."""
        return min(self.runs, key=lambda r: _last(r.fibre))

    @property
    def table(self) -> pd.DataFrame:
        """One row a run: plies, material, angle, stresses where it is worst, factors, mode."""
        import pandas as pd

        rows = []
        for r in self.runs:
            s = r.stress[np.argmax(np.abs(r.stress).max(axis=(1, 2)))]
            worst = s[np.argmax(np.abs(s).max(axis=1))] / 1e6
            rows.append({
                "plies": r.numbers, "material": r.material, "angle_deg": r.angle,
                "sigma1_MPa": worst[0], "sigma2_MPa": worst[1], "tau12_MPa": worst[2],
                "first_damage": r.damage, "mode": r.damage_mode, "place": r.damage_place,
                "fibre": r.fibre,
            })  # fmt: skip
        return pd.DataFrame(rows)


def _last(value: float) -> float:
    return math.inf if math.isnan(value) else value


def loads_of_case(tube: Tube, case: Case) -> Loads:
    """Section loads and pressures of a case of a need on one tube, own weight where it counts.

    Parameters
    ----------
    tube : Tube
        One tube.
    case : Case
        The case.

    Returns
    -------
    Loads
        Largest of each kind, taken to act together.

    Examples
    --------
    >>> loads_of_case(Tube("304", od="10 mm", id="8 mm"), Case("three-point", load=8.0, span=1.0))
    Loads(axial=0.0, moment=2.0, torque=0.0, shear=4.0, p_in=0.0, p_out=0.0, delta_T=0.0, \
closed=False)
    """
    single(tube, "loads_of_case")
    s = tube.sections
    found = section_loads(case, own_weight(case, s))
    inside, outside = pressures(case)
    axial, moment, torque, shear = (
        float(np.ravel(x)[0]) for x in (found.axial, found.moment, found.torque, found.shear)
    )
    closed = bool(case.closed and (inside or outside))
    return Loads(axial, moment, torque, shear, inside, outside, closed=closed)


def _runs(layup: Layup) -> list[tuple[Layer, int]]:
    """Equal neighbours as one layer, and how many plies that is."""
    out: list[tuple[Layer, int]] = []
    for ply in layup.plies:
        if out and (out[-1][0].values, out[-1][0].angle) == (ply.values, ply.angle):
            one, n = out.pop()
            out.append((replace(one, thickness=one.thickness + ply.thickness), n + 1))
        else:
            out.append((ply, 1))
    return out


def _stresses(tube: Tube, loads: Loads) -> tuple[list[str], Array]:
    """Places round the tube, and stresses of shape (runs, places, faces, 3) [Pa]."""
    table = ply_stress_table(tube, loads)
    places = list(dict.fromkeys(table["station"]))
    values = table[["sigma1_MPa", "sigma2_MPa", "tau12_MPa"]].to_numpy(float) * 1e6
    values[np.abs(values) < NIL * np.abs(values).max()] = 0.0
    shaped = values.reshape(len(tube.layup.plies), 2, len(places), 3)
    return places, np.swapaxes(shaped, 1, 2)


def _cure(tube: Tube, temperature: float, *, counted: bool) -> tuple[Array, bool, str]:
    """Stress of cure and temperature at both faces of each run; whether cure is in it; why not."""
    plies = tube.layup.plies
    none = np.zeros((len(plies), 2, 3))
    if tube.sections.ri[0] <= 1e-6 * tube.sections.ro[0]:
        return none, False, "a bar has no bore, for which it is worked out"
    free = {x.values.t_free for x in plies}
    known = not any(math.isnan(x.values.alpha1) for x in plies)
    why = ""
    if counted and (not known or any(math.isnan(t) for t in free)):
        why = "the temperature of its cure or its expansion is not known"
    elif counted and len(free) > 1:
        why = "its plies are cured at different temperatures"
    whole = counted and not why
    change = temperature - (free.pop() if whole else ROOM)
    if change == 0.0 or (not known and abs(temperature - ROOM) < 1e-9):
        return none, whole, why
    return _stresses(tube, Loads(delta_T=change))[1][:, 0], whole, why


def carried(
    tube: Tube,
    loads: Loads,
    *,
    cure: bool = True,
    temperature: float = ROOM,
    criterion: str = "hashin",
) -> Carried:
    """First damage and fibre failure of every ply of one tube under loads.

    Parameters
    ----------
    tube : Tube
        One tube.
    loads : Loads
        Section loads and pressures in SI; the factors multiply all of them together.
    cure : bool
        Count the stress that cooling from the cure leaves, where its data are known.
    temperature : float
        Temperature of the tube [degC].
    criterion : str
        Criterion of first damage.

    Returns
    -------
    Carried

    Raises
    ------
    InputError
        For several tubes, no load, a temperature change in the loads, or pressure on a bar.

    Notes
    -----
    Stresses as `Tube.ply_stress`: layered wall in three dimensions, bending by the layer-wise
    section. Damage with a constant stress: `tubecalc.laminate.residual`. Fibres: Hashin's fibre
    modes without shear, the stress of cure not counted.

    Examples
    --------
    >>> wall = Layup.from_notation("[90/0_3]", "carbon-sm-ud")
    >>> found = carried(Tube(wall, id="20 mm"), Loads(axial=1000.0))
    >>> found.damaged.numbers, found.damaged.damage_mode
    ('1', 'crack across the fibres')
    """
    single(tube, "carried")
    if loads.delta_T:
        raise InputError("the temperature is given by itself", where="carried:delta_T")
    if not any(v for v in (loads.axial, loads.moment, loads.torque, loads.shear, loads.p_in,
                           loads.p_out)):  # fmt: skip
        raise InputError("no load is given", where="carried", expected="for example a pull")
    grouped = _runs(tube.layup)
    od = f"{2 * float(tube.sections.ro[0])!r} m"
    one = Tube(Layup([layer for layer, _ in grouped], name=tube.layup.name), od=od)
    places, stress = _stresses(one, loads)
    constant, whole, why = _cure(one, temperature, counted=cure)
    table = strengths_of([x.values for x in one.layup.plies])
    damage, fibre = _factors(stress, constant, table, criterion)
    runs, first = [], 1
    edges = (float(one.sections.ro[0]) - one.layup.t / 2 + one.layup.faces).tolist()
    for n, (layer, count) in enumerate(grouped):
        at = np.unravel_index(int(np.argmin(np.nan_to_num(damage[n], nan=np.inf))), damage[n].shape)
        of_fibre = int(np.argmin(np.nan_to_num(fibre[n], nan=np.inf).min(axis=1)))
        value = float(damage[n][at])
        # the state at the damage, whose largest share names the mode
        state = constant[n][at[1]] + (value if math.isfinite(value) else 1.0) * stress[n][at]
        s1, s2, t12 = state.tolist()
        runs.append(Run(
            first, first + count - 1, layer.key or layer.values.name, layer.angle, edges[n],
            edges[n + 1], stress[n], constant[n], value,
            strength.mode_name(s1, s2, t12, strength.Strengths._make(c[n] for c in table)),
            _PLACES[places[int(at[0])]], float(fibre[n].min()), _PLACES[places[of_fibre]],
        ))  # fmt: skip
        first += count
    return Carried(tuple(runs), tuple(places), _broken(tube, loads), whole, why)


def _factors(
    stress: Array, constant: Array, table: strength.Strengths, criterion: str
) -> tuple[Array, Array]:
    """Factors of first damage and of the fibres, shape (runs, places, faces)."""
    limits = strength.Strengths._make(c[:, None, None] for c in table)
    unit = (stress[..., 0], stress[..., 1], stress[..., 2])
    still = np.broadcast_to(constant[:, None], stress.shape)
    before = (still[..., 0], still[..., 1], still[..., 2])
    damage = residual.factor(criterion, before, unit, limits)
    fibre = strength.factors_of(strength.hashin_indices(*unit, limits)).fibre
    return np.asarray(damage), np.asarray(fibre)


def _broken(tube: Tube, loads: Loads) -> float:
    """Factor at which the tube is broken, as the check of strength has it."""
    s = tube.sections
    case = Case("pressure", p_in=loads.p_in, p_out=loads.p_out, closed=loads.closed)
    found = s.capacity_of(
        section.Loads(loads.axial + end_pull(case, s), loads.moment, loads.torque, loads.p_in,
                      loads.p_out),
        loads.shear,
    )  # fmt: skip
    return float(found.broken[0])


def words_of(found: Carried, *, metal: bool = False) -> Sequence[str]:
    """First damage and the end in sentences.

    Parameters
    ----------
    found : Carried
        Result of `carried`.
    metal : bool
        The wall is a metal.

    Returns
    -------
    list of str

    Examples
    --------
    >>> wall = Layup.from_notation("[0_3]", "carbon-sm-ud")
    >>> words_of(carried(Tube(wall, id="20 mm"), Loads(axial=1000.0), cure=False))[1][:39]
    'It breaks at 62.7 times this load; the '
    """
    a, b = found.damaged, found.parted
    if metal:
        return [f"It yields at {_times(a.damage)} this load."]
    out = []
    if any(math.isnan(r.damage) for r in found.runs):
        out.append("A ply has no known strengths: it is drawn and not judged.")
    if math.isfinite(a.damage):
        out.append(
            f"First damage at {_times(a.damage)} this load: {a.damage_mode} in {_plies(a)}, "
            f"{a.damage_place}."
            if a.damage > 0
            else f"The stress of cure alone cracks {_plies(a)}."
        )
    if math.isfinite(found.broken):
        out.append(f"It breaks at {_times(found.broken)} this load; the first fibres to go are "
                   f"those of {_plies(b)}, {b.fibre_place}, at {b.fibre:.3g} times.")  # fmt: skip
    return out or ["Nothing of this load drives a ply towards damage."]


def _times(value: float) -> str:
    return f"{value:.3g} times" if value < 1e6 else "over a million times"


def _plies(r: Run) -> str:
    return f"{'ply' if r.first == r.last else 'plies'} {r.numbers} at {r.angle:g}°"


__all__ = ["Carried", "Run", "carried", "loads_of_case", "words_of"]
