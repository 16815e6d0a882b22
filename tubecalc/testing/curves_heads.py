"""Headings of test files in several languages: what a column is, and its unit."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache

from tubecalc.unit_tables import KINDS, Dimension, parse_unit

__all__ = ["ROLES", "Heading", "Unit", "clean", "heading", "unit_of"]

_LENGTH, _FORCE = KINDS["length"].dimension, KINDS["force"].dimension
_MASS, _TIME = KINDS["mass"].dimension, KINDS["time"].dimension
_MOMENT, _ANGLE = KINDS["moment"].dimension, KINDS["angle"].dimension
_STRESS, _RATIO = KINDS["stress"].dimension, KINDS["ratio"].dimension
_LB_LENGTH: Dimension = (1, 1, 0, 0, 0)  # "ft lb", "kg m" as a torque

# role: column of the data, SI value of its unit there, dimensions of the units it may have
ROLES: dict[str, tuple[str, float, tuple[Dimension, ...]]] = {
    "time": ("time_s", 1.0, (_TIME,)),
    "force": ("force_N", 1.0, (_FORCE, _MASS)),
    "travel": ("travel_mm", 1e-3, (_LENGTH,)),
    "extension": ("extension_mm", 1e-3, (_LENGTH,)),
    "deflection": ("deflection_mm", 1e-3, (_LENGTH,)),
    "torque": ("torque_N_m", 1.0, (_MOMENT, _LB_LENGTH)),
    "angle": ("angle_deg", 0.017453292519943295, (_ANGLE,)),
    "stress": ("stress_MPa", 1e6, (_STRESS,)),
    "strain": ("strain", 1.0, (_RATIO,)),
}
_TEXT_ROLES = ("cycle", "direction", "specimen", "date")

_WORDS: dict[str, str] = {  # parts of words, after accents are dropped; "=" whole words only
    "date": "=date =datum =fecha =data",
    "specimen": "specimen =sample probe prufling muster eprouvette probeta provino"
    " =test =testno =run =piece =coupon",
    "cycle": "=cycle =cycles =cyc zyklus =loop =ciclo =segment =step",
    "direction": "direction richtung =sense =dir =sens senso",
    "time": "=time zeit temps tiempo tempo elapsed =clock =tid =tijd timestamp =sec =seconds",
    "stress": "stress spannung contrainte sforzo",
    "strain": "strain dehnung microstrain =epsilon =eps",
    "torque": "torque drehmoment =moment torsionsmoment =couple torsione =coppia =torsor",
    "angle": "angle winkel angolo angulo rotation twist rotacion rotazione =rot =deg"
    " =degrees drill",
    "extension": "extenso ansatzaufnehmer langenanderung =ext feindehn estensim =gauge =gage"
    " =clip =lvdt =extension =ext1 =ext2 elongation verlangerung allongement alargamiento"
    " allungamento",
    "deflection": "deflection durchbiegung fleche flecha freccia =dial deflectometer ovalisation",
    "travel": "displ =disp =crush =ram =approach =shortening deformation verformung"
    " travel stroke crosshead traverse =weg standardweg verfahrweg kolbenweg"
    " traversenweg =position =pos deplacement course desplaz recorrido spostamento =corsa =jaw"
    " actuator ramposition =way verschiebung querhaupt carrera weg_ =machine pressweg crushing"
    " =path =steps =motion",
    "force": "force kraft =load =loads =last =fuerza fuerza =carga =effort =charge forza =carico"
    " kracht belastung prufkraft loadcell =lc =weight =pull =thrust =axialload",
}
_LETTERS = {
    **{"f": ("force",), "p": ("force",), "n": ("force",), "l": ("force", "travel")},
    **{"t": ("time", "torque"), "m": ("torque",), "mt": ("torque",), "mx": ("torque",)},
    **{"s": ("travel", "time"), "d": ("travel",), "x": ("travel",), "u": ("travel",)},
    **{"w": ("travel", "deflection"), "z": ("travel",), "y": ("travel", "deflection")},
    **{"dl": ("extension", "travel"), "e": ("strain", "extension"), "phi": ("angle",)},
    **{"theta": ("angle",), "fi": ("angle",), "v": ("deflection",), "sigma": ("stress",)},
}
_SPELT = {
    **{"newton": "N", "newtons": "N", "kilonewton": "kN", "kilonewtons": "kN", "kn": "kN"},
    **{"dan": "daN", "kgf": "kgf", "kg-f": "kgf", "kgs": "kg", "gf": "gf", "g-f": "gf", "kp": "kp"},
    **{"grams": "g", "gram": "g", "grf": "gf", "lbs": "lb", "lbf": "lbf", "lb-f": "lbf"},
    **{"lbsf": "lbf", "pounds": "lb", "pound": "lb", "klbf": "kip", "kips": "kip", "klb": "kip"},
    **{"tf": "tf", "tonf": "", "ton": "", "tons": "", "oz": "oz", "ozf": "ozf"},
    **{"millimeter": "mm", "millimetre": "mm", "millimeters": "mm", "millimetres": "mm"},
    **{"mm": "mm", "cm": "cm", "m": "m", "metre": "m", "meter": "m", "micron": "um"},
    **{"microns": "um", "micrometer": "um", "um": "um", "µm": "um", "in": "in", "in.": "in"},
    **{"inch": "in", "inches": "in", "inch.": "in", '"': "in", "mil": "thou", "mils": "thou"},
    **{"thou": "thou", "ft": "ft", "s": "s", "sec": "s", "secs": "s", "second": "s"},
    **{"seconds": "s", "sek": "s", "sekunden": "s", "seg": "s", "sec.": "s", "msec": "ms"},
    **{"ms": "ms", "millisec": "ms", "min": "min", "minutes": "min", "h": "h", "hr": "h"},
    **{"°": "deg", "deg": "deg", "degree": "deg", "degrees": "deg", "grad": "", "grd": ""},
    **{"deg.": "deg", "rad": "rad", "radians": "rad", "turns": "rev", "rev": "rev", "mrad": "mrad"},
    **{"nm": "Nm", "n-m": "N m", "n.m": "N m", "n·m": "N m", "n*m": "N m", "n m": "N m"},
    **{"knm": "kNm", "nmm": "Nmm", "n-mm": "N mm", "n.mm": "N mm", "n mm": "N mm", "n*mm": "N mm"},
    **{"ncm": "N cm", "n-cm": "N cm", "n.cm": "N cm", "n cm": "N cm", "kn-m": "kN m"},
    **{"kn.m": "kN m", "kn m": "kN m", "mpa": "MPa", "psi": "psi", "ksi": "ksi", "gpa": "GPa"},
    **{"n/mm2": "N/mm^2", "n/mm²": "N/mm^2", "mm/mm": "1", "in/in": "1", "m/m": "1", "%": "%"},
    **{"pct": "%", "percent": "%", "µm/m": "ppm", "um/m": "ppm", "ue": "ppm", "µe": "ppm"},
    **{"µε": "ppm", "microstrain": "ppm", "ustrain": "ppm", "µstrain": "ppm", "strain": "1"},
}
_POUND_FEET = re.compile(
    r"(?P<a>lbf?|lbs|kgf?|kp|gf?|ozf?|ft|foot|in|inch|cm|m)[\s.·*_-]*(?P<b>lbf?|lbs|kgf?|kp|gf?|ozf?|ft|foot|in|inch|cm|m)",
    re.IGNORECASE,
)
_BRACKETS = re.compile(r"[\[({<]\s*([^\[\](){}<>]{1,16}?)\s*[\])}>]")
_ALONE = ("mm", "kn", "n", "kgf", "lbf", "inch", "deg", "sec", "nm", "um", "dan", "kg", "mpa")
_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f\u200b-\u200f\u202a-\u202e\u2066-\u2069\ufeff\ufffe]")


@dataclass(frozen=True)
class Unit:
    """A unit as written, its SI value and its dimension."""

    text: str
    factor: float
    dimension: Dimension

    @property
    def weight(self) -> bool:
        """Whether it is a mass, which on a load cell means its weight."""
        return self.dimension in (_MASS, _LB_LENGTH)

    def of(self, role: str) -> float:
        """Factor to the unit of the data.

        Examples
        --------
        >>> unit_of("kN").of("force"), round(unit_of("g").of("force"), 8)
        (1000.0, 0.00980665)
        """
        gravity = 9.80665 if self.weight and role in ("force", "torque") else 1.0
        return self.factor * gravity / ROLES[role][1]

    def fits(self, role: str) -> bool:
        """Whether a column of that role may have it."""
        return role in ROLES and self.dimension in ROLES[role][2]


@dataclass(frozen=True)
class Heading:
    """A heading: its text, its unit where it carries one, and the roles it may have."""

    text: str
    unit: Unit | None
    roles: tuple[str, ...]
    raw_unit: str = ""  # in brackets, but no unit known here
    named: tuple[str, ...] = ()  # roles by its words alone, where the unit contradicts them


def clean(text: object, most: int = 80) -> str:
    r"""Give foreign text as one harmless line.

    Parameters
    ----------
    text : object
        Anything a cell held.
    most : int, optional
        Longest text kept [-].

    Returns
    -------
    str
        Without control and direction marks.

    Examples
    --------
    >>> clean("Load\x00 \n (N)")
    'Load (N)'
    """
    out = " ".join(_CONTROL.sub("", " ".join(str(text)[: 4 * most].split())).split())
    return out if len(out) <= most else out[: most - 3] + "..."


@lru_cache(maxsize=1024)
def unit_of(text: str) -> Unit | None:
    """Read a unit as test machines write it.

    Parameters
    ----------
    text : str
        For example "(kN)", "lbf ft", "Sec".

    Returns
    -------
    Unit or None
        None where it is no unit known here, or not one unit ("ton").

    Examples
    --------
    >>> unit_of("lbf-ft").factor  # doctest: +ELLIPSIS
    1.3558...
    >>> unit_of("Sec").dimension == unit_of("ms").dimension, unit_of("ton")
    (True, None)
    """
    plain = text.strip().strip("[](){}<>").strip().replace("μ", "µ")
    if not plain or len(plain) > 16:
        return None
    both = _POUND_FEET.fullmatch(plain)
    if both:
        one, two = (unit_of(part) for part in (both["a"], both["b"]))
        if one and two and {_LENGTH} < {one.dimension, two.dimension}:
            load = one if two.dimension == _LENGTH else two
            way = two if load is one else one
            gravity = 9.80665 if load.weight else 1.0
            return Unit(plain, load.factor * gravity * way.factor, _MOMENT)
    if plain in ("MN", "mN", "N", "kN"):
        parsed = parse_unit(plain)
    elif plain.lower() in _SPELT:
        parsed = parse_unit(_SPELT[plain.lower()]) if _SPELT[plain.lower()] else None
    else:
        parsed = parse_unit(plain) if re.search("[A-Za-zµ°%]", plain) else None
    return Unit(plain, *parsed) if parsed else None


def _fold(text: str) -> str:
    """Lower case, no accents, words apart."""
    text = text.replace("ß", "ss").replace("ε", "epsilon").replace("φ", "phi").replace("θ", "theta")
    text = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", text)
    text = unicodedata.normalize("NFKD", text)
    text = "".join(c for c in text if not unicodedata.combining(c)).lower()
    return " ".join(re.findall(r"[a-z]+|\d+", text))


def _roles(name: str) -> list[str]:
    words = name.split()
    found: list[str] = []
    for role, patterns in _WORDS.items():
        for pattern in patterns.split():
            exact = pattern.startswith("=")
            part = pattern.strip("=_")
            if part in words if exact else any(part in word for word in words):
                found.append(role)
                break
    if not found:
        letters = [w for w in words if not w.isdigit()]
        if len(letters) == 1:
            found = list(_LETTERS.get(letters[0], ()))
    return found


@lru_cache(maxsize=4096)
def heading(text: str, below: str = "") -> Heading:
    """Read a heading.

    Parameters
    ----------
    text : str
        As written.
    below : str, optional
        The cell of a row of units below it.

    Returns
    -------
    Heading
        Name, unit and the roles it may have; where a unit is there, only those it fits.

    Examples
    --------
    >>> heading("Standardkraft", "N").roles, heading("disp_in").roles, heading("F [N]").roles
    (('force',), ('travel',), ('force',))
    """
    name, unit, raw = clean(text), unit_of(below), ""
    bare = name
    if unit is None:
        for match in _BRACKETS.finditer(name):
            unit = unit_of(match[1])
            raw = raw or match[1]
            if unit:
                bare = name[: match.start()] + " " + name[match.end() :]
                break
    else:
        bare = _BRACKETS.sub(lambda m: " " if unit_of(m[1]) else m[0], name)
    if unit is None:
        bare, unit = _tail(name)
    if unit is None and name.lower() in _ALONE:
        bare, unit = "", unit_of(name)
    roles = _roles(_fold(bare))
    fits = [r for r in roles if unit is None or r in _TEXT_ROLES or unit.fits(r)]
    if unit and not fits and "strain" in roles and unit.fits("extension"):
        fits = ["extension"]
    if unit and not fits and {"extension", "travel"} & set(roles) and unit.fits("strain"):
        fits = ["strain"]
    if unit and any(r in ROLES for r in fits):
        fits = [r for r in fits if r in ROLES]
    if len(fits) > 1 and set(fits) <= {"extension", "travel"} and "extension" in fits:
        fits = ["travel"]  # "machine extension"
    named = () if fits else tuple(roles)
    return Heading(name, unit, tuple(fits), "" if unit else raw or clean(below), named)


def _tail(name: str) -> tuple[str, Unit | None]:
    """Split "load_lbf", "Force, kN", "Weg / mm" or "F in N" before their unit."""
    for match in re.finditer(r"\s*(?:[,/:;]|_|\s+(?:in|en)\s+|\s+|-)\s*", name):
        rest = name[match.end() :].replace("_", " ")
        if match.start() and (unit := unit_of(rest)) and rest.lower() != "t":
            return name[: match.start()], unit
    return name, None
