"""What leaves the house from the command line: commands page, sheet, chart and quote."""

from __future__ import annotations

import argparse
import re
import sys
import unicodedata
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tubecalc.errors import InputError

if TYPE_CHECKING:
    from tubecalc.job import Job

_STEM = 60  # letters of a file name made from a title
_TAKEN = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)", re.IGNORECASE)  # names of devices


def add(commands: Any, ok: int, nothing_passes: int) -> None:
    """Add the commands to the command line.

    Parameters
    ----------
    commands : argparse subparsers
        Where to.
    ok, nothing_passes : int
        Exit codes [-].
    """
    runs: dict[str, tuple[str, str, Callable[[argparse.Namespace, Job, Path], Path]]] = {
        "page": ("the page for the customer: one file", ".html", _page),
        "sheet": ("the table (XLSX, CSV) or the data sheet (PDF)", ".xlsx", _sheet),
        "chart": ("the chart for a quote (PNG, SVG, PDF)", ".png", _chart),
    }
    for name, (words, suffix, write) in runs.items():
        one = _parser(commands, name, words)
        one.add_argument(
            "-o", "--out", type=Path, metavar="FILE",
            help=f"file to write; NAME{suffix} beside the job, NAME from its title, when not given",
        )  # fmt: skip
        if name == "sheet":
            one.add_argument("--paper", choices=("A4", "Letter"), default="A4", help="for printing")
        if name == "chart":
            one.add_argument("--width", type=float, default=170.0, metavar="MM", help="width, mm")
            one.add_argument("--dpi", type=float, default=300.0, metavar="N", help="dots per inch")
        one.set_defaults(run=_runner(write, suffix, ok, nothing_passes))
    one = _parser(commands, "quote", "a paragraph for a quote, to standard output")
    one.set_defaults(run=lambda args: _quote(args, ok, nothing_passes))


def _parser(commands: Any, name: str, words: str) -> Any:
    one = commands.add_parser(name, help=f"write {words}" if name != "quote" else words)
    one.add_argument(
        "job", metavar="JOB", type=Path, help="job file, need file (TOML) or customer page (.html)"
    )
    one.add_argument(
        "--date", default=None, metavar="ISO", help="date in the file; the job's, else today"
    )
    one.add_argument(
        "--units", choices=("SI", "workshop", "inch"), default=None, help="the job's when not given"
    )
    return one


def _runner(
    write: Callable[[argparse.Namespace, Job, Path], Path], suffix: str, ok: int, nothing: int
) -> Callable[[argparse.Namespace], int]:
    def run(args: argparse.Namespace) -> int:
        job = _job(args)
        target = args.out or _beside(args.job, job, suffix)
        if target.exists() and args.job.exists() and target.samefile(args.job):
            raise InputError(
                "would be written over the job it is made from", where=target.name,
                expected="another name after -o",
            )  # fmt: skip
        written = write(args, job, target)
        print(f"Written: {written}")
        return _passes(job, ok, nothing)

    return run


def _page(args: argparse.Namespace, job: Job, target: Path) -> Path:
    from tubecalc.share.page import write_page

    return write_page(job, target, date=args.date)


def _sheet(args: argparse.Namespace, job: Job, target: Path) -> Path:
    from tubecalc.share.sheet import write_sheet

    return write_sheet(job, target, date=args.date, paper=args.paper)


def _chart(args: argparse.Namespace, job: Job, target: Path) -> Path:
    from tubecalc.share.quote_chart import write_chart

    return write_chart(job, target, date=args.date, width_mm=args.width, dpi=args.dpi)


def _quote(args: argparse.Namespace, ok: int, nothing: int) -> int:
    from tubecalc.share.page import dated
    from tubecalc.share.quote import quote_text

    job = _job(args)
    dated(job, args.date)  # the paragraph bears none, but a wrong one is still said to be wrong
    print(quote_text(job))
    return _passes(job, ok, nothing)


def _job(args: argparse.Namespace) -> Job:
    job = read_job(args.job)
    return job if args.units is None else replace(job, units=args.units)


def read_job(path: Path) -> Job:
    """Read a job from a job file, a need file or a customer page.

    Parameters
    ----------
    path : pathlib.Path
        Ending in .html or .htm for a page.

    Returns
    -------
    Job

    Raises
    ------
    InputError
        If there is no such file, or it is none of these; naming the place.
    """
    from tubecalc.job import Job

    if not path.exists():
        raise InputError("there is no such file", where=str(path))
    if path.suffix.lower() in (".html", ".htm"):
        return Job.from_html(path)
    return Job.from_toml(path)


def _beside(path: Path, job: Job, suffix: str) -> Path:
    """File beside the job, named from its title."""
    return path.parent / f"{stem(job.need.title) or stem(path.stem) or 'job'}{suffix}"


def stem(title: str) -> str:
    """Name of a file from a title: small letters, digits and hyphens only.

    Parameters
    ----------
    title : str
        Anything.

    Returns
    -------
    str
        "" where nothing is left of it.

    Examples
    --------
    >>> stem("Sampling boom, Ø 38!"), stem("../../etc"), stem("CON")
    ('sampling-boom-38', 'etc', 'tube-con')
    """
    plain = unicodedata.normalize("NFKD", title[:1000]).encode("ascii", "ignore").decode().lower()
    name = "-".join(re.findall(r"[a-z0-9]+", plain))[:_STEM].rstrip("-")
    return f"tube-{name}" if _TAKEN.fullmatch(name) else name


def _passes(job: Job, ok: int, nothing: int) -> int:
    """Exit code, and the words for it where no tube does what is asked."""
    from tubecalc.compare import judge
    from tubecalc.share.offer import offered

    judged = judge(offered(job))
    if not job.need.cases or any(judged.passes(n) for n in range(len(judged))):
        return ok
    count = len(judged)
    first = "The tube does not do" if count == 1 else f"None of the {count} tubes does"
    print(f"{first} what is asked.", file=sys.stderr)
    return nothing


__all__ = ["add", "read_job", "stem"]
