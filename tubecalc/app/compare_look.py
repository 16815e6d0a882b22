"""Style of the page `compare`, beside what every page has."""

from __future__ import annotations

CSS = """
.tc .tc-cands { display: block !important; margin: 6px 0 14px; }
.tc .tc-cand { display: grid !important; grid-template-columns: 60px minmax(150px, 210px) repeat(3, 86px) 102px minmax(110px, 200px) minmax(90px, 170px) 112px auto; gap: 4px 10px; align-items: start; padding: 5px 0; border-bottom: 1px solid var(--tc-grid); max-width: 100%; }
.tc .tc-cand .jupyter-button { width: auto !important; justify-self: start; font-size: 13px; padding: 5px 10px; }
.tc .tc-cand .tc-field { display: block !important; width: 100%; }
.tc .tc-cand .widget-text, .tc .tc-cand .widget-dropdown { display: block !important; width: 100% !important; }
.tc .tc-cand .widget-label { display: block; font-size: 12px; height: auto; line-height: 1.3; text-align: left !important; white-space: nowrap; }
@media (min-width: 1240px) {
  .tc .tc-cand:not(:first-child) .widget-label { position: absolute; width: 1px !important; height: 1px; overflow: hidden; clip-path: inset(50%); }
  .tc .tc-cand:not(:first-child) .tc-tag { padding-top: 4px; }
  .tc .tc-cand:not(:first-child) .jupyter-button { margin-top: 0; }
}
.tc .tc-cand input[type="text"], .tc .tc-cand select { width: 100%; font-size: 13.5px; }
.tc .tc-cand .tc-tag { padding-top: 20px; font-weight: 700; font-size: 16px; }
.tc .tc-cand .tc-tag svg { display: inline-block; vertical-align: -2px; margin-left: 8px; }
.tc .tc-cand .jupyter-button { margin-top: 17px; }
.tc .tc-side2 { display: grid !important; grid-template-columns: minmax(0, 1fr) 380px; gap: 8px 36px; align-items: start; border-top: 1px solid var(--tc-rule); padding-top: 14px; }
.tc .tc-side2 > .widget-box { display: block !important; min-width: 0; }
.tc .tc-side2 .tc-walls svg { margin-top: 10px; }
.tc .tc-kinds { margin-bottom: 8px; }
.tc .tc-said h3 { font-size: 15px; margin: 14px 0 2px; }
.tc .tc-said ul { margin: 0 0 6px; padding-left: 18px; font-size: 13.5px; }
.tc .tc-said li { margin-bottom: 3px; }
.tc .tc-fine { color: var(--tc-muted); font-size: 12.5px; max-width: 78ch; }
.tc .tc-eqs { display: block !important; }
.tc .tc-adds { padding: 0 0 12px; }
.tc .tc-cmpleft details { margin: 4px 0 14px; }
.tc .tc-equal { display: block !important; margin-top: 18px; border-top: 1px solid var(--tc-rule); padding-top: 12px; }
.tc .tc-equal .widget-dropdown { width: 100% !important; margin-bottom: 6px; }
.tc .tc-equal .widget-dropdown select { width: 100%; }
.tc .tc-eqrow { display: block !important; padding: 7px 0; border-top: 1px solid var(--tc-grid); font-size: 13.5px; }
.tc .tc-eqrow .jupyter-button { min-height: 28px; font-size: 13px; padding: 2px 10px; margin-top: 4px; }
.tc .tc-eqrow p { margin: 0; }
.tc .tc-wide { overflow-x: auto; }
.tc .tc-tabled { margin-top: 20px; }
.tc table.tc-cmp { border-collapse: collapse; width: 100%; font-size: 13.5px; font-variant-numeric: tabular-nums; }
.tc table.tc-cmp th, .tc table.tc-cmp td { text-align: left; padding: 6px 10px 6px 0; vertical-align: top; border-bottom: 1px solid var(--tc-grid); }
.tc table.tc-cmp thead th { border-bottom: 1px solid var(--tc-ink); min-width: 120px; font-weight: 600; }
.tc table.tc-cmp thead th svg { margin: 0 0 4px; }
.tc table.tc-cmp small { display: block; font-weight: 400; color: var(--tc-muted); font-size: 12.5px; line-height: 1.35; }
.tc table.tc-cmp tbody th { font-weight: 400; color: var(--tc-ink); min-width: 150px; }
.tc table.tc-cmp tr.grp th { font-weight: 700; padding-top: 14px; border-bottom-color: var(--tc-rule); }
.tc table.tc-cmp td b { font-weight: 700; }
.tc table.tc-cmp .fails { color: var(--tc-warn); }
.tc table.tc-cmp td .rate { display: inline-block; min-width: 3.2em; font-weight: 700; }
@media (min-width: 900px) { .tc table.tc-cmp { table-layout: fixed; } .tc table.tc-cmp thead td { width: 200px; } }
@media (max-width: 1199px) {
  .tc .tc-side2 { grid-template-columns: minmax(0, 1fr) 330px; gap: 8px 26px; }
}
@media (min-width: 900px) and (max-width: 1239px) {
  .tc .tc-cand { grid-template-columns: 60px minmax(160px, 220px) repeat(4, minmax(84px, 104px)) auto; }
  .tc .tc-cand > :nth-child(7) { grid-column: 2; }
  .tc .tc-cand > :nth-child(8) { grid-column: 3 / 5; }
  .tc .tc-cand > :nth-child(9) { grid-column: 5 / 7; justify-self: start; }
  .tc .tc-cand > :nth-child(10) { grid-column: 7; }
}
@media (max-width: 899px) {
  .tc .tc-side2 { display: block !important; }
  .tc .tc-cand { grid-template-columns: 28px 1fr 1fr 1fr; width: 100%; padding: 10px 0; }
  .tc .tc-cand > :nth-child(2) { grid-column: 2 / 5; }
  .tc .tc-cand > :nth-child(3), .tc .tc-cand > :nth-child(6), .tc .tc-cand > :nth-child(8) { grid-column: 2; }
  .tc .tc-cand > :nth-child(7), .tc .tc-cand > :nth-child(9) { grid-column: 3 / 5; }
  .tc .tc-cand > :nth-child(8) { grid-column: 2 / 5; }
  .tc .tc-cand > :nth-child(9) { grid-column: 2 / 4; justify-self: start; }
  .tc .tc-cand > :nth-child(10) { grid-column: 4; justify-self: end; }
  .tc .tc-cand .tc-tag svg { display: none; }
  .tc table.tc-cmp thead th, .tc table.tc-cmp tbody th { min-width: 104px; }
  .tc table.tc-cmp tbody th { position: sticky; left: 0; background: var(--tc-paper); max-width: 128px; }
  .tc .tc-kinds .widget-toggle-buttons { display: flex; flex-wrap: wrap; }
}
@media print { .tc .tc-cands, .tc .tc-equal .widget-dropdown, .tc .tc-eqrow .jupyter-button, .tc .tc-kinds { display: none !important; } .tc .tc-side2 { grid-template-columns: minmax(0, 1fr) 62mm; } }
"""  # noqa: E501 - a style sheet
