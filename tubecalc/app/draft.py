"""The need as it is typed: texts in a frozen shape, to and from TOML, and the words around them.

A draft keeps what a person wrote ("5/8 in"), right or wrong; `tubecalc.need.Need` is what the core
understood. The words and fields of the sentence are in `tubecalc.app.grammar`.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from tubecalc.app.grammar import (
    CASES,
    CHIPS,
    FACTORS,
    HEATS,
    LIMITS,
    SHARES,
    START,
    SWITCHES,
    Field,
    Texts,
    fields_of,
)
from tubecalc.errors import InputError
from tubecalc.units import to_si


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
        old, known = self.cases[k], _keys_of(form)
        kept = [(key, text) for key, text in old.texts if key in known and text]
        texts = tuple({**dict(START[form]), **dict(kept)}.items())
        case = CaseDraft(form, texts, old.name)
        return replace(self, cases=(*self.cases[:k], case, *self.cases[k + 1 :]))


def _keys_of(form: str) -> set[str]:
    """Keys of a need file that make sense for a form."""
    keys = {f.key for f in fields_of(form)} | {"duration", "cycles"}
    if form in ("push", "pull"):
        keys |= {"guides", "end_fitting"}
    return keys | {key for key, (_, forms) in CHIPS.items() if form in forms}


def shares_of(draft: Draft) -> list[str]:
    """Durations among the cases that call for a knock-down of strength.

    Parameters
    ----------
    draft : Draft
        The need as typed.

    Returns
    -------
    list of str
        Keys of `SHARES`.

    Examples
    --------
    >>> shares_of(Draft())
    []
    """
    return [d for d in SHARES if any(c.get("duration") == d for c in draft.cases)]


def _with(texts: Texts, key: str, text: str) -> Texts:
    known = dict(texts)
    if text:
        known[key] = text
    else:
        known.pop(key, None)
    return tuple(known.items())


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
    out += [(f"factors.{SHARES[d][0]}", SHARES[d][3]) for d in shares_of(draft)]
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
        return from_table(tomllib.loads(text))
    except tomllib.TOMLDecodeError as error:
        raise InputError("is not valid TOML", where="need", got=str(error)) from None


def from_table(table: Mapping[str, Any]) -> Draft:
    """Read the parsed tables of a need into a draft without judging its values.

    Parameters
    ----------
    table : mapping
        Tables as TOML gives them.

    Returns
    -------
    Draft
        The texts.

    Examples
    --------
    >>> from_table({"title": "Rod"}).title
    'Rod'
    """
    draft = Draft(
        title=str(table.get("title", "")),
        cases=tuple(_case(c) for c in table.get("case", [])),
        limits=_texts(table.get("limits", {})),
        service=_texts(table.get("service", {})),
        factors=_texts(table.get("factors", {})),
    )
    for duration in shares_of(draft):  # not given means all of it; empty the published share
        key = SHARES[duration][0]
        share = draft.get(f"factors.{key}") or "1"
        draft = draft.put(f"factors.{key}", "" if share in ("0", "0.0") else share)
    return draft


def _case(table: Mapping[str, Any]) -> CaseDraft:
    rest = dict(table)
    name, kind = str(rest.pop("name", "")), str(rest.pop("kind", ""))
    load = str(rest.get("load", "")).strip()
    form = kind
    if kind == "strut":
        form = "push" if load[:1] in "-−" and load else "pull"
        rest["load"] = load.lstrip("-−+ ")
    for key, words in SWITCHES.items():
        if isinstance(rest.get(key), bool):
            rest[key] = next(word for word, on in words.items() if on == rest[key])
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
        for key, text in case.texts:
            sign = "-" if case.form == "push" and key == "load" else ""
            lines.append(f"{key} = {_case_value(key, sign + text)}")
    lines += ["", "[limits]", *(f"{k} = {_toml_text(v)}" for k, v in draft.limits)]
    lines += ["", "[service]"]
    lines += [f"{k} = " + ("true" if v == "yes" else _toml_text(v)) for k, v in draft.service]
    factors = dict(draft.factors)
    for duration in shares_of(draft):
        factors.setdefault(SHARES[duration][0], "0")
    lines += ["", "[factors]", *(f"{k} = {_number(v)}" for k, v in factors.items())]
    return "\n".join(lines) + "\n"


def _case_value(key: str, text: str) -> str:
    """Text of a case as a TOML value: switches and an effective length factor are no texts."""
    if text in SWITCHES.get(key, {}):
        return "true" if SWITCHES[key][text] else "false"
    return _number(text) if key == "ends" else _toml_text(text)


def _number(text: str) -> str:
    try:
        return repr(to_si(text, "number", what="factor"))
    except InputError:
        return _toml_text(text)
