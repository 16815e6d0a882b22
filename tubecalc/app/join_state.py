"""What page `join` knows: everything typed, the joints of the job, and the results."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from traitlets import Dict, HasTraits, Instance, Int, Unicode, observe

from tubecalc.app.layup_state import Reader
from tubecalc.app.stocks import Entry
from tubecalc.errors import InputError
from tubecalc.job import Job
from tubecalc.joining.job_joints import PAGE, ROWS, unread

SECTIONS = {
    "slide": "Will it slide", "pole": "Telescoping pole", "bond": "Will the bond hold",
    "bolt": "Bolts, threads, clamps", "metal": "Which metal may touch it", "heat": "Heat",
    "shop": "In the workshop",
}  # fmt: skip
START = {
    "tube.from": "1", "tube.of": "roll-wrapped-woven", "tube.od": "30 mm", "tube.id": "26 mm",
    "slide.role": "outer", "slide.from": "typed", "slide.of": "roll-wrapped-woven",
    "slide.wall": "1.5 mm", "slide.overlap": "100 mm",
    "wear.stroke": "1 m", "wear.load": "20 N", "wear.touch": "20 mm",
    "pole.count": "4", "pole.gap": "0.3 mm", "pole.length": "1 m", "pole.overlap": "120 mm",
    "pole.from": "typed", "pole.load": "5 N", "pole.lean": "0 deg",
    "bond.insert": "6061-T6", "bond.place": "inside", "bond.wall": "3 mm",
    "bond.overlap": "30 mm", "bond.glue": "epoxy-tough", "bond.prepared": "abraded",
    "bond.from": "typed", "bond.axial": "2 kN",
    "bolt.hole": "5 mm", "bolt.load": "1 kN", "bolt.edge": "15 mm", "bolt.place": "face",
    "clamp.length": "20 mm", "clamp.screw": "5 mm", "clamp.screws": "2",
    "clamp.style": "two halves", "clamp.washer": "12 mm",
    "metal.env": "outdoor", "metal.other": "aluminium",
    "heat.by": "sun", "heat.at": "40 degC", "heat.air": "35 degC", "heat.wind": "0 m/s",
    "heat.glue": "epoxy-tough", "heat.length": "1 m", "heat.rise": "40 K",
    "heat.other": "6061-T6", "shop.work": "",
}  # fmt: skip
START_INCH = {  # the same in round inches: what a page of an inch job starts with
    "tube.od": "1.25 in", "tube.id": "1.1 in", "slide.wall": "0.06 in", "slide.overlap": "4 in",
    "wear.stroke": "40 in", "wear.load": "5 lbf", "wear.touch": "0.8 in",
    "pole.gap": "0.012 in", "pole.length": "40 in", "pole.overlap": "5 in", "pole.load": "1 lbf",
    "bond.wall": "0.12 in", "bond.overlap": "1.2 in", "bond.axial": "450 lbf",
    "bolt.hole": "0.2 in", "bolt.load": "225 lbf", "bolt.edge": "0.6 in",
    "clamp.length": "0.8 in", "clamp.screw": "0.2 in", "clamp.washer": "0.5 in",
    "heat.at": "105 degF", "heat.air": "95 degF", "heat.wind": "0 mph", "heat.length": "40 in",
    "heat.rise": "72 ΔdegF",
}  # fmt: skip
_LONGEST, _MOST = 400, 200
LISTED = 300  # tubes of a stock list in a menu at once
OWN = "own "  # before the number of a tube of one's own list


@dataclass(frozen=True, eq=False)
class Stock:
    """One's own stock list while the page is open: name, tubes."""

    name: str
    entries: tuple[Entry, ...]


@dataclass(frozen=True)
class JoinChoice:
    """Everything a person set on the page.

    Parameters
    ----------
    job : Job
        The job, with its joints.
    texts : mapping
        Path of a field -> what was typed, where it is not as in `START`.
    section : str
        A key of `SECTIONS`.
    width : int
        Width of the pictures [px].
    stock : Stock or None
        One's own stock list; it is not kept with the job, the tubes taken from it are.
    """

    job: Job = field(default_factory=Job)
    texts: Mapping[str, str] = field(default_factory=dict)
    section: str = "slide"
    width: int = 720
    stock: Stock | None = None

    def get(self, path: str) -> str:
        """What stands in a field."""
        return self.texts.get(path, START.get(path, ""))

    def put(self, path: str, text: str) -> JoinChoice:
        """Choice with another text in a field."""
        texts = {k: v for k, v in self.texts.items() if k != path}
        if text != START.get(path, ""):
            texts[path] = text
        return replace(self, texts=texts)

    def in_units(self, units: str) -> JoinChoice:
        """Choice shown in a display system; sizes that nobody typed yet are round ones of it."""
        out = replace(self, job=replace(self.job, units=units))
        was, now = (x if s == "inch" else {k: START[k] for k in x}
                    for s, x in ((self.job.units, START_INCH), (units, START_INCH)))  # fmt: skip
        if all(self.get(k) == text for k, text in was.items()):
            for key, text in now.items():
                out = out.put(key, text)
        return out

    def own_entry(self, group: str) -> Entry | None:
        """Tube of one's own stock list that a group of fields takes."""
        number = self.get(f"{group}.from").removeprefix(OWN)
        if self.stock is None or f"{OWN}{number}" != self.get(f"{group}.from"):
            return None
        good = number.isdecimal() and 1 <= int(number[:7]) <= len(self.stock.entries)
        return self.stock.entries[int(number) - 1] if good else None

    def typed_out(self) -> JoinChoice:
        """Choice with tubes of one's own stock list written into the fields."""
        out = self
        for group in ("tube", "slide"):
            taken = self.own_entry(group)
            if taken is None:
                continue
            c = taken.candidate
            od, bore = (f"{x * 1e3:.9g} mm" for x in (c.od, c.id))
            words = {"from": "typed", "of": c.wall, "od": od, "id": bore}
            if group == "slide":
                inner = self.get("slide.role") == "outer"  # the other tube is the inner one
                words = {"from": "typed", "of": c.wall, "size": od if inner else bore,
                         "wall": f"{c.wall_thickness * 1e3:.9g} mm"}  # fmt: skip
            for key, text in words.items():
                out = out.put(f"{group}.{key}", text)
        return out


