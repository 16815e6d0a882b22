"""Cut plan as bars to scale: pieces with their lengths, offcuts hatched, trim crossed."""

from __future__ import annotations

from tubecalc.making import Bar, CutPlan
from tubecalc.share.hatch import slant
from tubecalc.share.scene import Lines, Points, Scene, Shape, Words

WIDTH = 680.0
MOST_ROWS = 24
_LEFT, _RIGHT, _TOP, _ROW, _HIGH = 52.0, 96.0, 26.0, 34.0, 20.0
_CHARACTER = 6.3  # width of one [px]


def _box(x0: float, x1: float, y: float) -> Points:
    return [(x0, y), (x1, y), (x1, y + _HIGH), (x0, y + _HIGH)]


def _marks(angles: tuple[float, ...], x0: float, x1: float, y: float) -> list[Points]:
    return [
        [(x0 + u, y + v) for u, v in path]
        for angle in angles
        for path in slant(angle, x1 - x0, _HIGH, 5.0)
    ]


def _mm(value: float) -> str:
    return f"{value * 1e3:.6g}"


def _bar(b: Bar, plan: CutPlan, y: float, scale: float) -> list[Shape]:
    """Trim, pieces with their saw cuts, offcut, trim."""
    x = _LEFT
    end = x + b.stock * scale
    out: list[Shape] = []
    trims: list[Points] = []
    if b.trim:
        trims += _marks((45.0, -45.0), x, x + plan.trim * scale, y)
        trims += _marks((45.0, -45.0), end - plan.trim * scale, end, y)
        x += plan.trim * scale
    boxes: list[Points] = []
    for cut in b.cuts:
        right = x + cut * scale
        boxes.append(_box(x, right, y))
        text = _mm(cut)
        if len(text) * _CHARACTER < right - x - 3:
            out.append(Words((x + right) / 2, y + 14, text, "ink", 11.5, "middle"))
        x = right + plan.kerf * scale
    back: list[Shape] = [Lines(boxes, "ink", 1.1, closed=True, fill="field")]
    if b.offcut > 0:
        left = end - (plan.trim + b.offcut) * scale
        right = end - plan.trim * scale
        back.append(Lines(_marks((45.0,), left, right, y), "muted", 0.9))
    back.append(Lines(trims, "muted", 0.9))
    back.append(Lines([_box(_LEFT, end, y)], "muted", 0.8, closed=True))
    return back + out


def bar_picture(plan: CutPlan, *, width: float = WIDTH, most: int = MOST_ROWS) -> Scene:
    """Draw a cut plan, bars that are cut alike once.

    Parameters
    ----------
    plan : CutPlan
        The plan.
    width : float
        Width of the picture [px].
    most : int
        Rows drawn; the rest is counted in words [-].

    Returns
    -------
    Scene
        The picture.

    Examples
    --------
    >>> from tubecalc.making import cut_plan
    >>> bar_picture(cut_plan([("700 mm", 4)], "2 m")).says
    '2 bars of 2000 mm: 2 x 700 mm, offcut 596 mm.'
    """
    from tubecalc.making_cut import said

    shown = plan.bars[:most]
    longest = max(b.stock for b in plan.bars)
    scale = (width - _LEFT - _RIGHT) / longest
    shapes: list[Shape] = [
        Words(_LEFT - 8, 16, "bars", size=11.5, anchor="end"),
        Words(_LEFT, 16, "pieces in mm; hatched: offcut" + ("; crossed: trim" if plan.trim else ""),
              size=11.5),
        Words(width - _RIGHT + 8, 16, "offcut, mm", size=11.5),
    ]  # fmt: skip
    for k, b in enumerate(shown):
        y = _TOP + k * _ROW
        shapes += _bar(b, plan, y, scale)
        shapes.append(Words(_LEFT - 8, y + 14, f"{b.count} ×", "ink", 12.5, "end", bold=True))
        side = _LEFT + b.stock * scale + 8
        shapes.append(Words(side, y + 14, _mm(b.offcut) if b.offcut > 0 else "none", "ink", 12))
    low = _TOP + len(shown) * _ROW
    if len(plan.bars) > most:
        rest = sum(b.count for b in plan.bars[most:])
        words = "1 more bar is" if rest == 1 else f"{rest} more bars are"
        shapes.append(Words(_LEFT, low + 10, f"{words} in the table.", size=12))
        low += 18
    says = " ".join(
        f"{b.count} bar{'' if b.count == 1 else 's'} of {_mm(b.stock)} mm: {said(b.cuts)}, "
        + (f"offcut {_mm(b.offcut)} mm." if b.offcut > 0 else "no offcut.")
        for b in shown
    )
    return Scene(width, low + 6, tuple(shapes), says)


__all__ = ["MOST_ROWS", "WIDTH", "bar_picture"]
