"""Families of the laminate evidence: ply stiffness, stacks, first ply, temperature."""

from __future__ import annotations

import math
import re

import numpy as np

from tubecalc.evidence.book import Row, register
from tubecalc.evidence.inputs import given, has
from tubecalc.laminate.elastic import (
    Array,
    reduced_stiffness,
    rotated_stiffness,
    stress_rotation,
)
from tubecalc.laminate.layup import Layup
from tubecalc.materials import Ply

_INDEX = {"1": 0, "2": 1, "6": 2}
_PLACE = {"x": 0, "y": 1, "xy": 2}
_CRITERIA = {
    "maxstress": "max-stress",
    "maxstrain": "max-strain",
    "tsaihill": "tsai-hill-tensile",
    "modtsaihill": "tsai-hill",
    "tsaiwu": "tsai-wu",
}


def _modulus_unit(text: str) -> str:
    found = re.search(r"G12=\S+?\s*(GPa|MPa|psi)", text)
    return found[1] if found else "GPa"


def moduli(text: str) -> tuple[float, float, float, float]:
    """Elastic constants that stand in the inputs text.

    Parameters
    ----------
    text : str
        For example "E1=181 GPa E2=10.3 GPa nu12=0.28 G12=7.17 GPa".

    Returns
    -------
    tuple of float
        E1, E2, G12 [Pa] and nu12 [-].

    Notes
    -----
    A source that also prints a rounded nu21 has computed with it, so nu12 / E1 = nu21 / E2 does
    not hold there. Then E1 and E2 are those of the symmetric ply with the source's stiffness
    E1 / d, nu12 E2 / d, E2 / d, where d = 1 - nu12 nu21.
    """
    unit = _modulus_unit(text)
    e1, e2, g12 = (given(text, n, unit) for n in ("E1", "E2", "G12"))
    nu12 = given(text, "nu12")
    if not has(text, "nu21") or "nu21=nu12" in text:
        return e1, e2, g12, nu12
    d = 1.0 - nu12 * given(text, "nu21")
    return (e1 - nu12**2 * e2) / d, e2 / d * (1.0 - nu12**2 * e2 / e1), g12, nu12


def ply_of(text: str) -> Ply:
    """Ply whose constants stand in the inputs text.

    Parameters
    ----------
    text : str
        For example "E1=181 GPa E2=10.3 GPa nu12=0.28 G12=7.17 GPa".

    Returns
    -------
    Ply
        Its density is a filler: no evidence row of this family depends on it.

    Examples
    --------
    >>> ply_of("E1=155.0 E2=12.10 G12=4.40 GPa nu12=0.248").E2
    <Quantity(12.1, 'gigapascal')>
    """
    e1, e2, g12, nu12 = moduli(text)
    extra: dict[str, str] = {}
    if has(text, "Yt"):
        for name, word in (("Xt", "Xc"), ("Xc", "Xc"), ("Yt", "Yt"), ("Yc", "Yc"), ("S12", "S")):
            extra[name] = f"{given(text, word, 'MPa')!r} Pa"
    if has(text, "F1t"):  # another book's word for it
        extra["Xt"] = extra["Xc"] = f"{given(text, 'F1t', 'MPa')!r} Pa"
    for name in ("alpha1", "alpha2"):
        if has(text, name):
            extra[name] = f"{given(text, name)!r} 1/K"
    return Ply(
        "evidence", E1=f"{e1!r} Pa", E2=f"{e2!r} Pa", G12=f"{g12!r} Pa",
        nu12=nu12, density="1.6 g/cm3", **extra,
    )  # fmt: skip


def _notation(text: str) -> str:
    found = re.search(r"\[[^\]]+\](?:_?s)?", text)
    if found is None:
        raise ValueError(f"no stack in {text!r}")
    return re.sub(r"\](?:_?s)$", "]_s", found[0])


def _thickness(text: str) -> str:
    found = re.search(r"([\d.]+ (?:mm|in)) plies", text)
    if found is None:
        raise ValueError(f"no ply thickness in {text!r}")
    return found[1]


