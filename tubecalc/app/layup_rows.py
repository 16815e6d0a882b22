"""Rows of the stack editor as typed, and the same stack as notation; pure functions."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache

from tubecalc import datafiles
from tubecalc.app.state import sentence
from tubecalc.errors import InputError
from tubecalc.laminate.layer import Layer
from tubecalc.laminate.notation import read_plies, stack_code, write_notation
from tubecalc.materials import Ply, get_ply
from tubecalc.unit_words import for_system, rough
from tubecalc.units import to_si

MOST = 200  # plies that are worked on here
LONGEST = 300  # characters of a stacking sequence

Own = Mapping[str, Ply]


@dataclass(frozen=True)
class Row:
    """One run of equal plies as typed: key of the ply, angle, count, thickness ("" for its own)."""

    ply: str
    angle: str = "0"
    count: str = "1"
    thickness: str = ""


@cache
def data_plies() -> dict[str, str]:
    """Key -> name of the plies that come with tubecalc, as they stand in their file."""
    return {r["key"]: r["name"] for r in datafiles.rows("materials/plies.csv")}


def ply_names(own: Own) -> dict[str, str]:
    """Key -> name of every ply that can be laid, one's own first.

    Parameters
    ----------
    own : mapping
        Own plies by name.

    Returns
    -------
    dict

    Examples
    --------
    >>> ply_names({})["glass-ud"]
    'E-glass/epoxy UD'
    """
    return {**{k: k for k in own}, **data_plies()}


def find_ply(key: str, own: Own) -> Ply:
    """Ply of a key: one's own, else one that comes with tubecalc."""
    return own[key] if key in own else get_ply(key)


# ---- reading ---------------------------------------------------------------------------------
def read_rows(
    rows: Sequence[Row], own: Own, system: str = "SI"
) -> tuple[list[Layer], dict[str, str]]:
    """Layers of the rows, and a sentence for each field that cannot be read.

    Parameters
    ----------
    rows : sequence of Row
        Inside to outside.
    own : mapping
        Own plies by name.
    system : str
        Display system of the sentences.

    Returns
    -------
    tuple of list of Layer and dict
        Path of a field ("row.0.angle") -> sentence.

    Examples
    --------
    >>> layers, wrong = read_rows([Row("glass-ud", "90"), Row("glass-ud", "200")], {})
    >>> wrong["row.1.angle"]
    'angle is out of range, got "200", expected -90 to 90 degrees from the tube axis.'
    """
    out: list[Layer] = []
    wrong: dict[str, str] = {}
    if not rows:
        return [], {"rows": "The stack is empty: add a ply."}
    for k, row in enumerate(rows):
        found: dict[str, object] = {}
        reads: dict[str, Callable[[Row], object]] = {
            "ply": lambda r: find_ply(r.ply, own), "angle": _angle, "count": _count,
            "thickness": lambda r: _thickness(r, own),
        }  # fmt: skip
        for name, read in reads.items():
            try:
                found[name] = read(row)
            except InputError as error:
                wrong[f"row.{k}.{name}"] = sentence(error, system)
        if len(found) == len(reads):
            ply = find_ply(row.ply, own)
            out.append(Layer(ply.si, _angle(row), _thickness(row, own), _count(row), ply.key))
    plies = sum(x.count for x in out)
    if plies > MOST:
        thick = rough(sum(x.count * x.thickness for x in out), "length", system)
        worst = max(range(len(rows)), key=lambda k: _number_of(rows[k]))
        wrong[f"row.{worst}.count"] = (
            f"{plies} plies are {thick} of wall: up to {MOST} plies are worked on here."
        )
    return out, wrong


def _angle(row: Row) -> float:
    text = row.angle.strip().replace("\N{MINUS SIGN}", "-").removesuffix("°").removesuffix("deg")
    if "±" in text or "+/-" in text or "+-" in text:
        raise InputError("is a pair: lay one row at + and one at −, or type +/- in the sequence",
                         got=row.angle)  # fmt: skip
    try:
        angle = float(text)
    except ValueError:
        raise InputError("angle is not a number", got=row.angle,
                         expected="degrees from the tube axis") from None  # fmt: skip
    if not -90.0 <= angle <= 90.0:
        raise InputError("angle is out of range", got=row.angle,
                         expected="-90 to 90 degrees from the tube axis")  # fmt: skip
    return angle


