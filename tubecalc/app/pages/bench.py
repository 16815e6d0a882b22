"""Page `bench`: what broken tubes say."""

from __future__ import annotations

import os
from dataclasses import replace
from typing import Any

import ipywidgets as widgets

from tubecalc.app import text
from tubecalc.app import view_bench as view
from tubecalc.app.bench_batch import BatchForm
from tubecalc.app.bench_carry import choice_of
from tubecalc.app.bench_forms import ReadForm, TestForm
from tubecalc.app.bench_hand import HandRoom
from tubecalc.app.bench_look import CSS
from tubecalc.app.bench_out import BenchOut
from tubecalc.app.bench_state import LAWS, SECTIONS, BenchChoice, BenchSession
from tubecalc.app.bench_told import start_html
from tubecalc.app.bits import box, framed, html, mark, put
from tubecalc.app.jobs import Keeper
from tubecalc.app.layup_form import button
from tubecalc.app.link import read_job, too_long, write_job
from tubecalc.app.state import SYSTEMS, guard
from tubecalc.errors import InputError
from tubecalc.job import Job
from tubecalc.share.bench_curves import is_torsion, one_picture
from tubecalc.share.bench_handles import moved
from tubecalc.testing.bench import LARGEST, Seen, demo

_LIMITS = (
    "CSV, TXT, TSV or XLSX as the test machine wrote it, many at once; up to 9 MB a file and 30 MB "
    "together here, larger ones by the command tubecalc reduce."
)
_LEAD = "We broke some: open the files of the test machine."
_FACTORS = 12
_APART = (("kind of test", False), ("construction and kind", True))


