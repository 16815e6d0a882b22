"""The need: what the tube is for, as cases, limits, service and factors."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from pathlib import Path
from typing import Any

from tubecalc import need_file
from tubecalc.errors import InputError
from tubecalc.need_parts import (
    DURATIONS,
    END_FITTINGS,
    ENDS,
    FINISHES,
    FORMAT,
    KINDS,
    Case,
    Factors,
    Limits,
    Service,
    none_for_nan,
)


@dataclass(frozen=True)
class Need:
    """What the tube is for.

    Examples
    --------
    >>> need = Need.from_toml('''
    ... format = 1
    ... title = "Boom"
    ... [[case]]
    ... kind = "cantilever"
    ... load = "60 N"
    ... span = "1.2 m"
    ... ''')
    >>> need.cases[0].load, need.cases[0].span
    (60.0, 1.2)
    >>> Need.from_toml(need.to_toml()) == need
    True
    """

    title: str = ""
    cases: tuple[Case, ...] = ()
    limits: Limits = field(default_factory=Limits)
    service: Service = field(default_factory=Service)
    factors: Factors = field(default_factory=Factors)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Need) and self._key() == other._key()

    def __hash__(self) -> int:
        return hash(self._key())

    def _key(self) -> tuple[object, ...]:
        def plain(part: Any) -> tuple[object, ...]:
            return tuple(none_for_nan(getattr(part, f.name)) for f in fields(part))

        return (
            self.title, *(plain(c) for c in self.cases), plain(self.limits), plain(self.service),
            plain(self.factors),
        )  # fmt: skip

    @classmethod
    def from_toml(cls, source: str | Path) -> Need:
        """Read a need from a TOML file or text.

        Parameters
        ----------
        source : str or pathlib.Path
            Path of a file, or the text itself (recognised by a line break or an equals sign).

        Returns
        -------
        Need

        Raises
        ------
        InputError
            Naming file, case and field; for an empty file, an unknown or newer format, an unknown
            key (with the nearest), a missing unit, a wrong dimension, or no case at all.
        """
        return cls.from_table(*need_file.read_table(source))

    @classmethod
    def from_table(cls, table: Mapping[str, Any], where: str = "need") -> Need:
        """Build a need from parsed tables.

        Parameters
        ----------
        table : mapping
            Tables as TOML or JSON gives them.
        where : str
            Name to put before a message.

        Returns
        -------
        Need

        Raises
        ------
        InputError
            As from `from_toml`.
        """
        return cls(*need_file.read_parts(table, where))

    def to_toml(self) -> str:
        """Write the need as TOML that `from_toml` reads back exactly (SI units)."""
        return need_file.write(self.title, self.cases, self.limits, self.service, self.factors)

    def with_case(self, number: int, **changes: Any) -> Need:
        """Copy with fields of one case changed.

        Parameters
        ----------
        number : int
            Which case, counted from 0.
        **changes
            Fields of `Case` and their new SI values.

        Returns
        -------
        Need
        """
        cases = list(self.cases)
        cases[number] = replace(cases[number], **changes)
        return replace(self, cases=tuple(cases))


__all__ = [
    "DURATIONS", "ENDS", "END_FITTINGS", "FINISHES", "FORMAT", "KINDS", "Case",
    "Factors", "Limits", "Need", "Service",
]  # fmt: skip


def refuse_no_case(need: object) -> None:
    """Refuse what is not a need, or one without a case.

    Parameters
    ----------
    need : object
        What the caller gave.

    Raises
    ------
    InputError
        Saying which.
    """
    if not isinstance(need, Need):
        raise InputError("is not a Need", where="need", got=type(need).__name__)
    if not need.cases:
        raise InputError("no case is given", where="need", expected="at least one case")
