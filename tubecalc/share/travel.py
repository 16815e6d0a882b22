"""Load over travel of the tubes of a comparison as a picture, numbered in any order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from tubecalc.compare import Judged
from tubecalc.compare_lines import Line, lines
from tubecalc.compare_loads import KINDS
from tubecalc.compare_words import ends_how
from tubecalc.share.lines import Trace, line_picture
from tubecalc.share.palette import Style
from tubecalc.share.scene import Scene
from tubecalc.unit_display import in_unit, show, unit_label

TRAVELS = {
    "bending": "sag in the middle", "tension": "stretch", "torsion": "twist",
    "compression": "shortening",
}  # fmt: skip


def _ends(judged: Judged, kind: str, n: int, line: Line) -> str:
    """What the legend says of one line."""
    found = judged.loads[kind]
    if not line.marks:
        return "strength not known"
    unit, system = found.kind.unit, judged.system
    first, last = line.marks[0], line.marks[-1]
    load = show(last.load, unit, system)
    if line.flows:
        return f"yields at {show(float(found.first[n]), unit, system)}, flows at {load}"
    early = "" if first is last else f"first damage at {show(first.load, unit, system)}, "
    return f"{early}{ends_how(found, n)} at {load}"


def traces(
    judged: Judged, order: Sequence[int], styles: Mapping[str, Style], kind: str = "bending"
) -> list[Trace]:
    """Lines of load over travel in the units shown.

    Parameters
    ----------
    judged : Judged
        The tubes.
    order : sequence of int
        Which tubes, as they are numbered from 1.
    styles : mapping of str to Style
        Style of every construction.
    kind : str
        Kind of load.

    Returns
    -------
    list of Trace
    """
    load, travel, system = KINDS[kind].unit, KINDS[kind].travel_unit, judged.system
    drawn, out = lines(judged, kind), []
    for number, n in enumerate(order, 1):
        line, st = drawn[n], styles[judged.tubes[n].construction.key]
        corners = tuple(
            (in_unit(x, travel, system), in_unit(y, load, system))
            for x, y in zip(line.travel.tolist(), line.load.tolist(), strict=True)
        )
        marks = tuple(
            (in_unit(m.travel, travel, system), in_unit(m.load, load, system), m.kind)
            for m in line.marks if not (line.flows and m.kind == "end")
        )  # fmt: skip
        out.append(
            Trace(number, judged.names[n], st.slug, corners, marks, line.flows,
                  _ends(judged, kind, n, line), st.dashed)
        )  # fmt: skip
    return out


def travel_scene(
    judged: Judged, order: Sequence[int], styles: Mapping[str, Style], kind: str = "bending",
    width: float = 720.0, *, named: bool = True,
) -> Scene:  # fmt: skip
    """Draw load over travel to failure.

    Parameters
    ----------
    judged : Judged
        The tubes.
    order : sequence of int
        Which tubes, as they are numbered from 1.
    styles : mapping of str to Style
        Style of every construction.
    kind : str
        Kind of load.
    width : float
        Width of the picture [px].
    named : bool
        Whether the legend names the tubes, or only numbers them.

    Returns
    -------
    Scene
        Its message names every tube and how it ends.
    """
    drawn = traces(judged, order, styles, kind)
    over = show(judged.span, "length", judged.system)
    labels = (
        f"{TRAVELS[kind]} of {over}, {unit_label(KINDS[kind].travel_unit, judged.system)}",
        f"{KINDS[kind].label}, {unit_label(KINDS[kind].unit, judged.system)}",
    )
    said = "; ".join(f"{t.number} {t.name} {t.ends}" for t in drawn)
    says = f"Load over travel in {KINDS[kind].label}, {over}: {said}."
    drawn = drawn if named else [replace(t, name="") for t in drawn]
    return line_picture(drawn, labels, width=width, height=400.0 if width >= 560 else 330.0,
                        says=says)  # fmt: skip


__all__ = ["TRAVELS", "traces", "travel_scene"]
