"""Buckling of tubes as shells: perfect loads of N tubes, exact or from tables, and knock-downs."""

from __future__ import annotations

from tubecalc.shell.loads import (
    critical_axial,
    critical_bending,
    critical_pressure,
    critical_torsion,
    mode_of,
    perfect,
    short_wave_axial,
)
from tubecalc.shell.oval import flattening_moment
from tubecalc.shell.ritz import ritz
from tubecalc.shell.share import knock_down

__all__ = [
    "critical_axial",
    "critical_bending",
    "critical_pressure",
    "critical_torsion",
    "flattening_moment",
    "knock_down",
    "mode_of",
    "perfect",
    "ritz",
    "short_wave_axial",
]
