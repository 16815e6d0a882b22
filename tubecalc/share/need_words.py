"""A need as sentences that a customer reads, in any display system."""

from __future__ import annotations

import math
from collections.abc import Callable

from tubecalc.checks.base import case_name
from tubecalc.need import Case, Factors, Limits, Need, Service
from tubecalc.unit_display import show

_LIMITS: tuple[tuple[str, str, str], ...] = (
    ("deflection", "length", "sag at most {}"),
    ("slope", "angle", "tilt at most {}"),
    ("twist", "angle", "twist at most {}"),
    ("frequency_min", "frequency", "first frequency at least {}"),
    ("mass", "mass", "weight at most {}"),
    ("od_max", "length", "outside at most {}"),
    ("id_min", "length", "bore at least {}"),
    ("bend_radius", "length", "bent by hand to a radius of {}"),
    ("expansion", "expansion", "growth with heat at most {}"),
)
_SERVICE: tuple[tuple[str, str], ...] = (
    ("sliding", "slides in another tube"), ("thread", "takes a thread"), ("weld", "is welded"),
    ("form", "is bent later"), ("insulating", "insulates"), ("radio", "lets radio pass"),
    ("outdoor", "lives outdoors"), ("salt", "meets salt water"), ("wet", "soaks up moisture"),
)  # fmt: skip
Show = Callable[[float, str], str]


def joined(parts: list[str], last: str = "and") -> str:
    """Join clauses as one reads them.

    Parameters
    ----------
    parts : list of str
        The clauses.
    last : str
        Word before the last one.

    Returns
    -------
    str

    Examples
    --------
    >>> joined(["a", "b", "c"])
    'a, b and c'
    """
    head, tail = parts[:-1], parts[-1:]
    return f" {last} ".join(p for p in (", ".join(head), *tail) if p)


def sentence(text: str) -> str:
    """Text with a capital letter and a full stop.

    Parameters
    ----------
    text : str
        A clause.

    Returns
    -------
    str

    Examples
    --------
    >>> sentence("sags 3 mm")
    'Sags 3 mm.'
    """
    text = text.strip()
    if not text:
        return ""
    text = text[0].upper() + text[1:]
    return text if text[-1] in ".!?" else f"{text}."


def case_words(case: Case, system: str = "SI") -> str:
    """One load case as a clause.

    Parameters
    ----------
    case : Case
        The case.
    system : str
        Display system.

    Returns
    -------
    str
        "carry 60 N at the tip of ...", without the name of the case.

    Examples
    --------
    >>> case_words(Case("strut", load=-800.0, span=0.9))
    'take a push of 800 N over 900 mm (ends pinned-pinned)'
    """

    def tell(value: float, kind: str) -> str:
        return show(abs(value), kind, system)

    words = _KINDS[case.kind](case, tell)
    return words + "".join(f", {part}" for part in _also(case, tell))


def _known(value: float) -> bool:
    return not math.isnan(value) and value != 0


def _ends(case: Case) -> str:
    if isinstance(case.ends, str):
        return f"ends {case.ends}"
    return f"effective length {case.ends:g} of the length"


def _strut(c: Case, tell: Show) -> str:
    way = "push" if c.load < 0 else "pull"
    guides = f", guided at {c.guides} places" if c.guides else ""
    load, span = tell(c.load, "force"), tell(c.span, "length")
    return f"take a {way} of {load} over {span} ({_ends(c)}{guides})"


def _under(c: Case, tell: Show) -> str:
    if not c.roller_width:
        return ""
    return f" under a {c.touch} {tell(c.roller_width, 'length')} long"


def _three(c: Case, tell: Show) -> str:
    span = tell(c.span, "length")
    return f"bear {tell(c.load, 'force')} in the middle of {span} between supports{_under(c, tell)}"


def _four(c: Case, tell: Show) -> str:
    inner = f"{tell(c.inner_span, 'length')} apart" if _known(c.inner_span) else "a third apart"
    span = tell(c.span, "length")
    return (
        f"bear {tell(c.load, 'force')} at two places {inner} on {span} between supports"
        f"{_under(c, tell)}"
    )


def _uniform(c: Case, tell: Show) -> str:
    load, span = tell(c.load, "force"), tell(c.span, "length")
    return f"bear {load} spread evenly over {span} ({_ends(c)})"


def _cantilever(c: Case, tell: Show) -> str:
    tip = f" with {tell(c.tip_mass, 'mass')} on its end" if c.tip_mass else ""
    load, span = tell(c.load, "force"), tell(c.span, "length")
    return f"carry {load} at the tip of a reach of {span}{tip}"


def _shaft(c: Case, tell: Show) -> str:
    speed = f" at {tell(c.speed, 'speed')}" if _known(c.speed) else ""
    span = f" over {tell(c.span, 'length')} between bearings" if _known(c.span) else ""
    out = f"pass on a torque of {tell(c.torque, 'torque')}{speed}{span}"
    if c.overhang:
        mass = f" with {tell(c.tip_mass, 'mass')} on the end" if c.tip_mass else ""
        out += f", reaching {tell(c.overhang, 'length')} beyond them{mass}"
    return out


