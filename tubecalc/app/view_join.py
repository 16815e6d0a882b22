"""Results of page `join` as HTML and pictures. Pure functions; every foreign text is escaped."""

from __future__ import annotations

import math
from collections.abc import Sequence
from html import escape

from tubecalc.app.join_state import JoinChoice
from tubecalc.app.join_work import PoleFound, SlideFound, TubeFound
from tubecalc.app.text import list_html, pairs_html
from tubecalc.app.view_layup import rows_html
from tubecalc.compare import size_words
from tubecalc.joining import fit_words
from tubecalc.joining.fits import WILL_BIND
from tubecalc.joining.job_joints import JointRow
from tubecalc.joining.nested import Pole
from tubecalc.joining.pole_judge import ERROR
from tubecalc.joining.wear import ADVICE, TENTH, Wear
from tubecalc.share.bars import number
from tubecalc.share.fit_picture import fit_picture, pole_picture
from tubecalc.share.scene import Scene, svg
from tubecalc.unit_display import in_unit, show, unit_label
from tubecalc.unit_words import rough, say

FIT_ERROR = {
    "A": "as measured on these tubes",
    "B": "as the stated tolerance",
    "C": "usual tolerances of the trade; measure the tubes",
}
GOOD, BAD, UNSURE = "good", "bad", "unsure"


def capital(text: str, system: str = "SI") -> str:
    """Text with a capital letter and a full stop, said in a display system.

    Parameters
    ----------
    text : str
        Plain text.
    system : str
        Display system.

    Returns
    -------
    str

    Examples
    --------
    >>> capital("it slides")
    'It slides.'
    """
    text = say(text, system).strip().replace(" degC", " °C").replace("+/-", "±")
    return text[:1].upper() + text[1:] + ("" if text[-1:] in ".!?" else ".") if text else ""


def minus(text: str) -> str:
    """Numbers with a true minus sign."""
    return text.replace("-", "\u2212")


def answer_html(word: str, how: str, text: str) -> str:
    """Answer first: a word, and a sentence.

    Parameters
    ----------
    word : str
        For example "Slides.".
    how : str
        `GOOD`, `BAD` or `UNSURE`.
    text : str
        Plain text.

    Returns
    -------
    str
        HTML.

    Examples
    --------
    >>> "&lt;b&gt;" in answer_html("Slides.", GOOD, "<b>")
    True
    """
    css = "tc-verdict" + (" fail" if how == BAD else " unsure" if how == UNSURE else "")
    return f'<div class="{css}"><b class="word">{escape(word)}</b> {escape(text)}</div>'


def about(value: float, kind: str, system: str) -> str:
    """A value to three digits, as far as an estimate goes.

    Parameters
    ----------
    value : float
        [SI].
    kind : str
        Kind of quantity.
    system : str
        Display system.

    Returns
    -------
    str

    Examples
    --------
    >>> about(23939.4, "force", "SI").replace("\u202f", " ")
    '23 900 N'
    """
    if not math.isfinite(value):
        return show(value, kind, system)
    return show(value * (_three(in_unit(value, kind, system)) or 1.0), kind, system)


def _three(shown: float) -> float:
    """Factor that rounds a number to three digits."""
    return float(f"{shown:.3g}") / shown if shown else 1.0


def trust_html(grade: str, error: str) -> str:
    """Grade and expected error in a line."""
    return f'<p class="tc-note">Grade <b>{escape(grade)}</b>; expected error: {escape(error)}.</p>'


def mind_html(items: Sequence[str]) -> str:
    """Cautions as a list."""
    told = [capital(x) for x in items if x]
    return f"<h2>To mind</h2>{list_html(told, 'tc-mind')}" if told else ""


def scene_html(scene: Scene, slim: Scene | None = None) -> str:
    """Picture in a box that scrolls sideways where the screen is small, or has a slim one there."""
    drawn = svg(scene) if slim is None else svg(scene, "broad") + svg(slim, "slim")
    return (
        '<div class="tc-wide tc-joinpic" role="group" tabindex="0" aria-label="picture">'
        f"{drawn}</div>"
    )


def tube_words(found: TubeFound, system: str) -> str:
    """The tube in words.

    Parameters
    ----------
    found : TubeFound
        The tube.
    system : str
        Display system.

    Returns
    -------
    str
        Plain text.
    """
    size = size_words(found.tube, system)
    given = found.candidate.label.strip()
    name = f"{given} ({found.tube.construction.name})" if given else found.tube.construction.name
    wall = show(float(found.tube.sections.t[0]), "length", system)
    return f"{name}, {size}, wall {wall}"


