"""Jobs as TOML and inside a page: reading with every fault named by place, writing back exactly."""

from __future__ import annotations

import hashlib
import re
import tomllib
from collections.abc import Callable, Mapping
from dataclasses import fields
from datetime import date, time
from pathlib import Path
from typing import Any, TypeVar

from tubecalc.errors import InputError, unknown_key
from tubecalc.job_parts import (
    MOST_CANDIDATES,
    MOST_CASES,
    Candidate,
    Text,
    date_of,
    text_of,
)
from tubecalc.need import Need
from tubecalc.units import to_si

Part = TypeVar("Part")
NUMBER = 1
LARGEST = 5 * 2**20
BLOCK_ID = "tubecalc-job"
_NEED_KEYS = ("format", "title", "case", "limits", "service", "factors")
_KEYS = (
    "job", "version", "date", "units", "currency", "chosen", "need", "candidate", "wall", "text",
    "test", "page",
)  # fmt: skip
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_TAG = re.compile(r"<script\s[^<>]{0,400}>", re.IGNORECASE)
_ID = re.compile(r"""\sid\s*=\s*(["']?)tubecalc-job\1[\s>]""", re.IGNORECASE)
_SUM = re.compile(r"""\sdata-sum\s*=\s*["']?([0-9a-f]{16})["'\s>]""", re.IGNORECASE)
_LINE = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")


# ---- reading ---------------------------------------------------------------------------------
def read_source(source: str | Path, what: str = "job") -> tuple[str, str]:
    """Text of a file, or the text itself, and the name to put before a message.

    Parameters
    ----------
    source : str or pathlib.Path
        Path, or text (recognised by a line break, an equals sign or a bracket).
    what : str
        "job" or "page".

    Returns
    -------
    tuple of str
        Text and name.

    Raises
    ------
    InputError
        If it is too big, cannot be read, is not UTF-8 or is empty.
    """
    if not isinstance(source, str | Path):
        raise InputError(
            f"is not a {what}", where=what, got=type(source).__name__,
            expected="the path of a file or its text",
        )  # fmt: skip
    if isinstance(source, str) and (
        len(source) > 1000 or re.search(r"[\n=<]", source) or not source.strip()
    ):
        text, where = source, what
    else:
        text, where = _file_text(Path(source), what)
    if len(text) > LARGEST or len(text.encode("utf-8", "replace")) > LARGEST:
        raise _too_big(where, what)
    if not text.strip():
        raise InputError(f"the {what} is empty", where=where)
    return text, where


def _file_text(path: Path, what: str) -> tuple[str, str]:
    name = path.name[:80] or what
    if "\x00" in str(path):
        raise InputError(f"the name of the {what} file holds a zero byte", where=what)
    try:
        if path.stat().st_size > LARGEST:
            raise _too_big(name, what)
        return path.read_text(encoding="utf-8-sig"), name
    except OSError as error:
        raise InputError(
            f"the {what} file cannot be read", where=name, got=str(error.strerror)
        ) from None
    except UnicodeDecodeError:
        raise InputError(f"the {what} file is not UTF-8 text", where=name) from None


def _too_big(where: str, what: str) -> InputError:
    return InputError(f"the {what} is too big", where=where, expected="at most 5 MB")


def read_table(text: str, where: str, first_line: int = 1) -> dict[str, Any]:
    """Parsed tables of a job.

    Parameters
    ----------
    text : str
        TOML text.
    where : str
        Name to put before a message.
    first_line : int
        Line of the file on which the text begins [-].

    Returns
    -------
    dict

    Raises
    ------
    InputError
        Naming the line if it is not TOML.
    """
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        words = str(error)
        found = _LINE.search(words)
        last = text.count("\n") + 1
        line = int(found.group(1)) if found and found.group(1) else last
        raise InputError(
            "is damaged or no TOML", where=f"{where}:line {line + first_line - 1}",
            got=_LINE.sub("", words)[:200],
        ) from None  # fmt: skip
    except RecursionError:
        raise InputError("nests its brackets too deep to be a job", where=where) from None
    except ValueError as error:  # whole numbers of thousands of digits
        raise InputError("is no TOML", where=where, got=str(error)[:80]) from None


def read_parts(table: Mapping[str, Any], where: str) -> dict[str, Any]:
    """Fields of a job from its parsed tables; a bare need is a job without candidates.

    Parameters
    ----------
    table : mapping
        Tables as TOML gives them.
    where : str
        Name to put before a message.

    Returns
    -------
    dict
        Field of `Job` -> value.

    Raises
    ------
    InputError
        Naming the place.
    """
    if "job" not in table and any(key in table for key in ("format", "case")):
        return {"need": _need(table, where), "version": ""}
    _check_number(table, where)
    for key in table:
        if key not in _KEYS:
            raise unknown_key("key", key, _KEYS, where)
    out: dict[str, Any] = {
        "need": _need(_section(table, "need", where), f"{where}:need"),
        "candidates": _candidates(table.get("candidate", []), where),
        "walls": _section(table, "wall", where),
        "text": _words(_section(table, "text", where), f"{where}:text"),
        "tests": tuple(_tables(table.get("test", []), "test", where)),
        "page": _section(table, "page", where),
        "date": date_of(table.get("date", ""), f"{where}:date"),
        "version": text_of(table.get("version", ""), f"{where}:version"),
    }
    for name in ("units", "currency", "chosen"):
        if name in table:
            out[name] = table[name]
    return out


