"""Command reduce: files of test machines to a table and a report."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from tubecalc.testing.bench_set import Bench
    from tubecalc.testing.result import TestResult

_SUFFIXES = (".csv", ".xlsx", ".txt")
_READ = ("force", "travel", "force_unit", "travel_unit", "torque_unit", "angle_unit",
         "strain_unit", "decimal", "split")  # fmt: skip
_TOLD = ("kind", "span", "od", "wall", "id", "inner_span", "gauge_length", "nose", "ends",
         "load_factor", "frame", "failure")  # fmt: skip


def add(commands: Any, ok: int, bad_input: int) -> None:
    """Add the command to the command line.

    Parameters
    ----------
    commands : argparse subparsers
        Where to.
    ok, bad_input : int
        Exit codes [-].
    """
    one = commands.add_parser(
        "reduce", help="reduce files of test machines: a table and a report",
        description="Reads files of test machines, or folders of them, and says what each test "
        "tells. A folder may hold an index.csv that says what each file is. A file that cannot be "
        "read is named and the others are still reduced; the exit code is 2 only if none could be.",
    )  # fmt: skip
    one.add_argument("files", metavar="FILE", type=Path, nargs="+", help="file or folder")
    one.add_argument("--kind", help="tension, compression, three-point, four-point, torsion, ring "
                     "or column; without it, loads and slope only")  # fmt: skip
    for name, words in (("--span", "span of a beam, free length of a column: \"600 mm\""),
                        ("--od", "outside diameter"), ("--wall", "wall"), ("--id", "bore"),
                        ("--inner-span", "between the noses of four-point bending"),
                        ("--nose", "length of tube that a nose touches, along the tube"),
                        ("--gauge-length", "length that the travel is over")):  # fmt: skip
        one.add_argument(name, metavar="LENGTH", help=words)
    one.add_argument(
        "--frame", metavar="FILE|VALUE",
        help='run on a rigid bar, or the stiffness of the frame: "60 kN/mm"',
    )  # fmt: skip
    one.add_argument("--failure", help="break, crush, split, buckling, yield, delamination; or "
                     "grip, jaw, bond, slip, run-out, stopped: only a lower bound")  # fmt: skip
    one.add_argument("--ends", help="of a column: pinned-pinned, fixed-pinned, fixed-fixed or "
                     "fixed-free")  # fmt: skip
    one.add_argument("--load-factor", metavar="NUMBER", help="what the recorded load is multiplied "
                     "by: calibration of its cell")  # fmt: skip
    one.add_argument("--force", metavar="COLUMN", help="column of the force, by name or number")
    one.add_argument("--travel", metavar="COLUMN", help="column of the travel")
    one.add_argument("--force-unit", metavar="UNIT", help="unit of the force")
    one.add_argument("--travel-unit", metavar="UNIT", help="unit of the travel")
    one.add_argument("--torque-unit", metavar="UNIT", help="unit of the torque")
    one.add_argument("--angle-unit", metavar="UNIT", help="unit of the angle")
    one.add_argument("--strain-unit", metavar="UNIT", help="unit of the strain")
    one.add_argument("--decimal", metavar="SIGN", help='decimal sign: ",", "." or "either"')
    one.add_argument("--split", metavar="HOW", help="how several specimens lie in one table, where "
                     "a file asks")  # fmt: skip
    one.add_argument("-o", "--out", type=Path, metavar="FILE.csv|.xlsx|.txt",
                     help="write the table (CSV, XLSX) or the report (TXT)")  # fmt: skip
    one.set_defaults(run=lambda args: _reduce(args, ok, bad_input))


def _reduce(args: argparse.Namespace, ok: int, bad_input: int) -> int:
    from tubecalc.testing.bench_set import INDEX, read_index, reduce_rows

    if args.out is not None:
        from tubecalc.share.files import checked

        checked(args.out, _SUFFIXES, "table")
    told: dict[str, Any] = {k: getattr(args, k) for k in _TOLD if getattr(args, k) is not None}
    if "frame" in told:
        told["frame"] = _frame(told["frame"])
    reading = {k: getattr(args, k) for k in _READ if getattr(args, k) is not None}
    rows: list[tuple[Path, dict[str, str]]] = []
    for path in args.files:
        if path.is_dir():
            rows += [(path, row) for row in _listed(path)]
        elif path.name == INDEX:
            rows += [(path.parent, row) for row in read_index(path)]
        else:
            rows.append((path.parent, {"file": path.name}))
    bench = reduce_rows(rows, progress=_progress(len(rows)), reading=reading, **told)
    for problem in bench.problems:
        print(_plain(f"tubecalc reduce: {problem}"), file=sys.stderr)
    if not bench.results:
        return bad_input
    _show(bench)
    if args.out is not None:
        _write(bench, args.out)
    return ok


def _listed(folder: Path) -> list[dict[str, str]]:
    from tubecalc.testing.bench_set import listed

    return listed(folder)


def _frame(text: str) -> Any:
    path = Path(text)
    if not path.is_file():
        return text
    from tubecalc.testing.curves import read_curves

    return read_curves(path)[0]


def _progress(count: int) -> Any:
    """Counter on the error stream; nothing for a handful of files."""
    if count < 10:
        return None
    shown = sys.stderr.isatty()

    def tell(done: int, total: int, name: str) -> None:
        if shown:
            end = "\n" if done == total else ""
            print(_plain(f"\r{done} of {total}  {name[:40]:<40}"), end=end, file=sys.stderr,
                  flush=True)  # fmt: skip
        elif done == total or done % max(1, total // 10) == 0:
            print(f"{done} of {total}", file=sys.stderr, flush=True)

    return tell


def _plain(text: str) -> str:
    """Text of a file without what a terminal would obey."""
    from tubecalc.share.page_text import clean

    lead = "\r" if text.startswith("\r") else ""
    return lead + clean(text.lstrip("\r"))


def _show(bench: Bench) -> None:
    from tubecalc.cli_report import columns, wrapped
    from tubecalc.testing.report import report_text

    head = ["specimen", "kind", "failure", "largest load", "stiffness", "modulus"]
    body = [[_plain(c) for c in _cells(r)] for r in bench.results]
    print(columns(head, body, "lllrrr"))
    for line in report_text(bench).splitlines():
        print(wrapped(_plain(line)) if line else "")


def _cells(test: TestResult) -> list[str]:
    from tubecalc.testing.report import four, load, slope

    v = test.si
    more = "at least " if test.peak_is_at_least else ""
    modulus = f"{four(v['modulus'] / 1e9)} GPa" if v["modulus"] > 0 else "-"
    return [test.name[:30], test.kind, test.failure or "not said", more + load(test, v["peak"]),
            slope(test), modulus]  # fmt: skip


def _write(bench: Bench, path: Path) -> None:
    from tubecalc.share.files import put
    from tubecalc.testing.report import report_text

    suffix = path.suffix.lower()
    if suffix == ".txt":
        data = report_text(bench).encode()
    else:
        from tubecalc.share.bench_sheet import bench_sheet

        data = bench_sheet(bench, suffix[1:])
    print(f"\nWritten: {put(path, data, suffixes=_SUFFIXES, what='table')}")


__all__ = ["add"]
