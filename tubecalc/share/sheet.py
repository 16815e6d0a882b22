"""A job as a table that opens in a spreadsheet: XLSX with four sheets, or CSV."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from datetime import date as day
from pathlib import Path

from tubecalc.compare import judge
from tubecalc.errors import InputError, unknown_key
from tubecalc.job import Job
from tubecalc.share import sheet_notes as notes
from tubecalc.share import sheet_tables as tables
from tubecalc.share.files import checked, put
from tubecalc.share.offer import offered
from tubecalc.share.page import dated
from tubecalc.share.page_verdict import Told
from tubecalc.share.sheet_book import PAPERS, workbook
from tubecalc.share.sheet_cells import Value, plain

KINDS = ("xlsx", "csv")
SUFFIXES = (".xlsx", ".csv", ".pdf")


def sheet(job: Job, kind: str, *, date: str | day | None = None, paper: str = "A4") -> bytes:
    """Table of a job for a spreadsheet.

    Parameters
    ----------
    job : Job
        With candidates, or a need to choose the best for.
    kind : str
        "xlsx": sheets tubes, checks, need and sources. "csv": the tubes with the reserve of every
        check; below them, in the column of names, what the figures stand on.
    date : str or datetime.date, optional
        ISO date; the job's own, else today, when not given.
    paper : str
        "A4" or "Letter", for printing the workbook.

    Returns
    -------
    bytes
        The same for the same job and date. Cells of numbers hold numbers or nothing; a word in a
        column of text says why there is none.

    Raises
    ------
    InputError
        For another kind or paper, if there is nothing to offer, or for what the core refuses of a
        candidate.

    Notes
    -----
    Text never becomes a formula: in a workbook it is stored as text and marked so; in CSV, which
    cannot say what a cell is, a ' stands before a sign that could begin a formula.

    Examples
    --------
    >>> from tubecalc.job import Candidate
    >>> job = Job(candidates=(Candidate("6063-T6", 0.02, 0.017, label="=1+1"),))
    >>> sheet(job, "csv", date="2026-11-25").decode("utf-8-sig").splitlines()[1][:30]
    "1,'=1+1,6063-T6,20.0,17.0,1.5,"
    """
    if not isinstance(job, Job):
        raise InputError("is not a Job", where="sheet", got=type(job).__name__)
    if kind not in KINDS:
        raise unknown_key("kind of sheet", kind, KINDS, "sheet")
    if paper not in PAPERS:
        raise unknown_key("paper", paper, PAPERS, "sheet")
    when = dated(job, date)
    whole = offered(job)
    told = Told(whole, {whole.units: judge(whole)})
    return _csv(told, when) if kind == "csv" else _xlsx(told, when, paper)


def _xlsx(told: Told, when: str, paper: str) -> bytes:
    found = [
        tables.tubes(told), tables.checks(told), notes.need(told, when), notes.sources(told)
    ]  # fmt: skip
    return workbook(
        [t for t in found if t.rows], title=told.job.need.title, author=told.job.text.author,
        when=when, foot=notes.version_line(when), paper=paper,
    )  # fmt: skip


def _csv(told: Told, when: str) -> bytes:
    """One table, then rows of notes.

    The notes follow in the same table rather than in a second file, which gets lost, or in a second
    table, which a reader of one table trips over: each stands in the column of names with every
    other cell empty, so that the columns of numbers stay numbers.
    """
    table = tables.tubes(told)
    reserves = tables.reserve_of_checks(told)
    heads = [c.head for c in table.columns] + [f"reserve, {label} [-]" for label, _ in reserves]
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([plain(h) for h in heads])
    for at, row in enumerate(table.rows):
        writer.writerow([_shown(v) for v in (*row, *(cells[at] for _, cells in reserves))])
    for note in _notes(told, when):
        writer.writerow(["", plain(note), *[""] * (len(heads) - 2)])
    return out.getvalue().encode("utf-8-sig")


def _shown(value: Value) -> str:
    return plain(value) if isinstance(value, str) else "" if value is None else f"{value!r}"


def _notes(told: Told, when: str) -> Iterator[str]:
    """What the figures stand on, a line each."""
    for what, said in notes.need(told, when).rows:
        yield f"{what}: {said}"
    for row in notes.sources(told).rows:
        what, name, item, value, unit, *_, basis, standing, source, place, note = row
        amount = "" if value is None else f"{value:g} {unit}"
        parts = (item, amount, basis, standing, source, place, note)
        said = "; ".join(str(p) for p in parts if p not in (None, ""))
        yield f"{what}, {name}: {said}"
    yield "a ' before a text keeps a spreadsheet from taking it for a formula"


def write_sheet(
    job: Job, path: str | Path, *, date: str | day | None = None, paper: str = "A4"
) -> Path:
    """Write a job as a table (XLSX, CSV) or as a data sheet (PDF).

    Parameters
    ----------
    job : Job
        With candidates, or a need to choose the best for.
    path : str or pathlib.Path
        Where, ending in .xlsx, .csv or .pdf; a failed write leaves an old file as it was.
    date : str or datetime.date, optional
        ISO date; the job's own, else today, when not given.
    paper : str
        "A4" or "Letter".

    Returns
    -------
    pathlib.Path
        The file.

    Raises
    ------
    InputError
        For another ending, a file that cannot be written, or as `sheet` does.
    """
    target = checked(path, SUFFIXES, "sheet")
    kind = target.suffix.lower()[1:]
    if kind == "pdf":
        from tubecalc.share.datasheet import datasheet

        data = datasheet(job, date=date, paper=paper)
    else:
        data = sheet(job, kind, date=date, paper=paper)
    return put(target, data, suffixes=SUFFIXES, what="sheet")


__all__ = ["KINDS", "SUFFIXES", "sheet", "write_sheet"]
