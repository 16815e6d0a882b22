"""Parts of a job: candidates, words for the customer, and tables that are carried unread."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, fields
from datetime import date, datetime, time
from typing import TYPE_CHECKING, Any

from tubecalc.errors import InputError
from tubecalc.unit_words import worded
from tubecalc.units import to_si

if TYPE_CHECKING:
    from tubecalc.job import Job
    from tubecalc.tube import Tube

SYSTEMS = ("SI", "workshop", "inch")
MOST_CANDIDATES = 200
MOST_CASES = 100
MOST_WALLS = 50
MOST_TESTS = 5000
_DEEPEST = 20
_LONGEST_KEY = 200


@dataclass(frozen=True)
class Candidate:
    """One tube in a job.

    Parameters
    ----------
    wall : str
        Key of a construction, of a metal or of a wall of the job's own.
    od, id : float
        Outside diameter and bore [m]; a bore of 0 is a rod.
    label : str
        Name for the customer; "" for the name of the construction.
    price : float
        Price per metre [the job's currency per m]; NaN where it is not known.
    note : str
        One remark.

    Examples
    --------
    >>> Candidate("6063-T6", 0.02, 0.017).wall_thickness
    0.0015
    """

    wall: str
    od: float
    id: float
    label: str = ""
    price: float = math.nan
    note: str = ""

    def __post_init__(self) -> None:
        for name in ("wall", "label", "note"):
            text_of(getattr(self, name), f"candidate:{name}")
        for name in ("od", "id", "price"):
            object.__setattr__(self, name, _number(getattr(self, name), f"candidate:{name}"))
        if not 1e-6 <= self.od <= 1e3:
            raise InputError(
                "is not a diameter", where="candidate:od", got=f"{self.od!r} m",
                expected="1 um to 1 km",
            )  # fmt: skip
        if not (self.id == 0.0 or 1e-9 <= self.id < self.od):
            raise InputError(
                "the bore is not smaller than the outside diameter", where="candidate:id",
                got=worded("{} within {}", "length", self.id, self.od, digits=6),
            )  # fmt: skip
        if not (math.isnan(self.price) or 0.0 <= self.price < math.inf):
            raise InputError(
                "is not a price", where="candidate:price", got=self.price,
                expected="a number, 0 or more",
            )  # fmt: skip

    @classmethod
    def of(cls, wall: str, *, od: Any, id: Any, **words: Any) -> Candidate:
        """Candidate with lengths as people write them.

        Parameters
        ----------
        wall : str
            Key of a construction, of a metal or of a wall of the job's own.
        od, id : str or pint.Quantity
            Outside diameter and bore [length].
        **words
            `label`, `price` and `note`.

        Returns
        -------
        Candidate

        Raises
        ------
        InputError
            For what is not a length, bare numbers among them.

        Examples
        --------
        >>> Candidate.of("6063-T6", od="3/4 in", id="16 mm").od
        0.01905
        """
        sizes = (to_si(v, "length", what=what) for v, what in ((od, "od"), (id, "id")))
        outside, bore = (round(size, 12) for size in sizes)
        return cls(wall, outside, bore, **words)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Candidate) and same(vars(self)) == same(vars(other))

    def __hash__(self) -> int:
        return hash(same(vars(self)))

    @property
    def wall_thickness(self) -> float:
        """Half the difference of the diameters, rounded to a nanometre [m]."""
        return round((self.od - self.id) / 2, 9)

    def tube(self, job: Job) -> Tube:
        """Tube of this candidate.

        Parameters
        ----------
        job : Job
            The job it belongs to, for walls of its own.

        Returns
        -------
        Tube
            With the plies of its rule stretched to fill the wall exactly.

        Raises
        ------
        InputError
            If the wall is unknown or cannot have this size.
        """
        from tubecalc.tube import Tube

        return Tube(job.construction(self.wall), od=f"{self.od!r} m", id=f"{self.id!r} m")


@dataclass(frozen=True)
class Text:
    """Words for the customer, as typed; plain text, never markup.

    Parameters
    ----------
    customer, reference : str
        Who it is for and under which number.
    introduction, closing : str
        Before and after the result.
    author : str
        Who answers for it.
    """

    customer: str = ""
    reference: str = ""
    introduction: str = ""
    closing: str = ""
    author: str = ""

    def __post_init__(self) -> None:
        for f in fields(self):
            text_of(getattr(self, f.name), f"text:{f.name}")


def text_of(value: Any, where: str) -> str:
    """Text that a file can carry.

    Parameters
    ----------
    value : object
        What was given.
    where : str
        Its place.

    Returns
    -------
    str

    Raises
    ------
    InputError
        If it is no text, or holds half of a character pair, which no file can carry.
    """
    if not isinstance(value, str):
        raise InputError("must be a text", where=where, got=repr(value)[:80])
    if any("\ud800" <= c <= "\udfff" for c in value):
        raise InputError("holds half a character, which no file can carry", where=where)
    return value


def _number(value: Any, where: str) -> float:
    if isinstance(value, bool | str):
        raise InputError("is not a number", where=where, got=repr(value)[:80])
    try:
        return float(value)
    except (TypeError, ValueError, OverflowError):
        raise InputError("is not a number", where=where, got=repr(value)[:80]) from None


def date_of(value: Any, where: str) -> str:
    """Date as ISO text, or "" for none.

    Parameters
    ----------
    value : str or datetime.date
        What was given.
    where : str
        Its place.

    Returns
    -------
    str

    Raises
    ------
    InputError
        If it is not a date written YYYY-MM-DD.

    Examples
    --------
    >>> date_of("2026-11-25", "job:date")
    '2026-11-25'
    """
    if isinstance(value, date) and not isinstance(value, datetime):
        return value.isoformat()
    try:
        if value == "":
            return ""
        if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value):
            return date.fromisoformat(value).isoformat()
    except (TypeError, ValueError):
        pass
    raise InputError(
        "is not a date", where=where, got=str(value)[:80], expected="a date such as 2026-11-25"
    )


def tidy(value: Any, where: str, depth: int = 0) -> Any:
    """Copy of a table that a file can carry: texts, numbers, dates, lists and tables.

    Parameters
    ----------
    value : object
        What was given.
    where : str
        Its place.
    depth : int
        How deep it is nested already [-].

    Returns
    -------
    object
        Of plain types; lists for tuples.

    Raises
    ------
    InputError
        Naming the place of what cannot be kept.
    """
    if depth > _DEEPEST:
        raise InputError("is nested too deep", where=where, expected=f"{_DEEPEST} levels at most")
    if isinstance(value, Mapping):
        out = {}
        for key, item in value.items():
            name = text_of(key, f"{where}: name of a field")
            if len(name) > _LONGEST_KEY:
                raise InputError("a name of a field is too long", where=where, got=name[:40])
            out[name] = tidy(item, f"{where}:{name}", depth + 1)
        return out
    if isinstance(value, list | tuple):
        return [tidy(item, f"{where}:{n}", depth + 1) for n, item in enumerate(value, 1)]
    if hasattr(value, "item") and getattr(value, "shape", None) == ():
        value = value.item()  # a number of numpy
    if isinstance(value, str):
        return str(text_of(value, where))
    if isinstance(value, bool | date | time) and getattr(value, "tzinfo", None) is None:
        return value
    if isinstance(value, int):
        if abs(value) >= 2**63:
            raise InputError("is too large a whole number", where=where)
        return int(value)
    if isinstance(value, float):
        return float(value)
    if isinstance(value, datetime) and _whole_minutes(value):
        return value
    raise InputError(
        "cannot be kept in a job file", where=where, got=type(value).__name__,
        expected="texts, numbers, dates, lists and tables",
    )  # fmt: skip


def _whole_minutes(value: datetime) -> bool:
    offset = value.utcoffset()
    return offset is not None and offset.total_seconds() % 60 == 0


def same(value: Any) -> Any:
    """Value in a form that compares and hashes, with two values not given being equal.

    Parameters
    ----------
    value : object
        Text, number, date, list or table.

    Returns
    -------
    object

    Examples
    --------
    >>> same({"a": [float("nan")]}) == same({"a": (float("nan"),)})
    True
    """
    if isinstance(value, Mapping):
        return tuple(
            sorted(((k, same(v)) for k, v in value.items()), key=lambda pair: str(pair[0]))
        )
    if isinstance(value, list | tuple):
        return tuple(same(item) for item in value)
    return None if isinstance(value, float) and math.isnan(value) else value
