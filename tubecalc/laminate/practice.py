"""What practice says of a stack: where it splits, twists, cracks in cure or lies open to knocks."""

from __future__ import annotations

import math
from itertools import groupby
from typing import NamedTuple

import numpy as np

from tubecalc.laminate.elastic import Array
from tubecalc.laminate.layup import Layup

ROOM = 20.0  # degC
ROUND = 60.0  # degrees from the axis from which a ply holds the wall round (own rule)
CROSSED = 30.0  # degrees below which no ply bridges a split (own rule)
TWIST = 0.01  # shear over stretch from which a wall is called unbalanced (own rule)
TOGETHER = 4  # equal plies next to each other (common practice, no source)
THICK = 0.8e-3  # m of them together, as MIL-HDBK-17-3F advises at most (MEMORY)
CURE_SHARE = 0.5  # of the strength across the fibres, from which cure is worth a word (own rule)


class Note(NamedTuple):
    """One remark: what it is about, and the sentence."""

    key: str
    text: str


def cure_stress(layup: Layup, temperature: float = ROOM) -> Array | None:
    """Ply-axis stress that cooling from the cure leaves in every ply of a closed wall.

    Parameters
    ----------
    layup : Layup
        The stack.
    temperature : float
        Temperature of the wall [degC].

    Returns
    -------
    numpy.ndarray or None
        (s1, s2, t12) of each ply, shape (n, 3) [Pa]; None where the stress-free temperature or
        the expansion of a ply is not known, or where they differ.

    Notes
    -----
    Source: Kaw 2006, sec. 4.5, of a wall that cannot curl. Elastic, relaxation not counted: an
    upper bound.

    Examples
    --------
    >>> wall = Layup.from_notation("[0/90]_s", "carbon-sm-ud")
    >>> bool(cure_stress(wall)[0, 1] > 0), cure_stress(Layup.of([("304", 0, "1 mm")]))
    (True, None)
    """
    free = {x.values.t_free for x in layup.layers}
    if len(free) != 1 or any(
        math.isnan(v) for x in layup.layers for v in (x.values.t_free, x.values.alpha1)
    ):
        return None
    change = temperature - free.pop()
    strain = layup.a @ layup.thermal_resultant(change)[:3]
    held = layup.ply_stresses(np.concatenate([strain, np.zeros(3)]), delta_T=change)
    return np.asarray(held[:, 0])


def stack_notes(layup: Layup) -> list[Note]:
    """Remarks of practice on a stack, the gravest first.

    Parameters
    ----------
    layup : Layup
        The stack, inside to outside.

    Returns
    -------
    list of Note
        Keys: "splits", "breaks", "soft", "twists", "cure", "together", "open".

    Notes
    -----
    Common practice, no source, but for the limit on equal plies together (MIL-HDBK-17-3F, sec.
    5.6, MEMORY) and the stress of cure (`cure_stress`).

    Examples
    --------
    >>> [note.key for note in stack_notes(Layup.from_notation("[0_4]", "carbon-sm-ud"))]
    ['splits', 'open']
    """
    if all(x.values.isotropic for x in layup.layers):
        return []
    found = [_round(layup), _along(layup), _twist(layup), _cure(layup), *_together(layup)]
    return [n for n in [*found, _open(layup)] if n is not None]


def _leans(layup: Layup) -> list[float]:
    """Directions of all fibres from the axis, both of a cloth, without sign [deg]."""
    out = []
    for x in layup.layers:
        out.append(abs(x.angle))
        if x.values.woven or x.values.isotropic:
            out.append(90.0 - abs(x.angle))
    return out


def _round(layup: Layup) -> Note | None:
    most = max(_leans(layup))
    if most < CROSSED:
        return Note("splits", "No ply goes round the tube or crosses the others: it splits along "
                    "the fibres under a clamp, a knock or a pressed-in part. One hoop ply "
                    "inside and one outside hold it together.")  # fmt: skip
    if most < ROUND:
        return Note("soft", f"No hoop ply: plies at {most:g}° alone hold it round, so it dents and "
                    "flattens easily where a clamp or a roller presses.")  # fmt: skip
    return None


def _along(layup: Layup) -> Note | None:
    least = min(_leans(layup))
    if least < ROUND:
        return None
    return Note("breaks", "No ply runs along the tube: the resin alone carries a pull or a bend, "
                "and it breaks across.")  # fmt: skip


def _twist(layup: Layup) -> Note | None:
    share = float(layup.a[2, 0] / layup.a[0, 0])
    if abs(share) < TWIST:
        return None
    return Note("twists", "Plies at + and − do not balance: it twists when it is pulled, pushed or "
                f"warmed; a stretch of 0.1 % shears the wall by {abs(share) * 0.1:.2g} % and turns "
                f"it {'with' if share > 0 else 'against'} the + plies.")  # fmt: skip


def _cure(layup: Layup) -> Note | None:
    stress = cure_stress(layup)
    if stress is None:
        return None
    shares = [
        -math.inf if x.values.woven or math.isnan(x.values.Yt) else float(s[1]) / x.values.Yt
        for x, s in zip(layup.plies, stress, strict=True)
    ]
    n = int(np.argmax(shares))
    if shares[n] < CURE_SHARE:
        return None
    words = f"Cooling from cure leaves ply {n + 1} at {layup.plies[n].angle:g}° with "
    if shares[n] >= 1.0:
        return Note("cure", f"{words}more stress across its fibres than it bears: expect fine "
                    "cracks before any load.")  # fmt: skip
    return Note("cure", f"{words}{shares[n]:.0%} of its strength across the fibres used up before "
                "any load.")  # fmt: skip


def _together(layup: Layup) -> list[Note]:
    out, at = [], 1
    for _, some in groupby(layup.plies, key=lambda x: (x.key, x.angle, x.thickness)):
        run = list(some)
        thick = math.fsum(x.thickness for x in run)
        one = run[0].values
        if len(run) > TOGETHER and thick > THICK and not one.woven and not one.isotropic:
            out.append(Note("together", f"{len(run)} plies at {run[0].angle:g}° lie together (plies"
                            f" {at} to {at + len(run) - 1}): a crack runs through them all; part "
                            f"them after {TOGETHER}, where other plies allow it."))  # fmt: skip
        at += len(run)
    return out[:1]


def _open(layup: Layup) -> Note | None:
    last = layup.plies[-1]
    if last.values.woven or last.values.isotropic or abs(last.angle) >= ROUND:
        return None
    return Note("open", f"The outer ply is unidirectional at {last.angle:g}°: a scratch or a knock "
                "lifts its fibres. A cloth or a hoop ply outside protects it.")  # fmt: skip


__all__ = ["Note", "cure_stress", "stack_notes"]