def _check_number(table: Mapping[str, Any], where: str) -> None:
    if "job" not in table:
        raise InputError(
            "is not a job: the line job = 1 is missing at the top", where=where,
            got=", ".join(list(table)[:6]) or "nothing",
        )  # fmt: skip
    number = table["job"]
    if isinstance(number, bool) or not isinstance(number, int) or number < 1:
        raise InputError(
            "is not a job number", where=f"{where}:job", got=str(number)[:80],
            expected=f"job = {NUMBER}",
        )  # fmt: skip
    if number > NUMBER:
        by = str(table.get("version", ""))[:20]
        raise InputError(
            "was written by a newer tubecalc" + (f", {by}," if by else "")
            + " and is not guessed at: install that one, or have the job saved by this one",
            where=f"{where}:job", got=number, expected=f"job = {NUMBER}",
        )  # fmt: skip


def _need(table: Mapping[str, Any], where: str) -> Need:
    cases = table.get("case", [])
    if isinstance(cases, list) and len(cases) > MOST_CASES:
        raise InputError(
            "there are too many cases", where=where, got=len(cases),
            expected=f"at most {MOST_CASES}",
        )  # fmt: skip
    if cases == []:  # a job may be begun before its need
        none = {**table, "case": [{"kind": "shaft", "torque": "1 N m"}]}
        need = Need.from_table(none, where)
        return Need(need.title, (), need.limits, need.service, need.factors)
    return Need.from_table(table, where)


def _section(table: Mapping[str, Any], name: str, where: str) -> Mapping[str, Any]:
    part = table.get(name, {})
    if not isinstance(part, Mapping):
        raise InputError("must be a table", where=f"{where}:{name}", expected=f"[{name}]")
    return part


def _tables(items: Any, name: str, where: str) -> list[Mapping[str, Any]]:
    items = [items] if isinstance(items, Mapping) else items
    if not isinstance(items, list):
        raise InputError("must be tables", where=f"{where}:{name}", expected=f"[[{name}]]")
    for n, item in enumerate(items, 1):
        if not isinstance(item, Mapping):
            raise InputError("must be a table", where=f"{where}:{name} {n}", expected=f"[[{name}]]")
    return items


def _known(table: Mapping[str, Any], part: Any, where: str) -> None:
    known = [f.name for f in fields(part)]
    for key in table:
        if key not in known:
            raise unknown_key("key", key, known, where)


def _candidates(items: Any, where: str) -> tuple[Candidate, ...]:
    tables = _tables(items, "candidate", where)
    if len(tables) > MOST_CANDIDATES:
        raise InputError(
            "there are too many candidates", where=where, got=len(tables),
            expected=f"at most {MOST_CANDIDATES}",
        )  # fmt: skip
    return tuple(_candidate(t, f"{where}:candidate {n}") for n, t in enumerate(tables, 1))


def _candidate(table: Mapping[str, Any], where: str) -> Candidate:
    _known(table, Candidate, where)
    values: dict[str, Any] = dict(table)
    for name in ("wall", "od", "id"):
        if name not in table:
            raise InputError(f"{name} is missing", where=where, expected=f'{name} = "..."')
    for name in ("od", "id"):
        values[name] = to_si(table[name], "length", what=name, where=where)
    return placed(where, "candidate", Candidate, **values)


def _words(table: Mapping[str, Any], where: str) -> Text:
    _known(table, Text, where)
    return placed(where, "text", Text, **table)


def placed(where: str, own: str, make: Callable[..., Part], **values: Any) -> Part:
    """Make a part of a job; its faults are named by the place in the file.

    Parameters
    ----------
    where : str
        Place in the file.
    own : str
        How the part calls itself.
    make : callable
        Class of the part.
    **values
        Its fields.

    Returns
    -------
    object

    Raises
    ------
    InputError
        As the part raises it, with the place of the file.
    """
    try:
        return make(**values)
    except InputError as error:
        at = (error.where or "").removeprefix(own)
        raise InputError(
            error.message, where=f"{where}{at}", got=error.got, expected=error.expected
        ) from None


# ---- inside a page ---------------------------------------------------------------------------
def block(text: str) -> str:
    """Script element that carries a job in a page; plain ASCII and never executed.

    Parameters
    ----------
    text : str
        What `Job.to_toml` wrote.

    Returns
    -------
    str
        HTML.

    Examples
    --------
    >>> block('job = 1').startswith('<script type="application/toml" id="tubecalc-job" data-sum=')
    True
    """
    safe = "".join(c if ord(c) < 128 else f"\\U{ord(c):08x}" for c in text.replace("<", "\\u003c"))
    return (
        f'<script type="application/toml" id="{BLOCK_ID}" data-sum="{_sum(safe)}">\n'
        f"{safe.strip()}\n</script>"
    )