Work = Callable[[JoinChoice, Reader, dict[str, Any]], Any]


class JoinSession(HasTraits):
    """State of one visitor's page; the only thing that changes.

    Parameters
    ----------
    choice : JoinChoice
        Where to start.
    work : mapping
        Section, and "tube" -> what computes it from the choice, a `Reader` and what was found
        before.
    """

    choice = Instance(JoinChoice)
    found = Dict()  # section -> last good result
    problems = Dict()  # path of a field -> sentence
    seen = Int(0)  # counts what is to be shown
    status = Unicode("")

    def __init__(self, choice: JoinChoice, work: Mapping[str, Work]) -> None:
        self._work = dict(work)
        super().__init__(choice=choice)

    def change(self, **parts: Any) -> None:
        """Change parts of the choice at once."""
        self.choice = replace(self.choice, **parts)

    def edit(self, path: str, text: str) -> None:
        """Change what stands in a field."""
        self.choice = self.choice.put(path, text)

    def wrong(self, *groups: str) -> bool:
        """Whether a field of some groups is wrong."""
        return any(p == g or p.startswith(f"{g}.") for p in self.problems for g in groups)

    def stocked(self, name: str, entries: tuple[Entry, ...]) -> None:
        """Open one's own stock list; tubes taken from another one before are typed out."""
        self.choice = replace(self.choice.typed_out().put("stock.find", ""),
                              stock=Stock(name, entries))  # fmt: skip

    @property
    def stale(self) -> bool:
        """Whether the section shown is not what is written."""
        return bool(self.problems)

    @observe("choice")
    def _changed(self, _: Any) -> None:
        wrong = self._run("tube")
        if not wrong:
            wrong = self._run(self.choice.section)
        self.problems = wrong
        self.seen += 1

    def _run(self, name: str) -> dict[str, str]:
        """Compute one section, and keep what it found; its sentences."""
        reader = Reader(self.choice)
        try:
            result = self._work[name](self.choice, reader, self.found)
        except InputError as error:
            reader.wrong.setdefault(name, error.said(reader.system))
            return reader.wrong
        if not reader.wrong:
            self.found = {**self.found, name: result}
        return reader.wrong


# ---- as part of a job ---------------------------------------------------------------------
def job_of(choice: JoinChoice) -> Job:
    """The job with the state of the page in it.

    Parameters
    ----------
    choice : JoinChoice
        The choice.

    Returns
    -------
    Job
    """
    before = choice.job.page.get(PAGE, {})
    state: dict[str, Any] = {ROWS: before[ROWS]} if ROWS in before else {}
    state |= {
        "section": choice.section,
        "typed": [[k, v] for k, v in sorted(choice.typed_out().texts.items())],
    }
    return replace(choice.job, page={**choice.job.page, PAGE: state})


def choice_of(job: Job) -> tuple[JoinChoice, list[str]]:
    """Choice of a job, with what its page state says; nothing in it is believed unchecked.

    Parameters
    ----------
    job : Job
        A job, perhaps from a file or a link.

    Returns
    -------
    tuple of JoinChoice and list of str
        The choice, and one sentence for each part that was left out.
    """
    choice, refused = JoinChoice(job), []
    state = job.page.get(PAGE)
    if not isinstance(state, Mapping):
        return choice, []
    for key, read in (("section", _section), ("typed", _typed)):
        if key in state:
            try:
                choice = replace(choice, **read(state[key]))
            except (TypeError, ValueError, KeyError):
                refused.append(f'"{key}" of page join cannot be used and is left out.')
    if lost := unread(job):
        refused.append(f"{lost} of the job's joints cannot be read and count for nothing.")
    return choice, refused


def _section(value: Any) -> dict[str, Any]:
    if value not in SECTIONS:
        raise ValueError
    return {"section": value}


def _typed(value: Any) -> dict[str, Any]:
    rows = [list(row) for row in value]
    if len(rows) > _MOST or any(
        len(r) != 2 or not all(isinstance(t, str) and len(t) <= _LONGEST for t in r) for r in rows
    ):
        raise ValueError
    return {"texts": {row[0]: row[1] for row in rows}}


__all__ = [
    "LISTED", "OWN", "PAGE", "SECTIONS", "START", "START_INCH", "JoinChoice", "JoinSession",
    "Stock", "choice_of", "job_of",
]  # fmt: skip
