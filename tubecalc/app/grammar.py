"""Grammar of the sentence: which fields a kind of case has, and the words between them."""

from __future__ import annotations

from dataclasses import dataclass

Texts = tuple[tuple[str, str], ...]
MAX_CASES = 6


@dataclass(frozen=True)
class Field:
    """One place to type in the sentence.

    Parameters
    ----------
    key : str
        Field of the need file.
    label : str
        Name for screen readers and for the line of values used.
    kind : str
        Kind of unit (`tubecalc.units`), "choice", or "words" and "long" for plain text.
    blank : str
        Shown while empty; an empty field with no blank text is a mistake.
    choices : tuple of str
        What may be chosen.
    """

    key: str
    label: str
    kind: str
    blank: str = ""
    choices: tuple[str, ...] = ()


ENDS = ("pinned-pinned", "fixed-pinned", "fixed-fixed", "fixed-free")
_LOAD = Field("load", "load", "force")
_SPAN = Field("span", "span", "length")
_ENDS = Field("ends", "ends", "choice", choices=ENDS)
_RESTS = Field("ends", "ends", "choice", choices=("pinned-pinned", "fixed-free"))
_ROLLER = Field("roller_width", "length of the support along the tube", "length", "narrow")
_TOUCH = Field("touch", "how the load enters", "choice", choices=("roller", "saddle", "clamp"))
_INNER = Field("inner_span", "distance between the loads", "length", "a third of it")
_TIP = Field("tip_mass", "mass on the end", "mass", "nothing")

