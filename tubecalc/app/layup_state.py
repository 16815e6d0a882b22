"""What page `layup` knows: rows of a stack, everything typed, own plies, and the results."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Protocol

from traitlets import Dict, HasTraits, Instance, Int, Unicode, observe

from tubecalc.app.layup_rows import MOST, Row, checked, rows_from
from tubecalc.app.state import sentence
from tubecalc.errors import InputError
from tubecalc.job import Job
from tubecalc.laminate.own_ply import ply_of, ply_table
from tubecalc.materials import Ply
from tubecalc.units import to_si

PAGE = "layup"
SECTIONS = {
    "wall": "The wall", "load": "What it carries", "ply": "From fibre and resin",
    "burn": "Burn-off of a sample", "hunt": "Lightest stack", "shop": "For the workshop",
}  # fmt: skip
START = {
    "name": "own wall", "by": "bore", "size": "20 mm",
    "from.what": "roll-wrapped-woven", "from.wall": "1.2 mm", "repeat": "2",
    "load.from": "case 1", "load.moment": "20 N m", "load.ends": "open", "load.cure": "yes",
    "load.at": "20 degC",
    "ply.fibre": "carbon-sm", "ply.resin": "epoxy", "ply.by": "volume", "ply.content": "60 %",
    "ply.voids": "0 %", "ply.weave": "ud", "ply.areal_weight": "150 g/m2",
    "burn.fibre": "glass-e", "burn.resin": "epoxy",
    "hunt.plies": "carbon-sm-ud carbon-woven", "hunt.angles": "0, 45, 90", "hunt.most": "8",
    "hunt.mandrels": "20 mm, 25 mm, 30 mm, 35 mm", "hunt.balanced": "yes", "hunt.together": "4",
    "shop.length": "1 m", "shop.overlap": "3 mm", "shop.trim": "20 mm", "shop.roll": "300 mm",
    "shop.waste": "10 %", "shop.tubes": "1", "shop.bulk": "1.1", "shop.stock": "2 m",
    "shop.kerf": "2 mm", "shop.band": "6 mm",
}  # fmt: skip
ROWS = (Row("carbon-sm-ud", "90"), Row("carbon-sm-ud", "0", "4"), Row("carbon-woven", "0"))
_LONGEST, _MOST_TEXTS, _MOST_PLIES = 400, 300, 40


@dataclass(frozen=True)
class LayupChoice:
    """Everything a person set on the page.

    Parameters
    ----------
    job : Job
        The job, with need, units and own walls.
    rows : tuple of Row
        The stack, inside to outside.
    texts : mapping
        Path of a field -> what was typed, where it is not as in `START`.
    plies : mapping
        Own plies by name.
    section : str
        A key of `SECTIONS`.
    width : int
        Width of the pictures [px].
    """

    job: Job = field(default_factory=Job)
    rows: tuple[Row, ...] = ROWS
    texts: Mapping[str, str] = field(default_factory=dict)
    plies: Mapping[str, Ply] = field(default_factory=dict)
    section: str = "wall"
    width: int = 720

    def get(self, path: str) -> str:
        """What stands in a field."""
        return self.texts.get(path, START.get(path, ""))

    def put(self, path: str, text: str) -> LayupChoice:
        """Choice with another text in a field."""
        texts = {k: v for k, v in self.texts.items() if k != path}
        if text != START.get(path, ""):
            texts[path] = text
        return replace(self, texts=texts)

    def group(self, name: str) -> tuple[tuple[str, str], ...]:
        """Texts of a group of fields, to see whether any has changed."""
        keys = {k for k in (*START, *self.texts) if k.startswith(f"{name}.")}
        return tuple((k, self.get(k)) for k in sorted(keys))


class Typed(Protocol):
    """Anything that knows what stands in a field, and its job."""

    @property
    def job(self) -> Job:
        """The job, for its display system."""

    def get(self, path: str) -> str:
        """What stands in a field."""


class Reader:
    """Reads fields of a choice, and keeps a sentence for each that cannot be read.

    Parameters
    ----------
    choice : Typed
        The choice.
    """

    def __init__(self, choice: Typed) -> None:
        self.choice = choice
        self.system: str = choice.job.units
        self.wrong: dict[str, str] = {}

    def si(self, path: str, kind: str, what: str, *, positive: bool = False) -> float:
        """Value in SI; NaN where the field is empty or cannot be read."""
        text = self.choice.get(path).strip()
        if not text:
            return math.nan
        try:
            return to_si(text, kind, what=what, positive=positive)
        except InputError as error:
            self.wrong[path] = sentence(error, self.system)
            return math.nan

    def whole(self, path: str, least: int, most: int) -> int:
        """Whole number of a field; its least where it cannot be read."""
        text = self.choice.get(path).strip()
        if text.isdecimal() and least <= int(text[:9]) <= most:
            return int(text[:9])
        self.wrong[path] = f'"{text[:40]}" is no whole number from {least} to {most}.'
        return least

    def given(self, path: str) -> str | None:
        """Text of a field, None where it is empty."""
        return self.choice.get(path).strip() or None

    def refuse(self, error: InputError, group: str, known: Mapping[str, str]) -> None:
        """Keep an error of the core at the field it speaks of, else at the group.

        Parameters
        ----------
        error : InputError
            With its place.
        group : str
            Group of fields.
        known : mapping
            Last word of the place -> path of the field.
        """
        last = (error.where or "").replace(" ", ":").split(":")[-1]
        path = known.get(last, group)
        said = sentence(error, self.system) if path != group else error.said(self.system)
        self.wrong.setdefault(path, said)


Work = Callable[[LayupChoice, Reader, dict[str, Any]], Any]


class LayupSession(HasTraits):
    """State of one visitor's page; the only thing that changes.

    Parameters
    ----------
    choice : LayupChoice
        Where to start.
    work : mapping
        Section -> what computes it from the choice, a `Reader` and what was found before.
    """

    choice = Instance(LayupChoice)
    found = Dict()  # section -> last good result
    problems = Dict()  # path of a field -> sentence
    seen = Int(0)  # counts what is to be shown
    status = Unicode("")

    def __init__(self, choice: LayupChoice, work: Mapping[str, Work]) -> None:
        self._work = dict(work)
        self._of: dict[str, Any] = {}
        super().__init__(choice=choice)

    def change(self, **parts: Any) -> None:
        """Change parts of the choice at once."""
        self.choice = replace(self.choice, **parts)

    def edit(self, path: str, text: str) -> None:
        """Change what stands in a field."""
        self.choice = self.choice.put(path, text)

    def row(self, k: int, **parts: str) -> None:
        """Change a row of the stack."""
        rows = list(self.choice.rows)
        rows[k] = replace(rows[k], **parts)
        self.choice = replace(self.choice.put("sequence", ""), rows=tuple(rows))

    def stack(self, rows: tuple[Row, ...]) -> None:
        """Lay another stack; a sequence that was typed wrong is gone.

        Raises
        ------
        InputError
            For more plies than are worked on here.
        """
        self.choice = replace(self.choice.put("sequence", ""), rows=checked(rows))

    def sequence(self, text: str) -> None:
        """Lay a typed sequence; one that cannot be read stays in its field."""
        choice = self.choice
        try:
            rows = rows_from(text, choice.rows, choice.plies)
        except InputError:
            self.choice = choice.put("sequence", text)
            return
        self.stack(rows)

    def wrong(self, *groups: str) -> bool:
        """Whether a field of some groups is wrong."""
        return any(p == g or p.startswith(f"{g}.") for p in self.problems for g in groups)

    @property
    def stale(self) -> bool:
        """Whether the wall shown is not the one that is written."""
        return self.wrong("row", "rows", "size", "sequence", "wall")

    @observe("choice")
    def _changed(self, _: Any) -> None:
        choice = self.choice
        wrong = self._sequence(choice)
        for name in dict.fromkeys(("wall", choice.section)):
            if name in self._work:
                ground = {k: v for k, v in self.found.items() if k != "wall" or not wrong}
                wrong = {
                    **wrong,
                    **self._run(name, choice, self.found if name == "wall" else ground),
                }
        self.problems = wrong
        self.seen += 1

    def _sequence(self, choice: LayupChoice) -> dict[str, str]:
        text = choice.get("sequence")
        if text:
            try:
                rows_from(text, choice.rows, choice.plies)
            except InputError as error:
                return {"sequence": sentence(error, choice.job.units)}
        return {}

    def _run(self, name: str, choice: LayupChoice, found: dict[str, Any]) -> dict[str, str]:
        """Compute one section, and keep what it found; its sentences."""
        reader = Reader(choice)
        try:
            result = self._work[name](choice, reader, found)
        except InputError as error:
            reader.wrong.setdefault(name, error.said(reader.system))
            return reader.wrong
        if not reader.wrong and result is not None:
            self.found = {**self.found, name: result}
        return reader.wrong


# ---- as part of a job ---------------------------------------------------------------------
def job_of(choice: LayupChoice) -> Job:
    """The job with the state of the page in it.

    Parameters
    ----------
    choice : LayupChoice
        The choice.

    Returns
    -------
    Job
    """
    state: dict[str, Any] = {
        "section": choice.section,
        "rows": [[r.ply, r.angle, r.count, r.thickness] for r in choice.rows],
        "typed": [[k, v] for k, v in sorted(choice.texts.items())],
        "plies": [ply_table(p) for p in choice.plies.values()],
    }
    return replace(choice.job, page={**choice.job.page, PAGE: state})


def choice_of(job: Job) -> tuple[LayupChoice, list[str]]:
    """Choice of a job, with what its page state says; nothing in it is believed unchecked.

    Parameters
    ----------
    job : Job
        A job, perhaps from a file or a link.

    Returns
    -------
    tuple of LayupChoice and list of str
        The choice, and one sentence for each part that was left out.
    """
    choice = LayupChoice(job)
    refused: list[str] = []
    state = job.page.get(PAGE)
    if not isinstance(state, Mapping):
        return choice, refused
    for key, read in _READERS.items():
        if key in state:
            try:
                choice = replace(choice, **read(state[key]))
            except (InputError, TypeError, ValueError, KeyError):
                refused.append(f'"{key}" of the own wall cannot be used and is left out.')
    return choice, refused


def _texts_of(value: Any, size: int, most: int) -> list[list[str]]:
    rows = [list(row) for row in value]
    if len(rows) > most or any(
        len(r) != size or not all(isinstance(t, str) and len(t) <= _LONGEST for t in r)
        for r in rows
    ):
        raise ValueError
    return rows


def _rows(value: Any) -> dict[str, Any]:
    return {"rows": tuple(Row(*r) for r in _texts_of(value, 4, MOST))}


def _typed(value: Any) -> dict[str, Any]:
    rows = _texts_of(value, 2, _MOST_TEXTS)
    return {"texts": {row[0]: row[1] for row in rows}}


def _plies(value: Any) -> dict[str, Any]:
    if len(value) > _MOST_PLIES:
        raise ValueError
    made = [ply_of(table) for table in value]
    return {"plies": {p.name: p for p in made}}


def _section(value: Any) -> dict[str, Any]:
    if value not in SECTIONS:
        raise ValueError
    return {"section": value}


_READERS: dict[str, Callable[[Any], dict[str, Any]]] = {
    "plies": _plies, "rows": _rows, "typed": _typed, "section": _section,
}  # fmt: skip

__all__ = [
    "PAGE", "ROWS", "SECTIONS", "START", "LayupChoice", "LayupSession", "Reader", "Typed",
    "choice_of", "job_of",
]  # fmt: skip
