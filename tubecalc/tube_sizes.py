"""Stacks and outside diameters of tubes from whichever of od, wall and bore are given."""

from __future__ import annotations

import numpy as np

from tubecalc.errors import InputError
from tubecalc.laminate.construction import Construction
from tubecalc.laminate.elastic import Array
from tubecalc.laminate.layup import Layup
from tubecalc.unit_words import worded


def walls_of(
    construction: Construction, own: Layup | None, sizes: dict[str, Array]
) -> tuple[list[Layup], Array]:
    """Stacks and outside diameters from whichever sizes are given."""
    n = max((len(v) for v in sizes.values()), default=0)
    try:
        full = {k: np.broadcast_to(v, (n,)) for k, v in sizes.items()}
    except ValueError:
        raise InputError(
            "sizes have different counts", where="tube",
            got=", ".join(f"{k}: {len(v)}" for k, v in sizes.items()),
        ) from None  # fmt: skip
    od, wall, bore = full.get("od"), full.get("wall"), full.get("id")
    if own is not None and wall is None and (od is None) != (bore is None):
        wall = np.full(n, own.t)
    if sum(x is not None for x in (od, wall, bore)) < 2:
        raise InputError(
            "two of od, wall and id are needed" if own is None else "od or id is needed",
            where="tube", got=", ".join(full) or "none",
        )  # fmt: skip
    if od is not None and bore is not None:
        measured = (od - bore) / 2
        if np.any(measured <= 0):
            k = int(np.argmax(measured <= 0))
            raise InputError(
                "the bore is not smaller than the outside diameter", where="tube:id",
                got=worded("{} within {}", "length", float(bore[k]), float(od[k])),
            )  # fmt: skip
        if wall is not None and np.any(np.abs(wall - measured) > 1e-3 * measured):
            raise InputError(
                "od, wall and id contradict each other", where="tube",
                got=worded("wall {}", "length", float(wall[0])),
                expected=worded("{}", "length", float(measured[0])),
            )  # fmt: skip
        wall = measured
    assert wall is not None
    layups = _stacks(construction, own, wall, measured=od is not None and bore is not None)
    if od is None:
        assert bore is not None
        od = bore + 2 * np.array([w.t for w in layups])
    return layups, np.asarray(od, float)


def _stacks(
    construction: Construction, own: Layup | None, wall: Array, *, measured: bool
) -> list[Layup]:
    if own is None:
        made = {w: construction.layup(w, measured=measured) for w in dict.fromkeys(wall.tolist())}
        return [made[w] for w in wall.tolist()]
    off = np.abs(wall - own.t) > 1e-3 * own.t
    if off.any():
        raise InputError(
            "the wall is not that of the stack", where="tube:wall",
            got=worded("{}", "length", float(wall[int(np.argmax(off))])),
            expected=worded("{}", "length", own.t),
        )  # fmt: skip
    return [own] * len(wall)
