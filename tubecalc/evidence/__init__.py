"""Published values beside the computed ones: the list behind ``tubecalc evidence``.

``data/evidence/*.csv`` holds one published value per row with its inputs as text, source and
tolerance. A family (a pattern of ids with a function) turns the inputs into the arguments of
tubecalc's public functions and gives the computed number. A row that no family covers yet is
listed as such; it never counts as a pass.
"""

from __future__ import annotations

from tubecalc.evidence.book import Row, register, rows, table, topics

__all__ = ["Row", "register", "rows", "table", "topics"]
