"""Headings of test files in several languages: what a column is, and its unit."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache

from tubecalc.testing.curves_units import ROLES, Unit, scaled, unit_of

__all__ = ["ROLES", "Heading", "Unit", "clean", "heading", "unit_of"]

_TEXT_ROLES = ("cycle", "direction", "specimen", "date")

_WORDS: dict[str, str] = {  # parts of words, after accents are dropped; "=" whole words only
    "date": "=date =datum =fecha =data",
    "specimen": "образец specimen =sample probe prufling muster eprouvette probeta provino"
    " =test =testno =run =piece =coupon",
    "cycle": "=cycle =cycles =cyc zyklus =loop =ciclo =segment =step",
    "direction": "direction richtung =sense =dir =sens senso",
    "time": "=time zeit temps tiempo tempo elapsed =clock =tid =tijd timestamp =sec =seconds",
    "stress": "напряж stress spannung contrainte sforzo",
    "strain": "strain dehnung microstrain =epsilon =eps",
    "torque": "момент torque drehmoment =moment torsionsmoment =couple torsione =coppia =torsor",
    "angle": "угол angle winkel angolo angulo rotation twist rotacion rotazione =rot =deg"
    " =degrees drill",
    "extension": "extenso ansatzaufnehmer langenanderung =ext feindehn estensim =gauge =gage"
    " =clip =lvdt =extension =ext1 =ext2 elongation verlangerung allongement alargamiento"
    " allungamento",
    "deflection": "deflection durchbiegung fleche flecha freccia =dial deflectometer ovalisation"
    " прогиб",
    "travel": "displ =disp =crush =ram =approach =shortening deformation verformung"
    " travel stroke crosshead traverse =weg standardweg verfahrweg kolbenweg"
    " traversenweg =position =pos deplacement course desplaz recorrido spostamento =corsa =jaw"
    " actuator ramposition =way verschiebung querhaupt carrera weg_ =machine pressweg crushing"
    " =path =steps =motion перемещ смещени деформац =ход",
    "force": "force kraft =load =loads =last =fuerza fuerza =carga =effort =charge forza =carico"
    " kracht belastung prufkraft loadcell =lc =weight =pull =thrust =axialload нагруз усили =сила",
}
_LETTERS = {
    **{"f": ("force",), "p": ("force",), "n": ("force",), "l": ("force", "travel")},
    **{"t": ("time", "torque"), "m": ("torque",), "mt": ("torque",), "mx": ("torque",)},
    **{"s": ("travel", "time"), "d": ("travel",), "x": ("travel",), "u": ("travel",)},
    **{"w": ("travel", "deflection"), "z": ("travel",), "y": ("travel", "deflection")},
    **{"dl": ("extension", "travel"), "e": ("strain", "extension"), "phi": ("angle",)},
    **{"theta": ("angle",), "fi": ("angle",), "v": ("deflection",), "sigma": ("stress",)},
}
_BRACKETS = re.compile(r"[\[({<]\s*([^\[\](){}<>]{1,16}?)\s*[\])}>]")
_ALONE = ("mm", "kn", "n", "kgf", "lbf", "inch", "deg", "sec", "nm", "um", "dan", "kg", "mpa")
_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f\u200b-\u200f\u202a-\u202e\u2066-\u2069\ufeff\ufffe]")


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


def _fold(text: str) -> str:
    """Lower case, no accents, words apart."""
    text = text.replace("ß", "ss").replace("ε", "epsilon").replace("φ", "phi").replace("θ", "theta")
    text = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", text)
    text = unicodedata.normalize("NFKD", text)
    text = "".join(c for c in text if not unicodedata.combining(c)).lower()
    return " ".join(re.findall(r"[a-zа-я]+|\d+", text))


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
    name, unit, raw = clean(text), unit_of(below) or scaled(below), ""
    bare = name
    if unit is None:
        for match in _BRACKETS.finditer(name):
            unit = unit_of(match[1]) or scaled(match[1])
            raw = raw or match[1]
            if unit:
                bare = name[: match.start()] + " " + name[match.end() :]
                break
    else:
        bare = _BRACKETS.sub(lambda m: " " if unit_of(m[1]) else m[0], name)
    if unit is None and not re.search(r"\d.*[A-Za-zµ]|[A-Za-zµ].*\d{2}", raw):
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
    if set(fits) == {"extension", "deflection"}:
        fits = ["deflection"]  # "deflection by dial gauge"
    named = () if fits else tuple(roles)
    return Heading(name, unit, tuple(fits), "" if unit else raw or clean(below), named)


def _part(text: str) -> Unit | None:
    """A unit that is a part of another: "0.01 mm", but not "10 N"."""
    found = scaled(text)
    return found if found and re.match(r"\s*(0[.,]|1/)\d", text) else None


def _tail(name: str) -> tuple[str, Unit | None]:
    """Split "load_lbf", "Force, kN", "Weg / mm" or "F in N" before their unit."""
    for match in re.finditer(r"\s*(?:[,/:;.]|_|\s+(?:in|en)\s+|\s+|-)\s*", name):
        rest = name[match.end() :].replace("_", " ")
        if match.start() and (unit := unit_of(rest) or _part(rest)) and rest.lower() != "t":
            if re.search(r"(\d[.,]\d+|\d/\d+|10\^\d|[ ,_][x×]?10+)\s*$", name[: match.start()]):
                return name, None  # "Force x10 N": which of two scales?
            return name[: match.start()], unit
    camel = re.fullmatch(r"([A-Za-z]*[a-z])(Mm|MM|Kn|KN|N|Lbf|Kgf|Um|Ms|S|Deg|Nm)", name)
    if camel and len(camel[1]) > 1 and _roles(_fold(camel[1])):
        return camel[1], unit_of(camel[2])
    return name, None
