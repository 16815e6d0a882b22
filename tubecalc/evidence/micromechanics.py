"""Families of fibre and matrix: ply constants from constituents, and shares of volume."""

from __future__ import annotations

import re
from functools import partial

from tubecalc.environment import matrix_retention
from tubecalc.evidence.book import Row, register
from tubecalc.evidence.inputs import given
from tubecalc.laminate.burn_balance import balance, weighed_density
from tubecalc.laminate.cloth import cured_thickness
from tubecalc.laminate.micromechanics import (
    chamis,
    expansion,
    expansion_chamis,
    fibre_share,
    halpin_tsai,
    mixture,
    series,
)


def _shear(E: float, nu: float) -> float:
    return E / (2.0 * (1.0 + nu))


@register(r"KAW3\.")
def _kaw(row: Row) -> float | None:
    """Glass/epoxy of the book's chapter 3."""
    take = partial(given, row.inputs)
    vf, ef, em = take("Vf"), take("Ef", "GPa"), take("Em", "GPa")
    nuf, num = take("nuf"), take("num")
    rhof, rhom, name = take("rhof"), take("rhom"), row.id.split("-")[-1]
    density = float(mixture(rhof, rhom, vf))
    e1, e2 = float(mixture(ef, em, vf)), float(series(ef, em, vf))
    nu12 = float(mixture(nuf, num, vf))
    along, across = expansion(vf, ef, em, num, take("alphaf"), take("alphaf"), take("alpham"), nuf)
    values = {
        "rho": density, "Wf": rhof * vf / density, "Wm": rhom * (1 - vf) / density,
        "V4kg": 4.0 / density, "E1": e1, "load": ef * vf / e1, "E2": e2, "nu12": nu12,
        "nu21": nu12 * e2 / e1, "Gf": _shear(ef, nuf), "Gm": _shear(em, num),
        "G12": float(series(_shear(ef, nuf), _shear(em, num), vf)),
        "E2HT": float(halpin_tsai(ef, em, vf, 2.0)),
        "G12HT": float(halpin_tsai(_shear(ef, nuf), _shear(em, num), vf, 1.0)),
        "Xt": take("sf", "MPa") / ef * e1, "a1": float(along), "a2": float(across),
    }  # fmt: skip
    return values.get(name)


@register(r"UNI14\.5|HT-WWFE|WWFE-ROM")
def _two_numbers(row: Row) -> float | None:
    ef, em, vf = (given(row.inputs, n, u) for n, u in (("Ef", "GPa"), ("Em", "GPa"), ("Vf", "")))
    if row.id.endswith(("-ET", "-Reuss")):
        return float(series(ef, em, vf))
    return float(halpin_tsai(ef, em, vf, 2.0) if row.id.endswith("-HT") else mixture(ef, em, vf))


@register(r"TP2515-")
def _manual(row: Row) -> float | None:
    text, name = row.inputs, row.id.split("-")[-1]
    kf, km = given(text, "kf"), given(text, "km")
    fibre, matrix = given(text, "Ef11", "psi"), given(text, "Em", "psi")
    num = given(text, "num")
    shear = _shear(matrix, num)
    along = float(mixture(fibre, matrix, kf, km))
    if name == "G23":
        return float(chamis(given(text, "Gf23", "psi"), shear, kf, root=False))
    values = {
        "E11": along, "E22": float(chamis(given(text, "Ef22", "psi"), matrix, kf)),
        "G12": float(chamis(given(text, "Gf12", "psi"), shear, kf)),
        "nu12": float(mixture(given(text, "nuf12"), num, kf)),  # the manual forgets the voids
    }  # fmt: skip
    if name == "S11T":  # the fibres break first; the matrix carries by its stiffness
        return given(text, "SfT", "ksi") * (kf + km * matrix / fibre)
    return values.get(name)


@register(r"TM83320-(?:3\.2-kf|4\.1-kf|5\.1-kf)|BURNOFF-vs")
def _share(row: Row) -> float | None:
    """Shares of weight and voids stand in words in the quantity."""
    text = f"{row.quantity} {row.inputs}"
    weight = re.search(r"(\d+) (%|wt%) (?:fibre )?", text)
    voids = re.search(r"(\d+) % voids", text)
    if "resin by weight" in text:
        resin = re.search(r"(\d+) % resin", text)
        share, rho = 1.0 - float(resin[1]) / 100 if resin else 0.0, (0.063, 0.044)
    else:
        wanted = re.search(r"(\d+) (?:% (?:fibre )?by weight|wt%)", text)
        share = float(wanted[1]) / 100 if wanted else float("nan")
        rho = (0.090, 0.046) if "S-glass" in text else (0.063, 0.046)
    empty = float(voids[1]) / 100 if voids else 0.0
    return float(fibre_share(share, *rho, empty)) if weight else None


