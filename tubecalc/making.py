"""For the workshop: cutting list for rolling, cut plan of stock lengths, winding pattern."""

from __future__ import annotations

from tubecalc.making_cut import Bar, CutPlan, cut_plan
from tubecalc.making_list import CuttingList, cutting_list
from tubecalc.making_winding import Winding, winding

__all__ = ["Bar", "CutPlan", "CuttingList", "Winding", "cut_plan", "cutting_list", "winding"]