# ---- will it slide ----------------------------------------------------------------------------
def slide_html(found: SlideFound, system: str) -> str:
    """Answer, figures and cautions of a fit."""
    f = found.fit
    good = f.slides or f.verdict == "grips"
    how = GOOD if good else BAD if f.verdict in (WILL_BIND, "breaks a wall", "does not grip") else (
        UNSURE)  # fmt: skip
    why = fit_words.why(f, system)
    html = answer_html(capital(f.verdict), how, capital(why))
    return html + trust_html(f.grade, FIT_ERROR[f.grade])


def slide_figures_html(found: SlideFound, system: str) -> str:
    """Clearance worst and statistical, chance, what to take off, by temperature."""
    f = found.fit

    def length(x: float) -> str:
        return minus(fit_words.length(0.0 if abs(x) < 5e-7 else x, system))

    heads = [("at", False), ("least, worst case", True), ("middle", True), ("most", True),
             ("least, all but 0.14 %", True), ("chance of binding", True)]  # fmt: skip
    rows = [
        [minus(show(x.temperature, "temperature", system)), length(x.free), length(x.middle),
         length(x.most), length(x.low), fit_words.percent(x.chance)]
        if not math.isnan(x.least) else [show(x.temperature, "temperature", system),
                                         *["not known"] * 5]
        for x in f.at
    ]  # fmt: skip
    out = "<h2>Clearance on the diameter, oval and bow counted</h2>" + rows_html(heads, rows)
    t = f.take_off
    if not f.presses and t.most > 0:
        paid = f"{100 * (1 - t.paid.bending):.2g} %" if t.paid else "nothing"
        out += "<h2>What to take off the outside of the inner tube</h2>" + pairs_html(
            [("for middling tubes, on the diameter", length(t.typical), ""),
             ("for the worst pair", length(t.most), ""),
             (f"{t.named} allows", length(2 * t.allowed), ""),
             ("bending stiffness it costs there", paid, "")]
        )  # fmt: skip
    if f.presses:
        out += _press_html(found, system)
    if found.wear is not None:
        w = found.wear
        out += f"<h2>Wear</h2><p>{escape(capital(w.why, system))}</p>" + pairs_html(
            [("opens the clearance by", length(w.opens), ""),
             ("bending stiffness lost, outer tube", f"{100 * (1 - w.outer.bending):.2g} %", ""),
             ("bending stiffness lost, inner tube", f"{100 * (1 - w.inner.bending):.2g} %", ""),
             *_tenth(w, system)]
        ) + trust_html(w.grade, "ten times either way")  # fmt: skip
    return out


def _tenth(w: Wear, system: str) -> list[tuple[str, str, str]]:
    """What a little wear costs, whatever the rate."""
    if w.tenth is None:
        return []
    deep = rough(TENTH, "length", system, 2)
    return [(f"each {deep} off the bore, a side, costs the outer tube",
             f"{100 * w.tenth[0]:.2g} % of EI", ""),
            (f"each {deep} off the outside costs the inner tube",
             f"{100 * w.tenth[1]:.2g} % of EI", ""),
            (f"each {deep} a side opens the clearance by", rough(2 * TENTH, "length", system, 2),
             "")]  # fmt: skip


def _press_html(found: SlideFound, system: str) -> str:
    f = found.fit
    rows = [
        [name, fit_words.length(p.interference, system), show(p.pressure, "pressure", system),
         show(p.hoop_outer, "stress", system), show(p.hoop_inner, "stress", system),
         number(p.reserve) if math.isfinite(p.reserve) else "–"]
        for name, p in zip(("least", "most"), f.presses, strict=True)
    ]  # fmt: skip
    heads = [("press", False), ("interference", True), ("pressure", True), ("hoop, outer", True),
             ("hoop, inner", True), ("reserve of the walls", True)]  # fmt: skip
    return "<h2>Press fit</h2>" + rows_html(heads, rows)


def slide_picture_html(found: SlideFound, system: str) -> str:
    """Both tubes to scale, gap drawn larger as said."""
    return scene_html(*(fit_picture(found.fit, system, slim=slim) for slim in (False, True)))


def slide_mind_html(found: SlideFound, system: str) -> str:
    """Cautions of a fit."""
    worn = ADVICE if found.wear is not None else ()
    return mind_html([*fit_words.cautions(found.fit, system), *worn])


# ---- pole -------------------------------------------------------------------------------------
def pole_html(found: PoleFound, system: str) -> str:
    """Answer of a pole: whether it holds, what governs, how far it droops, whether it binds."""
    judged = found.judged
    if judged.passes:
        word, how = "Holds.", GOOD
    elif judged.reserve >= 1.0:
        word, how = "Holds, but may bind.", UNSURE
    else:
        word = "Droops too far." if judged.governing.label == "droop" else "Fails."
        how = BAD
    return answer_html(word, how, f"Under {found.loads}: {judged.why(system)}.") + trust_html(
        judged.pole.grade, ERROR)  # fmt: skip