def _pressure(c: Case, tell: Show) -> str:
    parts = [
        f"{tell(p, 'pressure')} {side}"
        for p, side in ((c.p_in, "inside"), (c.p_out, "outside"))
        if _known(p)
    ]
    span = f", {tell(c.span, 'length')} between rigid rings" if _known(c.span) else ""
    ends = "closed" if c.closed else "open"
    return f"hold {joined(parts) or 'no pressure'} with {ends} ends{span}"


def _combined(c: Case, tell: Show) -> str:
    along = "pull" if c.axial > 0 else "push"
    parts = [
        f"{words} of {tell(value, kind)}"
        for value, kind, words in (
            (c.axial, "force", f"a {along}"), (c.moment, "moment", "a bending moment"),
            (c.shear, "force", "a shear force"), (c.torque, "torque", "a torque"),
            (c.p_in, "pressure", "a pressure inside"), (c.p_out, "pressure", "a pressure outside"),
        ) if _known(value)
    ]  # fmt: skip
    over = f" over {tell(c.span, 'length')}" if _known(c.span) else ""
    return f"take {joined(parts) or 'no load'} at once{over}"


_KINDS: dict[str, Callable[[Case, Show], str]] = {
    "strut": _strut, "three-point": _three, "four-point": _four, "uniform": _uniform,
    "cantilever": _cantilever, "shaft": _shaft, "pressure": _pressure, "combined": _combined,
}  # fmt: skip


def _also(c: Case, tell: Show) -> list[str]:
    out = []
    if c.duration == "long":
        out.append("for long")
    if c.duration == "cyclic":
        out.append(f"{c.cycles:,.0f} times".replace(",", "\u202f") if _known(c.cycles)
                   else "again and again")  # fmt: skip
    if c.own_weight:
        out.append("own weight counted")
    if _known(c.hole):
        out.append(f"with a cross hole of {tell(c.hole, 'length')}")
    if c.plug:
        out.append("with a tight plug under the load")
    if c.end_fitting == "plain" and c.kind == "strut" and c.load < 0:
        out.append("on plain cut ends")
    return out


def limits_words(limits: Limits, system: str = "SI") -> str:
    """Limits as one clause, "" without any.

    Parameters
    ----------
    limits : Limits
        The limits.
    system : str
        Display system.

    Returns
    -------
    str

    Examples
    --------
    >>> limits_words(Limits(deflection=0.025, od_max=0.04))
    'sag at most 25 mm, outside at most 40 mm'
    """
    return ", ".join(
        words.format(show(value, kind, system))
        for name, kind, words in _LIMITS
        if not math.isnan(value := float(getattr(limits, name)))
    )


def service_words(service: Service, system: str = "SI") -> str:
    """What the tube must put up with as one clause, "" for nothing.

    Parameters
    ----------
    service : Service
        The service.
    system : str
        Display system.

    Returns
    -------
    str

    Examples
    --------
    >>> service_words(Service(temperature=60.0, salt=True))
    'works at up to 60 °C and meets salt water'
    """
    out = []
    heat, cold = service.temperature, service.temperature_min
    if not math.isnan(heat):
        out.append(f"works at up to {show(heat, 'temperature', system)}")
    if not math.isnan(cold):
        out.append(f"works down to {show(cold, 'temperature', system)}")
    out += [words for name, words in _SERVICE if getattr(service, name)]
    if service.contact_metal:
        out.append(f"touches {service.contact_metal}")
    if service.insert:
        out.append(f"holds an insert of {service.insert}")
    if service.finish != "any":
        out.append({"smooth": "has a smooth finish"}.get(service.finish, "shows a woven face"))
    return joined(out)


def factor_words(f: Factors) -> str:
    """Factors on the loads as a sentence.

    Parameters
    ----------
    f : Factors
        The factors.

    Returns
    -------
    str

    Examples
    --------
    >>> factor_words(Factors(strength=2.0, buckling=2.0))
    'Every load is counted 2 times.'
    """
    tests = " What own bench tests leave of what is computed is counted." if f.bench else ""
    if f.strength == f.buckling:
        if f.strength == 1.0:
            return f"No safety factor is set.{tests}"
        return f"Every load is counted {f.strength:g} times.{tests}"
    return (
        f"Loads are counted {f.strength:g} times for strength and {f.buckling:g} times for "
        f"buckling.{tests}"
    )


def need_words(need: Need, system: str = "SI") -> list[str]:
    """Need in words: what it must carry, what limits it, what it meets, the factors.

    Parameters
    ----------
    need : Need
        The need.
    system : str
        Display system.

    Returns
    -------
    list of str
        Sentences, each of one part of the need.

    Examples
    --------
    >>> need_words(Need(cases=(Case("cantilever", load=60.0, span=1.2),)))[0].replace(
    ...     "\N{NARROW NO-BREAK SPACE}", " ")
    'It must carry 60 N at the tip of a reach of 1 200 mm.'
    """
    if not need.cases:
        return ["No load is stated."]
    named = len(need.cases) > 1
    out = [
        f"{f'{case_name(c, n)}: it' if named else 'It'} must {case_words(c, system)}."
        for n, c in enumerate(need.cases, 1)
    ]
    if limits := limits_words(need.limits, system):
        out.append(sentence(limits))
    if service := service_words(need.service, system):
        out.append(f"It {service}.")
    return [sentence(x) for x in (*out, factor_words(need.factors))]


__all__ = [
    "case_words", "factor_words", "joined", "limits_words", "need_words", "sentence",
    "service_words",
]  # fmt: skip
