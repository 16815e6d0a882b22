"""One joint of a job and its answer, as the verdict and the papers show it."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True)
class JointRow:
    """One joint of a job and its answer.

    Attributes
    ----------
    number : int
        Place among the joints of the job [-].
    candidate : int
        Index of its tube; -1 where that is not in the job any more [-].
    kind, name : str
        Key of its kind, and what it is called.
    passes : bool or None
        Whether it does what was asked of it; None where no load is given.
    reserve : float
        Load borne over load asked, the factor of the need counted; NaN where there is no number.
    grade, error : str
        How far it is to be trusted.
    why : str
        A sentence in the display system of the job; `tubecalc.unit_words.say` gives the others.
    pair : str
        Warning of two materials that eat each other in the wet, "" for none.
    warmest : float
        What its adhesive is good to, NaN for none [degC].
    stands, part : float and str
        What its weakest part is good to where heat is what is asked, and which [degC].
    minds : tuple of str
        What else to mind, in sentences.
    """

    number: int
    candidate: int
    kind: str
    name: str
    passes: bool | None
    reserve: float
    grade: str
    error: str
    why: str
    pair: str = ""
    warmest: float = math.nan
    stands: float = math.nan
    part: str = ""
    minds: tuple[str, ...] = ()


__all__ = ["JointRow"]