def _sum(text: str) -> str:
    plain = text.replace("\r\n", "\n").replace("\r", "\n").strip()
    return hashlib.sha256(plain.encode("utf-8", "replace")).hexdigest()[:16]


def find_block(page: str, where: str) -> tuple[str, str, int]:
    """Job inside a page.

    Parameters
    ----------
    page : str
        HTML text.
    where : str
        Name to put before a message.

    Returns
    -------
    tuple of str, str and int
        TOML text, its place, and the line on which it begins.

    Raises
    ------
    InputError
        If there is no job or more than one, or it was cut off or changed.
    """
    tags = [m for m in _TAG.finditer(page) if _ID.search(m.group())]
    if not tags:
        raise InputError(
            "holds no job", where=where, expected=f"a page that tubecalc wrote, with its {BLOCK_ID}"
        )
    if len(tags) > 1:
        lines = ", ".join(str(page.count("\n", 0, m.start()) + 1) for m in tags[:4])
        raise InputError("holds more than one job", where=f"{where}:lines {lines}")
    tag = tags[0]
    line = page.count("\n", 0, tag.end()) + 1
    at = f"{where}:job block"
    end = page.lower().find("</script", tag.end())
    if end < 0:
        raise InputError(
            "is cut off: the job has no end", where=f"{at}:line {line}",
            expected="the whole page as it was saved",
        )  # fmt: skip
    text = page[tag.end() : end]
    told = _SUM.search(tag.group())
    if told and told.group(1).lower() != _sum(text):
        read_table(text, at, line)  # names the line where it can
        raise InputError(
            "was changed or damaged since tubecalc wrote it", where=f"{at}:line {line}",
            expected="the page as it was saved, or the job file",
        )  # fmt: skip
    return text, at, line


# ---- writing ---------------------------------------------------------------------------------
def write(job: Any) -> str:
    """TOML text that `read_table` and `read_parts` read back exactly.

    Parameters
    ----------
    job : Job
        The job.

    Returns
    -------
    str
        Without "<", so that it is inert inside a page.

    Raises
    ------
    InputError
        If it would be too big to be read again.
    """
    lines = [f"job = {NUMBER}"]
    lines += [f"{k} = {_quoted(getattr(job, k))}" for k in ("version", "date", "units", "currency")]
    lines += [f"chosen = {job.chosen}", "", "[need]"]
    lines += [_under_need(line) for line in job.need.to_toml().splitlines()]
    for one in job.candidates:
        lines += ["", "[[candidate]]", f"wall = {_quoted(one.wall)}"]
        lines += [f"{k} = {_length(getattr(one, k))}" for k in ("od", "id")]
        lines += [f"{k} = {_quoted(v)}" for k in ("label", "note") if (v := getattr(one, k))]
        lines += [f"price = {one.price!r}"] if one.price == one.price else []
    words = [(f.name, getattr(job.text, f.name)) for f in fields(job.text)]
    lines += ["", "[text]", *(f"{k} = {_quoted(v)}" for k, v in words if v)]
    for key, table in job.walls.items():
        lines += _table_lines(("wall", key), table)
    for row in job.tests:
        lines += ["", "[[test]]", *(f"{_key(k)} = {_value(v)}" for k, v in row.items())]
    for key, table in job.page.items():
        lines += _table_lines(("page", key), table)
    text = "\n".join(lines).replace("<", "\\u003c") + "\n"
    if len(text.encode("utf-8")) > LARGEST:
        raise _too_big("job", "job")
    return text


def _under_need(line: str) -> str:
    if line.startswith("[["):
        return f"[[need.{line[2:]}"
    return f"[need.{line[1:]}" if line.startswith("[") else line


def _length(metres: float) -> str:
    """Millimetres where they read back exactly, else metres."""
    text = f"{metres * 1e3!r} mm"
    if to_si(text, "length", what="length") != metres:
        text = f"{metres!r} m"
    return f'"{text}"'


def _quoted(text: str) -> str:
    out = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(c if c.isprintable() else f"\\U{ord(c):08x}" for c in out) + '"'


def _key(key: str) -> str:
    return key if _BARE.fullmatch(key) else _quoted(key)


def _table_lines(path: tuple[str, ...], table: Mapping[str, Any]) -> list[str]:
    inner = {k: v for k, v in table.items() if isinstance(v, Mapping)}
    lines = ["", "[" + ".".join(_key(k) for k in path) + "]"]
    lines += [f"{_key(k)} = {_value(v)}" for k, v in table.items() if k not in inner]
    for key, part in inner.items():
        lines += _table_lines((*path, key), part)
    return lines


def _value(value: Any) -> str:
    if isinstance(value, str):
        return _quoted(value)
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, date | time):
        return value.isoformat()
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{_key(k)} = {_value(v)}" for k, v in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(_value(v) for v in value) + "]"
    return repr(value)
