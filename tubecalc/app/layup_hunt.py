"""Room of page `layup`: the lightest stack for the job's need, searched while the page listens.

The search runs on a thread of its own, which touches no widget: it writes how far it is into
`Hunt`, and the page's own loop reads that every quarter of a second.
"""

from __future__ import annotations

import asyncio
import threading
from dataclasses import replace
from html import escape
from typing import Any

import ipywidgets as widgets

from tubecalc.app.bits import box, html, mark, put
from tubecalc.app.grammar import Field
from tubecalc.app.layup_form import Form, Pick, Tick, button, title, told
from tubecalc.app.layup_rows import Row, data_plies
from tubecalc.app.layup_state import LayupChoice, LayupSession, Reader
from tubecalc.app.layup_work import Asked, asked_of
from tubecalc.app.state import guard
from tubecalc.app.text import list_html
from tubecalc.app.view_layup import picture, rows_html
from tubecalc.errors import InputError
from tubecalc.laminate.notation import read_plies
from tubecalc.layup_search import Progress, search_layup
from tubecalc.need import Need
from tubecalc.share.front import Step, front_picture
from tubecalc.share.need_words import need_words, sentence
from tubecalc.unit_display import in_unit, show, unit_label

TELL = 0.25  # s between two words on the progress
ROWS = 12
MOST_CHECKS = 2_000


