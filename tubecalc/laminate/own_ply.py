"""An own ply as a table of texts that a job can carry, and back."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from tubecalc.errors import InputError, unknown_key
from tubecalc.materials import Ply, find_key
from tubecalc.values import Values

_UNITS = {
    **dict.fromkeys(
        ("E1", "E2", "E3", "G12", "G23", "Xt", "Xc", "Yt", "Yc", "S12"), "Pa"
    ),
    **dict.fromkeys(("alpha1", "alpha2"), "1/K"),
    **dict.fromkeys(("t_max", "t_free", "t_g", "t_g_wet"), "degC"),
    **dict.fromkeys(("nu12", "nu23", "beta1", "beta2", "moisture"), ""),
    "density": "kg/m3", "thickness": "m",
}  # fmt: skip
_NEEDED = ("E1", "E2", "G12", "nu12", "density")
LONGEST_NAME = 60


def ply_table(ply: Ply) -> dict[str, Any]:
    """Table of an own ply: its name and every value that is known, with units.

    Parameters
    ----------
    ply : Ply
        The ply.

    Returns
    -------
    dict
        Texts and bare numbers, exact.

    Examples
    --------
    >>> mine = Ply("mine", E1="40 GPa", E2="9 GPa", G12="4 GPa", nu12=0.3, density="1.9 g/cm3")
    >>> ply_table(mine)["E1"], ply_of(ply_table(mine)).si == mine.si
    ('40000000000.0 Pa', True)
    """
    return table_of(ply.si)


def table_of(values: Values) -> dict[str, Any]:
    """Table of an own ply from its values in SI; see `ply_table`."""
    out: dict[str, Any] = {"name": values.name}
    for name, unit in _UNITS.items():
        value = float(getattr(values, name))
        if not math.isnan(value):
            out[name] = f"{value!r} {unit}" if unit else value
    return out


def ply_of(table: Mapping[str, Any], where: str = "ply") -> Ply:
    """Own ply of a table.

    Parameters
    ----------
    table : mapping
        As from `ply_table`.
    where : str
        Where it stands, for the message.

    Returns
    -------
    Ply

    Raises
    ------
    InputError
        For an unknown or missing field, a name that belongs to a ply of the data files, or
        constants no elastic ply can have.
    """
    name = table.get("name")
    if not isinstance(name, str) or not name.strip() or len(name) > LONGEST_NAME:
        raise InputError("an own ply needs a name", where=f"{where}:name", got=str(name)[:40],
                         expected=f"1 to {LONGEST_NAME} characters")  # fmt: skip
    if _known(name):
        raise InputError("is the name of a ply or metal that comes with tubecalc",
                         where=f"{where}:name", got=name)  # fmt: skip
    for field in table:
        if field != "name" and field not in _UNITS:
            raise unknown_key("field", field, [*_UNITS, "name"], where)
    missing = [n for n in _NEEDED if n not in table]
    if missing:
        raise InputError(f"an own ply needs {', '.join(missing)}", where=where)
    try:
        return Ply(name, **{k: v for k, v in table.items() if k != "name"})
    except InputError as error:
        at = (error.where or "").removeprefix(name)
        raise InputError(
            error.message, where=f"{where}{at}", got=error.got, expected=error.expected
        ) from None


def _known(name: str) -> bool:
    try:
        find_key(name)
    except InputError:
        return False
    return True


__all__ = ["LONGEST_NAME", "ply_of", "ply_table", "table_of"]
