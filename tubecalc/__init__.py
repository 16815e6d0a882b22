"""Which tube? Composite, stainless or aluminium tubes checked against a stated need."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubecalc.errors import InputError
from tubecalc.explain import assumptions
from tubecalc.job import Candidate, Job, Text
from tubecalc.laminate.construction import Construction, constructions, read_constructions
from tubecalc.laminate.layup import Layup
from tubecalc.materials import Metal, Ply, materials
from tubecalc.need import Need
from tubecalc.shortlist import shortlist
from tubecalc.stock import read_stock
from tubecalc.sweep import frontier, sweep
from tubecalc.tube import Tube
from tubecalc.units import Q_
from tubecalc.verdict import STANDING_CAUTION, Verdict, check, remedies

if TYPE_CHECKING:
    from typing import Any

    from tubecalc.joining.bond import bond
    from tubecalc.joining.fits import fit
    from tubecalc.joining.galvanic import galvanic
    from tubecalc.joining.nested import nested
    from tubecalc.laminate.constituents import Fibre, Resin
    from tubecalc.laminate.made_ply import ply_from_constituents
    from tubecalc.layup_search import search_layup
    from tubecalc.making import cut_plan, cutting_list, winding
    from tubecalc.share.page import write_page
    from tubecalc.share.quote import quote_text
    from tubecalc.share.quote_chart import write_chart
    from tubecalc.share.sheet import write_sheet
    from tubecalc.testing.basis_value import basis, basis_factor
    from tubecalc.testing.curves import read_curves
    from tubecalc.testing.reduce import reduce_test
    from tubecalc.tube_burn_off import burn_off

__version__ = "0.1.0"

__all__ = [
    "Q_",
    "STANDING_CAUTION",
    "Candidate",
    "Construction",
    "Fibre",
    "InputError",
    "Job",
    "Layup",
    "Metal",
    "Need",
    "Ply",
    "Resin",
    "Text",
    "Tube",
    "Verdict",
    "assumptions",
    "basis",
    "basis_factor",
    "bond",
    "burn_off",
    "check",
    "constructions",
    "cut_plan",
    "cutting_list",
    "fit",
    "frontier",
    "galvanic",
    "materials",
    "nested",
    "ply_from_constituents",
    "quote_text",
    "read_constructions",
    "read_curves",
    "read_stock",
    "reduce_test",
    "remedies",
    "search_layup",
    "shortlist",
    "sweep",
    "winding",
    "write_chart",
    "write_page",
    "write_sheet",
]  # fmt: skip

_LATER = {  # name -> module, imported when first asked for
    "Fibre": "tubecalc.laminate.constituents",
    "Resin": "tubecalc.laminate.constituents",
    "basis": "tubecalc.testing.basis_value",
    "basis_factor": "tubecalc.testing.basis_value",
    "bond": "tubecalc.joining.bond",
    "burn_off": "tubecalc.tube_burn_off",
    "ply_from_constituents": "tubecalc.laminate.made_ply",
    "cut_plan": "tubecalc.making",
    "cutting_list": "tubecalc.making",
    "fit": "tubecalc.joining.fits",
    "galvanic": "tubecalc.joining.galvanic",
    "nested": "tubecalc.joining.nested",
    "quote_text": "tubecalc.share.quote",
    "winding": "tubecalc.making",
    "reduce_test": "tubecalc.testing.reduce",
    "read_curves": "tubecalc.testing.curves",
    "search_layup": "tubecalc.layup_search",
    "write_chart": "tubecalc.share.quote_chart",
    "write_page": "tubecalc.share.page",
    "write_sheet": "tubecalc.share.sheet",
}

if not TYPE_CHECKING:

    def __getattr__(name: str) -> Any:
        """What a job is written with is loaded when it is needed."""
        if name not in _LATER:
            raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
        from importlib import import_module

        return getattr(import_module(_LATER[name]), name)