Piece = str | Field
CASES: dict[str, tuple[str, tuple[Piece, ...]]] = {
    "cantilever": (
        "arm held at one end",
        ("carry ", _LOAD, " at the tip of a ", Field("span", "reach", "length"), " reach with ",
         _TIP, " on its end"),
    ),
    "push": ("strut, pushed", ("push with ", _LOAD, " along ", _SPAN, ", ends ", _ENDS)),
    "pull": ("strut, pulled", ("pull with ", _LOAD, " along ", _SPAN, ", ends ", _ENDS)),
    "three-point": (
        "beam, load in the middle",
        ("bear ", _LOAD, " in the middle of a ", _SPAN, " span, under a ", _ROLLER, " ", _TOUCH),
    ),
    "four-point": (
        "beam, two loads",
        ("bear ", _LOAD, " at two points of a ", _SPAN, " span, ",
         _INNER, " apart, each under a ", _ROLLER, " ", _TOUCH),
    ),
    "uniform": (
        "beam, even load",
        ("bear ", _LOAD, " spread evenly over a ", _SPAN, " span, ends ", _RESTS),
    ),
    "shaft": (
        "turning shaft",
        ("turn with ", Field("torque", "torque", "torque"), " at ",
         Field("speed", "speed", "speed", "no speed"), " over ", _SPAN, " between bearings, ends ",
         _ENDS, ", reaching ", Field("overhang", "overhang", "length", "nowhere"),
         " beyond them with ", _TIP, " on the end"),
    ),
    "pressure": (
        "pressure",
        ("hold ", Field("p_in", "pressure inside", "pressure", "nothing"), " inside and ",
         Field("p_out", "pressure outside", "pressure", "nothing"), " outside, ends ",
         Field("closed", "ends under pressure", "choice", choices=("closed", "open")), ", over ",
         Field("span", "length between rings", "length", "any length"), " between rigid rings"),
    ),
    "combined": (
        "loads at one section",
        ("take ", Field("axial", "axial load", "force", "no"), " along, ",
         Field("moment", "bending moment", "moment", "no"), " bending, ",
         Field("shear", "shear force", "force", "no"), " across and ",
         Field("torque", "torque", "torque", "no"), " twisting over ", _SPAN),
    ),
}  # fmt: skip
START: dict[str, Texts] = {
    "cantilever": (("load", "60 N"), ("span", "1.2 m")),
    "push": (("load", "800 N"), ("span", "0.9 m"), ("ends", ENDS[0])),
    "pull": (("load", "800 N"), ("span", "0.9 m"), ("ends", ENDS[0])),
    "three-point": (
        ("load", "150 N"),
        ("span", "1 m"),
        ("roller_width", "20 mm"),
        ("touch", "roller"),
    ),
    "four-point": (
        ("load", "150 N"),
        ("span", "1 m"),
        ("roller_width", "20 mm"),
        ("touch", "roller"),
    ),
    "uniform": (("load", "150 N"), ("span", "1 m"), ("ends", ENDS[0])),
    "shaft": (("torque", "25 N m"), ("speed", "1500 rpm"), ("span", "1 m"), ("ends", ENDS[0])),
    "pressure": (("p_in", "10 bar"), ("closed", "closed")),
    "combined": (("axial", "500 N"), ("moment", "20 N m"), ("span", "0.5 m")),
}
LIMITS: dict[str, tuple[str, str, Field, str]] = {
    # key: (name in the menu, words before, field, value when added)
    "deflection": ("sag", "sag at most ", Field("deflection", "sag at most", "length"), "25 mm"),
    "slope": ("tilt", "tilt at most ", Field("slope", "tilt at most", "angle"), "1 deg"),
    "twist": ("twist", "twist at most ", Field("twist", "twist at most", "angle"), "4 deg"),
    "frequency_min": (
        "first frequency", "first frequency at least ",
        Field("frequency_min", "first frequency at least", "frequency"), "20 Hz",
    ),
    "mass": ("weight", "weigh at most ", Field("mass", "weigh at most", "mass"), "1 kg"),
    "od_max": (
        "outside", "outside no more than ", Field("od_max", "outside at most", "length"), "40 mm",
    ),
    "id_min": ("bore", "bore at least ", Field("id_min", "bore at least", "length"), "8 mm"),
    "bend_radius": (
        "bend", "bend by hand to a radius of ",
        Field("bend_radius", "bend to a radius of", "length"), "2 m",
    ),
    "expansion": (
        "heat growth", "grow with heat at most ",
        Field("expansion", "heat growth at most", "expansion"), "5e-6 /K",
    ),
}  # fmt: skip
HEATS: dict[str, tuple[str, str, Field, str]] = {
    "temperature": ("heat", "at up to ", Field("temperature", "up to", "temperature"), "60 degC"),
    "temperature_min": (
        "cold", "down to ", Field("temperature_min", "down to", "temperature"), "-20 degC",
    ),
}  # fmt: skip
DURATIONS = ("short", "long", "cyclic")
FACTORS: dict[str, Field] = {
    "strength": Field("strength", "factor on strength", "number"),
    "buckling": Field("buckling", "factor on buckling", "number"),
}
# duration of a case -> knock-down it calls for, words before and after, field
SHARES: dict[str, tuple[str, str, str, Field]] = {
    "long": (
        "sustained", "under lasting load ", " of the strength",
        Field("sustained", "share of strength under lasting load", "number", "published share"),
    ),
    "cyclic": (
        "fatigue", "under load again and again ", " of the strength",
        Field("fatigue", "share of strength under cycles", "number", "published share"),
    ),
}  # fmt: skip
# switches of a case in a need file and the words for both states
SWITCHES: dict[str, dict[str, bool]] = {
    "closed": {"closed": True, "open": False},
    "own_weight": {"yes": True, "no": False},
    "plug": {"yes": True, "no": False},
}
# chips of a case: words, and the forms that have them
CHIPS: dict[str, tuple[str, tuple[str, ...]]] = {
    "own_weight": (
        "own weight counts",
        ("cantilever", "push", "pull", "three-point", "four-point", "uniform"),
    ),
    "plug": ("tight plug at the load", ("cantilever", "three-point", "four-point")),
}
SERVICE: dict[str, str] = {
    "sliding": "slides in a tube",
    "thread": "takes a thread",
    "weld": "is welded",
    "form": "is bent later",
    "insulating": "insulates",
    "radio": "passes radio",
    "outdoor": "lives outdoors",
    "salt": "meets salt water",
    "contact_metal": "touches metal",
    "wet": "soaks up moisture",
}
FINISHES = {"": "any finish", "smooth": "smooth finish", "woven": "woven face"}


def fields_of(form: str) -> list[Field]:
    """Fields of a form of case, in the order of the sentence.

    Parameters
    ----------
    form : str
        Key of `CASES`.

    Returns
    -------
    list of Field
        The fields.

    Examples
    --------
    >>> [f.key for f in fields_of("cantilever")]
    ['load', 'span', 'tip_mass']
    """
    return [p for p in CASES[form][1] if isinstance(p, Field)]