class Hunt:
    """One search: how far it is, what it found, and a way to stop it.

    Parameters
    ----------
    need : Need
        What the stack must do.
    asked : Asked
        Plies, angles, mandrels and rules.
    system : str
        Display system of its sentences.
    """

    def __init__(self, need: Need, asked: Asked, system: str) -> None:
        self._need, self.asked, self._system = need, asked, system
        self._stop = threading.Event()
        self._thread: threading.Thread | None = None
        self.progress: Progress | None = None
        self.table: Any = None
        self.error: Exception | None = None

    def run(self) -> None:
        """Search until the end, or until it is stopped."""
        a = self.asked
        try:
            self.table = search_layup(
                self._need, plies=list(a.plies), angles=list(a.angles), most_plies=a.most,
                mandrels=list(a.mandrels) or None, rules=a.rules, best=ROWS,
                most_checks=MOST_CHECKS, progress=self._tell, stop=self._stop.is_set,
                system=self._system,
            )  # fmt: skip
        except Exception as error:  # shown by the page
            self.error = error

    def _tell(self, progress: Progress) -> None:
        self.progress = progress

    def start(self) -> None:
        """Search on a thread of its own."""
        self._thread = threading.Thread(target=self.run, name="hunt", daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """End soon, with what was found."""
        self._stop.set()

    @property
    def going(self) -> bool:
        """Whether it is still searching."""
        return self._thread is not None and self._thread.is_alive()


class HuntRoom:
    """Form of a search, its progress, what it found.

    Parameters
    ----------
    session : LayupSession
        State of the page.
    """

    def __init__(self, session: LayupSession) -> None:
        self.session = session
        self.hunt: Hunt | None = None
        self._of: tuple[Any, ...] = ()
        self._pushing = False
        self.form = Form(session, [
            Field("hunt.angles", "angles, degrees", "words", "0, 45, 90"),
            Field("hunt.most", "most plies", "words", "8"),
            Field("hunt.mandrels", "mandrels", "words", "those the need allows"),
            Field("hunt.together", "most equal plies together", "words", "any number"),
            Tick("hunt.balanced", "balanced"), Tick("hunt.hoop_inside", "hoop ply inside"),
            Tick("hunt.hoop_outside", "hoop ply outside"),
            Tick("hunt.outer_woven", "cloth outside"), Tick("hunt.symmetric", "symmetric"),
        ])  # fmt: skip
        self.plies = [self._ply(key, name) for key, name in data_plies().items()]
        self.go = button("search", self.begin, session)
        self.halt = button("stop", self.end, session, "keeps what was found")
        self.bar, self.said, self.need = html("tc-laybar"), html("tc-used"), html("tc-note")
        self.front, self.added, self.result = html(), html(), html()
        self.pick = Form(session, [Pick("hunt.pick", "stack", ())])
        self.take = button("take over", self._take, session, "into the wall of this page")
        self.taking = box([*self.pick.boxes.values(), self.take], "tc-row", "tc-gone")
        fields = self.form.grid("hunt.angles", "hunt.most", "hunt.mandrels", "hunt.together")
        ticks = self.form.row("hunt.balanced", "hunt.hoop_inside", "hunt.hoop_outside",
                              "hunt.outer_woven", "hunt.symmetric")  # fmt: skip
        said = html()
        self.missing = said
        left = box(
            [self.need, title("Plies to choose from"), box(self.plies, "tc-row"), said,
             title("Limits and rules"), fields, ticks, box([self.go, self.halt], "tc-row"),
             self.bar, self.said], "tc-laycol",
        )  # fmt: skip
        right = box([self.front, self.added], "tc-laycol")
        lead = told("Whole plies on whole mandrels, lightest first, each checked as on every page. "
                    "What the search leaves out it has refuted, or it says so.")  # fmt: skip
        self.box = box([lead, box([left, right], "tc-laytwo"), self.result, self.taking],
                       "tc-layroom")  # fmt: skip
        mark(self.halt, "tc-gone", True)

    def _ply(self, key: str, name: str) -> Any:
        tick = widgets.ToggleButton(description=name)
        tick.add_class("tc-chip")
        tick.key = key
        tick.observe(guard(self.session, self._ticked), names="value")
        return tick

    # ---- listening
    def _ticked(self, _: Any) -> None:
        if not self._pushing:
            self.session.edit("hunt.plies", " ".join(t.key for t in self.plies if t.value))

    def begin(self) -> None:
        """Start a search for the job's need."""
        if self.hunt is not None and self.hunt.going:
            return
        choice = self.session.choice
        reader = Reader(choice)
        asked = asked_of(choice, reader)
        if asked is None:
            raise InputError("mend the marked field first")
        if not choice.job.need.cases:
            raise InputError("this job asks for nothing yet: state the need on page choose, or "
                             "open a job")  # fmt: skip
        self.hunt, self._of = Hunt(choice.job.need, asked, choice.job.units), self._key(choice)
        for widget in (self.front, self.added, self.result):
            mark(widget, "tc-stale", True)
        self._going(True)
        self._start(self.hunt)

    def _start(self, hunt: Hunt) -> None:
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:  # no loop to come back on: search now
            hunt.run()
            self._look(None)
            return
        hunt.start()
        loop.call_later(TELL, guard(self.session, self._look), loop)

    def end(self) -> None:
        """Stop the search; it keeps what it found."""
        if self.hunt is not None:
            self.hunt.stop()
            put(self.said, "Stopping after the step it is in …")

    def _look(self, loop: Any) -> None:
        hunt = self.hunt
        if hunt is None:
            return
        put(self.bar, bar_html(hunt.progress, self.session.choice.job.units))
        if hunt.going and loop is not None:
            loop.call_later(TELL, guard(self.session, self._look), loop)
            return
        self._going(False)
        if hunt.error is not None:
            put(self.bar, "")
            if isinstance(hunt.error, InputError):
                put(self.said, f'<span class="tc-stale-note">{escape(str(hunt.error))}</span>')
                return
            raise hunt.error
        self.session.found = {**self.session.found, "hunt": hunt.table}
        self.show()

    def _going(self, on: bool) -> None:
        self.go.disabled = on
        mark(self.halt, "tc-gone", not on)
        if on:
            put(self.said, "Searching …")

    def _take(self) -> None:
        session = self.session
        table = session.found.get("hunt")
        n = session.choice.get("hunt.pick")
        if table is None or not len(table):
            raise InputError("nothing was found yet")
        row = table.iloc[int(n) if n.isdecimal() and int(n) < len(table) else 0]
        session.choice = taken(session.choice, row)
        session.status = f"{row['stack']} is the wall of this page now."

    # ---- showing
    def _key(self, choice: LayupChoice) -> tuple[Any, ...]:
        typed = [x for x in choice.group("hunt") if x[0] != "hunt.pick"]
        return (*typed, choice.job.need)

    def show(self) -> None:
        """Show the form, and what was found last."""
        session = self.session
        choice, system = session.choice, session.choice.job.units
        self.form.show()
        self._pushing = True
        try:
            for tick in self.plies:
                tick.value = tick.key in choice.get("hunt.plies").split()
        finally:
            self._pushing = False
        wrong = session.problems.get("hunt.plies", "")
        put(self.missing, f'<span class="tc-stale-note">{escape(wrong)}</span>' if wrong else "")
        put(self.need, need_html(choice))
        table = session.found.get("hunt")
        if table is None:
            return
        names = [(f"{n + 1}: {r['stack']} on {r['id_mm']:.6g} mm", str(n))
                 for n, r in enumerate(table.to_dict("records"))]  # fmt: skip
        self.pick.options("hunt.pick", names)
        self.pick.show()
        mark(self.taking, "tc-gone", not len(table))
        put(self.result, table_html(table, system))
        put(self.front, front_html(table, system))
        put(self.added, added_html(table, system))
        fresh = self._of == self._key(choice) or not self._of
        going = self.hunt is not None and self.hunt.going
        if not going:
            words = str(table.attrs["why"]) + ("" if fresh else " The form has changed since.")
            hint = "" if table["passes"].any() else str(table.attrs["hint"])
            put(self.said, escape(f"{hint} {words}".strip()))
        for widget in (self.front, self.added, self.result):
            mark(widget, "tc-stale", going or not fresh)


def taken(choice: LayupChoice, row: Any) -> LayupChoice:
    """Choice whose wall is a row of a search.

    Parameters
    ----------
    choice : LayupChoice
        The choice.
    row : mapping
        Its stack, materials and bore.

    Returns
    -------
    LayupChoice
    """
    materials = str(row["materials"])
    pairs = [p.split("=") for p in materials.split(";")] if "=" in materials else []
    meaning = {a.strip(): b.strip() for a, b in pairs} or {"": materials}
    rows: list[Row] = []
    for mark_ in read_plies(str(row["stack"])):
        one = Row(meaning[mark_.tag], f"{mark_.angle:g}")
        if rows and (rows[-1].ply, rows[-1].angle) == (one.ply, one.angle):
            one = replace(one, count=str(int(rows.pop().count) + 1))
        rows.append(one)
    size = f"{float(row['id_mm']):.6g} mm"
    choice = choice.put("by", "bore").put("size", size).put("sequence", "")
    return replace(choice, rows=tuple(rows), section="wall")


def need_html(choice: LayupChoice) -> str:
    """The need that is searched for, in words."""
    need = choice.job.need
    if not need.cases:
        return ("This job asks for nothing yet: state the need on page "
                '<a href="choose.ipynb">choose</a>; it is carried over.')  # fmt: skip
    title_ = f"{need.title}: " if need.title else ""
    return escape(title_ + " ".join(sentence(w) for w in need_words(need, choice.job.units)))


def bar_html(progress: Progress | None, system: str) -> str:
    """How far the search is, as a bar and in words."""
    if progress is None:
        return ""
    share = max(0.0, min(1.0, progress.share))
    words = f"{share:.0%}, "
    if progress.settled == progress.settled:
        words += f"{progress.settled:,.0f} stacks decided, "
    words += f"{progress.checked} checked in full"
    if progress.lightest == progress.lightest:
        words += f", lightest {show(progress.lightest, 'linear_density', system)}"
    return (f'<span class="tc-progress" role="progressbar" aria-valuenow="{100 * share:.0f}" '
            f'aria-valuemin="0" aria-valuemax="100" aria-label="search"><i style="width:'
            f'{100 * share:.1f}%"></i></span> {escape(words)}')  # fmt: skip


def table_html(table: Any, system: str) -> str:
    """What was found, lightest first."""
    lead = "" if len(table) and bool(table["passes"].iloc[0]) else (
        "<p class='tc-note'>Nothing passes; these come nearest.</p>"
    )  # fmt: skip
    rows = []
    for n, r in enumerate(table.to_dict("records"), 1):
        names = str(r["materials"])
        rows.append([
            str(n), str(r["stack"]), names, show(float(r["id_mm"]) * 1e-3, "length", system),
            show(float(r["od_mm"]) * 1e-3, "length", system), str(int(r["plies"])),
            show(float(r["mass_kg_per_m"]), "linear_density", system),
            f"{float(r['reserve']):.3g}", str(r["governing"]).replace("_", " "),
        ])  # fmt: skip
    heads = [("rank", True), ("stack, from the bore", False), ("plies of", False), ("bore", True),
             ("outside", True), ("plies", True), ("mass per length", True), ("reserve", True),
             ("governed by", False)]  # fmt: skip
    return lead + rows_html(heads, rows) + f"<p class='tc-fine'>{escape(table.attrs['order'])}</p>"


def front_html(table: Any, system: str) -> str:
    """Mass against reserve of what nothing beats in both."""
    unit = in_unit(1.0, "linear_density", system)
    steps = [Step(p["mass_kg_per_m"] * unit, min(p["reserve"], 1e3), p["stack"], bool(p["passes"]))
             for p in table.attrs["front"]]  # fmt: skip
    if not steps:
        return ""
    scene = front_picture(steps, unit_label("linear_density", system))
    return "<h2>More mass, more reserve</h2>" + picture(scene)


def added_html(table: Any, system: str) -> str:
    """What each ply more buys the lightest."""
    steps = table.attrs["added"]
    if not steps:
        return ""
    said = [
        f"{_pm(s['angle'])} {data_plies().get(s['ply'], s['ply'])}: "
        f"{show(s['mass_added'], 'linear_density', system)} more, reserve {s['reserve']:.3g} "
        f"({s['gain']:+.2g}), as {s['stack']}"
        for s in steps[:8]
    ]
    return "<h2>What one ply more buys the lightest</h2>" + list_html(said, "tc-cautions")


def _pm(angle: float) -> str:
    return f"{angle:g}°" if angle in (0.0, 90.0) else f"±{abs(angle):g}°"


__all__ = ["ROWS", "Hunt", "HuntRoom", "taken"]
