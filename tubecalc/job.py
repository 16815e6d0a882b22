"""The job: a need with its candidates and everything else one takes up again later."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from functools import cached_property
from pathlib import Path
from typing import Any

from tubecalc import job_file
from tubecalc.errors import InputError, unknown_key
from tubecalc.job_parts import (
    MOST_CANDIDATES,
    MOST_TESTS,
    MOST_WALLS,
    SYSTEMS,
    Candidate,
    Text,
    date_of,
    same,
    text_of,
    tidy,
)
from tubecalc.laminate.construction import (
    Construction,
    composites,
    construction_from_table,
    get_construction,
    metals,
)
from tubecalc.need import Need


def _version() -> str:
    from tubecalc import __version__

    return __version__


@dataclass(frozen=True, eq=False)
class Job:
    """A need, its candidates, and all that is kept with them.

    Parameters
    ----------
    need : Need
        What the tube is for; it may have no case yet.
    candidates : tuple of Candidate
        The tubes, at most 200.
    chosen : int
        Index of the recommended one; -1 for the lightest that passes.
    walls : mapping
        The job's own constructions: key -> table as in data/constructions/constructions.toml.
    units : str
        Display system: "SI", "workshop" or "inch".
    currency : str
        Currency of the prices, as it is to be shown.
    text : Text
        Words for the customer.
    tests : tuple of mapping
        Rows of test results, carried unread.
    date : str
        ISO date ("2026-11-25"), or "".
    page : mapping
        State of the pages: name -> table, carried unread.
    version : str
        Version of tubecalc that wrote it.

    Raises
    ------
    InputError
        Naming the field that is wrong.

    Examples
    --------
    >>> need = Need.from_table({"case": [{"kind": "strut", "load": "1 kN", "span": "1 m"}]})
    >>> job = Job(need, (Candidate("6063-T6", 0.02, 0.017),))
    >>> Job.from_toml(job.to_toml()) == job
    True
    """

    need: Need = field(default_factory=Need)
    candidates: tuple[Candidate, ...] = ()
    chosen: int = -1
    walls: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    units: str = "SI"
    currency: str = ""
    text: Text = field(default_factory=Text)
    tests: tuple[Mapping[str, Any], ...] = ()
    date: str = ""
    page: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    version: str = field(default_factory=_version)

    def __post_init__(self) -> None:
        put = object.__setattr__
        put(self, "candidates", tuple(self.candidates))
        put(self, "date", date_of(self.date, "job:date"))
        put(self, "tests", tuple(_rows(self.tests)))
        for name in ("walls", "page"):
            put(self, name, _tables(getattr(self, name), "wall" if name == "walls" else name))
        for name in ("currency", "version"):
            text_of(getattr(self, name), f"job:{name}")
        if self.units not in SYSTEMS:
            raise unknown_key("units", self.units, SYSTEMS, "job:units")
        self._check_parts()
        _ = self.constructions
        for n, one in enumerate(self.candidates, 1):
            self.construction(one.wall, f"job:candidate {n}:wall")

    def _check_parts(self) -> None:
        for name, kind in (("need", Need), ("text", Text)):
            if not isinstance(getattr(self, name), kind):
                raise InputError(f"must be a {kind.__name__}", where=f"job:{name}")
        for words in _need_words(self.need):
            text_of(words, "job:need")
        if len(self.candidates) > MOST_CANDIDATES:
            raise InputError(
                "there are too many candidates", where="job", got=len(self.candidates),
                expected=f"at most {MOST_CANDIDATES}",
            )  # fmt: skip
        for n, one in enumerate(self.candidates, 1):
            if not isinstance(one, Candidate):
                raise InputError("must be a Candidate", where=f"job:candidate {n}")
        last = len(self.candidates) - 1
        if isinstance(self.chosen, bool) or not isinstance(self.chosen, int) or not (
            -1 <= self.chosen <= last
        ):  # fmt: skip
            raise InputError(
                "is not the index of a candidate", where="job:chosen", got=str(self.chosen)[:80],
                expected=f"-1 to {last}" if last >= 0 else "-1, as there are no candidates",
            )  # fmt: skip

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Job) and self._key() == other._key()

    def __hash__(self) -> int:
        return hash(self._key())

    def _key(self) -> tuple[Any, ...]:
        return tuple(same(getattr(self, f.name)) for f in fields(self))

    @cached_property
    def constructions(self) -> dict[str, Construction]:
        """The job's own constructions by key."""
        return {key: _own_wall(key, table) for key, table in self.walls.items()}

    def construction(self, key: str, where: str = "job:wall") -> Construction:
        """Construction of a key: the job's own, else one that comes with tubecalc.

        Parameters
        ----------
        key : str
            Key of an own wall, a construction or a metal.
        where : str
            Place to name if it is unknown.

        Returns
        -------
        Construction

        Raises
        ------
        InputError
            If the key is unknown; with the nearest.
        """
        if key in self.constructions:
            return self.constructions[key]
        try:
            return get_construction(key)
        except InputError:
            known = [*self.constructions, *composites(), *metals()]
            raise unknown_key("wall", key, known, where) from None

    @classmethod
    def from_toml(cls, source: str | Path) -> Job:
        """Read a job from a TOML file or text; a need file is a job without candidates.

        Parameters
        ----------
        source : str or pathlib.Path
            Path of a file, or the text itself.

        Returns
        -------
        Job

        Raises
        ------
        InputError
            Naming file, part and field; for a file of more than 5 MB, an unknown or newer job
            number, an unknown key (with the nearest), what is not TOML, too many candidates, or
            a value that cannot be read.
        """
        text, where = job_file.read_source(source)
        return cls._read(text, where, 1)

    @classmethod
    def from_html(cls, source: str | Path) -> Job:
        """Take the job out of a page that tubecalc wrote.

        Parameters
        ----------
        source : str or pathlib.Path
            Path of the page, or its text.

        Returns
        -------
        Job

        Raises
        ------
        InputError
            If the page holds no job, or one that was cut off, changed or damaged; with its line.
        """
        page, where = job_file.read_source(source, "page")
        return cls._read(*job_file.find_block(page, where))

    @classmethod
    def _read(cls, text: str, where: str, first_line: int) -> Job:
        table = job_file.read_table(text, where, first_line)
        parts = job_file.read_parts(table, where)
        return job_file.placed(where, "job", cls, **parts)

    def to_toml(self) -> str:
        """Write the job as TOML that `from_toml` reads back exactly.

        Returns
        -------
        str
            The same text for the same job.

        Raises
        ------
        InputError
            If it would be too big to be read again.
        """
        return job_file.write(self)

    def to_html(self) -> str:
        """Write the job as the block that `from_html` finds in a page; it cannot be executed.

        Returns
        -------
        str
            One script element of type application/toml, plain ASCII.
        """
        return job_file.block(self.to_toml())


