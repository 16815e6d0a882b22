"""Style of the page `join`, beside that of page `layup`, whose forms it shares."""

from __future__ import annotations

CSS = """
.tc .tc-joinsplit { grid-template-columns: minmax(280px, min(400px, 31vw)) minmax(0, 1fr); }
.tc .tc-joinsplit > * { min-width: 0; }
.tc .tc-joinsplit > :first-child .tc-layform { grid-template-columns: repeat(auto-fill, minmax(132px, 1fr)); }
.tc .tc-joinroom h2 { margin-top: 16px; }
.tc .tc-joinroom .tc-verdict { margin: 4px 0 8px; min-height: 0; }
.tc .tc-verdict.unsure { border-left-style: dashed; border-left-color: var(--tc-warn); }
.tc .tc-joinroom .tc-verdict b.word { font-size: 19px; display: block; }
.tc .tc-joinpic { overflow-x: auto; margin: 6px 0; }
.tc .tc-joinpic svg { min-width: 560px; max-width: 760px; width: 100%; }
.tc .tc-joinpic svg.slim { display: none; min-width: 0; max-width: 420px; }
.tc .tc-joinslide { display: flex !important; flex-flow: row wrap; align-items: center; gap: 4px 12px; max-width: 400px; }
.tc .tc-joinslide > .widget-slider { width: 100%; }
.tc .tc-joinroom dl.tc-specific { max-width: 520px; }
.tc .tc-joinroom .tc-laytwo dl.tc-specific { margin-bottom: 6px; }
.tc ul.tc-mind { margin: 0 0 10px; padding-left: 18px; max-width: 95ch; }
.tc ul.tc-mind li { margin: 3px 0; }
.tc .tc-jointube { padding-bottom: 8px !important; }
.tc .tc-joinused { align-items: center; }
.tc .tc-joinstock { margin: 0; align-items: center; }
.tc .tc-joinput { margin: 4px 0 2px; align-items: center; }
.tc .tc-joinput .tc-field { min-width: 260px; }
.tc .tc-joinjob { display: block !important; margin: 8px 0 4px; }
.tc .tc-joinjob > .widget-html:first-child h2 { margin-top: 0; }
.tc .tc-joinroom .tc-chip { margin-top: 2px; }
.tc .tc-joinroom .tc-row .tc-field, .tc .tc-joinroom .tc-row .widget-dropdown { min-width: 0; max-width: 100%; }
.tc .tc-joinroom .tc-row .widget-dropdown { display: flex; flex-flow: row nowrap; align-items: center; }
.tc .tc-joinroom .tc-row .widget-dropdown select { min-width: 0; max-width: 240px; flex: 0 1 auto; text-overflow: ellipsis; }
.tc .tc-joinroom .tc-row .widget-label { white-space: nowrap; flex: none; }
.tc .tc-jointube select { max-width: min(560px, 88vw) !important; }
@media (max-width: 700px) { .tc .tc-joinroom table.tc-plain td:last-child:not(.n), .tc .tc-joinjob table.tc-plain td:last-child:not(.n) { min-width: 230px; } }
@media (max-width: 700px) { .tc .tc-joinpic svg.broad { display: none; } .tc .tc-joinpic svg.slim { display: block; } }
@media (max-width: 1023px) {
  .tc .tc-joinsplit > :last-child { margin-top: 14px; }
}
@media print { .tc .tc-joinslide { display: none !important; } }
"""  # noqa: E501 - a style sheet
