"""Bytes of a test file into text as UTF-8; what is no text and no workbook is refused."""

from __future__ import annotations

import os
import re
import stat
from dataclasses import dataclass, field
from pathlib import Path

from tubecalc.errors import InputError

__all__ = ["LARGEST", "Source", "open_source"]

LARGEST = 200_000_000  # bytes read unless asked for more
_NEVER = 2_000_000_000  # bytes never read
_KINDS = {
    b"%PDF": "a PDF", b"\x89PNG": "a picture", b"\xff\xd8\xff": "a picture", b"GIF8": "a picture",
    b"\x1f\x8b": "a packed file", b"7z\xbc\xaf": "a packed file", b"Rar!": "a packed file",
    b"\xd0\xcf\x11\xe0": "an old .xls workbook; save it as .xlsx or CSV",
}  # fmt: skip
_PAGES = re.compile(rb"<(?:!doctype html|html|head|meta|body|table)\b", re.IGNORECASE)
_ODD_BLANKS = b"\x0b\x0c\x1c\x1d\x1e\x1f"  # parted lines or cells in some programs
_CYRILLIC = ("нагруз", "усили", "перемещ", "деформ", "время", "образец", "прогиб", "момент")
_CONTROLS = bytes(c for c in range(32) if c not in b"\t\n\v\f\r\x1a\x1b")


@dataclass
class Source:
    """A file: its name, its bytes (UTF-8 where it is text) and its encoding."""

    label: str
    stem: str
    data: bytes
    encoding: str
    notes: list[str] = field(default_factory=list)
    path: str = ""  # of a file on the disk that holds these very bytes

    @property
    def book(self) -> bool:
        """Whether it is an .xlsx workbook."""
        return self.encoding == ""


def open_source(
    source: str | Path | bytes, name: str | None, encoding: str | None, large: bool
) -> Source:
    """Read a file and bring its text to UTF-8.

    Parameters
    ----------
    source : str, pathlib.Path or bytes
        Path of the file, or its content.
    name : str, optional
        Name used in messages; the file's own by default.
    encoding : str, optional
        Where the user names it.
    large : bool
        Whether a file of more than `LARGEST` bytes is read all the same.

    Returns
    -------
    Source
        The file.

    Raises
    ------
    InputError
        If it cannot be read, is empty, too large, or neither text nor a workbook.
    """
    if isinstance(source, bytes):
        label = name or "test file"
        _refuse_size(len(source), label, large)
        data = source
    elif not isinstance(source, str | Path) or "\x00" in str(source):
        raise InputError(
            "is not a test file", where=name or "test file", got=type(source).__name__,
            expected="the path of a CSV, TXT, TSV or XLSX file, or its bytes",
        )  # fmt: skip
    else:
        label = name or Path(source).name
        try:
            about = Path(source).stat()
            _refuse_size(about.st_size, label, large)
            if not stat.S_ISREG(about.st_mode) and not stat.S_ISDIR(about.st_mode):
                raise InputError("is no file but a device or a pipe", where=label,
                                 expected="a CSV, TXT, TSV or XLSX file")  # fmt: skip
            data = Path(source).read_bytes()
        except OSError as error:
            raise InputError("cannot be read", where=label, got=error.strerror) from None
    stem = Path(label).stem or "test"
    if not data[:4096].strip() and not data.strip():
        raise InputError("is empty", where=label, expected="rows of load and travel")
    if data[:4] == b"PK\x03\x04":
        return Source(label, stem, data, "")
    for start, kind in _KINDS.items():
        if data.startswith(start):
            raise InputError(f"is {kind}", where=label, expected="CSV, TXT, TSV or XLSX")
    tail = 0
    if data.endswith(b"\x00" * 4) and b"\x00" not in data[:200]:
        tail = len(data) - len(data.rstrip(b"\x00"))
    if tail > 3:  # a logger that keeps room for more
        data = data[: len(data) - tail]
    made = _text(data, label, stem, encoding)
    if tail > 3:
        made.notes.append(f"{tail} zero bytes at the end of the file are left out.")
    _refuse_page(made)
    if made.data is data and not isinstance(source, bytes) and "://" not in str(source):
        made.path = os.path.abspath(source)
    return made


def _refuse_page(made: Source) -> None:
    """Refuse a web page or XML, whatever the file is called."""
    start = made.data[:2000].lstrip()
    what = "a web page (HTML)" if _PAGES.match(start) else ""
    what = what or ("XML" if start.startswith(b"<?xml") else "")
    if what == "XML" and _PAGES.search(start):
        what = "a web page (HTML)"
    if what:
        raise InputError(
            f"is {what}, not a table", where=made.label,
            expected="CSV, TXT, TSV or XLSX; open it in a spreadsheet program and save it as one",
        )  # fmt: skip


