"""What a file of a test machine holds for one specimen, and how it was understood."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    import pandas as pd
    from numpy.typing import NDArray

__all__ = ["Choice", "Column", "Curve", "Loop", "OverRange", "Question", "Skipped", "Understood"]


@dataclass(frozen=True)
class Choice:
    """One answer to a question: the value to pass back and how it reads."""

    value: str
    label: str
    argument: str = ""  # where it is passed as another argument than that of the question


@dataclass(frozen=True)
class Question:
    """Two readings are possible: which argument of `read_curves` decides, and what it may be.

    Where `taken` is empty nothing was taken and the data lack what the answer gives; otherwise
    the data hold the reading named there.
    """

    argument: str
    text: str
    choices: tuple[Choice, ...]
    taken: str = ""

    @property
    def open(self) -> bool:
        """Whether the data lack what the answer would give."""
        return not self.taken


@dataclass(frozen=True)
class Column:
    """One column of the file: heading, unit as written, and the column of `data` it became."""

    heading: str
    unit: str = ""
    role: str = ""  # force, travel, extension, deflection, strain, stress, torque, angle, time ...
    name: str = ""  # in `data`; "" where it is kept in `original` only
    factor: float = 1.0  # value in `data` = value in `original` times this


@dataclass(frozen=True)
class Skipped:
    """A line of the file that is no row of the curve, and why."""

    line: int
    why: str
    text: str = ""


@dataclass(frozen=True)
class OverRange:
    """Rows of one column in which the machine wrote a mark in place of a number."""

    name: str  # column of `data`
    mark: str  # as written
    beyond: bool  # True: beyond the range of the sensor; False: no reading
    rows: tuple[int, ...]  # of `data`


@dataclass(frozen=True)
class Loop:
    """A stretch of rows from one turn of the travel to the next: start <= row < stop."""

    start: int
    stop: int
    number: int  # of the loading it belongs to, from 1
    loading: bool


@dataclass(frozen=True)
class Understood:
    """How the file was read."""

    encoding: str = ""
    delimiter: str = ""
    decimal: str = "."
    thousands: str = ""
    sheet: str = ""
    heading_line: int = 0  # 0: no headings
    first_line: int = 0
    last_line: int = 0
    block: int = 1
    blocks: int = 1
    columns: tuple[Column, ...] = ()
    skipped: tuple[Skipped, ...] = ()
    skipped_count: int = 0  # may exceed what is listed
    over_range: tuple[OverRange, ...] = ()
    loops: tuple[Loop, ...] = ()
    preamble: tuple[tuple[str, str], ...] = ()  # names and values above the headings, as text

    def lines(self) -> list[str]:
        """Say it in sentences.

        Returns
        -------
        list of str
            One sentence for each thing that was decided.

        Examples
        --------
        >>> Understood("UTF-8", ";", ",", columns=(Column("Kraft", "kN", "force", "force_N"),)
        ...            ).lines()
        ['UTF-8 text, columns parted by semicolon, decimal comma.', '"Kraft" in kN is the force.']
        """
        parted = {";": "semicolon", "\t": "tab", ",": "comma", "|": "bar", " ": "spaces"}
        text = f'sheet "{self.sheet}"' if self.sheet else f"{self.encoding} text"
        if self.delimiter:
            text += f", columns parted by {parted.get(self.delimiter, self.delimiter)}"
        if not self.sheet:
            text += ", decimal comma" if self.decimal == "," else ", decimal point"
        if self.thousands:
            text += f', "{self.thousands}" between thousands'
        out = [f"{text}."]
        if self.blocks > 1:
            out.append(f"Specimen {self.block} of {self.blocks} in the file.")
        for column in self.columns:
            unit = f" in {column.unit}" if column.unit else ""
            meant = f"is the {column.role}" if column.name else "is not used"
            out.append(f'"{column.heading}"{unit} {meant}.')
        out += [f"Line {s.line} is left out: {s.why}." for s in self.skipped]
        if self.skipped_count > len(self.skipped):
            out.append(f"{self.skipped_count - len(self.skipped)} more lines are left out.")
        for over in self.over_range:
            meant = "beyond the range" if over.beyond else "no reading"
            rows = f"{len(over.rows)} row" + ("s" if len(over.rows) > 1 else "")
            out.append(f'"{over.mark}" in {rows} of {over.name}: {meant}.')
        return out


@dataclass(frozen=True)
class Curve:
    """One test of one specimen as its file tells it.

    Attributes
    ----------
    name : str
        Of the specimen where the file names it, else of the file.
    data : pandas.DataFrame
        Columns with their unit: time_s, force_N, travel_mm, extension_mm, extension_2_mm,
        deflection_mm, strain, strain_2, stress_MPa, torque_N_m, angle_deg; cycle and direction
        as the file has them; loop (from 1) and loading (bool) where the travel turns back.
        Signs as recorded; NaN where the machine wrote no number.
    original : pandas.DataFrame
        The columns of the file with their headings and units, as read.
    understood : Understood
        How the file was read.
    notes : tuple of str
        What the user should know.
    questions : tuple of Question
        What the file does not tell.
    source : str
        Name of the file.
    """

    name: str
    data: pd.DataFrame
    original: pd.DataFrame
    understood: Understood = field(default_factory=Understood)
    notes: tuple[str, ...] = ()
    questions: tuple[Question, ...] = ()
    source: str = ""

    @property
    def ready(self) -> bool:
        """Whether a load and a way are there, so that it can be reduced."""
        pair = {"force_N", "torque_N_m"}, {"travel_mm", "extension_mm", "deflection_mm"}
        has = set(self.data.columns)
        return bool(pair[0] & has) and bool((pair[1] | {"angle_deg", "strain"}) & has)

    def beyond(self, name: str) -> NDArray[np.bool_]:
        """Tell in which rows a column was beyond the range of its sensor.

        Parameters
        ----------
        name : str
            A column of `data`, for example "force_N".

        Returns
        -------
        numpy.ndarray
            True where the value is unknown and larger than any that was recorded.

        Examples
        --------
        >>> import pandas as pd
        >>> made = Understood(over_range=(OverRange("force_N", "OVER", True, (1,)),))
        >>> force = pd.DataFrame({"force_N": [1990.0, float("nan")]})
        >>> Curve("A", force, force, made).beyond("force_N").tolist()
        [False, True]
        """
        import numpy as np

        out = np.zeros(len(self.data), dtype=bool)
        for over in self.understood.over_range:
            if over.name == name and over.beyond:
                out[list(over.rows)] = True
        return out
