"""Names that stand for sizes: wall gauges and nominal pipes.

Standing of the values. Gauges: Standard Wire Gauge (British, 1884) and Birmingham (Stubs) gauge,
decimal inches from MEMORY, compared digit by digit with the gauge tables of the open library
"fluids" 1.x (module piping; SEEN). Pipes: ASME B36.10M outside diameters and schedules 10, 40 and
80, from MEMORY, compared with the pipe tables of the same library (SEEN). EN 10220 series 1
diameters: MEMORY.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["GAUGES", "PIPES", "Pipe", "by_dn"]

_NUMBERS = range(7, 25)
_SWG = [0.176, 0.160, 0.144, 0.128, 0.116, 0.104, 0.092, 0.080, 0.072]
_SWG += [0.064, 0.056, 0.048, 0.040, 0.036, 0.032, 0.028, 0.024, 0.022]
_BWG = [0.180, 0.165, 0.148, 0.134, 0.120, 0.109, 0.095, 0.083, 0.072]
_BWG += [0.065, 0.058, 0.049, 0.042, 0.035, 0.032, 0.028, 0.025, 0.022]

GAUGES: dict[str, dict[int, float]] = {  # wall in mm by gauge number
    "SWG": {n: round(25.4 * t, 4) for n, t in zip(_NUMBERS, _SWG, strict=True)},
    "BWG": {n: round(25.4 * t, 4) for n, t in zip(_NUMBERS, _BWG, strict=True)},
}


@dataclass(frozen=True)
class Pipe:
    """One nominal pipe: outside diameter and walls by schedule, mm (ASME B36.10M)."""

    nps: str
    dn: int
    od: float
    walls: dict[str, float]
    en_od: float

    @property
    def agreed(self) -> bool:
        """Whether ASME and EN give the DN the same outside diameter."""
        return self.od == self.en_od


_ROWS = """
1/8 6 10.3 1.24 1.73 2.41 10.2
1/4 8 13.7 1.65 2.24 3.02 13.5
3/8 10 17.1 1.65 2.31 3.20 17.2
1/2 15 21.3 2.11 2.77 3.73 21.3
3/4 20 26.7 2.11 2.87 3.91 26.9
1 25 33.4 2.77 3.38 4.55 33.7
1-1/4 32 42.2 2.77 3.56 4.85 42.4
1-1/2 40 48.3 2.77 3.68 5.08 48.3
2 50 60.3 2.77 3.91 5.54 60.3
2-1/2 65 73.0 3.05 5.16 7.01 76.1
3 80 88.9 3.05 5.49 7.62 88.9
3-1/2 90 101.6 3.05 5.74 8.08 101.6
4 100 114.3 3.05 6.02 8.56 114.3
5 125 141.3 3.40 6.55 9.53 139.7
6 150 168.3 3.40 7.11 10.97 168.3
"""


def _pipe(line: str) -> Pipe:
    nps, dn, od, *walls, en_od = line.split()
    return Pipe(
        nps, int(dn), float(od), dict(zip(("10", "40", "80"), map(float, walls), strict=True)),
        float(en_od),
    )  # fmt: skip


PIPES: dict[str, Pipe] = {pipe.nps: pipe for pipe in map(_pipe, _ROWS.strip().splitlines())}


def by_dn(dn: int) -> Pipe | None:
    """Pipe of a DN size.

    Parameters
    ----------
    dn : int
        Nominal size in mm; not a diameter.

    Returns
    -------
    Pipe or None
        None where the table has no such size.

    Examples
    --------
    >>> by_dn(40).od
    48.3
    """
    return next((pipe for pipe in PIPES.values() if pipe.dn == dn), None)
