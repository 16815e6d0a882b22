"""Fixed words of the evidence page: its style, the grades of the checks, how to add a row."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape

from tubecalc.checks import CHECKS
from tubecalc.checks.registry import GRADES
from tubecalc.evidence import Row
from tubecalc.evidence.book import VERDICTS, WAITING
from tubecalc.evidence.report import STANDINGS, meaning

CSS = """
.tc .tc-evid { display: grid !important; grid-template-columns: minmax(0, 1fr) 372px; gap: 6px 38px;
  align-items: start; margin-top: 4px; }
.tc .tc-evid > .tc-side { display: block !important; min-width: 0; }
.tc .tc-evid > .tc-chart { grid-area: auto; }
.tc .tc-evid .tc-chart .tc-one { margin: 14px 0 0; }
.tc .tc-lead { font: 19px/1.5 var(--tc-serif); max-width: 92ch; margin: 4px 0 14px; }
.tc .tc-lead b { font-weight: 700; }
.tc .tc-lead .tc-room { visibility: hidden; }
.tc .tc-evid .tc-stack { min-height: 400px; }
.tc .tc-evid .tc-onebox { min-height: 310px; }
.tc .tc-evid + .tc-scroll { min-height: 90vh; }
.tc table.tc-matrix { border-collapse: collapse; font-size: 12.5px; width: 100%; margin: 4px 0 18px;
  font-variant-numeric: tabular-nums; }
.tc table.tc-matrix th { font-weight: 600; text-align: right; padding: 3px 0 5px 7px;
  border-bottom: 1px solid var(--tc-ink); vertical-align: bottom; }
.tc table.tc-matrix th:first-child, .tc table.tc-matrix td:first-child { text-align: left;
  padding-left: 17px; text-indent: -17px; }
.tc table.tc-matrix th:first-child { padding-left: 0; text-indent: 0; }
.tc table.tc-matrix td { text-align: right; padding: 5px 0 5px 7px;
  border-bottom: 1px solid var(--tc-grid); }
.tc table.tc-matrix td.sum { font-weight: 600; }
.tc table.tc-matrix i { display: inline-block; width: 9px; height: 9px; border-radius: 50%;
  box-sizing: border-box; margin-right: 8px; border: 2px solid var(--tc-accent);
  background: var(--tc-accent); }
.tc table.tc-matrix i.k { background: none; border-color: var(--tc-ink); }
.tc table.tc-matrix i.o { background: var(--tc-warn); border-color: var(--tc-warn); }
.tc table.tc-matrix i.s { background: none; border-color: transparent; }
.tc .tc-one { border-left: 4px solid var(--tc-ink); padding: 1px 0 1px 14px; font-size: 13.5px;
  line-height: 1.45; margin: 2px 0 20px; overflow-wrap: anywhere; }
.tc .tc-one h3 { font-size: 16px; line-height: 1.3; margin: 0 0 4px; }
.tc .tc-one dl { display: grid; grid-template-columns: max-content minmax(0, 1fr); gap: 2px 12px;
  margin: 6px 0 0; }
.tc .tc-one dt { color: var(--tc-muted); }
.tc .tc-one dd { margin: 0; }
.tc table.tc-proof { table-layout: auto; }
.tc table.tc-proof td small { color: var(--tc-muted); font-size: 12px; }
.tc table.tc-proof td { vertical-align: top; }
.tc table.tc-proof[role="grid"] tbody tr { cursor: pointer; }
.tc table.tc-proof td.why { min-width: 30ch; color: var(--tc-muted); }
.tc table.tc-proof th:first-child { min-width: 210px; }
.tc table.tc-proof th.n { max-width: 110px; }
.tc table.tc-proof th { vertical-align: baseline; }
.tc table.tc-proof td::before { display: none; content: attr(data-h) " "; color: var(--tc-muted);
  font-size: 12px; }
