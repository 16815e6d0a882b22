"""Tables and fine print of a customer page as HTML."""

from __future__ import annotations

import math

from tubecalc.checks.registry import GRADES
from tubecalc.share.bars import number
from tubecalc.share.job_chart import least
from tubecalc.share.page_parts import section, style_of, swatch_of
from tubecalc.share.page_reasons import assumed, bases, beside, cautions, checks, helps, origins
from tubecalc.share.page_text import SYSTEMS, Said, clean, esc, foreign, items, leaf, paragraphs
from tubecalc.share.page_verdict import Told, governing
from tubecalc.unit_display import show, unit_label

_UNITS = {"SI": "mm, N, kg", "workshop": "mm, kgf, g", "inch": "inch, lbf, lb"}


def _head(said: Said, own: str, sorts: str = "number", css: str = "n") -> str:
    inner = leaf("span", said, own)
    at = f' class="{css}"' if css else ""
    return f'<th scope="col"{at} data-sorts="{sorts}">{inner}</th>'


def _cell(said: Said, own: str, value: float | str, css: str = "n") -> str:
    shown = value if isinstance(value, str) else (f"{value:.6g}" if math.isfinite(value) else "")
    at = f' class="{css}"' if css else ""
    return leaf("td", said, own, f'{at} data-v="{esc(shown)}"')


def _plain(value: float, kind: str) -> Said:
    """Number without its unit, which stands in the head."""
    return lambda s: show(value, kind, s).removesuffix(f" {unit_label(kind, s)}")


def _per(kind: str, name: str) -> Said:
    return lambda s: f"{name}, {unit_label(kind, s)}"


def _bar(share: float) -> str:
    width = max(2, round(70 * share))
    return (
        f'<svg width="{width}" height="10" viewBox="0 0 {width} 10" aria-hidden="true">'
        f'<rect width="{width}" height="10" fill="var(--tc-shade)"/></svg>'
    )


def _number(number_: int) -> str:
    """Number of a tube, as in the chart."""
    return f'<span class="num">{number_}</span>'


def _tube_row(told: Told, number_: int, n: int, priced: bool) -> str:
    j, own = told.judged, told.job.units
    s, c = j.tubes[n].sections, told.job.candidates[n]
    outer, t, mass = 2 * float(s.ro[0]), float(s.t[0]), float(j.mass[n])
    note = f'<span class="remark">{foreign(c.note.strip())}</span>' if c.note.strip() else ""
    name = (
        f'<th scope="row" data-v="{number_:03d}"><span class="name">{swatch_of(style_of(told, n))}'
        f"{_number(number_)}<span>{foreign(told.label(n))}{note}</span></span></th>"
    )
    stiff = float(j.candidates.sections.EI[n])
    wall_, bend = (
        _cell(_plain(t, "length"), own, t), _cell(_plain(stiff, "bending_stiffness"), own, stiff)
    )  # fmt: skip
    cells = [
        _cell(lambda s: told.size(n, s).rsplit(" ", 1)[0] if float(j.tubes[n].sections.ri[0])
              > 1e-9 else told.size(n, s), own, outer),
        _cell(_plain(mass, "linear_density"), own, mass),
        f'<td class="bar" data-v="{mass:.6g}">{_bar(mass / float(j.mass.max()))}</td>',
    ]  # fmt: skip
    css = "best" if n == j.best else ""
    if j.need.cases:
        v = told.verdict(n)
        row = governing(v)
        value = least(v)
        cells.append(_cell(lambda s: number(value), own, value))
        word = "✓ passes" if v.passes else "✗ fails"
        cells.append(_cell(lambda s: word, own, word, ""))
        label = str(row["label"]) if row else "nothing"
        cells.append(_cell(lambda s: label, own, label, "said"))
        grade = ("–" if row["range"] else str(row["grade"])) if row else "–"
        cells.append(_cell(lambda s: grade, own, grade, ""))
        css = css if v.passes else f"{css} fails".strip()
    cells += [wall_, bend]
    if priced:
        price = c.price
        text = "–" if math.isnan(price) else f"{price:,.2f}".replace(",", "\u202f")
        cells.append(_cell(lambda s: text, own, price))
    at = f' class="{css}"' if css else ""
    return f"<tr{at}>{name}{''.join(cells)}</tr>"