def stack_of(text: str, notation: str | None = None) -> Layup:
    """Stack that stands in the inputs text, or that of another notation.

    Parameters
    ----------
    text : str
        Ply constants, "[0/90]s" and "2.54 mm plies".
    notation : str, optional
        Used instead of the one in the text.

    Returns
    -------
    Layup
    """
    return Layup.from_notation(notation or _notation(text), ply_of(text), _thickness(text))


def stiffness_entry(wall: Layup, name: str) -> float:
    """One entry of A, B or D, by name.

    Parameters
    ----------
    wall : Layup
        The stack.
    name : str
        For example "A16" or "D66".

    Returns
    -------
    float
        SI value (N/m, N or N m).
    """
    matrix = {"A": wall.A, "B": wall.B, "D": wall.D}[name[0]]
    return float(matrix.to_base_units().magnitude[_INDEX[name[1]], _INDEX[name[2]]])


def effective(wall: Layup, name: str) -> float:
    """An effective constant of a stack in its plane, or in bending where the name ends in _flex.

    Parameters
    ----------
    wall : Layup
        The stack.
    name : str
        "Ex", "Ey", "Gxy", "nuxy", "nuyx", or with "_flex" behind it.

    Returns
    -------
    float
        SI value.
    """
    if name.endswith("_flex"):
        d = np.linalg.inv(wall.D.to("N*m").magnitude)
        place = {"Ex": (0, 0), "Ey": (1, 1), "Gxy": (2, 2)}.get(name[:-5])
        if place:
            return float(12.0 / (wall.t**3 * d[place]))
        return float(-d[0, 1] / (d[0, 0] if name.startswith("nuxy") else d[1, 1]))
    if name == "nuyx":
        return wall.nuxy * float((wall.Ey / wall.Ex).to("").magnitude)
    value = getattr(wall, name)
    return float(value) if name.startswith("nu") else float(value.to("Pa").magnitude)


def _ply_stiffness(row: Row, degrees: float) -> float:
    q = reduced_stiffness(*moduli(row.inputs))
    turned = rotated_stiffness(q, math.radians(degrees))
    i, j = re.findall(r"([126])", row.quantity.split(" ")[0])[:2]
    if "S" in row.quantity:
        turned = np.asarray(np.linalg.inv(turned))
    return float(turned[_INDEX[i], _INDEX[j]])


@register(r"KAW2\.[67]S?-|HYER-Q|BARBERO5\.1-Q")
def _kaw_ply(row: Row) -> float | None:
    return _ply_stiffness(row, given(row.inputs, "theta") if has(row.inputs, "theta") else 0.0)


@register(r"KAW2\.8-")
def _kaw_off_axis(row: Row) -> float | None:
    angle = given(row.inputs, "theta")
    wall = Layup.of([(ply_of(row.inputs), angle, "1 mm")])
    return effective(wall, row.quantity.split()[-1])


@register(r"KAW2-ROT-")
def _kaw_rotation(row: Row) -> float | None:
    numbers = re.search(r"\(([^)]+)\) MPa on a ([\d.]+) deg", row.inputs)
    if numbers is None:
        return None
    stress = np.array([float(x) for x in numbers[1].split(",")]) * 1e6
    turned = stress_rotation(math.radians(float(numbers[2]))) @ stress
    return float(turned[{"s1": 0, "s2": 1, "t12": 2}[row.quantity.split()[-1]]])


@register(r"KAW2-FAIL-")
def _kaw_failure(row: Row) -> float | None:
    wall = Layup.of([(ply_of(row.inputs), 60, "1 mm")])
    found = wall.first_failure(
        Nx="2 N/mm", Ny="-3 N/mm", Nxy="4 N/mm", criterion=_CRITERIA[row.id.split("-")[-1]]
    )
    return found.load_factor * 1e6  # the wall load stands for S = 1 MPa


def _strain(wall: Layup, loads: list[float], name: str) -> float:
    e = wall.strains(loads)
    return float(e[("ex0", "ey0", "gxy0", "kx", "ky", "kxy").index(name)])


