"""Room of page `bench` for tests without a machine: pluck, one reading, hung line, column."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, cast

from traitlets import HasTraits, Unicode

from tubecalc.app.bench_forms import walls_menu
from tubecalc.app.bench_state import BenchSession
from tubecalc.app.bits import box, html, mark, put
from tubecalc.app.grammar import Field
from tubecalc.app.layup_form import Form, Pick, Tick, title
from tubecalc.app.state import sentence
from tubecalc.app.text import list_html
from tubecalc.errors import InputError
from tubecalc.share.bench_units import heard
from tubecalc.share.page_text import clean, esc
from tubecalc.testing.by_hand_read import OPTIONAL, RIGS, SIZES, WITH_TUBE, Answer, by_hand

_SAMPLE = {  # shown while a field is empty
    "frequency": "250 cpm", "length": "900 mm", "tip_mass": "nothing", "own": "not known",
    "load": "100 lbf", "travel": "1/4 in", "step": "not said", "spar": "62 in", "line": "74 in",
    "weight": "1 lbf", "bow": "2 in", "loads": "43.5; 43.0; 44.1 lbf",
}  # fmt: skip
_LONGEST, _MOST = 200, 40


class _Texts(HasTraits):
    """What is typed in the room, as a form wants it."""

    status = Unicode("")

    def __init__(self, session: BenchSession) -> None:
        super().__init__()
        self.session, self.problems = session, cast("dict[str, str]", {})
        self.choice = self

    def get(self, key: str) -> str:
        """What stands in a field."""
        return self.session.choice.hand.get(key, "pluck" if key == "rig" else "")

    def edit(self, key: str, text: str) -> None:
        """Change what stands in a field."""
        had = dict(self.session.choice.hand)
        self.session.change(hand={**had, key: text[:_LONGEST]})


class HandRoom:
    """Menu of rigs, the fields of each, and what the readings mean.

    Parameters
    ----------
    session : BenchSession
        State of the page.
    """

    def __init__(self, session: BenchSession) -> None:
        self.session, self.texts = session, _Texts(session)
        rigs = tuple((words, key) for key, (words, _) in RIGS.items())
        fields: dict[str, Field] = {}
        for _, asked in RIGS.values():
            for key, (label, kind) in asked.items():
                fields[key] = Field(key, label, "words" if kind == "forces" else kind, _SAMPLE[key])
        sizes = [Field(k, w, "length", "two of the three") for k, w in SIZES.items()]
        parts: list[Any] = [Pick("rig", "how it was tested", rigs), Pick("wall_of", "made of", ()),
                            *sizes, *fields.values(),
                            Tick("held", "read at a set sideways deflection")]  # fmt: skip
        self.form = Form(cast(Any, self.texts), parts)
        self.answer = html()
        grid = self.form.grid("rig", "wall_of", *SIZES, *fields, "held")
        self.box = box([title("Tested without a machine"), grid, self.answer],
                       "tc-benroom", "tc-benhand")  # fmt: skip

    def show(self) -> None:
        """Show what is typed, what is asked, and the answer."""
        job, rig = self.session.choice.job, self.texts.get("rig")
        own = {k: c.name for k, c in job.constructions.items()}
        self.form.options("wall_of", walls_menu(own))
        self.texts.problems = {}
        answer: Answer | None = None
        try:
            found = by_hand({**self.session.choice.hand, "rig": rig}, job.construction, job.units)
            answer = None if found is None else found.answer
        except InputError as error:
            key = (error.where or "").split(":")[-1].strip()
            key = {"tube": "wall_of"}.get(key, key)
            said = heard(sentence(error), job.units)
            self.texts.problems = {key if key in self.form.boxes else "rig": said}
        self.form.show()
        asked = {"rig", *RIGS[rig][1], *(("wall_of", *SIZES) if rig in WITH_TUBE else ())}
        for key, one in self.form.boxes.items():
            mark(one, "tc-gone", key not in asked and not (key == "held" and rig == "column"))
        put(self.answer, answer_html(answer, job.units))


def answer_html(answer: Answer | None, units: str = "SI") -> str:
    """What readings mean, as HTML.

    Parameters
    ----------
    answer : Answer or None
        None where something is missing.
    units : str
        Display system.

    Returns
    -------
    str

    Examples
    --------
    >>> answer_html(Answer((("EI", "1 N m2"),), ()))[:52]
    '<div class="tc-wide"><table class="tc-figures"><tbod'
    """
    if answer is None:
        return ""
    body = "".join(
        f'<tr><th scope="row">{esc(a)}</th><td>{esc(b)}</td></tr>' for a, b in answer.rows
    )
    return (
        f'<div class="tc-wide"><table class="tc-figures"><tbody>{body}</tbody></table></div>'
        + list_html([clean(heard(n, units)) for n in answer.notes], "tc-cautions")
    )


def hand_of(state: Any) -> dict[str, str]:
    """Readings that a job kept, what of them can be used.

    Parameters
    ----------
    state : object
        As in the job.

    Returns
    -------
    dict

    Examples
    --------
    >>> hand_of({"rig": "pluck", "load": 3, "x": "y"}), hand_of(None)
    ({'rig': 'pluck'}, {})
    """
    if not isinstance(state, Mapping) or len(state) > _MOST:
        return {}
    known = {"rig", "wall_of", "held", *SIZES, *_SAMPLE}
    out = {str(k): v for k, v in state.items()
           if k in known and isinstance(v, str) and len(v) <= _LONGEST}  # fmt: skip
    if out.get("rig", "pluck") not in RIGS:
        out.pop("rig")
    return out


__all__ = ["OPTIONAL", "HandRoom", "answer_html", "hand_of"]
