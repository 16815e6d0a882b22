"""Sentences on tests, kept in SI with a job, said in another display system."""

from __future__ import annotations

import re
from collections.abc import Iterable

from tubecalc.unit_display import unit_label
from tubecalc.unit_words import rough

# Unit as sentences on tests write it -> kind of quantity, SI per unit, what stands behind it.
_UNITS: dict[str, tuple[str, float, str]] = {
    "N m/deg": ("torque", 1.0, "/deg"), "N m²": ("bending_stiffness", 1.0, ""),
    "N m2": ("bending_stiffness", 1.0, ""), "N m": ("torque", 1.0, ""),
    "kN/mm": ("stiffness", 1e6, ""), "N/mm": ("stiffness", 1e3, ""), "N": ("force", 1.0, ""),
    "kN": ("force", 1e3, ""), "GPa": ("modulus", 1e9, ""), "MPa": ("stress", 1e6, ""),
    "mm": ("length", 1e-3, ""), "g/m": ("linear_density", 1e-3, ""),
}  # fmt: skip
_BLANK = "[ \u00a0\u202f]"
_NUMBER = r"[+\-−]?\d{1,3}(?:\u202f\d{3})+(?:\.\d+)?|[+\-−]?\d+(?:\.\d+)?(?:e[+-]?\d+)?"
_JOIN = rf",{_BLANK}|{_BLANK}(?:to|and|×|x|±){_BLANK}"
_WORDS = "|".join(re.escape(u).replace(r"\ ", _BLANK) for u in _UNITS)
_FOUND = re.compile(
    rf"(?<![\w./\u202f-])((?:(?:{_NUMBER})(?:{_JOIN}))*(?:{_NUMBER}))({_BLANK})({_WORDS})(?![\w/²³^-])"
)
_ONE = re.compile(_NUMBER)
_LEAST = 3  # digits that count; a value written with fewer is still so exact


def heard(text: str, system: str, names: Iterable[str] = ()) -> str:
    """A sentence on tests in a display system.

    Parameters
    ----------
    text : str
        With loads, lengths, stiffnesses and stresses in SI, each number before its unit.
    system : str
        "SI", "workshop" or "inch".
    names : iterable of str
        Names that somebody gave; they stay as they are, whatever they hold.

    Returns
    -------
    str

    Notes
    -----
    As many digits as the sentence has, three at least; a tolerance behind "±" keeps its own.
    What has no unit of its own in a system stays: work in J, angles in deg.

    Examples
    --------
    >>> heard("Beam 10 × 8 mm, 240 mm apart, bears 1115 N.", "inch")
    'Beam 0.394 × 0.315 in, 9.45 in apart, bears 250.7 lbf.'
    >>> heard("T 8 mm: critical load 455 ± 2 N.", "inch", ["T 8 mm"])
    'T 8 mm: critical load 102 ± 0.4 lbf.'
    """
    if system == "SI":
        return text
    held = sorted({n for n in names if n}, key=len, reverse=True)
    if not held:
        return _FOUND.sub(lambda m: _turned(m, system), text)
    parts = re.split("(" + "|".join(re.escape(n) for n in held) + ")", text)
    return "".join(
        p if n % 2 else _FOUND.sub(lambda m: _turned(m, system), p) for n, p in enumerate(parts)
    )


def _turned(found: re.Match[str], system: str) -> str:
    """Numbers with one unit behind them, in a display system."""
    numbers, blank, unit = found.groups()
    kind, factor, behind = _UNITS[re.sub(_BLANK, " ", unit)]
    if unit_label(kind, system) == unit_label(kind, "SI"):
        return found[0]

    def one(match: re.Match[str]) -> str:
        told = match[0].replace("\u202f", "").replace("−", "-")
        near = numbers[: match.start()].rstrip(" \u00a0\u202f").endswith("±")
        sign = "+" if told.startswith("+") else ""
        digits = _digits(told, near=near)
        return sign + rough(float(told) * factor, kind, system, digits).partition(" ")[0]

    return f"{_ONE.sub(one, numbers)}{blank}{unit_label(kind, system)}{behind}"


def _digits(text: str, *, near: bool) -> int:
    """Digits of a number that count."""
    plain = re.sub(r"e.*$", "", text).lstrip("+-").replace(".", "").lstrip("0")
    return max(len(plain), 1) if near else max(len(plain), _LEAST)


__all__ = ["heard"]
