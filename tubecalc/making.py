"""For the workshop: cutting list for rolling, cut plan of stock lengths, winding pattern."""

from __future__ import annotations

from tubecalc.making_list import CuttingList, cutting_list

__all__ = ["CuttingList", "cutting_list"]
