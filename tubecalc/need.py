"""The need: cases, limits, service and factors; from TOML and back."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from pathlib import Path
from typing import Any

from tubecalc.errors import InputError, unknown_key
from tubecalc.units import to_si

FORMAT = 1
NAN = math.nan
KINDS: dict[str, tuple[str, ...]] = {  # kind -> fields it must have
    "strut": ("load", "span"),
    "three-point": ("load", "span"),
    "four-point": ("load", "span"),
    "uniform": ("load", "span"),
    "cantilever": ("load", "span"),
    "shaft": ("torque",),
    "combined": (),
}
ENDS = {
    "pinned-pinned": 1.0, "fixed-fixed": 0.5, "fixed-pinned": 0.6992, "fixed-free": 2.0,
}  # effective length factors of elastic stability, tan x = x for fixed-pinned  # fmt: skip
END_FITTINGS = ("bonded", "plain")
DURATIONS = ("short", "long", "cyclic")
FINISHES = ("any", "smooth", "woven")
GRAVITY = 9.80665
_CASE_KINDS = {
    "load": "force", "span": "length", "inner_span": "length", "tip_mass": "mass",
    "roller_width": "length", "torque": "torque", "speed": "speed", "axial": "force",
    "moment": "moment", "shear": "force",
}  # fmt: skip
_LIMIT_KINDS = {
    "deflection": "length", "slope": "angle", "twist": "angle", "mass": "mass",
    "od_max": "length", "id_min": "length", "frequency_min": "frequency",
    "bend_radius": "length", "expansion": "expansion",
}  # fmt: skip
_SI_TEXT = {
    "force": "N", "length": "m", "mass": "kg", "torque": "N m", "moment": "N m",
    "speed": "rad/s", "angle": "rad", "frequency": "Hz", "expansion": "1/K",
    "temperature": "degC",
}  # fmt: skip
_SIGNED = {"load", "axial", "moment", "shear", "torque", "expansion"}


@dataclass(frozen=True)
class Case:
    """One load case in SI; NaN where a value is not given.

    Strut: + load is tension, - compression. Four-point and uniform: load is the total. A number
    of equally spaced guides along a strut divides its free length. A tip mass counts in the
    frequency; its weight is not added to the load.
    """

    kind: str
    name: str = ""
    load: float = NAN
    span: float = NAN
    ends: str | float = "pinned-pinned"
    guides: int = 0
    inner_span: float = NAN
    tip_mass: float = 0.0
    roller_width: float = 0.0
    torque: float = NAN
    speed: float = NAN
    axial: float = 0.0
    moment: float = 0.0
    shear: float = 0.0
    end_fitting: str = "bonded"
    duration: str = "short"

    @property
    def end_factor(self) -> float:
        """Effective length over length between guides [-]."""
        factor = ENDS[self.ends] if isinstance(self.ends, str) else float(self.ends)
        return factor / (self.guides + 1)


@dataclass(frozen=True)
class Limits:
    """What must not be exceeded, in SI; NaN where there is no limit."""

    deflection: float = NAN
    slope: float = NAN
    twist: float = NAN
    mass: float = NAN
    od_max: float = NAN
    id_min: float = NAN
    frequency_min: float = NAN
    bend_radius: float = NAN
    expansion: float = NAN


@dataclass(frozen=True)
class Service:
    """What the tube must put up with; temperatures in degC."""

    temperature: float = NAN
    temperature_min: float = NAN
    sliding: bool = False
    thread: bool = False
    weld: bool = False
    form: bool = False
    insulating: bool = False
    outdoor: bool = False
    salt: bool = False
    radio: bool = False
    contact_metal: str = ""
    finish: str = "any"


@dataclass(frozen=True)
class Factors:
    """Factors on the demand and knock-downs on the capacity; all are shown, none is hidden.

    strength and buckling multiply the load; sustained and fatigue multiply the strength of cases
    of long or cyclic duration; bow is the out-of-straightness of a strut over its length (0.002:
    EN 10210-2 straightness); shell multiplies local buckling loads, 0 meaning the cautious bound
    of NASA SP-8007; criterion judges the first damage of a ply.
    """

    strength: float = 1.0
    buckling: float = 1.0
    sustained: float = 1.0
    fatigue: float = 1.0
    bow: float = 0.002
    shell: float = 0.0
    criterion: str = "hashin"


@dataclass(frozen=True)
class Need:
    """What the tube is for.

    Examples
    --------
    >>> need = Need.from_toml('''
    ... format = 1
    ... title = "Boom"
    ... [[case]]
    ... kind = "cantilever"
    ... load = "60 N"
    ... span = "1.2 m"
    ... ''')
    >>> need.cases[0].load, need.cases[0].span
    (60.0, 1.2)
    >>> Need.from_toml(need.to_toml()) == need
    True
    """

    title: str = ""
    cases: tuple[Case, ...] = ()
    limits: Limits = field(default_factory=Limits)
    service: Service = field(default_factory=Service)
    factors: Factors = field(default_factory=Factors)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Need) and self._key() == other._key()

    def __hash__(self) -> int:
        return hash(self._key())

    def _key(self) -> tuple[object, ...]:
        def plain(part: Any) -> tuple[object, ...]:
            return tuple(_none_for_nan(getattr(part, f.name)) for f in fields(part))

        return (
            self.title, *(plain(c) for c in self.cases), plain(self.limits), plain(self.service),
            plain(self.factors),
        )  # fmt: skip

    @classmethod
    def from_toml(cls, source: str | Path) -> Need:
        """Read a need from a TOML file or text.

        Parameters
        ----------
        source : str or pathlib.Path
            Path of a file, or the text itself (recognised by a line break or an equals sign).

        Returns
        -------
        Need

        Raises
        ------
        InputError
            Naming file, case and field; for an empty file, an unknown or newer format, an unknown
            key (with the nearest), a missing unit, a wrong dimension, or no case at all.
        """
        text, where = _text_of(source)
        if not text.strip():
            raise InputError("the need is empty", where=where, expected="at least one [[case]]")
        try:
            table = tomllib.loads(text)
        except tomllib.TOMLDecodeError as error:
            raise InputError("is not valid TOML", where=where, got=str(error)) from None
        return cls.from_table(table, where)

    @classmethod
    def from_table(cls, table: Mapping[str, Any], where: str = "need") -> Need:
        """Build a need from parsed tables; see `from_toml`."""
        known = ("format", "title", "case", "limits", "service", "factors")
        _refuse_unknown(table, known, "key", where)
        version = table.get("format", FORMAT)
        if version != FORMAT:
            raise InputError(
                "format is not known to this version",
                where=f"{where}:format", got=version, expected=f"format = {FORMAT}",
            )  # fmt: skip
        cases = table.get("case", [])
        if isinstance(cases, Mapping):
            cases = [cases]
        if not isinstance(cases, list) or not cases:
            raise InputError("no case is given", where=where, expected="at least one [[case]]")
        return cls(
            str(table.get("title", "")),
            tuple(_read_case(c, f"{where}:case {n}") for n, c in enumerate(cases, 1)),
            _read_limits(_section(table, "limits", where), f"{where}:limits"),
            _read_service(_section(table, "service", where), f"{where}:service"),
            _read_factors(_section(table, "factors", where), f"{where}:factors"),
        )

    def to_toml(self) -> str:
        """Write the need as TOML that `from_toml` reads back exactly (SI units)."""
        lines = [f"format = {FORMAT}", f"title = {_quoted(self.title)}"]
        for case in self.cases:
            lines += ["", "[[case]]", *_lines(case, Case(case.kind), {"kind"})]
        for name, part, default in (
            ("limits", self.limits, Limits()),
            ("service", self.service, Service()),
            ("factors", self.factors, Factors()),
        ):
            body = _lines(part, default, {"strength", "buckling"} if name == "factors" else set())
            if body:
                lines += ["", f"[{name}]", *body]
        return "\n".join(lines) + "\n"

    def with_case(self, number: int, **changes: Any) -> Need:
        """Copy with fields of one case changed (SI values)."""
        cases = list(self.cases)
        cases[number] = replace(cases[number], **changes)
        return replace(self, cases=tuple(cases))


def _none_for_nan(value: object) -> object:
    return None if isinstance(value, float) and math.isnan(value) else value


def _text_of(source: str | Path) -> tuple[str, str]:
    if isinstance(source, str) and ("\n" in source or "=" in source or not source.strip()):
        return source, "need"
    path = Path(source)
    try:
        return path.read_text(encoding="utf-8-sig"), path.name
    except OSError as error:
        raise InputError(
            "the need file cannot be read", where=path.name, got=str(error.strerror)
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
        values["guides"] = int(_plain_number(table["guides"], f"{where}:guides"))
    for name, known in (("end_fitting", END_FITTINGS), ("duration", DURATIONS)):
        if name in table:
            values[name] = _choice(table[name], known, name, f"{where}:{name}")
    return _checked_case(Case(**values), where)


def _case_value(
    name: str, unit_kind: str, table: Mapping[str, Any], kind: str, where: str
) -> float:
    """One value of a case; a uniform load may be given per length."""
    positive = name not in _SIGNED and name not in ("tip_mass", "roller_width")
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
    acting = [case.load, case.torque, case.axial, case.moment, case.shear]
    if not any(x for x in acting if not math.isnan(x)):
        raise InputError("the case carries no load", where=where, expected="a load above zero")
    if case.tip_mass < 0 or case.roller_width < 0:
        raise InputError("is negative; it must be zero or more", where=where)
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
            values[key] = ("metal" if value else "") if isinstance(value, bool) else str(value)
        elif isinstance(value, bool):
            values[key] = value
        else:
            raise InputError("must be true or false", where=at, got=value)
    return Service(**values)


def _read_factors(table: Mapping[str, Any], where: str) -> Factors:
    from tubecalc.laminate.strength import CRITERIA

    _refuse_unknown(table, tuple(f.name for f in fields(Factors)), "factor", where)
    values: dict[str, Any] = {}
    for key, value in table.items():
        at = f"{where}:{key}"
        if key == "criterion":
            values[key] = _choice(value, tuple(CRITERIA), "criterion", at)
        else:
            values[key] = _plain_number(value, at, strict=key not in ("bow", "shell"))
            if key in ("sustained", "fatigue", "shell") and values[key] > 1.0:
                raise InputError("is a knock-down", where=at, got=value, expected="1 or less")
    return Factors(**values)


def _quoted(text: str) -> str:
    out = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(c if c.isprintable() else f"\\u{ord(c):04x}" for c in out) + '"'


def _lines(part: Any, default: Any, always: set[str]) -> list[str]:
    """Fields that differ from their default, as TOML."""
    out = []
    for f in fields(part):
        value = getattr(part, f.name)
        if f.name not in always and _none_for_nan(value) == _none_for_nan(getattr(default, f.name)):
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