.tc .tc-jobbar.tc-filters { margin-bottom: 10px; }
.tc .tc-plain { max-width: 92ch; font-size: 14px; line-height: 1.5; margin: 6px 0 20px; }
.tc .tc-plain code { font-size: 13px; overflow-wrap: anywhere; }
.tc .tc-scroll { overflow-x: auto; }
.tc h2.tc-part { margin-top: 30px; }
@media (max-width: 1199px) {
  .tc .tc-evid { grid-template-columns: minmax(0, 1fr) 320px; gap: 6px 26px; }
  .tc table.tc-proof { font-size: 12.5px; }
  .tc table.tc-proof th:first-child { min-width: 150px; }
  .tc table.tc-proof td, .tc table.tc-proof th { padding-left: 5px; padding-right: 5px; }
}
@media (max-width: 899px) {
  .tc .tc-evid { display: flex !important; flex-direction: column; align-items: stretch; }
  .tc .tc-evid .tc-side { min-height: 330px; }
  .tc table.tc-proof th:first-child { min-width: 0; }
  .tc table.tc-proof td.why { min-width: 0; }
}
@media (max-width: 699px) {
  .tc .tc-evid .tc-stack { min-height: 320px; }
  .tc .tc-evid .tc-onebox { min-height: 430px; }
  .tc table.tc-proof, .tc table.tc-proof tbody { display: block; }
  .tc table.tc-proof thead th { display: none; }
  .tc table.tc-proof thead th.show { display: inline-block; border: 0; padding: 0 14px 4px 0; }
  .tc table.tc-proof thead tr { display: block; border-bottom: 1px solid var(--tc-ink); }
  .tc table.tc-proof tr { display: flex; flex-flow: row wrap; gap: 0 16px; padding: 7px 0;
    border-bottom: 1px solid var(--tc-grid); }
  .tc table.tc-proof td { border: 0; padding: 1px 0; text-align: left !important; }
  .tc table.tc-proof td.first, .tc table.tc-proof td.why { flex: 1 0 100%; }
  .tc table.tc-proof td[data-h]::before { display: inline; }
  .tc table.tc-proof tr[aria-selected="true"] { padding-left: 12px; }
}
@media print { .tc .tc-evid { display: block !important; } }
"""

HOW = (
    '<h2 class="tc-part">How to add a row</h2><div class="tc-plain">'
    "<p>Put one line into a file of <code>data/evidence/</code>: "
    "<code>id, topic, quantity, inputs, value, unit, rel_tol, source, standing, assert, note</code>"
    ". "
    "Write the inputs as the source prints them, with units. The tolerance is that of the source "
    "(digits printed, mesh, spread of a test), and the note says which; it is never taken from "
    "our own result. Standing is "
    + ", ".join(f"<code>{s}</code> ({meaning(s)})" for s in STANDINGS)
    + ". Set <code>assert</code> to <code>no</code> for a value nobody should be held to, and say "
    "why.</p><p>A function in <code>tubecalc/evidence/</code> turns the inputs of a family of ids "
    "into a number by calling the library. From then on the row is a test, a line of "
    "<code>tubecalc evidence</code> and a point above. A row without such a function shows as "
    f"“{WAITING}”.</p></div>"
)


def waiting_html(count: int) -> str:
    """The same sentences before the values are computed: what is known, and room for the rest.

    Parameters
    ----------
    count : int
        Values that are being compared [-].

    Returns
    -------
    str
        HTML as long as `tubecalc.app.proof.lead_html`, so that nothing moves when that comes.

    Examples
    --------
    >>> "1271 values" in waiting_html(1271)
    True
    """
    room = "so many agree within the tolerance stated with each, so many lie beyond it, and " * 3
    return (
        f'<p class="tc-lead">{count} values from standards, books, papers, tests and other '
        "programs stand beside what tubecalc computes from the same inputs. "
        f'<span class="tc-room" aria-hidden="true">{room}</span></p>'
    )


def grades_html() -> str:
    """Ways to fail with grade, expected error, range and basis.

    Returns
    -------
    str
        HTML.

    Examples
    --------
    >>> "column buckling" in grades_html()
    True
    """
    grades = "; ".join(f"<b>{g}</b> {escape(t)}" for g, t in GRADES.items())
    lines = "".join(
        f'<tr><td class="first">{escape(c.label)}</td><td data-h="composite">{c.grades[0]}</td>'
        f'<td data-h="metal">{c.grades[1]}</td><td data-h="error">{escape(c.error)}</td>'
        f'<td data-h="holds for">{escape("; ".join(map(str, c.ranges))) or "–"}</td>'
        f'<td class="wide">{escape(c.basis)}</td></tr>'
        for c in CHECKS.values()
    )
    heads = "".join(
        f'<th scope="col" class="{css}">{h}</th>'
        for h, css in (("way to fail", ""), ("composite", ""), ("metal", ""),
                       ("expected error", ""), ("shown to hold for", ""), ("basis", "wide"))
    )  # fmt: skip
    return (
        '<h2 class="tc-part">How far each check can be trusted</h2>'
        f'<p class="tc-note">Grade {grades}. Outside its range a check says so.</p>'
        f'<div class="tc-scroll"><table class="tc-short tc-proof"><thead><tr>{heads}</tr></thead>'
        f"<tbody>{lines}</tbody></table></div>"
    )


def options(rows: Sequence[Row], words: Mapping[str, str]) -> dict[str, list[tuple[str, str]]]:
    """Entries of the filters: topics and standings with their number of rows.

    Parameters
    ----------
    rows : sequence of Row
        All rows; they need not be computed.
    words : mapping
        Filter -> entry that lets everything pass.

    Returns
    -------
    dict of str to list of (text, value)
        For "topic", "standing" and "verdict".
    """
    tally: dict[str, dict[str, int]] = {"topic": {}, "standing": {}}
    for row in rows:
        for name, count in tally.items():
            value = str(getattr(row, name))
            count[value] = count.get(value, 0) + 1
    found = {
        name: [(words[name], "")] + [(f"{k} ({n})", k) for k, n in sorted(count.items())]
        for name, count in tally.items()
    }
    return found | {"verdict": [(words["verdict"], "")] + [(v, v) for v in VERDICTS]}
