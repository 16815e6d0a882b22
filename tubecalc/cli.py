"""The command line: ``tubecalc serve``, ``pick``, ``evidence``, ``page``, ``sheet`` and so on.

Ends with 0 when all is well, 1 when no tube passes (or a check is outside its tolerance), 2 when
something that was given cannot be read; that is said in one sentence, without a traceback.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

from tubecalc.errors import InputError

if TYPE_CHECKING:
    import pandas as pd

    from tubecalc.laminate.construction import Construction
    from tubecalc.need import Need

OK, NOTHING_PASSES, BAD_INPUT = 0, 1, 2
_PROBLEMS = 8  # doubtful rows of a stock list that are told one by one


class _Parser(argparse.ArgumentParser):
    """Says what is wrong in one sentence; the rest is in --help."""

    def error(self, message: str) -> NoReturn:
        self.exit(BAD_INPUT, f"{self.prog}: {message} (see {self.prog} --help).\n")


def _steps(text: str, where: str) -> tuple[str, str, str]:
    """Split ``LO:HI:STEP``; a unit on the last number serves the others too."""
    parts = [p.strip() for p in text.split(":")]
    if len(parts) != 3 or not all(parts):
        raise InputError(
            "is not a range", where=where, got=text, expected='LO:HI:STEP such as "6:40:1 mm"'
        )
    unit = parts[-1].lstrip("+-0123456789./eE ")
    if unit:
        parts = [p if p.lstrip("+-0123456789./eE ") else f"{p} {unit}" for p in parts]
    else:
        parts = [f"{p} mm" for p in parts]  # the help says so
    return parts[0], parts[1], parts[2]


def _read_need(path: Path) -> Need:
    from tubecalc.need import Need

    if not path.is_file():
        raise InputError("there is no such need file", where=str(path))
    return Need.from_toml(path)


def _own(args: argparse.Namespace) -> dict[str, Construction]:
    """The user's own constructions by key."""
    from tubecalc.laminate.construction import read_constructions

    return read_constructions(args.own) if args.own else {}


def _candidates(args: argparse.Namespace, need: Need, own: dict[str, Construction]) -> pd.DataFrame:
    """The ranked table of the command's tubes: a stock list's, or a sweep's."""
    from tubecalc.laminate.construction import composites, metals
    from tubecalc.sweep import sweep

    wanted = [k.strip() for k in args.constructions.split(",") if k.strip()]
    if args.stock is None:
        ranges: dict[str, Any] = {"system": args.units}
        if wanted or own:
            keys = wanted or [*own, *composites(), *metals()]
            ranges["constructions"] = [own.get(k, k) for k in keys]
        if args.od:
            ranges["od"] = _steps(args.od, "--od")
        if args.wall:
            ranges["wall"] = _steps(args.wall, "--wall")
        return sweep(need, **ranges)
    if args.od or args.wall:
        raise InputError("a stock list has its own sizes", where="--od, --wall", got=args.stock)
    from tubecalc.shortlist import shortlist
    from tubecalc.stock import read_stock

    if not args.stock.is_file():
        raise InputError("there is no such stock list", where=str(args.stock))
    stock = read_stock(args.stock)
    for problem in stock.problems[:_PROBLEMS]:
        print(f"{stock.name}: {problem}", file=sys.stderr)
    if len(stock.problems) > _PROBLEMS:
        print(f"{stock.name}: {len(stock.problems) - _PROBLEMS} more like these.", file=sys.stderr)
    table = shortlist(need, stock, system=args.units)
    return table[table["construction"].isin(wanted)] if wanted else table


def _pick(args: argparse.Namespace) -> int:
    from tubecalc.cli_report import chosen, shortlist_text, usual_first

    if args.out and args.out.suffix.lower() != ".csv":
        raise InputError(
            "the table is written as CSV", where="--out", got=args.out.name, expected="NAME.csv"
        )
    need = _read_need(args.need)
    own = _own(args)
    table = usual_first(_candidates(args, need, own))
    if table.empty:
        raise InputError(
            "there is no tube to check", where="--constructions", got=args.constructions
        )
    if args.out:
        table.to_csv(args.out, index=False)
    print(shortlist_text(table, need, args.top, args.units))
    print(chosen(table, need, args.units, own))
    if args.out:
        print(f"\n{len(table)} tubes written to {args.out}.")
    return OK if bool(table["passes"].any()) else NOTHING_PASSES


