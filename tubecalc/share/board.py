"""A side of paper on which words and pictures are set one below the other."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from tubecalc.share.letters import UNKNOWN, folded, lettered
from tubecalc.share.palette import Style
from tubecalc.share.paper import Leaf, Placed
from tubecalc.share.scene import Lines, Scene, Shape, Words

LEAD = 1.3  # distance of lines over height of letters
MISSING = f"{UNKNOWN} stands for a letter that the typeface of this print does not have."


@dataclass
class Board:
    """Shapes and pictures on a side of paper, in pixels; y is the upper edge of what is set.

    Parameters
    ----------
    width : float
        Width [px].
    """

    width: float
    shapes: list[Shape] = field(default_factory=list)
    places: list[Placed] = field(default_factory=list)

    def line(
        self, x: float, y: float, text: str, size: float = 12.0, colour: str = "ink",
        *, bold: bool = False, anchor: str = "start",
    ) -> None:  # fmt: skip
        """Set one line as it is."""
        self.shapes.append(Words(x, y + size, text, colour, size, anchor, bold))

    def words(
        self, x: float, y: float, room: float, text: str, size: float = 12.0,
        colour: str = "ink", *, bold: bool = False, most: int = 0,
    ) -> float:  # fmt: skip
        """Set a text in a column and give where it ends."""
        for row in folded(text, room, size, bold=bold, most=most):
            self.line(x, y, row, size, colour, bold=bold)
            y += LEAD * size
        return y

    def rule(self, y: float, left: float, right: float, colour: str = "rule") -> None:
        """Set a thin line across."""
        self.shapes.append(Lines([[(left, y), (right, y)]], colour, 0.8))

    def put(self, scene: Scene, x: float, y: float) -> float:
        """Set a picture and give where it ends."""
        self.places.append((scene, x, y))
        return y + scene.height

    def unknown(self, more: Iterable[str] = ()) -> bool:
        """Whether a letter without a shape is among the words."""
        own = (s for scene, _, _ in self.places for s in scene.shapes)
        texts = [s.text for s in (*self.shapes, *own) if isinstance(s, Words)]
        return any(UNKNOWN in lettered(t) for t in (*texts, *more))

    def leaf(self, height: float, styles: Sequence[Style] = ()) -> Leaf:
        """Side of paper of a height, the words on top."""
        words = Scene(self.width, height, tuple(self.shapes))
        return Leaf(self.width, height, (*self.places, (words, 0.0, 0.0)), tuple(styles))


__all__ = ["LEAD", "MISSING", "Board"]