def pole_figures_html(p: Pole, system: str) -> str:
    """Sections and joints of a pole."""
    parts = [
        ("droop by the load", show(p.elastic, "length", system), ""),
        ("by its own weight", show(p.by_weight, "length", system), ""),
        ("by the play of the joints", show(p.by_play, "length", system), ""),
        ("by dents of the walls", show(p.by_give, "length", system), ""),
        ("weight of the pole", show(p.mass, "mass", system), ""),
        ("bends as one tube of EI", show(p.stiffness, "bending_stiffness", system), ""),
    ]
    droops = [
        ["middle", show(p.droop, "length", system)],
        ["likely most, one pole in a thousand more", show(p.droop_likely, "length", system)],
        ["loosest, all at once", show(p.droop_most, "length", system)],
    ]
    binds = [[str(n), fit_words.percent(j.fit.chance)] for n, j in enumerate(p.joints, 1)]
    binds.append(["any of them", fit_words.percent(p.chance)])
    tubes = [
        [str(n), size_words(t, system), show(x, "length", system), f"{b:.3g}"]
        for n, (t, x, b) in enumerate(zip(p.tubes, p.lengths, p.bending, strict=True), 1)
    ]
    force = unit_label("force", system)
    joints = [
        [str(n), show(j.overlap, "length", system),
         fit_words.length(j.fit.worst.middle, system), f"{math.degrees(j.play):.2g}°",
         f"{in_unit(abs(j.pair.mouth), 'force', system):.3g}",
         f"{in_unit(abs(j.pair.heel), 'force', system):.3g}", f"{j.reserve:.3g}", j.where]
        for n, j in enumerate(p.joints, 1)
    ]  # fmt: skip
    heads = [("joint", False), ("overlap", True), ("clearance", True), ("play", True),
             (f"at the mouth, {force}", True), (f"at the heel, {force}", True),
             ("reserve", True), ("weakest", False)]  # fmt: skip
    return (
        '<div class="tc-laytwo"><div>' + pairs_html(parts) + "</div><div>"
        + "<h2>Droop, worst case and likely</h2>"
        + rows_html([("clearance of the joints", False), ("droop of the tip", True)], droops)
        + "<h2>Chance of binding</h2>"
        + rows_html([("joint binds", False), ("chance", True)], binds)
        + "</div></div><h2>Sections, from the base</h2>"
        + rows_html([("section", False), ("size", False), ("length", True),
                     ("reserve in bending", True)], tubes)
        + "<h2>Load pair at every joint</h2>" + rows_html(heads, joints)
    )  # fmt: skip


def pole_picture_html(p: Pole, system: str) -> str:
    """The pole, droop drawn larger as said."""
    return scene_html(*(pole_picture(p, system, slim=slim) for slim in (False, True)))


# ---- joints of the job ------------------------------------------------------------------------
def joints_html(rows: Sequence[JointRow], choice: JoinChoice) -> str:
    """Joints of the job with their answers.

    Parameters
    ----------
    rows : sequence of JointRow
        Of the job.
    choice : JoinChoice
        The choice.

    Returns
    -------
    str
        HTML, "" for none.
    """
    if not rows:
        return ""
    names = [c.label.strip() or choice.job.construction(c.wall).name
             for c in choice.job.candidates]  # fmt: skip
    told = []
    for r in rows:
        tube = f"{r.candidate + 1} {names[r.candidate]}" if r.candidate >= 0 else "–"
        ok = "–" if r.passes is None else "✓\u00a0passes" if r.passes else "✗\u00a0fails"
        reserve = "–" if math.isnan(r.reserve) else number(r.reserve)
        grade = r.grade if r.grade in "ABC" else "–"
        told.append([str(r.number + 1), r.name, tube, ok, reserve, grade,
                     capital(r.why, choice.job.units)])  # fmt: skip
    heads = [("no.", False), ("joint", False), ("on tube", False), ("result", False),
             ("reserve", True), ("grade", False), ("why", False)]  # fmt: skip
    return "<h2>Joints of this job</h2>" + rows_html(heads, told)


__all__ = [
    "BAD", "FIT_ERROR", "GOOD", "UNSURE", "about", "answer_html", "capital", "joints_html",
    "mind_html", "pole_figures_html", "pole_html", "pole_picture_html", "scene_html",
    "slide_figures_html", "slide_html", "slide_mind_html", "slide_picture_html", "trust_html",
    "tube_words",
]  # fmt: skip