def _serve(args: argparse.Namespace) -> int:
    from tubecalc.app.server import serve

    serve(port=args.port, browser=not args.no_browser, token=args.token, address=args.address)
    return OK


def _evidence(args: argparse.Namespace) -> int:
    from tubecalc.cli_evidence import evidence_text
    from tubecalc.evidence import rows
    from tubecalc.evidence.book import OUTSIDE
    from tubecalc.evidence.report import verdict_of

    if args.worst < 0:
        raise InputError(
            "is not a number of rows", where="--worst", got=str(args.worst), expected="0 or more"
        )
    found = rows(args.topic)
    if args.verdict is not None:
        wanted = verdict_of(args.verdict)
        found = [r for r in found if r.verdict == wanted]
    print(evidence_text(found, args.worst))
    return NOTHING_PASSES if any(r.verdict == OUTSIDE for r in found) else OK


def build_parser() -> argparse.ArgumentParser:
    """Describe the command line.

    Returns
    -------
    argparse.ArgumentParser
    """
    from tubecalc import __version__, cli_files, cli_reduce

    parser = _Parser(prog="tubecalc", description="Which tube carries it, and why.")
    parser.add_argument("--version", action="version", version=f"tubecalc {__version__}")
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")

    serve = commands.add_parser("serve", help="open the pages in a browser")
    serve.add_argument(
        "--port", type=int, default=None,
        help="port; 8862 when not given, or a free one if that is taken (0: any)",
    )  # fmt: skip
    serve.add_argument("--no-browser", action="store_true", help="do not open the browser")
    serve.add_argument("--token", default=None, help="word a visitor must know; made up by default")
    serve.add_argument("--address", default="127.0.0.1", help="address to listen on (this machine)")
    serve.set_defaults(run=_serve)

    pick = commands.add_parser("pick", help="shortlist the tubes for a need file")
    pick.add_argument("need", metavar="NEED", type=Path, help="need file (TOML)")
    pick.add_argument("--stock", type=Path, help="stock list (CSV or XLSX) instead of a sweep")
    pick.add_argument("--own", type=Path, metavar="FILE.toml", help="own constructions beside ours")
    pick.add_argument("--constructions", default="", help="keys with commas; all when not given")
    pick.add_argument(
        "--od", default="", metavar="LO:HI:STEP", help="outside diameters, mm or unit"
    )
    pick.add_argument("--wall", default="", metavar="LO:HI:STEP", help="walls, mm or with a unit")
    pick.add_argument("--top", type=int, default=10, metavar="N", help="lines of the shortlist")
    pick.add_argument("--units", choices=("SI", "workshop", "inch"), default="SI")
    pick.add_argument("--out", type=Path, metavar="FILE.csv", help="write every tube to a file")
    pick.set_defaults(run=_pick)

    evidence = commands.add_parser("evidence", help="published values beside the computed ones")
    evidence.add_argument("--topic", default=None, help="a topic, or a piece of one")
    evidence.add_argument("--verdict", default=None, help="a verdict, or a piece of one")
    evidence.add_argument(
        "--worst", type=int, default=20, metavar="N", help="rows to list, worst first; 0: all"
    )
    evidence.set_defaults(run=_evidence)
    cli_files.add(commands, OK, NOTHING_PASSES)
    cli_reduce.add(commands, OK, BAD_INPUT)
    return parser


def main(argv: Sequence[str] | None = None) -> int:
    """Run a command.

    Parameters
    ----------
    argv : sequence of str, optional
        Arguments; those of the process when not given.

    Returns
    -------
    int
        Exit code: 0, 1 (nothing passes) or 2 (bad input).

    Examples
    --------
    >>> main(["pick", "no-such-need.toml"])
    2
    """
    args = build_parser().parse_args(argv)
    try:
        return int(args.run(args))
    except InputError as error:
        print(f"tubecalc {args.command}: {error}", file=sys.stderr)
        return BAD_INPUT
    except BrokenPipeError:  # the reader (head, less) has seen enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return OK
    except OSError as error:
        name = f"{error.filename}: " if error.filename else ""
        print(f"tubecalc {args.command}: {name}{error.strerror}.", file=sys.stderr)
        return BAD_INPUT
    except KeyboardInterrupt:
        return OK