def _count(row: Row) -> int:
    text = row.count.strip()
    if not text.isdecimal() or not 1 <= len(text) <= 6 or int(text) < 1:
        raise InputError("is no number of plies", got=row.count, expected="a whole number from 1")
    return int(text)


def _number_of(row: Row) -> int:
    try:
        return _count(row)
    except InputError:
        return 0


def _thickness(row: Row, own: Own) -> float:
    if row.thickness.strip():
        return to_si(row.thickness, "length", what="thickness", positive=True)
    try:
        found = float(find_ply(row.ply, own).si.thickness)
    except InputError:
        return 1e-3  # the ply itself is said to be wrong
    if found != found:
        raise InputError(
            "this ply has no thickness of its own: type it",
            expected=for_system('"0.15 mm"', '"0.006 in"'),
        )
    return found


# ---- from a stack ----------------------------------------------------------------------------
def rows_of(layers: Iterable[Layer], own: Own) -> tuple[Row, ...]:
    """Rows of a stack, equal neighbours gathered.

    Parameters
    ----------
    layers : iterable of Layer
        Inside to outside.
    own : mapping
        Own plies by name.

    Returns
    -------
    tuple of Row
        Thickness "" where it is the ply's own.
    """
    out: list[Row] = []
    for x in layers:
        usual = float(find_ply(x.key, own).si.thickness)
        thick = "" if abs(x.thickness - usual) < 1e-9 else f"{x.thickness * 1e3:.6g} mm"
        row = Row(x.key, f"{x.angle:g}", str(x.count), thick)
        if out and replace(out[-1], count=row.count) == row:
            row = replace(row, count=str(int(out.pop().count) + x.count))
        out.append(row)
    return tuple(out)


# ---- notation --------------------------------------------------------------------------------
Material = tuple[str, str]  # key of the ply, thickness as typed


def letters_of(rows: Sequence[Row], own: Own) -> dict[str, Material]:
    """What a letter in the stacking sequence means; "" is the material most plies are of.

    Parameters
    ----------
    rows : sequence of Row
        The stack; its materials get their letters first.
    own : mapping
        Own plies by name.

    Returns
    -------
    dict

    Examples
    --------
    >>> found = letters_of([Row("carbon-sm-ud"), Row("carbon-woven")], {})
    >>> found[""], found["C"], found["f"]
    (('carbon-sm-ud', ''), ('carbon-sm-ud', ''), ('carbon-woven', ''))
    """
    here = list(dict.fromkeys((r.ply, r.thickness.strip()) for r in rows))
    every = here + [(k, "") for k in ply_names(own) if (k, "") not in here]
    _, letter = stack_code([0.0] * len(every), [_id(m) for m in every],
                           [_woven(m[0], own) for m in every])  # fmt: skip
    meaning = {_id(m): m for m in every}
    out = {tag: meaning[name] for tag, name in letter.items()}
    main = max(here, key=lambda m: (_share(m, rows), not _woven(m[0], own))) if here else every[0]
    return {"": main, **out}


def _id(material: Material) -> str:
    return " ".join(material)


def _woven(key: str, own: Own) -> bool:
    try:
        return find_ply(key, own).si.woven
    except InputError:
        return False


def _share(material: Material, rows: Sequence[Row]) -> int:
    return sum(_number_of(r) for r in rows if (r.ply, r.thickness.strip()) == material)


def notation_of(rows: Sequence[Row], own: Own) -> str:
    """Stack in standard notation; plies of the material most are of carry no letter.

    Parameters
    ----------
    rows : sequence of Row
        Rows that can be read.
    own : mapping
        Own plies by name.

    Returns
    -------
    str

    Examples
    --------
    >>> notation_of([Row("glass-ud", "90"), Row("glass-ud", "0", "3")], {})
    '[90/0_3]'
    """
    letters = letters_of(rows, own)
    tags = {m: tag for tag, m in letters.items() if tag}
    tags[letters[""]] = ""
    angles: list[float] = []
    names: list[str] = []
    for r in rows:
        n = min(_count(r), MOST + 1)
        angles += [_angle(r)] * n
        names += [tags[r.ply, r.thickness.strip()]] * n
    return write_notation(angles, names)


