"""How the job ticket looks: calm, on a light screen, a dark one, and on A4 and Letter paper."""

STYLE = """\
:root { color-scheme: light dark; --ink: #17232b; --soft: #56646c; --line: #c9d1d5; --paper: #fff; --tint: #f2f6f7; --mark: #9a3a1b; }
@media screen and (prefers-color-scheme: dark) {
  :root { --ink: #e6edf0; --soft: #a3b1b8; --line: #3d4a51; --paper: #141b1f; --tint: #1d262b; --mark: #f0916d; }
}
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 2rem 1.2rem 4rem; max-width: 62rem; color: var(--ink); background: var(--paper); font: 15px/1.45 system-ui, "Segoe UI", "Helvetica Neue", Arial, sans-serif; }
h1 { margin: 0; font-size: 1.9rem; font-weight: 600; letter-spacing: .01em; }
h2 { margin: 2rem 0 .5rem; padding-bottom: .2rem; border-bottom: 1px solid var(--line); font-size: 1.1rem; font-weight: 600; }
p { margin: .3rem 0; }
.facts { display: grid; grid-template-columns: repeat(auto-fit, minmax(11rem, 1fr)); gap: .4rem 1.2rem; margin: 1rem 0 0; }
.facts dt { color: var(--soft); font-size: .78rem; }
.facts dd { margin: 0; }
ul { margin: .3rem 0; padding-left: 1.2rem; }
.cautions li, .assumed { color: var(--mark); }
figure { margin: .8rem 0 1.2rem; break-inside: avoid; }
figure svg { display: block; width: 100%; height: auto; background: #fff; }
figcaption { margin-top: .3rem; color: var(--soft); }
table { width: 100%; border-collapse: collapse; font-variant-numeric: tabular-nums; }
caption { text-align: left; color: var(--soft); padding: .2rem 0; }
th { text-align: left; font-weight: 600; font-size: .82rem; color: var(--soft); }
th, td { padding: .25rem .7rem .25rem 0; border-bottom: 1px solid var(--line); vertical-align: top; }
.n { text-align: right; white-space: nowrap; }
.id, .tag { font-family: ui-monospace, "Cascadia Mono", Menlo, Consolas, monospace; font-size: .86em; }
.swatch { display: inline-block; width: .9em; height: .9em; margin-right: .45em; border-radius: 2px; vertical-align: -.08em; print-color-adjust: exact; -webkit-print-color-adjust: exact; }
.box { min-width: 4.2rem; height: 1.9rem; border: 1px solid var(--soft); }
.boxes th { text-align: center; }
thead { display: table-header-group; }
tr { break-inside: avoid; }
.hand { display: grid; grid-template-columns: repeat(3, 1fr); gap: 1.6rem 1.4rem; margin-top: 1.6rem; break-inside: avoid; }
.hand div { border-top: 1px solid var(--soft); padding-top: .2rem; color: var(--soft); font-size: .8rem; }
@page { margin: 14mm 13mm; }
@media print {
  body { padding: 0; max-width: none; font-size: 9.5pt; }
  h1 { font-size: 17pt; } h2 { margin-top: 6mm; break-after: avoid; }
  figure svg { max-height: 100mm; }
  .boxes td, .boxes th { white-space: nowrap; }
  .boxes { font-size: 8.5pt; } .box { min-width: 17mm; height: 7.5mm; }
  section:last-of-type { break-before: page; }
}
"""
