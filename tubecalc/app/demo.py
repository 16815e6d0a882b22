"""The demo needs that come with tubecalc."""

from __future__ import annotations

from tubecalc import datafiles
from tubecalc.app.draft import Draft, from_toml

FIRST_JOB = "sampling-boom"


def jobs() -> dict[str, Draft]:
    """Demo needs that come with tubecalc.

    Returns
    -------
    dict of str to Draft
        File stem -> need as typed.

    Examples
    --------
    >>> "sampling-boom" in jobs()
    True
    """
    files = sorted((datafiles.data_dir() / "jobs").glob("*.toml"))
    return {f.stem: from_toml(f.read_text(encoding="utf-8")) for f in files}
