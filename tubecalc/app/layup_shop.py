"""Room of page `layup`: cutting list, cut plan and winding, to read and to take along."""

from __future__ import annotations

import base64
from collections.abc import Callable
from datetime import date
from html import escape
from typing import Any

from tubecalc.app.bits import box, html, mark, put
from tubecalc.app.grammar import Field
from tubecalc.app.layup_form import Form, button, title
from tubecalc.app.layup_rooms import note_of, plain_note
from tubecalc.app.layup_state import LayupSession, Reader
from tubecalc.app.layup_work import ShopFound, WallFound, plan_of, slant_of
from tubecalc.app.outgoing import paper_of
from tubecalc.app.text import download_html
from tubecalc.app.view_layup import letters_words, picture
from tubecalc.errors import InputError
from tubecalc.making import CutPlan
from tubecalc.share.cut_bars import bar_picture
from tubecalc.share.cut_pieces import piece_picture, start_picture
from tubecalc.share.workshop import (
    BARS,
    BUY,
    CUTTING,
    WOUND,
    Shop,
    lines_of,
    table_html,
    workshop_file,
)
from tubecalc.unit_display import show

_FILES = {"html": ("page to print", "text/html"), "csv": ("lists, CSV", "text/csv"),
          "xlsx": ("lists, XLSX", "application/vnd.openxmlformats-officedocument."
                   "spreadsheetml.sheet")}  # fmt: skip


class ShopRoom:
    """Form of the workshop, its lists and pictures, and files of them.

    Parameters
    ----------
    session : LayupSession
        State of the page.
    """

    def __init__(self, session: LayupSession) -> None:
        self.session = session
        self._plan_of: tuple[Any, ...] = ()
        self.form = Form(session, [
            Field("shop.length", "length of a tube", "length"),
            Field("shop.tubes", "how many tubes", "words", "1"),
            Field("shop.overlap", "overlap of an edge", "length", "0 mm"),
            Field("shop.trim", "trim at each end", "length", "0 mm"),
            Field("shop.roll", "width of the roll", "length"),
            Field("shop.waste", "waste", "ratio"),
            Field("shop.bulk", "thickness as rolled over cured", "number"),
            Field("shop.stock", "stock lengths", "words", "2 m, 3 m"),
            Field("shop.kerf", "saw cut", "length", "0 mm"),
            Field("shop.wanted", "lengths wanted", "long", "6 x 450 mm"),
            Field("shop.angle", "winding angle", "angle", "of the wall, or 45 deg"),
            Field("shop.band", "width of the band", "length"),
        ])  # fmt: skip
        self.said, self.saved, self.file = html("tc-used"), html("tc-outsaid"), html("tc-file")
        self.cutting, self.plan, self.wound = html(), html(), html()
        files = [button(words, self._saving(kind), self, "with what stands below")
                 for kind, (words, _) in _FILES.items()]  # fmt: skip
        self.planned = button("plan the cuts", self._plan, session, "takes two seconds at most")
        grid = self.form.grid
        self.box = box(
            [grid("shop.length", "shop.tubes", "shop.overlap", "shop.trim", "shop.roll",
                  "shop.waste", "shop.bulk"), self.said, box(files, "tc-row"), self.saved,
             self.file, self.cutting,
             title("Tubes cut from stock lengths"), grid("shop.wanted", "shop.stock", "shop.kerf"),
             box([self.planned], "tc-row"), self.plan,
             title("Wound instead, at + and − an angle"), grid("shop.angle", "shop.band"),
             self.wound], "tc-layroom", "tc-shop",
        )  # fmt: skip

    # ---- saying, for the files
    @property
    def status(self) -> str:
        """What was said last on the files."""
        return str(self.saved.value)

    @status.setter
    def status(self, words: str) -> None:
        put(self.saved, f'<span role="status">{escape(words)}</span>')

    # ---- listening
    def _key(self) -> tuple[Any, ...]:
        keys = ("shop.wanted", "shop.stock", "shop.kerf", "shop.tubes", "shop.length")
        return tuple(self.session.choice.get(k) for k in keys)

    def _plan(self) -> None:
        session = self.session
        reader = Reader(session.choice)
        made = plan_of(session.choice, reader)
        self._plan_of = self._key()
        if made is not None:
            session.found = {**session.found, "plan": made}
        session.problems = {
            **{k: v for k, v in session.problems.items() if k != "shop.plan"}, **reader.wrong
        }  # fmt: skip
        self.show()

    def _saving(self, kind: str) -> Callable[[], None]:
        def save() -> None:
            name, mime, content = self.write(kind)
            self.file.value = ""
            self.file.value = download_html(name, mime, base64.b64encode(content).decode("ascii"))
            self.status = f"Saved {name}."

        return save

    def write(self, kind: str) -> tuple[str, str, bytes]:
        """Write the lists as they stand.

        Parameters
        ----------
        kind : str
            "html", "csv" or "xlsx".

        Returns
        -------
        tuple of str, str and bytes
            Name, media type, content.

        Raises
        ------
        InputError
            While a field is wrong.
        """
        session = self.session
        wall, got = session.found.get("wall"), session.found.get("shop")
        if session.stale or session.wrong("shop") or wall is None or got is None:
            raise InputError("mend the marked field first: nothing goes out from an old result")
        job = session.choice.job
        plan = session.found.get("plan") if self._plan_of == self._key() else None
        wound = got.wound if slant_of(wall.layup) is not None else None
        shop = Shop(wall.layup.name, lead_of(wall), job.date or date.today().isoformat(),
                    got.cutting, plan, wound)  # fmt: skip
        stem = "".join(c if c.isalnum() else "-" for c in wall.layup.name.lower())[:40].strip("-")
        name = f"tubecalc-{stem or 'wall'}-workshop.{kind}"
        return name, _FILES[kind][1], workshop_file(shop, kind, paper=paper_of(job).paper)

    # ---- showing
    def show(self) -> None:
        """Show the lists as they were made last."""
        session = self.session
        units = session.choice.job.units
        self.form.show()
        wound = plain_note(session.problems.get("shop.wound", ""))
        put(self.said, note_of(session, "shop") or wound)
        got: ShopFound | None = session.found.get("shop")
        wrong = session.stale or session.wrong("shop")
        if got is not None:
            put(self.cutting, cutting_html(got, units))
            table = table_html(WOUND, got.wound.table, system=units)
            put(self.wound, table + lines_of(got.wound.notes, units))
        plan: CutPlan | None = session.found.get("plan")
        words = plain_note(session.problems.get("shop.plan", ""))
        old = plan is not None and self._plan_of != self._key()
        if old:
            words += plain_note("The lengths have changed: plan again.")
        if plan is not None:
            words += (picture(bar_picture(plan)) + table_html(BARS, plan.table, system=units)
                      + lines_of(plan.notes, units))  # fmt: skip
        put(self.plan, words)
        mark(self.plan, "tc-stale", old)
        for widget in (self.cutting, self.wound):
            mark(widget, "tc-stale", wrong)


