"""Needs as TOML: reading with every fault named by case and field, and writing back exactly."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import fields
from pathlib import Path
from typing import Any

from tubecalc.errors import InputError, unknown_key
from tubecalc.materials import find_key, is_metal
from tubecalc.need_parts import (
    DURATIONS,
    END_FITTINGS,
    ENDS,
    FINISHES,
    FORMAT,
    HOLE_PLACES,
    KINDS,
    TOUCHES,
    Case,
    Factors,
    Limits,
    Service,
    bench_shares,
    none_for_nan,
)
from tubecalc.unit_words import for_system, worded
from tubecalc.units import to_si

_CASE_KINDS = {
    "load": "force", "span": "length", "inner_span": "length", "tip_mass": "mass",
    "roller_width": "length", "torque": "torque", "speed": "speed", "axial": "force",
    "moment": "moment", "shear": "force", "p_in": "pressure", "p_out": "pressure",
    "overhang": "length", "saddle_angle": "angle", "hole": "length", "edge_distance": "length",
}  # fmt: skip
_LIMIT_KINDS = {
    "deflection": "length", "slope": "angle", "twist": "angle", "mass": "mass",
    "od_max": "length", "id_min": "length", "frequency_min": "frequency",
    "bend_radius": "length", "expansion": "expansion",
}  # fmt: skip
_SI_TEXT = {
    "force": "N", "length": "m", "mass": "kg", "torque": "N m", "moment": "N m",
    "speed": "rad/s", "angle": "rad", "frequency": "Hz", "expansion": "1/K",
    "temperature": "degC", "pressure": "Pa",
}  # fmt: skip
_SIGNED = {"load", "axial", "moment", "shear", "torque", "expansion"}
_MAY_BE_ZERO = {"tip_mass", "roller_width", "p_in", "p_out", "overhang"}
_CHOICES = (
    ("end_fitting", END_FITTINGS), ("duration", DURATIONS), ("touch", TOUCHES),
    ("hole_place", HOLE_PLACES),
)  # fmt: skip
_SWITCHES = ("closed", "own_weight", "plug")


def read_table(source: str | Path) -> tuple[dict[str, Any], str]:
    """Parsed tables of a need file or text, and the name to put before a message.

    Raises
    ------
    InputError
        If the file cannot be read, is empty or is not TOML.
    """
    text, where = _text_of(source)
    if not text.strip():
        raise InputError("the need is empty", where=where, expected="at least one [[case]]")
    try:
        return tomllib.loads(text), where
    except tomllib.TOMLDecodeError as error:
        raise InputError("is not valid TOML", where=where, got=str(error)) from None
    except RecursionError:
        raise InputError("nests its brackets too deep to be a need", where=where) from None


Parts = tuple[str, tuple[Case, ...], Limits, Service, Factors]


def read_parts(table: Mapping[str, Any], where: str) -> Parts:
    """Parts of a need from its parsed tables.

    Raises
    ------
    InputError
        Naming case and field.
    """
    known = ("format", "title", "case", "limits", "service", "factors")
    _refuse_unknown(table, known, "key", where)
    version = table.get("format", FORMAT)
    if version != FORMAT:
        raise InputError(
            "format is not known to this version",
            where=f"{where}:format",
            got=version,
            expected=f"format = {FORMAT}",
        )
    cases = table.get("case", [])
    if isinstance(cases, Mapping):
        cases = [cases]
    if not isinstance(cases, list) or not cases:
        raise InputError("no case is given", where=where, expected="at least one [[case]]")
    return (
        str(table.get("title", "")),
        tuple(_read_case(c, f"{where}:case {n}") for n, c in enumerate(cases, 1)),
        _read_limits(_section(table, "limits", where), f"{where}:limits"),
        _read_service(_section(table, "service", where), f"{where}:service"),
        _read_factors(_section(table, "factors", where), f"{where}:factors"),
    )


def write(
    title: str, cases: tuple[Case, ...], limits: Limits, service: Service, factors: Factors
) -> str:
    """TOML text that `read_table` and `read_parts` read back exactly."""
    lines = [f"format = {FORMAT}", f"title = {_quoted(title)}"]
    for case in cases:
        lines += ["", "[[case]]", *_lines(case, Case(case.kind), {"kind"})]
    parts: tuple[tuple[str, Any, Any, set[str]], ...] = (
        ("limits", limits, Limits(), set()),
        ("service", service, Service(), set()),
        ("factors", factors, Factors(), {"strength", "buckling"}),
    )
    for name, part, default, always in parts:
        body = _lines(part, default, always)
        if body:
            lines += ["", f"[{name}]", *body]
    return "\n".join(lines) + "\n"


def _text_of(source: str | Path) -> tuple[str, str]:
    if isinstance(source, str) and ("\n" in source or "=" in source or not source.strip()):
        return source, "need"
    if not isinstance(source, str | Path):
        raise InputError(
            "is not a need", where="need", got=type(source).__name__,
            expected="the path of a TOML file or its text",
        )  # fmt: skip
    path = Path(source)
    if "\x00" in str(source):
        raise InputError("the name of the need file holds a zero byte", where="need")
    try:
        return path.read_text(encoding="utf-8-sig"), path.name
    except OSError as error:
        raise InputError(
            "the need file cannot be read", where=path.name[:80], got=str(error.strerror)
        ) from None
    except UnicodeDecodeError:
        raise InputError(
            "the need file is not UTF-8 text", where=path.name, expected="a TOML file"
        ) from None


def _section(table: Mapping[str, Any], name: str, where: str) -> Mapping[str, Any]:
    part = table.get(name, {})
    if not isinstance(part, Mapping):
        raise InputError("must be a table", where=f"{where}:{name}", expected=f"[{name}]")
    return part


def _refuse_unknown(
    table: Mapping[str, Any], known: tuple[str, ...], word: str, where: str
) -> None:
    for key in table:
        if key not in known:
            raise unknown_key(word, key, list(known), where)


def _choice(value: Any, known: tuple[str, ...], word: str, where: str) -> str:
    if value not in known:
        raise unknown_key(word, str(value), list(known), where)
    return str(value)


def _plain_number(value: Any, where: str, *, least: float = 0.0, strict: bool = False) -> float:
    """A bare number within its range."""
    try:
        number = float(value)
    except (TypeError, ValueError):
        raise InputError("is not a number", where=where, got=value) from None
    low = number <= least if strict else number < least
    if isinstance(value, bool) or not math.isfinite(number) or low:
        word = "above" if strict else "at least"
        raise InputError("is out of range", where=where, got=value, expected=f"{word} {least:g}")
    return number


def _read_case(table: Any, where: str) -> Case:
    if not isinstance(table, Mapping):
        raise InputError("a case must be a table", where=where, expected="[[case]]")
    table = dict(table)
    if "length" in table and "span" not in table:
        table["span"] = table.pop("length")
    _refuse_unknown(table, tuple(f.name for f in fields(Case)), "key", where)
    if "kind" not in table:
        raise InputError("the kind of case is missing", where=where, expected=", ".join(KINDS))
    kind = _choice(table["kind"], tuple(KINDS), "kind of case", f"{where}:kind")
    values: dict[str, Any] = {"kind": kind, "name": str(table.get("name", ""))}
    if kind == "pressure" and "load" in table:
        raise InputError(
            "a pressure case takes no load", where=f"{where}:load", got=table["load"],
            expected=for_system('p_in = "10 bar" or p_out = "10 bar"',
                                'p_in = "150 psi" or p_out = "150 psi"'),
        )  # fmt: skip
    for name in KINDS[kind]:
        if name not in table:
            raise InputError(f"{name} is missing", where=where, expected=f'{name} = "..."')
    for name, unit_kind in _CASE_KINDS.items():
        if name in table:
            values[name] = _case_value(name, unit_kind, table, kind, where)
    if "ends" in table:
        ends = table["ends"]
        values["ends"] = (
            _choice(ends, tuple(ENDS), "end condition", f"{where}:ends")
            if isinstance(ends, str)
            else _plain_number(ends, f"{where}:ends", strict=True)
        )
    if "guides" in table:
        number = _plain_number(table["guides"], f"{where}:guides")
        if number != int(number):
            raise InputError("must be a whole number", where=f"{where}:guides", got=table["guides"])
        values["guides"] = int(number)
    for name, known in _CHOICES:
        if name in table:
            values[name] = _choice(table[name], known, name, f"{where}:{name}")
    for name in _SWITCHES:
        if name in table:
            values[name] = _switch(table[name], f"{where}:{name}")
    if "cycles" in table:
        values["cycles"] = _plain_number(table["cycles"], f"{where}:cycles", least=1.0)
    return _checked_case(Case(**values), where)


def _case_value(
    name: str, unit_kind: str, table: Mapping[str, Any], kind: str, where: str
) -> float:
    """One value of a case; a uniform load may be given per length."""
    positive = name not in _SIGNED and name not in _MAY_BE_ZERO
    if name == "load" and kind == "uniform":
        try:
            return to_si(table[name], "force", what=name, where=where)
        except InputError as error:
            try:
                per_length = to_si(table[name], "line_load", what=name, where=where)
            except InputError:
                raise error from None
            return per_length * to_si(table["span"], "length", what="span", where=where)
    return to_si(table[name], unit_kind, what=name, where=where, positive=positive)


def _checked_case(case: Case, where: str) -> Case:
    """Refuse a case that asks for nothing or contradicts itself."""
    acting = [case.load, case.torque, case.axial, case.moment, case.shear, case.p_in, case.p_out]
    if not any(x for x in acting if not math.isnan(x)):
        raise InputError("the case carries no load", where=where, expected="a load above zero")
    for name in _IDLE:
        _refuse_idle(case, name, where)
    for name in sorted(_MAY_BE_ZERO):
        if getattr(case, name) < 0:
            raise InputError("is negative; it must be zero or more", where=f"{where}:{name}")
    held = {"uniform": ("pinned-pinned", "fixed-free"), "shaft": tuple(ENDS)}.get(
        case.kind, ("pinned-pinned",)
    )
    if case.kind in ("three-point", "four-point", "uniform", "shaft") and case.ends not in held:
        raise InputError(
            f"a {case.kind} case is not computed with these ends",
            where=f"{where}:ends",
            got=case.ends,
            expected=" or ".join(held),
        )
    _check_places(case, where)
    if case.kind == "four-point" and case.inner_span >= case.span:
        raise InputError(
            "the inner span is not inside the span", where=f"{where}:inner_span",
            got=f"{case.inner_span:g} m", expected=f"below {case.span:g} m",
        )  # fmt: skip
    if not math.isnan(case.speed) and math.isnan(case.span):
        raise InputError(
            "a speed needs the span between bearings", where=where, expected='span = "..."'
        )
    return case


# field -> kinds of case that read it; anywhere else it would be taken silently
_IDLE = {
    "p_in": ("pressure", "combined"), "p_out": ("pressure", "combined"),
    "overhang": ("shaft",),
    "own_weight": ("strut", "three-point", "four-point", "uniform", "cantilever"),
}  # fmt: skip


def _refuse_idle(case: Case, name: str, where: str) -> None:
    """A field that the kind of case does not use is refused, not taken silently."""
    default = none_for_nan(getattr(Case(case.kind), name))
    if case.kind not in _IDLE[name] and none_for_nan(getattr(case, name)) != default:
        raise InputError(
            f"{name} is not used by a {case.kind} case", where=f"{where}:{name}",
            expected="a " + " or ".join(_IDLE[name]) + " case",
        )  # fmt: skip


def _check_places(case: Case, where: str) -> None:
    """Refuse load points that cannot be."""
    if case.saddle_angle > 2 * math.pi * (1 + 1e-9):
        raise InputError(
            "a saddle embraces at most the whole tube", where=f"{where}:saddle_angle",
            got=f"{math.degrees(case.saddle_angle):.4g} deg", expected="at most 360 deg",
        )  # fmt: skip
    if case.touch == "bolt" and math.isnan(case.hole):
        raise InputError(
            "a bolt needs the diameter of its hole", where=where,
            expected=for_system('hole = "5 mm"', 'hole = "0.2 in"'),
        )  # fmt: skip
    if case.edge_distance < case.hole / 2:
        raise InputError(
            "the hole runs out at the end of the tube", where=f"{where}:edge_distance",
            got=worded("{}", "length", case.edge_distance),
            expected=worded("more than half the hole, {}", "length", case.hole / 2),
        )  # fmt: skip


def _switch(value: Any, where: str) -> bool:
    if not isinstance(value, bool):
        raise InputError("must be true or false", where=where, got=value)
    return value


def _read_limits(table: Mapping[str, Any], where: str) -> Limits:
    _refuse_unknown(table, tuple(_LIMIT_KINDS), "limit", where)
    return Limits(
        **{
            k: to_si(v, _LIMIT_KINDS[k], what=k, where=where, positive=True)
            for k, v in table.items()
        }
    )


def _read_service(table: Mapping[str, Any], where: str) -> Service:
    _refuse_unknown(table, tuple(f.name for f in fields(Service)), "service condition", where)
    values: dict[str, Any] = {}
    for key, value in table.items():
        at = f"{where}:{key}"
        if key in ("temperature", "temperature_min"):
            values[key] = to_si(value, "temperature", what=key, where=where)
        elif key == "finish":
            values[key] = _choice(value, FINISHES, "finish", at)
        elif key == "contact_metal":
            if not isinstance(value, bool | str):
                raise InputError("must be the name of a metal", where=at, got=value)
            values[key] = ("metal" if value else "") if isinstance(value, bool) else value
        elif key == "insert":
            values[key] = _metal_key(value, at)
        elif isinstance(value, bool):
            values[key] = value
        else:
            raise InputError("must be true or false", where=at, got=value)
    return Service(**values)


def _metal_key(value: Any, where: str) -> str:
    """Key of a metal of the data files."""
    if not isinstance(value, str):
        raise InputError("must be the name of a metal", where=where, got=value)
    if not value:
        return ""
    key = find_key(value, where)
    if not is_metal(key):
        raise InputError("is not a metal", where=where, got=value, expected="a metal's key")
    return key


def _read_factors(table: Mapping[str, Any], where: str) -> Factors:
    from tubecalc.laminate.strength import CRITERIA

    _refuse_unknown(table, tuple(f.name for f in fields(Factors)), "factor", where)
    values: dict[str, Any] = {}
    for key, value in table.items():
        at = f"{where}:{key}"
        if key == "criterion":
            values[key] = _choice(value, tuple(CRITERIA), "criterion", at)
        elif key == "bench":
            values[key] = str(value).strip()
            bench_shares(values[key], at)
        else:
            strict = key not in ("bow", "shell", "sustained", "fatigue")
            values[key] = _plain_number(value, at, strict=strict)
            if key in ("sustained", "fatigue", "shell") and values[key] > 1.0:
                raise InputError("is a knock-down", where=at, got=value, expected="1 or less")
    return Factors(**values)


def _quoted(text: str) -> str:
    out = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(c if c.isprintable() else f"\\U{ord(c):08x}" for c in out) + '"'


def _lines(part: Any, default: Any, always: set[str]) -> list[str]:
    """Fields that differ from their default, as TOML."""
    out = []
    for f in fields(part):
        value = getattr(part, f.name)
        if f.name not in always and none_for_nan(value) == none_for_nan(getattr(default, f.name)):
            continue
        kind = {**_CASE_KINDS, **_LIMIT_KINDS}.get(f.name)
        if f.name.startswith("temperature"):
            kind = "temperature"
        if isinstance(part, Factors):
            kind = None
        if isinstance(value, bool):
            text = "true" if value else "false"
        elif isinstance(value, str):
            text = _quoted(value)
        elif kind is None:
            text = repr(value)
        else:
            text = f'"{value!r} {_SI_TEXT[kind]}"'
        out.append(f"{f.name} = {text}")
    return out