@register(r"KAW4\.[234]-")
def _kaw_stack(row: Row) -> float | None:
    wall, name = stack_of(row.inputs), row.id.split("-", 1)[1]
    if re.fullmatch(r"[ABD]\d\d", name):
        return stiffness_entry(wall, name)
    if row.id.startswith("KAW4.4"):
        return effective(wall, name)
    loads = [1000.0, 1000.0, 0.0, 0.0, 0.0, 0.0]
    if not name.startswith("ply30top"):
        return _strain(wall, loads, name)
    in_ply = wall.ply_stresses(wall.strains(loads))[1, 0]
    in_wall = stress_rotation(-math.radians(30.0)) @ in_ply
    return float(in_wall[_PLACE[name.split("-")[1][1:]]])


@register(r"KAW4\.5-")
def _kaw_thermal(row: Row) -> float | None:
    wall, name = stack_of(row.inputs), row.quantity
    forces = wall.thermal_resultant(given(row.inputs, "dT"))
    if name.endswith("T"):
        return float(forces[{"NxT": 0, "NyT": 1, "MxT": 3, "MyT": 4}[name]])
    return _strain(wall, list(forces), name)


@register(r"TSAIHAHN-")
def _invariants(row: Row) -> float | None:
    text, name = row.inputs, row.id.split("-")[-1]
    if name in ("E", "nu", "G"):
        wall = Layup.from_notation("[0/45/-45/90]_s", ply_of(text), "0.125 mm")
        return effective(wall, {"E": "Ex", "nu": "nuxy", "G": "Gxy"}[name])
    # Averages over all angles: an invariant is what turning the ply leaves.
    turns = np.linspace(0.0, math.pi, 360, endpoint=False)
    qbar = rotated_stiffness(reduced_stiffness(*moduli(text)), turns)
    waves = {"U2": 2 * np.cos(2 * turns), "U3": 2 * np.cos(4 * turns)}
    weight = waves.get(name, np.ones_like(turns))
    i, j = {"U4": (0, 1), "U5": (2, 2)}.get(name, (0, 0))
    return float(np.mean(weight * qbar[:, i, j]))


@register(r"HYER-\d+s-")
def _hyer(row: Row) -> float | None:
    wall = stack_of(row.inputs, _notation(row.quantity))
    return stiffness_entry(wall, row.id.split("-")[-1])


@register(r"MALLICK3\.7")
def _mallick(row: Row) -> float | None:
    text = row.inputs
    vf = given(text, "Vf")
    ef, em, gf, gm = (given(text, n, "GPa") for n in ("Ef", "Em", "Gf", "Gm"))
    ply = Ply(
        "from its constituents", E1=f"{vf * ef + (1 - vf) * em!r} Pa",
        E2=f"{1 / (vf / ef + (1 - vf) / em)!r} Pa", G12=f"{1 / (vf / gf + (1 - vf) / gm)!r} Pa",
        nu12=vf * given(text, "nuf") + (1 - vf) * given(text, "num"), density="1.6 g/cm3",
    )  # fmt: skip
    wall = Layup.from_notation(_notation(text), ply, "6 mm")
    return stiffness_entry(wall, row.id.split("-")[-1])


@register(r"RP1351-")
def _rp1351(row: Row) -> float | None:
    text, name = row.inputs, row.id.split("-")[-1]
    if name[0] == "Q":
        found = re.search(r"at ([\d.]+) deg", row.quantity)
        return _ply_stiffness(row, float(found[1]) if found else 0.0)
    # The source counts plies from +z down; a stack here goes from -z (inside) to +z.
    notation = "[90/0/45]" if "Example 9" in text else "[45/0]"
    wall = Layup.from_notation(notation, ply_of(text), "0.005 in")
    if re.fullmatch(r"[ABD]\d\d", name):
        return stiffness_entry(wall, name)
    compliance = np.linalg.inv(wall.abd)  # a flat strip, free to curl
    return float(1.0 / (wall.t * compliance[0, 0]))