def _refuse_size(size: int, label: str, large: bool) -> None:
    if size >= _NEVER:
        raise InputError(
            f"has {size / 1e9:.1f} GB, which is no test file", where=label,
            expected="a file below 2 GB; let the machine write fewer rows a second",
        )  # fmt: skip
    if size > LARGEST and not large:
        raise InputError(
            f"has {size / 1e6:.0f} MB, more than a test file usually has", where=label,
            expected="at most 200 MB, or large=True to read it all the same",
        )  # fmt: skip


def _text(data: bytes, label: str, stem: str, told: str | None) -> Source:
    """Text of any encoding as UTF-8 with plain line ends."""
    notes: list[str] = []
    if told:
        try:
            text, encoding = data.decode(told), told.upper()
        except (LookupError, UnicodeDecodeError):
            raise InputError("cannot be read as that encoding", where=label, got=told) from None
    elif data[:2] in (b"\xff\xfe", b"\xfe\xff") or b"\x00" in data[:200]:
        text, encoding = _wide(data, label)
    elif data.isascii():
        text, encoding = "", "UTF-8"
    else:
        text, encoding = _narrow(data, notes)
    if text:
        data = text.removeprefix("\ufeff").encode("utf-8", "replace")
    data = data.removeprefix(b"\xef\xbb\xbf")
    head = data[:65536]
    if len(head.translate(None, _CONTROLS)) < 0.98 * len(head) or _noise(head):
        raise InputError(
            "is not text and not an .xlsx workbook", where=label, expected="CSV, TXT, TSV or XLSX"
        )
    if b"\x00" in data:
        notes.append("Zero bytes stood in the text and were taken out.")
        data = data.replace(b"\x00", b"")
    if b"\n" not in data and b"\r" in data:
        data = data.replace(b"\r", b"\n")
    elif b"\r\r\n" in head:
        data = data.replace(b"\r\r\n", b"\r\n")
    if head.count(b"\r") > head.count(b"\r\n") + head.endswith(b"\r"):
        data = data.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    if len(head.translate(None, _ODD_BLANKS)) < len(head):
        data = data.replace(b"\n\x0c", b"\n ").replace(b"\x0c", b"\n")
        data = data.translate(bytes(32 if c in _ODD_BLANKS else c for c in range(256)))
    return Source(label, stem, data.rstrip(b"\x1a"), encoding, notes)


def _noise(head: bytes) -> bool:
    """Tell bytes without words or lines: most characters outside ASCII."""
    text = head.decode("utf-8", "replace")
    return sum(not c.isascii() for c in text[:4096]) > 0.4 * len(text[:4096])


def _wide(data: bytes, label: str) -> tuple[str, str]:
    """Text of two bytes a character."""
    marked = data[:2] in (b"\xff\xfe", b"\xfe\xff")
    little = data[:2] == b"\xff\xfe" or (not marked and data[1:2] == b"\x00")
    name = "utf-16-le" if little else "utf-16-be"
    zeros = data[:4096].count(b"\x00") if not marked else 0
    if not marked and not 0.25 < zeros / len(data[:4096]) < 0.6:  # half of plain text
        raise InputError(
            "is not text and not an .xlsx workbook", where=label, expected="CSV, TXT, TSV or XLSX"
        )
    whole = data[: len(data) // 2 * 2]
    return whole.decode(name, "replace"), "UTF-16"


def _narrow(data: bytes, notes: list[str]) -> tuple[str, str]:
    """Text of one byte a character, or UTF-8 with a few torn bytes."""
    try:
        return data.decode("utf-8"), "UTF-8"
    except UnicodeDecodeError:
        pass
    text = data.decode("utf-8", "surrogateescape")
    torn = len(re.findall("[\udc80-\udcff]", text))
    whole = len(re.findall("[^\x00-\x7f\udc80-\udcff]", text))
    if whole and whole >= torn:
        notes.append(f"{torn} bytes of the text are torn.")
        return re.sub("[\udc80-\udcff]", "\ufffd", text), "UTF-8"
    if _cyrillic(data[:4096]):
        notes.append("The text is read as Cyrillic letters (cp1251).")
        return data.decode("cp1251", "replace"), "CP1251"
    try:
        return data.decode("cp1252"), "Latin-1"
    except UnicodeDecodeError:
        return data.decode("latin-1"), "Latin-1"


def _cyrillic(head: bytes) -> bool:
    """Tell Cyrillic letters of one byte: a heading or a unit that is known as such."""
    text = head.decode("cp1251", "replace").lower()
    words = re.findall("[а-яё]+", text)
    return any(word.startswith(_CYRILLIC) for word in words) and len(words) > 2