@register(r"TM83320-(?:4\.1-(?:E22|G12|nu12)|8\.1-E22)")
def _across(row: Row) -> float | None:
    text = row.inputs
    kf, matrix = given(text, "kf"), given(text, "Em", "psi")
    if "-G12" in row.id:
        return float(chamis(given(text, "Gf12", "psi"), _shear(matrix, given(text, "num")), kf))
    if "-nu12" in row.id:
        return float(mixture(given(text, "nuf12"), given(text, "num"), kf))
    return float(chamis(given(text, "Ef22", "psi"), matrix, kf))


_IMLS = (0.5e6, 57e-6)  # modulus [psi] and expansion [1/degF] of the epoxy, TM-83320 Table 2


@register(r"TM83320-(?:5\.2|8\.2)-")
def _along_and_growth(row: Row) -> float | None:
    """The S-glass rows name the epoxy of the rows before."""
    text, name = row.inputs, row.id.split("-")[-1]
    kf, psi = given(text, "kf"), 6894.757293168361
    glass = "S-glass" in text
    fibre = given(text, "Ef" if glass else "Ef11", "psi")
    matrix, per_f = _IMLS[0] * psi, 1.8
    along = float(mixture(fibre, matrix, kf))
    grow = given(text, "alphaf" if glass else "alpha2f") * per_f
    if name == "E11":
        return along
    if name == "a11":
        return float(expansion(kf, fibre, matrix, 0.41, grow, grow, _IMLS[1] * per_f, 0.2)[0])
    return float(expansion_chamis(kf, fibre, along, given(text, "num"), grow, _IMLS[1] * per_f))


@register(r"TM83320-7\.2-")
def _resin(row: Row) -> float | None:
    """35 % resin by weight."""
    share = float(fibre_share(0.65, 0.063, 0.046))
    if row.id.endswith("km"):
        return 1.0 - share
    return float(mixture(0.063, 0.046, share)) * 0.45359237 / 0.0254**3


@register(r"CALLISTER-DE16\.1-Vf")
def _needed(row: Row) -> float | None:
    """Fibre share at which 0.85 of the mixture reaches the modulus that is needed."""
    ef, em = given(row.quantity, "Ef", "GPa"), given(row.inputs, "Em", "GPa")
    wanted = re.search(r"Ecs=([\d.]+) GPa", row.inputs)
    return None if wanted is None else (float(wanted[1]) * 1e9 / 0.85 - em) / (ef - em)


@register(r"BURNOFF-[VW]")
def _burnt(row: Row) -> float | None:
    """Shares of weight and volume of a burnt sample; without voids if its density is not used."""
    text, name = row.inputs, row.id.split("-")[-1]
    sizes = {
        "sample_mass": given(text, "Mi", "g"), "residue_mass": given(text, "Mf", "g"),
        "fibre_density": given(text, "rho_glass", "g/cm3"),
        "resin_density": given(text, "rho_resin", "g/cm3"), "char_yield": 0.0, "fibre_loss": 0.0,
    }  # fmt: skip
    if name != "Vf_voidfree":
        sizes["sample_density"] = given(text, "rho_c", "g/cm3")
    result = {
        "Wf": "fibre_weight_fraction", "Vf": "fibre_volume_fraction",
        "Vm": "resin_volume_fraction", "Vv": "void_fraction",
        "Vf_voidfree": "fibre_volume_fraction",
    }.get(name)  # fmt: skip
    return None if result is None else float(balance(sizes)[result])


@register(r"DENSITY-archimedes")
def _weighed(row: Row) -> float | None:
    dry, wire, held = (given(row.inputs, n, "g") for n in ("a", "w", "b"))
    return float(weighed_density(dry, held, wire))


@register(r"CPT-(?:carbon|S-glass)")
def _cured(row: Row) -> float | None:
    """Resin content of a tape at the middle of its range."""
    text = row.inputs
    resin = re.search(r"resin (\d+)-(\d+) %", text)
    if resin is None:
        return None
    weight = 1.0 - (float(resin[1]) + float(resin[2])) / 200.0
    rho_f, rho_m = given(text, "rho_f", "g/cm3"), given(text, "rho_m", "g/cm3")
    vf = fibre_share(weight, rho_f, rho_m)
    return float(cured_thickness(given(text, "FAW", "g/m2"), rho_f, vf))


@register(r"TM83320-8\.1-ratio")
def _hot_wet(row: Row) -> float | None:
    t, dry, wet, room = (given(row.inputs, n) for n in ("T", "Tgd", "Tgw", "T0"))
    return float(matrix_retention(t, dry, wet, room))
