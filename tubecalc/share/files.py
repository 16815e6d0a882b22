"""Writing a file so that a failed write leaves the old one as it was."""

from __future__ import annotations

import contextlib
import os
import tempfile
from pathlib import Path

from tubecalc.errors import InputError


def put(path: str | Path, data: bytes, *, suffixes: tuple[str, ...], what: str = "file") -> Path:
    """Write a file whole or not at all.

    Parameters
    ----------
    path : str or pathlib.Path
        Where; its folder must exist.
    data : bytes
        The content.
    suffixes : tuple of str
        Endings allowed, in small letters.
    what : str
        What is written, for messages.

    Returns
    -------
    pathlib.Path
        The file.

    Raises
    ------
    InputError
        For another ending, a folder that does not exist, or a file that cannot be written.
    """
    target = checked(path, suffixes, what)
    draft = ""
    try:
        handle, draft = tempfile.mkstemp(prefix=".tubecalc-", dir=target.parent)
        with os.fdopen(handle, "wb") as out:
            out.write(data)
            out.flush()
            os.fsync(out.fileno())
        mask = os.umask(0)
        os.umask(mask)
        Path(draft).chmod(target.stat().st_mode & 0o777 if target.exists() else 0o666 & ~mask)
        Path(draft).replace(target)
    except OSError as error:
        raise InputError(
            f"the {what} cannot be written", where=target.name[:80], got=error.strerror or "",
            expected="a folder that exists and may be written to",
        ) from None  # fmt: skip
    finally:
        with contextlib.suppress(OSError):
            if draft:
                Path(draft).unlink(missing_ok=True)
    return target


def checked(path: str | Path, suffixes: tuple[str, ...], what: str = "file") -> Path:
    """Path whose ending is one of those allowed.

    Parameters
    ----------
    path : str or pathlib.Path
        Where.
    suffixes : tuple of str
        Endings allowed, in small letters.
    what : str
        What is written, for messages.

    Returns
    -------
    pathlib.Path

    Raises
    ------
    InputError
        For another ending, or a name that holds a zero byte.

    Examples
    --------
    >>> checked("offer.HTML", (".html",)).name
    'offer.HTML'
    """
    if "\x00" in str(path):
        raise InputError(f"the name of the {what} holds a zero byte", where=what)
    target = Path(path)
    if target.suffix.lower() not in suffixes:
        raise InputError(
            f"is no name for a {what}", where=what, got=target.name[:80],
            expected=f"a name that ends in {' or '.join(suffixes)}",
        )  # fmt: skip
    return target


__all__ = ["checked", "put"]
