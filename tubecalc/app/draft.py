"""The need as it is typed: texts in a frozen shape, to and from TOML, and the words around them.

A draft keeps what a person wrote ("5/8 in"), right or wrong; `tubecalc.need.Need` is what the core
understood. Here is also the grammar of the sentence: which fields a kind of case has, and the
words between them.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from tubecalc.errors import InputError
from tubecalc.units import to_si

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
        Kind of unit (`tubecalc.units`), or "choice".
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
_ROLLER = Field("roller_width", "width of the support", "length", "narrow")
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
        ("bear ", _LOAD, " in the middle of a ", _SPAN, " span on ", _ROLLER, " rests"),
    ),
    "four-point": (
        "beam, two loads",
        ("bear ", _LOAD, " at two points of a ", _SPAN, " span, ",
         _INNER, " apart, on ", _ROLLER, " rests"),
    ),
    "uniform": (
        "beam, even load",
        ("bear ", _LOAD, " spread evenly over a ", _SPAN, " span, ends ", _RESTS),
    ),
    "shaft": (
        "turning shaft",
        ("turn with ", Field("torque", "torque", "torque"), " at ",
         Field("speed", "speed", "speed", "no speed"), " over ", _SPAN, " between bearings, ends ",
         _ENDS),
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
    "three-point": (("load", "150 N"), ("span", "1 m"), ("roller_width", "20 mm")),
    "four-point": (("load", "150 N"), ("span", "1 m"), ("roller_width", "20 mm")),
    "uniform": (("load", "150 N"), ("span", "1 m"), ("ends", ENDS[0])),
    "shaft": (("torque", "25 N m"), ("speed", "1500 rpm"), ("span", "1 m"), ("ends", ENDS[0])),
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
}
FINISHES = {"": "any finish", "smooth": "smooth finish", "woven": "woven face"}


@dataclass(frozen=True)
class CaseDraft:
    """One case as typed: the form it has on the page and its texts."""

    form: str
    texts: Texts
    name: str = ""

    def get(self, key: str) -> str:
        """Text of a field, "" when it is empty."""
        return dict(self.texts).get(key, "")


@dataclass(frozen=True)
class Draft:
    """A need as typed: title, cases, limits, service and factors, all texts."""

    title: str = ""
    cases: tuple[CaseDraft, ...] = ()
    limits: Texts = ()
    service: Texts = ()
    factors: Texts = (("strength", "2.0"), ("buckling", "2.0"))

    def get(self, path: str) -> str:
        """Text at a path such as "case.0.load" or "limits.od_max"; "" when empty."""
        part, *rest = path.split(".")
        if part == "case":
            return self.cases[int(rest[0])].get(rest[1])
        return dict(self._group(part)).get(rest[0], "")

    def _group(self, part: str) -> Texts:
        groups = {"limits": self.limits, "service": self.service, "factors": self.factors}
        return groups[part]

    def put(self, path: str, text: str) -> Draft:
        """Give the draft with another text at a path; an emptied limit is no limit."""
        part, *rest = path.split(".")
        text = text.strip()
        if part == "case":
            k = int(rest[0])
            case = self.cases[k]
            case = replace(case, texts=_with(case.texts, rest[1], text))
            return replace(self, cases=(*self.cases[:k], case, *self.cases[k + 1 :]))
        texts = _with(self._group(part), rest[0], text)
        if part == "limits":
            return replace(self, limits=texts)
        return replace(self, service=texts) if part == "service" else replace(self, factors=texts)

    def with_case(self, form: str) -> Draft:
        """Give the draft with one more case of a form."""
        return replace(self, cases=(*self.cases, CaseDraft(form, START[form])))

    def without_case(self, k: int) -> Draft:
        """Give the draft without case k."""
        return replace(self, cases=(*self.cases[:k], *self.cases[k + 1 :]))

    def with_form(self, k: int, form: str) -> Draft:
        """Give the draft with case k in another form; fields that both share keep their texts."""
        old, known = self.cases[k], {f.key for f in fields_of(form)}
        kept = [(key, text) for key, text in old.texts if key in known and text]
        texts = tuple({**dict(START[form]), **dict(kept)}.items())
        case = CaseDraft(form, texts, old.name)
        return replace(self, cases=(*self.cases[:k], case, *self.cases[k + 1 :]))


def _with(texts: Texts, key: str, text: str) -> Texts:
    known = dict(texts)
    if text:
        known[key] = text
    else:
        known.pop(key, None)
    return tuple(known.items())


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


def all_fields(draft: Draft) -> list[tuple[str, Field]]:
    """Every field in the sentence with its path.

    Parameters
    ----------
    draft : Draft
        The need as typed.

    Returns
    -------
    list of (path, Field)
        In the order of the sentence.

    Examples
    --------
    >>> [p for p, _ in all_fields(Draft())]
    ['factors.strength', 'factors.buckling']
    """
    out = [(f"case.{k}.{f.key}", f) for k, c in enumerate(draft.cases) for f in fields_of(c.form)]
    out += [(f"limits.{key}", LIMITS[key][2]) for key, _ in draft.limits if key in LIMITS]
    out += [(f"service.{key}", HEATS[key][2]) for key in HEATS if draft.get(f"service.{key}")]
    out += [(f"factors.{key}", field) for key, field in FACTORS.items()]
    return out


def problems_of(draft: Draft) -> dict[str, str]:
    """Find the fields that cannot be read.

    Parameters
    ----------
    draft : Draft
        The need as typed.

    Returns
    -------
    dict
        Path to one sentence; empty when every field can be read.

    Examples
    --------
    >>> problems_of(Draft().put("factors.strength", "two"))["factors.strength"][:4]
    'fact'
    """
    out: dict[str, str] = {}
    for path, field in all_fields(draft):
        text = draft.get(path)
        if not text:
            if not field.blank and field.kind != "choice":
                out[path] = f"{field.label}: fill this in, or remove it."
            continue
        if field.kind == "choice":
            continue
        try:
            to_si(text, field.kind, what=field.label)
        except InputError as error:
            out[path] = str(error)
    return out


def from_toml(text: str) -> Draft:
    """Read a need file into a draft without judging its values.

    Parameters
    ----------
    text : str
        TOML text that `tubecalc.need.Need.from_toml` accepts.

    Returns
    -------
    Draft
        The texts of the file.

    Raises
    ------
    InputError
        If the text is not TOML.
    """
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError("is not valid TOML", where="need", got=str(error)) from None
    cases = tuple(_case(c) for c in table.get("case", []))
    return Draft(
        title=str(table.get("title", "")),
        cases=cases,
        limits=_texts(table.get("limits", {})),
        service=_texts(table.get("service", {})),
        factors=_texts(table.get("factors", {})),
    )


def _case(table: Mapping[str, Any]) -> CaseDraft:
    rest = dict(table)
    name, kind = str(rest.pop("name", "")), str(rest.pop("kind", ""))
    load = str(rest.get("load", "")).strip()
    form = kind
    if kind == "strut":
        form = "push" if load[:1] in "-−" and load else "pull"
        rest["load"] = load.lstrip("-−+ ")
    return CaseDraft(form if form in CASES else "cantilever", _texts(rest), name)


def _texts(table: Mapping[str, Any]) -> Texts:
    out = []
    for key, value in table.items():
        text = {True: "yes", False: ""}.get(value, "") if isinstance(value, bool) else str(value)
        if text:
            out.append((key, text))
    return tuple(out)


def _toml_text(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(c if c.isprintable() else " " for c in escaped) + '"'


def to_toml(draft: Draft) -> str:
    """Write the draft as a need file.

    Parameters
    ----------
    draft : Draft
        The need as typed.

    Returns
    -------
    str
        TOML text for `tubecalc.need.Need.from_toml`.

    Examples
    --------
    >>> print(to_toml(Draft("Rod")).splitlines()[1])
    title = "Rod"
    """
    lines = ["format = 1", f"title = {_toml_text(draft.title)}"]
    for case in draft.cases:
        kind = "strut" if case.form in ("push", "pull") else case.form
        lines += ["", "[[case]]"]
        if case.name:
            lines.append(f"name = {_toml_text(case.name)}")
        lines.append(f'kind = "{kind}"')
        known = {f.key for f in fields_of(case.form)} | {"duration", "guides", "end_fitting"}
        for key, text in case.texts:
            if key not in known:
                continue
            sign = "-" if case.form == "push" and key == "load" else ""
            lines.append(f"{key} = {_toml_text(sign + text)}")
    lines += ["", "[limits]", *(f"{k} = {_toml_text(v)}" for k, v in draft.limits)]
    lines += ["", "[service]"]
    lines += [f"{k} = " + ("true" if v == "yes" else _toml_text(v)) for k, v in draft.service]
    lines += ["", "[factors]", *(f"{k} = {_number(v)}" for k, v in draft.factors)]
    return "\n".join(lines) + "\n"


def _number(text: str) -> str:
    try:
        return repr(to_si(text, "number", what="factor"))
    except InputError:
        return _toml_text(text)