@register(r"BIMETAL")
def _bimetal(row: Row) -> float | None:
    """Two equal isotropic layers; the free strain of one is made by 1 K and its expansion."""
    strain, t = given(row.inputs, "e"), given(row.inputs, "total thickness", "mm")
    constants = {"E1": "70 GPa", "E2": "70 GPa", "G12": "26.9230769231 GPa", "nu12": 0.3}
    layers = [
        Ply("layer", **constants, density="1 g/cm3", alpha1=f"{a!r} 1/K", alpha2=f"{a!r} 1/K")
        for a in (strain, 0.0)
    ]
    wall = Layup.of([(ply, 0, f"{t / 2!r} m") for ply in layers])
    return abs(float(wall.strains(wall.thermal_resultant(1.0))[3]))


# --- walls of tubes, as flat laminates --------------------------------------------------------

_FACE = {"s1": 0, "s2": 1, "t12": 2}


def _ply_stress(wall: Layup, loads: list[float], angle: float, name: str) -> float:
    """Stress on the inner face of the first ply at an angle; the wall of a tube cannot curl."""
    stress = wall.ply_stresses(wall.strains(loads, curls=False))
    number = next(n for n, ply in enumerate(wall.plies) if ply.angle == angle)
    return float(stress[number, 0, _FACE[name]])


@register(r"BARBERO7\.5-s")
def _barbero_cross_ply(row: Row) -> float | None:
    name, angle = row.quantity.split("_")
    return _ply_stress(stack_of(row.inputs), [1e6, 0, 0, 0, 0, 0], float(angle), name)


@register(r"CORNELL-HW7-[TP]-")
def _thin_tube(row: Row) -> float | None:
    found = re.search(r"ply ([+-]?\d+) (s1|s2|t12) under ([TP])=1 kN", row.quantity)
    if found is None:
        return None
    radius = given(row.inputs, "mean radius", "mm")
    torque = 1e3 / (2 * math.pi * radius**2) if found[3] == "T" else 0.0
    pull = 1e3 / (2 * math.pi * radius) if found[3] == "P" else 0.0
    wall = stack_of(row.inputs)
    return _ply_stress(wall, [pull, 0, torque, 0, 0, 0], float(found[1]), found[2])


def _vessel_stress(row: Row, radius: float, degrees: float) -> Array:
    """Ply-axis stress of a closed vessel's membrane stress, as if the wall were one ply."""
    hoop = given(row.inputs, "p", "MPa") * radius / given(row.inputs, "t", "mm")
    return np.asarray(stress_rotation(math.radians(degrees)) @ [hoop / 2, hoop, 0.0])


@register(r"MALLICK-P3\.23-")
def _mallick_vessel(row: Row) -> float | None:
    stress = _vessel_stress(row, given(row.inputs, "D", "mm") / 2, 55.0)
    return float(stress[_FACE[row.quantity.split(" ")[0]]])


@register(r"WWFE-MY750|IDENT-D3518")
def _wound_glass(row: Row) -> float | None:
    if row.id == "IDENT-D3518":
        wall = Layup.from_notation("[+/-45]_s", "glass-wound-ud", "1 mm")
        return effective(wall, "Ex") / (2.0 * (1.0 + wall.nuxy))
    wall = Layup.from_notation(_notation(row.quantity), "glass-wound-ud", "1 mm")
    return effective(wall, row.quantity.split(" ")[0])


_WWFE_LOADS = {"hoop:axial-2:1": (0.5, 1.0), "hoop-only-1:0": (0.0, 1.0),
               "axial-tension-0:1": (1.0, 0.0), "axial-compression-0:-1": (-1.0, 0.0)}  # fmt: skip


@register(r"WWFE-55-FPF-")
def _wound_glass_first_ply(row: Row) -> float | None:
    """Factor on a larger wall stress of 1 MPa."""
    _, _, _, criterion, load = row.id.split("-", 4)
    axial, hoop = _WWFE_LOADS[load]
    wall = Layup.from_notation("[+/-55]_s", "glass-wound-ud", "0.25 mm")
    found = wall.first_failure(
        Nx=f"{axial} N/mm", Ny=f"{hoop} N/mm", criterion=_CRITERIA[criterion]
    )
    return found.load_factor * 1e6
