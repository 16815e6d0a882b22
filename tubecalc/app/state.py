"""What the page knows: one frozen choice, the result computed from it, and what is wrong."""

from __future__ import annotations

import sys
import traceback
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any, Protocol

from traitlets import Any as AnyTrait
from traitlets import Dict, HasTraits, Instance, Unicode, observe

from tubecalc.app.draft import Draft, problems_of
from tubecalc.errors import InputError
from tubecalc.laminate.construction import Construction, get_construction

MM = 1e-3
CONSTRUCTIONS = (
    "pultruded", "roll-wrapped", "roll-wrapped-woven", "filament-wound", "6063-T6",
    "304-cold-drawn",
)  # fmt: skip
SYSTEMS = {"SI": "mm, N, g", "workshop": "workshop, kgf", "inch": "inch, pound"}


@dataclass(frozen=True, eq=False)
class StockList:
    """A stock list that was read: name, the list as the core gave it, what was doubtful."""

    name: str
    stock: Any
    doubts: tuple[str, ...] = ()


@dataclass(frozen=True)
class Choice:
    """Everything a person set on the page. Lengths in m.

    Parameters
    ----------
    draft : Draft
        The need as typed.
    od, wall : tuple of float
        Ends of the ranges [m].
    constructions : tuple of str
        Keys of constructions and metals shown.
    stock : StockList or None
        Judge these tubes instead of any size.
    units : str
        Display system: SI, workshop or inch.
    measure : str
        What the chart and the table compare ("mass", or a column for weight for weight).
    beyond : bool
        Show sizes outside the usual range of a construction too.
    selected : str
        Key of the tube picked by hand, "" for the best one.
    sort : tuple of str and bool
        Column of the shortlist and whether it falls.
    width : int
        Width of the chart on the screen [px].
    own : tuple of Construction
        The job's own walls, which may be among the constructions.
    """

    draft: Draft = field(default_factory=Draft)
    od: tuple[float, float] = (10 * MM, 40 * MM)
    wall: tuple[float, float] = (0.75 * MM, 3 * MM)
    constructions: tuple[str, ...] = CONSTRUCTIONS
    stock: StockList | None = None
    units: str = "SI"
    measure: str = "mass"
    beyond: bool = False
    selected: str = ""
    sort: tuple[str, bool] = ("", False)
    width: int = 720
    own: tuple[Construction, ...] = ()

    def made(self, key: str) -> Construction:
        """Construction of a key: one of the job's own, else one that comes with tubecalc."""
        return next((c for c in self.own if c.key == key), None) or get_construction(key)


class Session(HasTraits):
    """State of one visitor's page; the only thing that changes.

    Parameters
    ----------
    run : callable
        Choice -> result; raises `InputError` for a choice that cannot be judged.
    choice : Choice
        Where to start.
    """

    choice = Instance(Choice)
    result = AnyTrait(None, allow_none=True)
    mistakes = Dict()  # of controls outside the need: path -> sentence
    problems = Dict()
    status = Unicode("")

    def __init__(self, run: Callable[[Choice], Any], choice: Choice) -> None:
        self._run_core = run
        super().__init__(choice=choice)  # which runs it a first time

    @property
    def stale(self) -> bool:
        """Whether the result on screen belongs to an earlier, valid entry."""
        return bool(self.problems)

    def change(self, **parts: Any) -> None:
        """Change parts of the choice at once."""
        self.choice = replace(self.choice, **parts)

    def edit(self, path: str, text: str) -> None:
        """Change one text of the need."""
        self.change(draft=self.choice.draft.put(path, text))

    def mistake(self, path: str, message: str) -> None:
        """Note (or with "" clear) what is wrong with a control outside the need."""
        mistakes = {k: v for k, v in self.mistakes.items() if k != path}
        if message:
            mistakes[path] = message
        self.mistakes = mistakes

    @observe("choice", "mistakes")
    def _choice_changed(self, _: Any) -> None:
        self._run()

    def _run(self) -> None:
        problems = {**self.mistakes, **problems_of(self.choice.draft)}
        if not problems:
            try:
                result = self._run_core(self.choice)
            except InputError as error:
                problems = {where_of(error, self.choice.draft): sentence(error, self.choice.units)}
            else:
                self.problems = {}
                self.result = result
                return
        self.problems = problems


def sentence(error: InputError, system: str = "SI") -> str:
    """Say an error without the place, which the page shows by position.

    Parameters
    ----------
    error : InputError
        The error.
    system : str
        Display system of the page.

    Returns
    -------
    str
        One sentence.

    Examples
    --------
    >>> sentence(InputError("is not a length", where="need:span"))
    'is not a length.'
    """
    bare = InputError(error.message, got=error.got, expected=error.expected)
    return bare.said(system)


def where_of(error: InputError, draft: Draft) -> str:
    """Find the field an error of the core speaks of.

    Parameters
    ----------
    error : InputError
        With `where` such as "case 1 (reach):span" or "limits:od_max".
    draft : Draft
        The need as typed.

    Returns
    -------
    str
        Path of the field, or "" for the need as a whole.

    Examples
    --------
    >>> where_of(InputError("is negative", where="need:limits:od_max"),
    ...          Draft(limits=(("od_max", "-1 mm"),)))
    'limits.od_max'
    """
    parts = [p.strip() for p in (error.where or "").replace(".", ":").split(":")]
    if len(parts) < 2:
        return ""
    group, key = parts[-2], parts[-1]
    if group.startswith("case"):
        digits = "".join(c for c in group.split("(")[0] if c.isdigit())
        k = int(digits or 1) - 1
        known = 0 <= k < len(draft.cases) and key in dict(draft.cases[k].texts)
        return f"case.{k}.{key}" if known else ""
    if group in ("limits", "service", "factors") and key in dict(getattr(draft, group)):
        return f"{group}.{key}"
    return ""


class Sayer(Protocol):
    """Anything that says a sentence to the visitor."""

    status: Any


def guard(session: Sayer, call: Callable[..., None]) -> Callable[..., None]:
    """Wrap a callback so that an error is said on the page and logged, never lost.

    Parameters
    ----------
    session : Session or other with a status
        Where the message goes.
    call : callable
        The callback.

    Returns
    -------
    callable
        The wrapped callback.
    """

    def safe(*args: Any, **kwargs: Any) -> None:
        try:
            call(*args, **kwargs)
        except InputError as error:
            session.status = str(error)
        except Exception as error:
            traceback.print_exc(file=sys.__stderr__)
            session.status = (
                f"This page met a fault of its own ({type(error).__name__}); what you entered is "
                "kept. Change something to try again, and report it if it stays."
            )

    return safe
