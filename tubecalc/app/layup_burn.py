"""Room of page `layup`: a burnt sample, what was in it, the plies seen, and the wall they make."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from tubecalc.app import view_layup as view
from tubecalc.app.bits import box, html, mark, put
from tubecalc.app.grammar import Field
from tubecalc.app.layup_form import Form, Pick, button, title, told
from tubecalc.app.layup_rooms import constituent_names, plain_note
from tubecalc.app.layup_rows import rows_of
from tubecalc.app.layup_state import LayupSession
from tubecalc.app.layup_work import MOST_SEEN
from tubecalc.errors import InputError
from tubecalc.laminate.cloth import WEAVES
from tubecalc.laminate.layer import Layer
from tubecalc.laminate.own_ply import LONGEST_NAME, ply_of, table_of
from tubecalc.materials import Ply
from tubecalc.tube_burn_off import BurntStack

_FIELDS: tuple[Field | Pick, ...] = (
    Field("burn.sample_mass", "mass before", "mass", "2.500 g"),
    Field("burn.residue_mass", "mass after", "mass", "1.750 g"),
    Pick("burn.gas", "heated in", (("say which …", ""), ("air", "air"), ("inert gas", "inert"))),
    Field("burn.char_yield", "char of the neat resin", "ratio", "none"),
    Field("burn.fibre_loss", "loss of the bare fibre", "ratio", "none"),
)
_SIZES = (
    Field("burn.sample_density", "density of the sample", "density", "not weighed in water"),
    Field("burn.volume", "or its volume", "volume", "not known"),
    Field("burn.od", "or outside diameter", "length", "not a piece of tube"),
    Field("burn.id", "bore", "length", "or wall"),
    Field("burn.wall", "wall", "length", "or bore"),
    Field("burn.length", "length", "length", "of the piece"),
    Field("burn.voids", "or voids, assumed", "ratio", "not known"),
    Field("burn.fibre_density", "fibre density", "density", "of the class"),
    Field("burn.resin_density", "resin density", "density", "of the class"),
)
_SEEN = {
    "angle": ("angle", "words", "0 or +/-55"),
    "areal_weight": ("fibre per area", "words", "300 g/m2"),
    "thickness": ("or thickness", "words", "of the ply"), "count": ("plies", "words", "1"),
}  # fmt: skip
_WEAVE = {"ud": "unidirectional", "plain": "plain", "twill": "twill", "satin": "satin"}


class BurnRoom:
    """Form of a burn-off, its results with uncertainty, the stack seen.

    Parameters
    ----------
    session : LayupSession
        State of the page.
    """

    def __init__(self, session: LayupSession) -> None:
        self.session = session
        fibres, resins = constituent_names()
        bare = (("carbon, class not known", "carbon"), ("glass, class not known", "glass"),
                ("aramid", "aramid"))  # fmt: skip
        first = (Pick("burn.fibre", "fibre", (*fibres, *bare)), Pick("burn.resin", "resin", resins))
        last = (
            Field("burn.tube.od", "tube: outside diameter", "length", "not known"),
            Field("burn.tube.id", "or its bore", "length", "not known"),
            Field("burn.area", "flat sample: area", "area", "not known"),
        )
        self.form = Form(session, [*first, *_FIELDS, *_SIZES, *last, *self._seen()])
        self.lines = [self._line(k) for k in range(MOST_SEEN)]
        self.take = button("take over as wall", self._take, session,
                           "the stack seen takes the place of the stack of this page")  # fmt: skip
        self.said, self.result = html("tc-used"), html()
        grid = self.form.grid
        left = box(
            [title("The sample"), grid(*(f.key for f in (*first, *_FIELDS))),
             title("Its volume, for the voids"), grid(*(f.key for f in _SIZES)),
             title("Plies seen after burning, from the bore outwards"), box(self.lines, "tc-seens"),
             grid(*(f.key for f in last))], "tc-laycol",
        )  # fmt: skip
        right = box([self.said, self.result, box([self.take], "tc-row")], "tc-laycol")
        lead = told("Masses without the crucible. Every figure keeps its unit; what is not known "
                    "stays empty.")  # fmt: skip
        self.box = box([lead, box([left, right], "tc-laytwo")], "tc-layroom")

    def _seen(self) -> list[Field | Pick]:
        out: list[Field | Pick] = []
        weaves = tuple((_WEAVE[w], w) for w in WEAVES if w in _WEAVE)
        order = sorted(weaves, key=lambda x: x[1] != "ud")
        for k in range(MOST_SEEN):
            out.append(Pick(f"burn.seen.{k}.weave", f"weave of ply {k + 1}", tuple(order)))
            out += [
                Field(f"burn.seen.{k}.{n}", f"{label}, ply {k + 1}", kind, blank)
                for n, (label, kind, blank) in _SEEN.items()
            ]
        return out

    def _line(self, k: int) -> object:
        names = ("weave", "angle", "areal_weight", "thickness", "count")
        return box([self.form.boxes[f"burn.seen.{k}.{n}"] for n in names], "tc-seen")

    def _take(self) -> None:
        session = self.session
        got = session.found.get("burn")
        if got is None or session.wrong("burn"):
            raise InputError("mend the marked field first: this is not what is written")
        if got.stack is None:
            raise InputError("no ply was seen yet: fill in angle and fibre per area")
        layers, plies = named(got.stack, session.choice.plies)
        choice = replace(session.choice, plies=plies, rows=rows_of(layers, plies), section="wall")
        bore = choice.get("burn.tube.id").strip()
        if bore:
            choice = choice.put("by", "bore").put("size", bore)
        elif got.stack.tube is not None:
            od = float(got.stack.tube.sections.ro[0]) * 2e3
            choice = choice.put("by", "od").put("size", f"{od:.6g} mm")
        session.choice = choice.put("sequence", "")
        session.status = "The stack seen is the wall of this page now."

    def show(self) -> None:
        """Show the sample as it was found last."""
        session = self.session
        self.form.show()
        used = [any(session.choice.get(f"burn.seen.{k}.{n}") for n in _SEEN) for k in
                range(MOST_SEEN)]  # fmt: skip
        last = max((k for k, on in enumerate(used) if on), default=-1)
        for k, line in enumerate(self.lines):
            mark(line, "tc-gone", k > last + 1)
        got = session.found.get("burn")
        words = " ".join(session.problems[k] for k in ("burn", "burn.seen") if k in
                         session.problems)  # fmt: skip
        waiting = not (session.choice.get("burn.sample_mass").strip()
                       and session.choice.get("burn.residue_mass").strip())  # fmt: skip
        if waiting and not words:
            words = "Fill in the masses before and after to begin." if got is None else ""
            put(self.said, words)
        else:
            put(self.said, plain_note(words))
        if got is not None:
            put(self.result, view.burn_html(got))
        mark(self.result, "tc-stale", session.wrong("burn") or (waiting and got is not None))
        mark(self.take, "tc-gone", got is None or got.stack is None)


def named(stack: BurntStack, plies: Mapping[str, Ply]) -> tuple[list[Layer], dict[str, Ply]]:
    """Layers of a burnt stack with own plies of names of their own.

    Parameters
    ----------
    stack : BurntStack
        The stack.
    plies : mapping
        Own plies until now.

    Returns
    -------
    tuple of list of Layer and dict
        The layers, and all own plies.
    """
    out, every = [], dict(plies)
    names: dict[tuple[int, float], str] = {}
    for x in stack.layup.layers:
        key = id(x.values), round(x.thickness, 9)
        if key not in names:
            name = _free(f"{x.values.name[:40]}, {x.thickness * 1e3:.3g} mm", every)
            names[key] = name
            table = {**table_of(x.values), "name": name, "thickness": f"{x.thickness!r} m"}
            every[name] = ply_of(table)
        out.append(replace(x, key=names[key]))
    return out, every


def _free(name: str, taken: Mapping[str, Ply]) -> str:
    head = f"{name[: LONGEST_NAME - 6].strip()}"
    n = next(n for n in range(1, 10_000) if (head if n == 1 else f"{head} {n}") not in taken)
    return head if n == 1 else f"{head} {n}"


__all__ = ["BurnRoom", "named"]
