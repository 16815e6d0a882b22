"""What a need as typed says beyond its fields."""

from __future__ import annotations

from tubecalc.app.draft import Draft
from tubecalc.checks import CHECKS
from tubecalc.errors import InputError
from tubecalc.laminate.construction import composites, get_construction, metals
from tubecalc.need_parts import bench_shares


def own_tests(draft: Draft) -> str:
    """What own bench tests leave, as the end of the need's sentence.

    Parameters
    ----------
    draft : Draft
        The need as typed.

    Returns
    -------
    str
        With a blank before it; "" where nothing is switched on.

    Examples
    --------
    >>> own_tests(Draft(factors=(("bench", "pultruded crush 0.87; my wall EI 0.9"),)))
    ' Own bench tests count: pultruded, crush at a load point times 0.87; my wall, EI times 0.9.'
    """
    text = draft.get("factors.bench")
    if not text:
        return ""
    try:
        told = [
            f"{_wall_name(wall)}, {CHECKS[check].label if check in CHECKS else check} "
            f"times {share:.3g}"
            for wall, check, share in bench_shares(text)
        ]
    except InputError:
        told = [text]
    return f" Own bench tests count: {'; '.join(told)}."


def _wall_name(key: str) -> str:
    return get_construction(key).name if key in (*composites(), *metals()) else key