def _own_wall(key: str, table: Mapping[str, Any]) -> Construction:
    where = f"job:wall {key}"
    if not key.strip() or key in composites() or key in metals():
        raise InputError(
            "is no key for an own wall: it is empty or belongs to one that comes with tubecalc",
            where=where,
        )
    try:
        return construction_from_table(key, table)
    except InputError as error:
        at = (error.where or "").removeprefix(key)
        raise InputError(
            error.message, where=f"{where}{at}", got=error.got, expected=error.expected
        ) from None
    except (TypeError, ValueError, AttributeError, KeyError, OverflowError) as error:
        raise InputError(
            "cannot be read as a wall", where=where, got=str(error)[:80],
            expected="fields as in data/constructions/constructions.toml",
        ) from None  # fmt: skip


def _rows(rows: Any) -> list[dict[str, Any]]:
    if len(rows) > MOST_TESTS:
        raise InputError(
            "there are too many test rows", where="job", got=len(rows),
            expected=f"at most {MOST_TESTS}",
        )  # fmt: skip
    out = []
    for n, row in enumerate(rows, 1):
        if not isinstance(row, Mapping):
            raise InputError("must be a table", where=f"job:test {n}", expected="[[test]]")
        out.append(tidy(row, f"job:test {n}"))
    return out


def _tables(tables: Any, name: str) -> dict[str, dict[str, Any]]:
    if len(tables) > MOST_WALLS:
        raise InputError(
            f"there are too many {name} tables", where="job", got=len(tables),
            expected=f"at most {MOST_WALLS}",
        )  # fmt: skip
    for key, table in tables.items():
        if not isinstance(table, Mapping):
            raise InputError("must be a table", where=f"job:{name} {key}"[:80],
                             expected=f"[{name}.{str(key)[:40]}]")  # fmt: skip
    kept: dict[str, dict[str, Any]] = tidy(tables, f"job:{name}")
    return kept


def _need_words(need: Need) -> list[str]:
    words = [need.title, need.service.contact_metal, need.service.insert]
    return words + [case.name for case in need.cases]


__all__ = ["Candidate", "Job", "Text"]
