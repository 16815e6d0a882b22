"""Style of the page `layup`, beside what every page has."""

from __future__ import annotations

CSS = """
.tc .tc-laytabs { border-bottom: 1px solid var(--tc-rule); padding: 10px 0 6px; margin-bottom: 16px; }
.tc .tc-laytabs .widget-toggle-buttons { display: flex; flex-wrap: wrap; width: auto; gap: 6px; }
.tc .tc-laytabs .widget-toggle-buttons .widget-toggle-button { border-radius: 5px; margin: 0 6px 6px 0; font-size: 14px; padding: 5px 12px; }
.tc .tc-layrooms, .tc .tc-layroom, .tc .tc-laycol { display: block !important; min-width: 0; }
.tc .tc-letters { margin: 0; max-width: 120ch; }
.tc .tc-letters b { color: var(--tc-ink); }
.tc .tc-layown { padding: 6px 0 0; }
.tc .tc-layown .tc-note { margin: 0; }
.tc .tc-laywall { display: grid !important; grid-template-columns: minmax(0, 1fr) 330px 262px; gap: 12px 32px; align-items: start; }
.tc .tc-laytwo { display: grid !important; grid-template-columns: minmax(0, 1fr) minmax(0, 1fr); gap: 12px 40px; align-items: start; }
.tc .tc-laynarrow { grid-template-columns: 340px minmax(0, 1fr); }
.tc .tc-layrows { display: block !important; }
.tc .tc-layrow { display: grid !important; grid-template-columns: 42px minmax(130px, 1fr) 62px 56px 104px auto; gap: 4px 8px; align-items: start; padding: 4px 0; border-bottom: 1px solid var(--tc-grid); }
.tc .tc-layrow .tc-laynum { font-weight: 700; padding-top: 4px; white-space: nowrap; }
.tc .tc-layrow .tc-field { display: block !important; width: 100%; min-width: 0; }
.tc .tc-layrow .widget-text, .tc .tc-layrow .widget-dropdown { display: block !important; width: 100% !important; margin: 0; }
.tc .tc-layrow .widget-label { display: block; font-size: 12px; height: auto; line-height: 1.3; text-align: left !important; white-space: nowrap; overflow: hidden; text-overflow: ellipsis; }
.tc .tc-layrow:not(:first-child) .widget-label { position: absolute; width: 1px !important; height: 1px; overflow: hidden; clip-path: inset(50%); }
.tc .tc-layrow:first-child .tc-laynum { padding-top: 20px; }
.tc .tc-layrow:first-child .tc-layacts { padding-top: 16px; }
.tc .tc-layrow input[type="text"], .tc .tc-layrow select { width: 100%; font-size: 13.5px; padding-left: 6px; }
.tc .tc-layacts { display: flex !important; flex-flow: row nowrap; gap: 3px; }
.tc .tc-layacts .jupyter-button { min-height: 30px; min-width: 28px; padding: 2px 6px; font-size: 12.5px; margin: 0; border-color: var(--tc-rule); }
.tc .tc-layedit > .tc-row { padding: 8px 0 4px; }
.tc .tc-layedit { display: block !important; }
.tc .tc-layagain { border-top: 1px solid var(--tc-grid); padding: 10px 0; margin-top: 8px !important; align-items: flex-end !important; }
.tc .tc-layagain .tc-field, .tc .tc-layroom > .tc-row .tc-field { display: flex !important; flex-flow: row wrap; align-items: center; }
.tc .tc-layagain .widget-text { width: auto !important; } .tc .tc-layagain input[type="text"] { width: 84px; flex: none; }
.tc .tc-layroom > .tc-row .widget-text { width: auto !important; } .tc .tc-layroom > .tc-row input[type="text"] { width: 96px; flex: none; }
.tc .tc-layroom > .tc-row, .tc .tc-laycol > .tc-row { margin: 8px 0; }
.tc .tc-layroom dl.tc-specific { max-width: 360px; }
.tc .tc-letters details { display: inline-block; vertical-align: top; } .tc .tc-letters details > summary { font-size: 12.5px; min-height: 24px; }
.tc .tc-layform { grid-template-columns: repeat(auto-fill, minmax(168px, 1fr)); gap: 2px 18px; max-width: none; padding: 2px 0 8px; }
.tc .tc-layform .widget-dropdown { display: block !important; width: 100% !important; margin: 0; }
.tc .tc-layform .widget-dropdown select { width: 100%; font-size: 13.5px; }
.tc .tc-layform textarea { min-height: 34px; height: 34px; }
.tc .tc-layroom h2 { margin-top: 14px; }
.tc .tc-laycol > .widget-html:first-child h2 { margin-top: 0; }
.tc .tc-seens { display: block !important; }
.tc .tc-seen { display: grid !important; grid-template-columns: repeat(5, minmax(0, 1fr)); gap: 4px 8px; padding: 3px 0; border-bottom: 1px solid var(--tc-grid); }
.tc .tc-seen .tc-field { display: block !important; min-width: 0; }
.tc .tc-seen .widget-text, .tc .tc-seen .widget-dropdown { display: block !important; width: 100% !important; margin: 0; }
.tc .tc-seen .widget-label { display: block; font-size: 12px; height: auto; line-height: 1.3; text-align: left !important; white-space: nowrap; overflow: hidden; text-overflow: ellipsis; }
.tc .tc-seen input[type="text"], .tc .tc-seen select { width: 100%; font-size: 13.5px; }
.tc table.tc-plain tbody tr, .tc table.tc-plain tbody tr:hover { cursor: default; background: none; }
.tc table.tc-plain th:first-child { min-width: 0; }
.tc table.tc-plain td { padding: 5px 8px; vertical-align: top; }
.tc table.tc-plain tr.loud td { font-weight: 700; }
.tc .tc-wide { overflow-x: auto; }
.tc .tc-fine { color: var(--tc-muted); font-size: 12.5px; max-width: 90ch; }
.tc .tc-abds { display: flex; flex-wrap: wrap; gap: 6px 26px; }
.tc .tc-abds h3 { font-size: 13px; margin: 6px 0 2px; }
.tc table.tc-abd { border-collapse: collapse; font-size: 12.5px; font-variant-numeric: tabular-nums; }
.tc table.tc-abd td { padding: 1px 8px 1px 0; text-align: right; }
.tc .tc-span { display: block; position: relative; width: 120px; height: 14px; border-bottom: 1px solid var(--tc-rule); }
.tc .tc-span i { position: absolute; top: 4px; height: 6px; background: var(--tc-shade); opacity: .45; }
.tc .tc-span b { position: absolute; top: 1px; width: 2px; height: 12px; background: var(--tc-ink); }
.tc .tc-progress { display: inline-block; width: 220px; max-width: 60%; height: 9px; border: 1px solid var(--tc-ink); vertical-align: -1px; margin-right: 10px; }
.tc .tc-progress i { display: block; height: 100%; background: var(--tc-ink); }
.tc .tc-laybar { font-size: 13px; min-height: 24px; padding-top: 8px; }
.tc table.shop { border-collapse: collapse; width: 100%; font-size: 13px; font-variant-numeric: tabular-nums; margin: 4px 0 10px; }
.tc table.shop th, .tc table.shop td { text-align: left; padding: 4px 10px 4px 0; border-bottom: 1px solid var(--tc-grid); vertical-align: top; }
.tc table.shop th { font-weight: 600; border-bottom-color: var(--tc-ink); vertical-align: bottom; }
.tc table.shop .n { text-align: right; }
.tc .tc-shoppics { display: grid; grid-template-columns: 310px minmax(0, 1fr); gap: 10px 30px; align-items: start; margin: 8px 0; }
.tc .tc-shop .tc-file { display: none; }
.tc .tc-layroom .tc-verdict { min-height: 0; margin: 8px 0 12px; }
.tc .tc-layroom .tc-stack { margin-bottom: 12px; }
@media (max-width: 1239px) {
  .tc .tc-laywall { grid-template-columns: minmax(0, 1fr) 330px; }
  .tc .tc-laywall > :nth-child(3) { grid-column: 1 / 3; }
  .tc .tc-laywall > :nth-child(3) dl.tc-specific { grid-template-columns: repeat(2, 1fr auto auto); gap: 2px 14px; max-width: 640px; }
}
@media (max-width: 1023px) { .tc .tc-laytwo { display: block !important; } }
@media (max-width: 899px) {
  .tc .tc-laywall { display: block !important; }
  .tc .tc-laynarrow { display: block !important; }
  .tc .tc-laywall svg { margin: 0 auto; }
  .tc .tc-shoppics { display: block; }
  .tc .tc-layrow { grid-template-columns: 38px 1fr 1fr 1.3fr; }
  .tc .tc-layrow > :nth-child(2) { grid-column: 2 / 5; }
  .tc .tc-layrow > :nth-child(3) { grid-column: 2; }
  .tc .tc-layrow > :nth-child(6) { grid-column: 2 / 5; padding-top: 0 !important; }
  .tc .tc-layrow:not(:first-child) > :nth-child(n+3) .widget-label { position: static; width: auto !important; height: auto; clip-path: none; }
  .tc .tc-layacts .jupyter-button { min-width: 44px; }
  .tc .tc-seen { grid-template-columns: repeat(2, minmax(0, 1fr)); padding: 8px 0; }
  .tc .tc-layform { grid-template-columns: repeat(auto-fill, minmax(140px, 1fr)); }
}
@media (max-width: 639px) {
  .tc .tc-laywall > :nth-child(3) dl.tc-specific { grid-template-columns: 1fr auto auto; max-width: 360px; }
}
@media print { .tc .tc-laytabs, .tc .tc-layown, .tc .tc-layacts, .tc .tc-layagain { display: none !important; } }
"""  # noqa: E501 - a style sheet
