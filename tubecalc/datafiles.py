"""Finds the data that comes with tubecalc and reads it with its sources."""

from __future__ import annotations

import csv
import tomllib
from functools import cache
from pathlib import Path
from typing import Any

from tubecalc.errors import InputError

_PACKAGE = Path(__file__).resolve().parent


def _folder(name: str) -> Path:
    """Find a folder beside the package in a checkout, else the copy inside the wheel."""
    beside = _PACKAGE.parent / name
    if beside.is_dir() and (_PACKAGE.parent / "pyproject.toml").is_file():
        return beside
    return _PACKAGE / f"_{name}"


def data_dir() -> Path:
    """Folder of the data files: the checkout's, else the one inside the installed package.

    Returns
    -------
    pathlib.Path
        The folder that holds materials/, constructions/, stock/, jobs/ and evidence/.

    Examples
    --------
    >>> (data_dir() / "materials").is_dir()
    True
    """
    return _folder("data")


def notebooks_dir() -> Path:
    """Folder of the notebooks, one page each.

    Returns
    -------
    pathlib.Path
        The folder with the .ipynb files.

    Examples
    --------
    >>> notebooks_dir().name.endswith("notebooks")
    True
    """
    return _folder("notebooks")


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """Read one CSV data file.

    Parameters
    ----------
    name : str
        Path below the data folder, for example "materials/plies.csv".

    Returns
    -------
    tuple of dict
        One dict of text a row; the key "row" holds "file:line".

    Raises
    ------
    InputError
        If the file is missing or a row has no source.

    Examples
    --------
    >>> {"value", "unit", "basis", "standing", "source"} <= set(rows("materials/plies.csv")[0])
    True
    """
    path = data_dir() / name
    if not path.is_file():
        raise InputError("data file is missing", where=name, got="nothing", expected="a CSV file")
    out: list[dict[str, str]] = []
    with path.open(newline="", encoding="utf-8") as handle:
        for number, row in enumerate(csv.DictReader(handle), start=2):
            clean = {k: (v or "").strip() for k, v in row.items() if k is not None}
            if "source" in clean and not clean["source"]:
                raise InputError(
                    "a value has no source", where=f"{name}:row {number}", expected="a source"
                )
            clean["row"] = f"{name}:{number}"
            out.append(clean)
    return tuple(out)


@cache
def tables(name: str) -> dict[str, Any]:
    """Read one TOML data file.

    Parameters
    ----------
    name : str
        Path below the data folder, for example "constructions/constructions.toml".

    Returns
    -------
    dict
        The parsed tables.

    Raises
    ------
    InputError
        If the file is missing or is not TOML.

    Examples
    --------
    >>> "pultruded" in tables("constructions/constructions.toml")
    True
    """
    return read_toml(data_dir() / name)


def read_toml(path: Path) -> dict[str, Any]:
    """Read a TOML file, with the line of a mistake in the message.

    Parameters
    ----------
    path : pathlib.Path
        The file.

    Returns
    -------
    dict
        The parsed tables.

    Raises
    ------
    InputError
        If the file cannot be read or is not TOML.
    """
    try:
        return tomllib.loads(path.read_text(encoding="utf-8-sig"))
    except OSError as error:
        raise InputError("cannot be read", where=path.name, got=str(error.strerror)) from None
    except UnicodeDecodeError:
        raise InputError("is not UTF-8 text", where=path.name, expected="a TOML file") from None
    except tomllib.TOMLDecodeError as error:
        raise InputError("is not valid TOML", where=path.name, got=str(error)) from None