def rows_from(text: str, rows: Sequence[Row], own: Own) -> tuple[Row, ...]:
    """Rows of a typed stacking sequence; its letters mean what `letters_of` says.

    Parameters
    ----------
    text : str
        As typed.
    rows : sequence of Row
        The stack until now.
    own : mapping
        Own plies by name.

    Returns
    -------
    tuple of Row

    Raises
    ------
    InputError
        If it cannot be read, with the place in it; for an unknown letter or too many plies.

    Examples
    --------
    >>> rows_from("[90/0_2f]", [Row("carbon-sm-ud")], {})[1]
    Row(ply='carbon-woven', angle='0', count='2', thickness='')
    """
    if len(text) > LONGEST:
        raise InputError("is too long", got=f"{len(text)} characters",
                         expected=f"up to {LONGEST}")  # fmt: skip
    meaning = letters_of(rows, own)
    out: list[Row] = []
    marks = read_plies(text)
    if len(marks) > MOST:
        raise InputError(f"{len(marks)} plies: up to {MOST} are worked on here", got=text[:60])
    for mark in marks:
        if mark.tag not in meaning:
            raise InputError(
                f"letter {mark.tag} is no ply here",
                expected=", ".join(f"{t} {ply_names(own).get(m[0], m[0])}"
                                   for t, m in meaning.items() if t),
            )  # fmt: skip
        ply, thick = meaning[mark.tag]
        angle = f"{mark.angle:g}"
        if out and (out[-1].ply, out[-1].angle, out[-1].thickness) == (ply, angle, thick):
            out[-1] = replace(out[-1], count=str(int(out[-1].count) + 1))
        else:
            out.append(Row(ply, angle, "1", thick))
    return tuple(out)


# ---- what the buttons do -----------------------------------------------------------------------
def moved(rows: tuple[Row, ...], k: int, step: int) -> tuple[Row, ...]:
    """Rows with one moved; unchanged at the ends.

    Examples
    --------
    >>> a, b = Row("a"), Row("b")
    >>> moved((a, b), 0, 1) == (b, a), moved((a, b), 0, -1) == (a, b)
    (True, True)
    """
    to = k + step
    if not (0 <= k < len(rows) and 0 <= to < len(rows)):
        return rows
    out = list(rows)
    out[k], out[to] = out[to], out[k]
    return tuple(out)


def mirrored(rows: tuple[Row, ...]) -> tuple[Row, ...]:
    """Rows with their mirror image after them, the two runs in the middle joined.

    Examples
    --------
    >>> [(r.angle, r.count) for r in mirrored((Row("a", "90"), Row("a", "0", "2")))]
    [('90', '1'), ('0', '4'), ('90', '1')]
    """
    return _joined(rows, rows[::-1])


def repeated(rows: tuple[Row, ...], times: int) -> tuple[Row, ...]:
    """Rows laid several times over.

    Examples
    --------
    >>> len(repeated((Row("a", "90"), Row("a", "0")), 3))
    6
    """
    out = rows
    for _ in range(times - 1):
        out = _joined(out, rows)
    return out


def _joined(a: tuple[Row, ...], b: tuple[Row, ...]) -> tuple[Row, ...]:
    """One stack on the other; equal runs that meet become one."""
    if a and b and replace(a[-1], count=b[0].count) == b[0]:
        try:
            count = str(_count(a[-1]) + _count(b[0]))
        except InputError:
            return a + b
        return (*a[:-1], replace(b[0], count=count), *b[1:])
    return a + b


def checked(rows: tuple[Row, ...]) -> tuple[Row, ...]:
    """Rows again, unless they are more plies than are worked on here.

    Raises
    ------
    InputError
        For more than `MOST` plies.
    """
    plies = sum(_number_of(r) for r in rows)
    if plies > MOST or len(rows) > MOST:
        raise InputError(f"that would be {max(plies, len(rows))} plies: up to {MOST} are worked "
                         "on here")  # fmt: skip
    return rows


__all__ = [
    "MOST", "Row", "checked", "find_ply", "letters_of", "mirrored", "moved", "notation_of",
    "ply_names", "read_rows", "repeated", "rows_from", "rows_of",
]  # fmt: skip
