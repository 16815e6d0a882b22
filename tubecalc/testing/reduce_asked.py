"""A curve that cannot be reduced yet: no table at all, a column that is missing, a question."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from tubecalc.errors import InputError

if TYPE_CHECKING:
    import pandas as pd

_ALL = ("decimal", "delimiter", "encoding", "split", "sheet")  # every column waits for these
_WAYS = ("travel", "extension", "deflection", "strain")


def table_of(curve: Any) -> pd.DataFrame:
    """Table of a curve, or the table itself.

    Parameters
    ----------
    curve : Curve or pandas.DataFrame
        The test.

    Returns
    -------
    pandas.DataFrame

    Raises
    ------
    InputError
        If it is neither.

    Examples
    --------
    >>> try:
    ...     table_of("a.csv")
    ... except InputError as error:
    ...     print(error)
    is no curve, got "a.csv", expected one that read_curves gives, or a table.
    """
    data = getattr(curve, "data", curve)
    if not hasattr(data, "columns") or not hasattr(data, "assign"):
        listed = isinstance(curve, list | tuple) and len(curve) > 0 and hasattr(curve[0], "data")
        raise InputError(
            "is a list of curves" if listed else "is no curve",
            got=None if listed else f"{curve}"[:40],
            expected="one of them" if listed else "one that read_curves gives, or a table",
        )
    table: pd.DataFrame = data
    return table


def no_column(curve: Any, kind: str, what: str, where: str) -> InputError:
    """Error of a curve without its load or its travel: the question that is open, or what to say.

    Parameters
    ----------
    curve : Curve or pandas.DataFrame
        The test.
    kind : str
        Kind of test.
    what : str
        "load" or "travel".
    where : str
        Name of the specimen.

    Returns
    -------
    InputError

    Examples
    --------
    >>> import pandas as pd
    >>> print(no_column(pd.DataFrame({"torque_N_m": [1.0]}), "ring", "load", "A"))
    A: has a torque but no force: this is no ring test.
    """
    columns = table_of(curve).columns
    turned = kind == "torsion"
    if what == "load":
        names: tuple[str, ...] = ("torque",) if turned else ("force",)
        other, want, have = ("force_N", "torque", "force") if turned else (
            "torque_N_m", "force", "torque")  # fmt: skip
        if other in columns:
            return InputError(f"has a {have} but no {want}: this is no {kind} test", where=where)
    else:
        names, want = (("angle",), "angle") if turned else (_WAYS, "travel")
    asked = _question(curve, names)
    if asked is not None:
        choices = ", ".join(c.value for c in asked.choices[:8] if c.value)
        told = f"{asked.argument}: {choices}" if choices else asked.argument
        return InputError(f"waits for an answer. {asked.text} Say {told}", where=where)
    if what == "load":
        return InputError(f"has no {want}: say which column holds it", where=where)
    hint = ""
    if not turned and "angle_deg" in columns:
        hint = ": is it a torsion test?"
    if "strain" in columns:
        hint = ": with strain alone the gauge length is needed"
    return InputError(f"has no {want} to read the load against{hint}", where=where)


def _question(curve: Any, names: tuple[str, ...]) -> Any:
    """First question that is open and that a column waits for."""
    wanted = [w for name in names for w in (name, f"{name}_unit")]
    found = {q.argument: q for q in reversed(getattr(curve, "questions", ())) if q.open}
    return next((found[w] for w in (*_ALL, *wanted) if w in found), None)


__all__ = ["no_column", "table_of"]