def lead_of(wall: WallFound) -> str:
    """Stack and sizes in one line."""
    s = wall.tube.sections
    bore, od = (show(2 * float(r[0]), "length") for r in (s.ri, s.ro))
    stack = f"{wall.notation} from the bore outwards, {letters_words(wall)}"
    return f"{stack}; bore {bore}, outside {od}"


def cutting_html(got: ShopFound, system: str) -> str:
    """Cutting list with its pieces unrolled and where they start."""
    c = got.cutting
    low, high = (float(x) * 1e-3 for x in c.od_range.magnitude)
    said = (
        f"Mandrel {show(c.asked.mandrel, 'length', system)}; after cure expect "
        f"{show(float(c.od.magnitude) * 1e-3, 'length', system)} outside, "
        f"{show(low, 'length', system)} to {show(high, 'length', system)}; "
        f"{show(float(c.mass.to('kg').magnitude), 'mass', system)} of prepreg in a tube, "
        f"{show(float(c.mass_to_buy.magnitude), 'mass', system)} to buy."
    )
    return (
        f"<h2>Cutting list, in the order of rolling</h2><p>{escape(said)}</p>"
        '<div class="tc-wide" role="group" tabindex="0">'
        f"{table_html(CUTTING, c.table, system=system)}</div>"
        '<div class="tc-shoppics">'
        f"<div>{picture(start_picture(c))}</div><div>{picture(piece_picture(c))}</div></div>"
        f"<h2>To buy</h2>{table_html(BUY, c.materials, system=system)}{lines_of(c.notes, system)}"
    )


__all__ = ["ShopRoom", "cutting_html", "lead_of"]
