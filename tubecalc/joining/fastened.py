"""A fastening and every way it fails."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class Limit:
    """One way to fail: label, what is asked and what is borne [SI of kind], sentence, grade."""

    label: str
    asked: float
    borne: float
    kind: str
    why: str
    grade: str
    advisory: bool = False

    @property
    def reserve(self) -> float:
        """Borne over asked; NaN where not known."""
        return math.inf if self.asked == 0 else self.borne / self.asked


@dataclass(frozen=True)
class Fastened:
    """A fastening and every way it fails."""

    limits: tuple[Limit, ...]
    cautions: tuple[str, ...]

    @property
    def governing(self) -> Limit:
        """The way that fails first, warnings left out."""
        known = [x for x in self.limits if not x.advisory and not math.isnan(x.reserve)]
        return min(known, key=lambda x: x.reserve)

    @property
    def reserve(self) -> float:
        """Least reserve, warnings left out [-]."""
        return self.governing.reserve

    @property
    def table(self) -> pd.DataFrame:
        """One row a way to fail."""
        import pandas as pd

        return pd.DataFrame(
            [{"what": x.label, "reserve": x.reserve, "grade": x.grade, "advisory": x.advisory,
              "why": x.why} for x in self.limits]
        )  # fmt: skip


__all__ = ["Fastened", "Limit"]
