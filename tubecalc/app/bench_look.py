"""Style of the page `bench`, beside what every page has."""

from __future__ import annotations

CSS = """
.tc .tc-uptests { font-size: 0 !important; }
.tc .tc-uptests::before { content: "open test files"; font-size: 14px; }
.tc .tc-bentop { padding: 12px 0 4px; align-items: center; }
.tc .tc-bentop .tc-note { margin: 0; }
.tc .tc-benlead { font: 26px/1.4 var(--tc-serif); margin: 16px 0 0; max-width: 60ch; }
.tc .tc-benstart { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(290px, 100%), 1fr)); gap: 10px 44px; max-width: 1240px; margin-top: 14px; }
.tc .tc-bencare { border-left: 4px solid var(--tc-warn); padding: 2px 0 2px 14px; margin: 12px 0 4px; max-width: 84ch; line-height: 1.5; }
.tc .tc-benstart ul { margin: 0 0 10px; padding-left: 18px; line-height: 1.5; max-width: 58ch; } .tc .tc-benstart li { margin-bottom: 4px; }
.tc .tc-tabs { padding: 10px 0 6px; border-bottom: 1px solid var(--tc-rule); margin-bottom: 14px; }
.tc .tc-tabs .widget-toggle-buttons { display: flex; flex-wrap: wrap; width: auto; }
.tc .tc-tabs .widget-toggle-buttons .widget-toggle-button { border-radius: 5px; margin: 0 6px 6px 0; font-size: 14px; padding: 5px 12px; }
.tc .tc-benroom { display: block !important; min-width: 0; }
.tc .tc-benone { display: grid !important; grid-template-columns: 300px minmax(0, 1fr) 330px; gap: 12px 32px; align-items: start; }
.tc .tc-benlist, .tc .tc-benmid, .tc .tc-benright, .tc .tc-bencol, .tc .tc-benread, .tc .tc-asks { display: block !important; min-width: 0; }
.tc .tc-benlist { max-height: 720px; overflow-y: auto; overflow-x: hidden; }
.tc table.tc-tests th:first-child { min-width: 0; }
.tc table.tc-tests td { font-size: 13px; vertical-align: top; overflow-wrap: anywhere; }
.tc table.tc-tests small { display: block; color: var(--tc-muted); font-weight: 400; font-size: 12px; }
.tc .tc-faint { color: var(--tc-muted); }
.tc .tc-benright .tc-for { grid-template-columns: minmax(0, 1fr) minmax(0, 1fr); gap: 2px 14px; padding: 2px 0 8px; }
.tc .tc-benroom .tc-for .widget-dropdown { display: block !important; width: 100% !important; margin: 0; }
.tc .tc-benroom .tc-for .widget-dropdown select { width: 100%; font-size: 13.5px; text-overflow: ellipsis; }
.tc .tc-benroom .tc-for .tc-field { margin-bottom: 4px; min-width: 0; }
.tc .tc-benread .tc-for { grid-template-columns: repeat(auto-fill, minmax(150px, 1fr)); }
.tc .tc-benstack { position: relative; display: block !important; min-width: 0; }
.tc .tc-benstack > .widget-html { line-height: 0; }
.tc .tc-benstack svg { width: 100%; }
.tc .tc-benlayer { position: absolute !important; inset: 0; pointer-events: none; }
.tc .tc-handle { pointer-events: auto; cursor: ew-resize; touch-action: none; }
.tc .tc-handle circle { fill: transparent; }
.tc .tc-handle path { fill: none; stroke: var(--tc-accent); stroke-width: 1.6; }
.tc .tc-handle:hover circle, .tc .tc-handle:focus circle, .tc .tc-handle.moving circle { fill: var(--tc-accent); fill-opacity: .18; }
.tc .tc-handle:focus { outline: none; } .tc .tc-handle:focus circle { stroke: var(--tc-accent); stroke-width: 2; }
.tc .tc-handle line { stroke: var(--tc-accent); stroke-width: 1; stroke-dasharray: 3 3; }
.tc table.tc-figures { border-collapse: collapse; font-size: 13.5px; font-variant-numeric: tabular-nums; margin: 4px 0 10px; }
.tc table.tc-figures th { text-align: left; font-weight: 400; color: var(--tc-muted); padding: 3px 18px 3px 0; }
.tc table.tc-figures td { padding: 3px 18px 3px 0; font-weight: 600; } .tc table.tc-figures td.own { font-weight: 400; color: var(--tc-muted); }
.tc table.tc-figures tr { border-bottom: 1px solid var(--tc-grid); }
.tc ul.tc-understood { margin: 0 0 10px; padding-left: 18px; font-size: 13px; color: var(--tc-muted); columns: 2; column-gap: 36px; overflow-wrap: anywhere; }
.tc ul.tc-understood li { break-inside: avoid; margin-bottom: 3px; }
.tc .tc-ask { display: block !important; border-left: 4px solid var(--tc-warn); padding: 2px 0 6px 12px; margin: 0 0 8px; }
.tc .tc-ask .widget-dropdown { width: 100% !important; max-width: 520px; } .tc .tc-ask select { width: 100%; }
.tc ul.tc-refused { color: var(--tc-warn); overflow-wrap: anywhere; }
.tc .tc-benpics { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(440px, 100%), 1fr)); gap: 18px 36px; margin: 14px 0; align-items: start; }
.tc .tc-benpics > div { min-width: 0; }
.tc .tc-benroom h2 { margin-top: 14px; }
.tc table.tc-benres td { vertical-align: top; } .tc table.tc-benres td:nth-child(4) { min-width: 150px; } .tc table.tc-benres td:nth-child(5) { min-width: 96px; } .tc table.tc-benres td:nth-child(8), .tc table.tc-benres td:nth-child(7) { white-space: normal; min-width: 104px; } .tc table.tc-benres td:nth-child(1) { min-width: 120px; }
.tc .tc-benright h2:first-child { margin-top: 0; }
.tc table.tc-benstat td { max-width: 300px; } .tc table.tc-benstat td:nth-child(7) { min-width: 210px; }
.tc table.tc-benstat td:nth-child(1) { min-width: 190px; } .tc table.tc-benstat td { vertical-align: top; }
.tc .tc-benhand .tc-for { max-width: 1000px; padding: 2px 3px 8px; } .tc .tc-benhand .tc-for .tc-chip { align-self: end; height: 34px !important; margin: 0 0 4px; }
.tc .tc-benhand .tc-cautions { max-width: 80ch; }
.tc .tc-benbatch { margin: 0; } .tc .tc-benbatch .tc-bad-words { color: var(--tc-warn); }
.tc .tc-key { display: inline-flex; gap: 6px; align-items: center; margin-right: 14px; white-space: nowrap; }
.tc .tc-factors { display: flex !important; flex-flow: row wrap; gap: 6px; }
.tc .tc-on { border-left: 4px solid var(--tc-ink); padding: 4px 0 4px 14px; margin: 10px 0; font-weight: 600; }
.tc .tc-benroom > .widget-html { display: block; width: 100%; }
@media (max-width: 1239px) {
  .tc .tc-benone { grid-template-columns: 270px minmax(0, 1fr); }
  .tc .tc-benright { grid-column: 1 / 3; }
  .tc .tc-benright .tc-for { grid-template-columns: repeat(auto-fill, minmax(150px, 1fr)); }
}
@media (max-width: 899px) {
  .tc .tc-benone { display: flex !important; flex-direction: column; align-items: stretch; }
  .tc .tc-benmid { order: 0; } .tc .tc-benright { order: 1; } .tc .tc-benlist { order: -1; max-height: 260px; }
  .tc ul.tc-understood { columns: 1; }
  .tc .tc-benlead { font-size: 21px; }
}
@media print { .tc .tc-bentop, .tc .tc-benlist, .tc .tc-benright, .tc .tc-benread, .tc .tc-handles { display: none !important; } .tc .tc-benone { display: block !important; } }
"""  # noqa: E501 - a style sheet
