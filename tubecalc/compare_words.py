"""A comparison in words: differences, the table's rows, what else suits."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tubecalc.checks.measured import shares_said
from tubecalc.compare import Judged
from tubecalc.compare_loads import PLASTIC, RUPTURE, YIELD, Loaded
from tubecalc.laminate.construction import Construction
from tubecalc.laminate.elastic import Array
from tubecalc.unit_display import in_unit, show, unit_label

ALIKE = 0.005  # values closer than this are called alike
GRADES = {"good": "+", "fair": "o", "poor": "-", "no": "×"}  # sign of a rating
_SERVICE = (
    ("sliding", "wear and sliding"), ("thread", "threads"), ("weld", "welding"),
    ("form", "forming after it is made"), ("insulating", "electrical insulation"),
    ("contact_metal", "touching other metals"), ("outdoor", "outdoors"), ("salt", "salt water"),
    ("radio", "radio passes"), ("finish", "finish"),
)  # fmt: skip


@dataclass(frozen=True, eq=False)
class Row:
    """One line of the comparison table.

    Attributes
    ----------
    key, label, unit : str
        Which quantity, its name and the unit of the cells.
    values : numpy.ndarray
        As shown, in `unit`; NaN where there is none.
    cells : tuple of str
        Numbers as text.
    notes : tuple of str
        What fails, grade; empty for stiffness.
    best : frozenset of int
        Which candidates have the best value.
    group : str
        Kind of load.
    """

    key: str
    label: str
    unit: str
    values: Array
    cells: tuple[str, ...]
    notes: tuple[str, ...]
    best: frozenset[int]
    group: str = ""


@dataclass(frozen=True)
class Suit:
    """One line of what suits: a rating (or none) and a sentence per candidate."""

    key: str
    label: str
    ratings: tuple[str, ...]
    texts: tuple[str, ...]


def best_of(values: Array, *, low: bool = False) -> frozenset[int]:
    """Which values are best, those within half a percent of it included.

    Parameters
    ----------
    values : numpy.ndarray
        One per candidate; NaN is not known.
    low : bool
        Whether less is better.

    Returns
    -------
    frozenset of int
        Empty where fewer than two are known or all are alike.

    Examples
    --------
    >>> sorted(best_of(np.array([1.0, 3.0, 3.001, np.nan])))
    [1, 2]
    """
    known = np.isfinite(values)
    if known.sum() < 2:
        return frozenset()
    top = np.min(values[known]) if low else np.max(values[known])
    near = known & (np.abs(values - top) <= ALIKE * abs(top))
    return frozenset() if near.sum() == known.sum() else frozenset(np.flatnonzero(near).tolist())


def _text(value: float) -> str:
    """A number for reading: three digits that count."""
    if math.isnan(value):
        return "–"
    if math.isinf(value):
        return "∞"
    if value == 0:
        return "0"
    size = math.floor(math.log10(abs(value)))
    text = f"{round(value, 2 - size):,.{max(0, 2 - size)}f}".replace(",", "\u202f")
    return text if size <= 2 else f"{round(value, 3 - size):,.0f}".replace(",", "\u202f")


def _scaled(values: Array, kind: str, system: str) -> Array:
    return np.array([in_unit(float(v), kind, system) for v in values])


def _row(
    judged: Judged, key: str, label: str, kind: str, values: Array, notes: Sequence[str],
    group: str, *, per_mass: bool, low: bool = False,
) -> Row:  # fmt: skip
    shown = _scaled(values, kind, judged.system) if kind else np.asarray(values)
    unit = unit_label(kind, judged.system) if kind else ""
    if unit == "N" and np.nanmax(np.where(np.isfinite(shown), shown, 0.0)) >= 2e4:
        shown, unit = shown / 1e3, "kN"
    if per_mass:
        shown = shown / _scaled(judged.mass, "linear_density", judged.system)
        unit = f"{unit} per {unit_label('linear_density', judged.system)}"
    cells = tuple(_text(float(v)) for v in shown)
    return Row(key, label, unit, shown, cells, tuple(notes), best_of(shown, low=low), group)


def _notes(found: Loaded, what: Sequence[str]) -> tuple[str, ...]:
    return tuple(
        f"{word}, grade {grade}" if word and grade not in ("", "none")
        else (f"{word}, outside what is proven" if word else "")
        for word, grade in zip(what, found.grades, strict=True)
    )  # fmt: skip


def _alike(first: Array, last: Array) -> bool:
    """Whether no tube is damaged before its end."""
    return bool(np.allclose(first, last, rtol=1e-6, equal_nan=True))


def rows(judged: Judged, *, per_mass: bool = False) -> list[Row]:
    """The table: mass, price, then stiffness, first and last load of every kind of load.

    The first load is left out of a kind where no tube is damaged before its end.

    Parameters
    ----------
    judged : Judged
        Tubes, judged.
    per_mass : bool
        Weight for weight: each divided by the mass per metre.

    Returns
    -------
    list of Row

    Examples
    --------
    >>> from tubecalc.compare import compare
    >>> from tubecalc.tube import Tube
    >>> both = compare([Tube("304", od="20 mm", wall="1 mm"), Tube("6063-T6", od="20 mm",
    ...                wall="1 mm")], span=1.0)
    >>> row = rows(both)[0]
    >>> row.label, row.unit, row.cells, sorted(row.best)
    ('mass', 'g/m', ('472', '161'), [1])
    """
    none = [""] * len(judged)
    out = [
        _row(judged, "mass", "mass", "linear_density", judged.mass, none, "", per_mass=False,
             low=True)
    ]  # fmt: skip
    if np.isfinite(judged.prices).any():
        price = _row(judged, "price", "price per metre", "", judged.prices, none, "",
                     per_mass=False, low=True)  # fmt: skip
        out.append(Row(**{**price.__dict__, "unit": judged.currency}))
    for key, found in judged.loads.items():
        kind, label = found.kind, found.kind.label
        if kind.stiffness and key not in ("compression",):
            out.append(
                _row(judged, f"{key}.stiffness", f"stiffness, {kind.stiffness}",
                     kind.stiffness_unit, found.stiffness, none, label, per_mass=per_mass)
            )  # fmt: skip
        if not _alike(found.first, found.last):
            out.append(
                _row(judged, f"{key}.first", "yield or first damage", kind.unit, found.first,
                     found.first_by, label, per_mass=per_mass)
            )  # fmt: skip
        out.append(
            _row(judged, f"{key}.last", "carries at most", kind.unit, found.last,
                 _notes(found, found.last_by), label, per_mass=per_mass)
        )  # fmt: skip
    return out


def own_tests(judged: Judged) -> list[str]:
    """What own tests leave of the figures, one sentence a tube; none where nothing is switched on.

    Parameters
    ----------
    judged : Judged
        Tubes, judged.

    Returns
    -------
    list of str
    """
    out = []
    for n, tube in enumerate(judged.tubes):
        told = [f"{what} times {share:.3g}"
                for what, share in shares_said(judged.need, tube.construction.key)]  # fmt: skip
        if told:
            name = f"{n + 1} {judged.names[n]}"
            out.append(f"Own tests count in the figures of {name}: {', '.join(told)}.")
    return out


# ---- differences ------------------------------------------------------------------------
def _times(ratio: float) -> str:
    """A ratio in words.

    Examples
    --------
    >>> _times(0.42), _times(1.6), _times(1.002)
    ('42 % of', '1.6 times', 'the same as')
    """
    if abs(ratio - 1) <= ALIKE:
        return "the same as"
    if ratio < 0.995:
        return f"{100 * ratio:.2g} % of" if ratio < 0.1 else f"{100 * ratio:.0f} % of"
    return f"{ratio:.2f} times" if ratio < 1.095 else (
        f"{ratio:.1f} times" if ratio < 10 else f"{ratio:.0f} times"
    )  # fmt: skip


def _far(ratio: float) -> str:
    if abs(ratio - 1) <= ALIKE:
        return "Bends as far under the same load"
    return f"Bends {_times(ratio).removesuffix(' of')} as far under the same load"


def ends_how(found: Loaded, n: int) -> str:
    """How a tube ends under a kind of load: yields, breaks, buckles, is crushed.

    Parameters
    ----------
    found : Loaded
        One kind of load.
    n : int
        Which tube.

    Returns
    -------
    str
        A verb.
    """
    what = found.last_by[n]
    if what in (YIELD, PLASTIC, RUPTURE):
        return "yields"
    for part, verb in (
        ("buckling", "buckles"), ("bowed", "buckles"), ("collapse", "buckles"),
        ("crush", "is crushed under the load"), ("shear", "shears"),
    ):  # fmt: skip
        if part in what:
            return verb
    return "breaks"


def differences(judged: Judged, n: int, reference: int = 0) -> list[str]:
    """One tube against another, in sentences.

    Parameters
    ----------
    judged : Judged
        Tubes, judged.
    n : int
        Which tube.
    reference : int
        Against which.

    Returns
    -------
    list of str
        Weight, bending, what it carries and how it ends, twist, price, whether it passes.

    Examples
    --------
    >>> from tubecalc.compare import compare
    >>> from tubecalc.tube import Tube
    >>> both = compare([Tube("304", od="20 mm", wall="1 mm"), Tube("6063-T6", od="20 mm",
    ...                wall="1 mm")], span=1.0)
    >>> differences(both, 1)[0]
    'Weighs 34 % of the 304 stainless, annealed tube.'
    """
    name = judged.names[reference]
    noun = name if any(c.isdigit() for c in name.split()[-1]) or "tube" in name else f"{name} tube"

    def ratio(values: Array) -> float:
        return float(values[n] / values[reference]) if values[reference] else math.nan

    bending, tension, torsion = (judged.loads[k] for k in ("bending", "tension", "torsion"))
    weight = _times(ratio(judged.mass))
    out = [f"Weighs {weight} the {noun}." if weight[-2:] == "of" or weight[-2:] == "as"
           else f"Weighs {weight} as much as the {noun}."]  # fmt: skip
    far = _far(ratio(bending.travel))
    out.append(f"{far}; {_carries(judged, 'bending', n, reference)}")
    for key, found in (("tension", tension), ("torsion", torsion)):
        stiff = ratio(found.stiffness)
        word = _times(stiff)
        said = "is as stiff" if word == "the same as" else (
            f"has {word} the stiffness" if word.endswith("of") else f"is {word} as stiff"
        )  # fmt: skip
        out.append(f"In {key} it {said}; {_carries(judged, key, n, reference)}")
    column = ratio(judged.loads["buckling"].last)
    length = show(judged.span, "length", judged.system)
    if math.isfinite(column):
        word = _times(column)
        tail = "the compressive load" if word.endswith("of") or word.endswith("times") else ""
        said = f"carries {word} {tail}" if tail else "carries the same compressive load"
        out.append(f"As a strut of {length} it {said} ({judged.loads['buckling'].last_by[n]}).")
    price = ratio(judged.prices)
    if math.isfinite(price):
        word = _times(price)
        out.append("Costs the same." if word == "the same as" else
                   f"Costs {word} the price." if word.endswith("of") else
                   f"Costs {word} as much.")  # fmt: skip
    return out


def _carries(judged: Judged, key: str, n: int, reference: int) -> str:
    """What a tube carries against another, and how both end."""
    found = judged.loads[key]
    mine, other = float(found.last[n]), float(found.last[reference])
    if not math.isfinite(mine) or not math.isfinite(other) or not other:
        return "what it carries is not known."
    word = _times(mine / other)
    said = "carries as much" if word == "the same as" else (
        f"carries {word} the load" if word.endswith("of") else f"carries {word} as much"
    )  # fmt: skip
    ends = ends_how(found, n), ends_how(found, reference)
    first, last = float(found.first[n]), float(found.last[n])
    early = ""
    if first < 0.98 * last and not judged.candidates.metal[n]:
        early = f" (first damage at {100 * first / last:.0f} % of that)"
    if ends[0] == ends[1]:
        return f"{said} and {ends[0]} too{early}." if ends[0] != "yields" else f"{said}."
    return f"{said}, and {ends[0]} rather than {ends[1]}{early}."


# ---- what else suits --------------------------------------------------------------------
def _known(c: Construction, key: str) -> tuple[str, str]:
    return c.service.get(key, ("", "not stated"))


def _limit(value: float, kind: str, system: str, before: str = "") -> str:
    return "not stated" if math.isnan(value) else f"{before}{show(value, kind, system)}"


def _accuracy(c: Construction, name: str, system: str) -> str:
    """How true the outside or the bore is, and whether it is the face the process makes."""
    side = {"od": "od", "id": "bore"}[name]
    said = _limit(c.size(f"tolerance_{name}"), "length", system, "±")
    if c.accurate not in ("both", side):
        return f"{said}; the other face is the accurate one"
    return said


def suits(judged: Judged) -> list[Suit]:
    """What decides beyond strength: heat, wear, joining, corrosion, accuracy, price.

    Parameters
    ----------
    judged : Judged
        Tubes, judged.

    Returns
    -------
    list of Suit
        Ratings good, fair, poor or no, "" where a plain value is given.

    Examples
    --------
    >>> from tubecalc.compare import compare
    >>> from tubecalc.tube import Tube
    >>> one = compare([Tube("304", od="20 mm", wall="1 mm")], span=1.0)
    >>> [x.ratings[0] for x in suits(one) if x.key == "weld"]
    ['good']
    """
    made = [t.construction for t in judged.tubes]
    system = judged.system
    none = ("",) * len(made)
    out = [
        Suit("t_max", "highest temperature", none,
             tuple(_limit(c.t_max, "temperature", system) for c in made))
    ]  # fmt: skip
    for key, label in _SERVICE:
        pairs = [_known(c, key) for c in made]
        out.append(Suit(key, label, tuple(p[0] for p in pairs), tuple(p[1] for p in pairs)))
    for name, label in (("od", "accuracy of the outside diameter"), ("id", "accuracy of the bore")):
        out.append(Suit(name, label, none, tuple(_accuracy(c, name, system) for c in made)))
    out.append(
        Suit("splits", "splitting", tuple("poor" if c.splits else "" for c in made),
             tuple("all fibres along the tube: ends and holes split, sleeve or bind them"
                   if c.splits else ("does not split: a metal" if c.metal
                                     else "fibres across hold the ends together")
                   for c in made))
    )  # fmt: skip
    prices = [
        "not known" if math.isnan(p) else f"{_text(float(p))} {judged.currency}".strip()
        for p in judged.prices
    ]
    out.append(Suit("price", "price per metre", none, tuple(prices)))
    return out


__all__ = [
    "GRADES", "Row", "Suit", "best_of", "differences", "ends_how", "rows",
    "suits",
]  # fmt: skip