class Page:
    """Widgets of the page and how they follow the session.

    Parameters
    ----------
    session : BenchSession
        State of the page.
    query : str
        Query string the page was opened with.
    """

    def __init__(self, session: BenchSession, query: str = "") -> None:
        self.session, self._pushing, self._drawn = session, False, None
        self.keeper = Keeper("bench", session.job, self._take, query, session)
        self._make_bar()
        self._make_rooms()
        self.out = BenchOut(lambda: session.words)
        self._make_box()
        session.observe(guard(session, lambda _: self.show()), names=("seen", "refused"))
        session.observe(guard(session, self._status_changed), names="status")
        self.show()

    # ---- making
    def _make_bar(self) -> None:
        session = self.session
        self.head = widgets.HTML()
        self.units = widgets.Dropdown(
            options=[(name, key) for key, name in SYSTEMS.items()], description="units"
        )
        self.units.observe(guard(session, self._units_changed), names="value")
        self.status = html("tc-status")
        self.bar = box([*self.keeper.parts, self.units], "tc-row", "tc-jobbar")
        self.upload = widgets.FileUpload(
            accept=".csv,.txt,.tsv,.dat,.asc,.log,.xlsx,.xlsm", multiple=True,
            description="open test files", icon="",
        )  # fmt: skip
        self.upload.add_class("tc-uptests")
        self.upload.tooltip = _LIMITS
        self.upload.observe(guard(session, self._uploaded), names="value")
        what = "four tubes of 10 x 8 mm in four kinds of test, all invented"
        self.demo = button("open the invented set", self._open_demo, session, what)
        self.refused = html()
        self.lead = widgets.HTML(f'<p class="tc-benlead">{_LEAD}</p>')
        self.start = widgets.HTML(start_html())
        self.by_hand = button("tested by hand", lambda: session.change(section="hand"), session,
                              "plucked, one reading, a hung line, loads of a column")  # fmt: skip
        limits = widgets.HTML(f'<p class="tc-note">{_LIMITS}</p>')
        self.top = box([self.upload, self.demo, self.by_hand, limits], "tc-row", "tc-bentop")
        self.sections = widgets.ToggleButtons(options=[(w, k) for k, w in SECTIONS.items()])
        self.sections.observe(guard(session, self._section_changed), names="value")

    def _make_rooms(self) -> None:
        session = self.session
        self.tests, self.picture, self.layer = html(), html(), html("tc-benlayer")
        self.figures, self.notes, self.understood, self.bow = html(), html(), html(), html()
        self.form, self.reading = TestForm(session), ReadForm(session)
        stack = box([self.picture, self.layer], "tc-benstack")
        middle = box([self.reading.asking, stack, self.figures, self.notes, self.bow,
                      self.understood, self.reading.box], "tc-benmid")  # fmt: skip
        one = box([box([self.tests], "tc-benlist"), middle, box([self.form.box], "tc-benright")],
                  "tc-benone", "tc-benroom")  # fmt: skip
        self.law = widgets.Dropdown(options=list(LAWS), description="law of the basis values")
        self.batches, self.hand = BatchForm(session), HandRoom(session)
        self.law.observe(guard(session, self._law_changed), names="value")
        self.factors = [widgets.ToggleButton() for _ in range(_FACTORS)]
        self._keys: list[tuple[str, str]] = []
        for n, factor in enumerate(self.factors):
            factor.add_class("tc-chip")
            factor.observe(guard(session, self._switched(n)), names="value")
        self.apart = widgets.Dropdown(options=_APART, description="curves together by")
        self.apart.observe(guard(session, self._apart_changed), names="value")
        self.all, self.group, self.promise, self.weight = html(), html(), html(), html()
        self.on, self.offers = html("tc-on"), html()
        factors = box([self.offers, box(self.factors, "tc-factors"), self.on], "tc-bencol")
        self.rooms = {
            "test": one,
            "all": box([box([self.apart], "tc-row"), self.all], "tc-benroom"),
            "group": box(
                [box([self.law, *self.batches.box.children], "tc-row"), self.group], "tc-benroom"
            ),
            "promise": box([self.promise, factors], "tc-benroom"),
            "weight": box([self.weight], "tc-benroom"),
            "hand": self.hand.box,
        }

    def _make_box(self) -> None:
        self.bus = widgets.Text(continuous_update=False)
        self.bus.add_class("tc-bus")
        self.bus.observe(guard(self.session, self._heard), names="value")
        self.style = widgets.HTML()
        self.tabs = box([self.sections], "tc-tabs")
        self.box = framed(
            [self.style, self.head],
            [self.bar, self.lead, self.top, self.status, self.refused, self.start, self.tabs,
             *self.rooms.values(), self.out.box],
            [widgets.HTML(text.foot_html()), self.bus, self.keeper.hidden], "We broke some",
        )  # fmt: skip

    # ---- listening
    def _uploaded(self, change: Any) -> None:
        if not change["new"]:
            return
        files = [(str(f["name"]), bytes(f["content"])) for f in change["new"]]
        self.upload.value = ()
        self.session.add(files)

    def _open_demo(self) -> None:
        found = demo()
        self.session.add(list(found.files), found.told)

    def _section_changed(self, change: Any) -> None:
        if not self._pushing and change["new"]:
            self.session.change(section=change["new"])

    def _law_changed(self, change: Any) -> None:
        if not self._pushing:
            self.session.change(law=change["new"])

    def _apart_changed(self, change: Any) -> None:
        if not self._pushing:
            self.session.change(apart=change["new"])

    def _units_changed(self, change: Any) -> None:
        if not self._pushing:
            self.session.change(job=replace(self.session.choice.job, units=change["new"]))

    def _switched(self, n: int) -> Any:
        def switched(change: Any) -> None:
            if self._pushing or n >= len(self._keys):
                return
            key, on = self._keys[n], self.session.choice.on
            self.session.change(on=on | {key} if change["new"] else on - {key})

        return switched

    def _heard(self, change: Any) -> None:
        parts = str(change["new"]).split("|")
        if len(parts) < 3:
            return
        kind, word = parts[1], parts[2]
        if kind == "pick" and word[:1] == "t" and word[1:].isdigit():
            place = int(word[1:6])
            if place < len(self.session.choice.entries):
                self.session.change(chosen=place)
        elif kind == "view" and word.isdigit():
            self.session.change(width=max(300, min(1400, int(word[:6]))))
        elif kind == "mark" and len(parts) == 4 and parts[3][:12].replace(".", "", 1).isdecimal():
            self.move(word, float(parts[3][:12]))
        elif kind == "toobig":
            self.session.status = (
                f"{word[:80]} is too large for the page: {_LIMITS[:1].lower()}{_LIMITS[1:]}"
            )

    def move(self, field: str, px: float) -> None:
        """Move a mark to a place of the picture.

        Parameters
        ----------
        field : str
            "origin", "linear_from", "linear_to" or "peak_at".
        px : float
            Place [px].
        """
        seen = self.seen
        if seen is None or seen.result is None or seen.curve is None:
            return
        choice = self.session.choice
        style = self.session.words.style(seen.entry.get("wall_of"))
        _, axes, curve = one_picture(seen, style, choice.job.units, width=choice.width)
        torsion = is_torsion(seen)
        unit = "deg" if torsion else "mm"
        texts = {field: moved(axes, curve, px, torsion=torsion, field=field)}
        if field in ("linear_from", "linear_to"):
            places = {m.key: m.x for m in seen.result.marks}
            for other in ("linear_from", "linear_to"):
                key = other.replace("_", "-")
                if other != field and not seen.entry.get(other) and key in places:
                    texts[other] = f"{places[key]:.5g} {unit}"
        elif field not in ("origin", "peak_at"):
            return
        self.session.put(texts)

    def _take(self, job: Job, _: str) -> list[str]:
        """Show another job; files that are here stay here."""
        choice, refused = choice_of(job)
        before = self.session.choice
        here = {e.digest for e in choice.entries}
        files = tuple(f for f in before.files if f.digest in here)
        self.session.refused = {}
        self.session.choice = replace(choice, files=files, width=before.width)
        return refused

    # ---- showing
    @property
    def seen(self) -> Seen | None:
        """The test that is shown."""
        choice = self.session.choice
        if choice.entry is None:
            return None
        seen: Seen = self.session.words.summary.tests[choice.chosen]
        return seen

    def show(self) -> None:
        """Show the session as it stands."""
        session = self.session
        choice, words = session.choice, session.words
        none = choice.entry is None
        put(self.style, text.style_html(words.styles) + f"<style>{CSS}</style>")
        self._pushing = True
        try:
            self.units.value = choice.job.units
            self.sections.value = choice.section
            self.law.value = choice.law
            self.apart.value = choice.apart
        finally:
            self._pushing = False
        put(self.refused, view.refused_html(session.refused))
        hand = choice.section == "hand"
        for part in (self.lead, self.start):
            mark(part, "tc-gone", not none or hand)
        mark(self.tabs, "tc-gone", none)
        mark(self.out.box, "tc-gone", none and not (hand and words.by_hand() is not None))
        for key, room in self.rooms.items():
            mark(room, "tc-gone", key != choice.section or (none and not hand))
        if not none or hand:
            getattr(self, f"_show_{choice.section}")(choice)
        self.keeper.publish()
        link = "" if choice.entries else write_job(session.job())
        put(self.head, text.head_html("bench", view.own_units(choice), link,
                                      long=too_long(link)))  # fmt: skip

    def _show_test(self, choice: BenchChoice) -> None:
        words, seen = self.session.words, self.seen
        if seen is None:
            return
        put(self.tests, view.shelf_html(words, choice.chosen))
        picture, layer = view.curve_html(words, seen, choice.width)
        put(self.picture, picture)
        put(self.layer, layer)
        put(self.figures, view.figures_html(seen, choice.job.units))
        put(self.bow, view.bow_html(words, seen, choice.width))
        put(self.notes, view.notes_html(words, choice.chosen))
        put(self.understood, view.understood_html(seen))
        self.form.show()
        self.reading.show(seen.curve)

    def _show_all(self, choice: BenchChoice) -> None:
        put(self.all, view.all_html(self.session.words, min(choice.width, 680),
                                    apart=choice.apart))  # fmt: skip

    def _show_group(self, _: BenchChoice) -> None:
        put(self.group, view.group_html(self.session.words))

    def _show_hand(self, _: BenchChoice) -> None:
        self.hand.show()

    def _show_weight(self, choice: BenchChoice) -> None:
        put(self.weight, view.weight_html(self.session.words, choice.width))

    def _show_promise(self, choice: BenchChoice) -> None:
        words = self.session.words
        put(self.promise, view.promise_html(words, choice.width))
        calibration, offered = words.calibration, []
        for factor in calibration.factors:
            try:
                calibration.switched(factor.construction, factor.check)
            except InputError:
                continue
            offered.append(factor)
        self._keys = [(f.construction, f.check) for f in offered[:_FACTORS]]
        put(self.offers, view.offers_html(len(offered)))
        self._pushing = True
        try:
            for n, button_ in enumerate(self.factors):
                mark(button_, "tc-gone", n >= len(self._keys))
                if n < len(self._keys):
                    f = offered[n]
                    button_.description = f"{words.name(f.construction)}, {f.label}: × {f.low:.2f}"
                    button_.value = self._keys[n] in calibration.on
        finally:
            self._pushing = False
        effect = view.effect_html(words)
        put(self.on, effect)
        mark(self.on, "tc-gone", not effect)

    def _status_changed(self, change: Any) -> None:
        put(self.status, f'<span role="status">{view.plain(change["new"])}</span>')


def open_page(query: str = "") -> Page:
    """Open the page with a link.

    Parameters
    ----------
    query : str
        Query string of the link.

    Returns
    -------
    Page
        The page, which says what in the link could not be used.
    """
    job, _, refused = read_job(query)
    choice, more = choice_of(job if job is not None else Job())
    session = BenchSession(choice)
    page = Page(session, query)
    session.status = " ".join([*refused, *more])
    return page


def main() -> widgets.Widget:
    """Show the page; the notebook's one call.

    Returns
    -------
    ipywidgets.Widget
        The page.
    """
    return open_page(os.environ.get("QUERY_STRING", "")).box


__all__ = ["LARGEST", "Page", "main", "open_page"]