def table(told: Told) -> str:
    """Tubes side by side: sortable with the script, readable without.

    Parameters
    ----------
    told : Told
        The job.

    Returns
    -------
    str
        HTML.
    """
    own, j = told.job.units, told.judged
    priced = any(math.isfinite(c.price) for c in told.job.candidates)
    money = clean(told.job.currency.strip())
    heads = [
        _head(lambda s: "tube", own, "text", ""),
        _head(_per("length", "OD × bore"), own), _head(_per("linear_density", "mass"), own),
        '<th scope="col" class="bar"><span class="hide">mass as a bar</span></th>',
    ]  # fmt: skip
    if j.need.cases:
        heads += [_head(lambda s: "reserve", own), _head(lambda s: "result", own, "text", ""),
                  _head(lambda s: "governed by", own, "text", ""),
                  _head(lambda s: "grade", own, "text", "")]  # fmt: skip
    heads += [_head(_per("length", "wall"), own),
              _head(_per("bending_stiffness", "bending stiffness"), own)]  # fmt: skip
    if priced:
        unit = f", {money} per m" if money else " per m"
        heads.append(_head(lambda s: f"price{unit}", own))
    rows = "".join(_tube_row(told, k, n, priced) for k, n in enumerate(told.order, 1))
    choices = "".join(
        f'<label><input type="radio" name="units" value="{s}"'
        f"{' checked' if s == own else ''}>{_UNITS[s]}</label>"
        for s in SYSTEMS
    )
    tools = (
        f'<div class="tools" id="tools" hidden><fieldset><legend>Units</legend>{choices}</fieldset>'
        '<span class="note">A heading sorts its column.</span></div>'
        '<p class="hide" id="said" role="status"></p>'
    )
    caption = '<caption class="hide">Tubes side by side, the recommended first.</caption>'
    body = (
        f'{tools}<div class="scroll" role="group" aria-label="Table of the tubes" tabindex="0">'
        f'<table id="tubes">{caption}<thead><tr>{"".join(heads)}</tr></thead>'
        f"<tbody>{rows}</tbody></table></div>"
    )
    return section("Side by side", body)


# ---- below the table --------------------------------------------------------------------
def others(told: Told) -> str:
    """Every other tube against the one the page tells of.

    Parameters
    ----------
    told : Told
        The job.

    Returns
    -------
    str
        HTML, "" for a single tube.
    """
    own, blocks = told.job.units, ""
    for k, n in enumerate(told.order, 1):
        if n == told.shown or k > 12:
            continue
        names = {s: f"{told.label(n)}, {told.size(n, s)}" for s in SYSTEMS}
        words = {s: " ".join(beside(told, n, s)) for s in SYSTEMS}
        said = leaf("h3", names.__getitem__, own) + leaf("p", words.__getitem__, own)
        mark = f"{swatch_of(style_of(told, n))}{_number(k)}"
        blocks += f'<div class="name">{mark}<div>{said}</div></div>'
    return section(
        "The others, against number 1",
        f'<div class="each">{blocks}</div>' if blocks else "",
    )


def notes(told: Told) -> str:
    """What would help, and what to mind.

    Parameters
    ----------
    told : Told
        The job.

    Returns
    -------
    str
        HTML.
    """
    own = told.job.units
    help_ = section("What would help", items(lambda s: helps(told, s), own, "plain"), "keep")
    return help_ + section("To mind", items(lambda s: cautions(told, s), own, "plain mind"))


def fine(told: Told) -> str:
    """Every check, assumptions, sources and grades.

    Parameters
    ----------
    told : Told
        The job.

    Returns
    -------
    str
        HTML.
    """
    own = told.job.units
    out = ""
    if told.judged.need.cases:
        out = section(f"Every check of tube {told.order.index(told.shown) + 1}",
                       _checks(told), "fine")  # fmt: skip
    out += section("Assumptions",
                    items(lambda s: assumed(told, s), own, "plain"), "fine keep")  # fmt: skip
    grades = [(f"Grade {k}", f"{v[0].upper()}{v[1:]}.") for k, v in GRADES.items()]
    grades.append(("–", "Outside the range in which the check has been shown to hold."))
    graded = grades if told.judged.need.cases else []
    out += section("Grades of evidence", _pairs(graded), "fine keep")
    out += section("What the checks rest on", _pairs(bases(told)), "fine")
    return out + section("Where the values come from", _pairs(origins(told)), "fine")


def _pairs(pairs: list[tuple[str, str]]) -> str:
    body = "".join(f"<div><dt>{esc(a)}</dt><dd>{esc(b)}</dd></div>" for a, b in pairs)
    return f"<dl>{body}</dl>" if body else ""


def _checks(told: Told) -> str:
    own = told.job.units
    every = {s: checks(told, s) for s in SYSTEMS}
    named = len(told.judged.need.cases) > 1
    heads = ("way to fail", "case", "reserve", "grade", "expected error", "reason")
    use = [k for k in range(6) if k != 1 or named]
    at = {k: ' class="n"' if k == 2 else "" for k in use}
    head = "".join(f'<th scope="col"{at[k]}>{heads[k]}</th>' for k in use)
    rows = ""
    for n, row in enumerate(every[own]):
        cells = f'<th scope="row">{esc(row[0])}</th>'
        for k in use[1:]:
            texts = {s: every[s][n][k] for s in SYSTEMS}
            css = f' data-head="{heads[k]}"{at[k]}'
            cells += leaf("td", texts.__getitem__, own, css)
        rows += f"<tr>{cells}</tr>"
    caption = '<caption class="hide">Every check, least reserve first.</caption>'
    return (
        '<div class="scroll" role="group" aria-label="Table of the checks" tabindex="0">'
        f'<table id="checks">{caption}<thead><tr>'
        f"{head}</tr>"
        f"</thead><tbody>{rows}</tbody></table></div>"
    )


def closing(told: Told) -> str:
    """Somebody's last words and name.

    Parameters
    ----------
    told : Told
        The job.

    Returns
    -------
    str
        HTML, "" for nothing.
    """
    text = told.job.text
    out = paragraphs(text.closing)
    if text.author.strip():
        out += f"<p>{foreign(text.author.strip())}</p>"
    return f'<section class="words keep" aria-label="Closing words">{out}</section>' if out else ""


__all__ = ["closing", "fine", "notes", "others", "table"]
