/**
 * The report's look: the pages' paper and ink, set for A4 and Letter. Page numbers and the imprint stand in the page's
 * margin (CSS Paged Media Module Level 3, §4), heads of tables repeat, and no row, drawing or heading is cut in two.
 */
export function printStyle(footer: string, isWide = false): string {
  return `
@page {
  size: A4${isWide ? ' landscape' : ''};
  margin: 16mm 15mm 17mm;
  @bottom-left { content: ${cssString(footer)}; font: 7.5pt "Gill Sans", "Noto Sans", sans-serif; color: #5d5a50; }
  @bottom-right { content: "page " counter(page) " of " counter(pages); font: 7.5pt "Gill Sans", "Noto Sans", sans-serif; color: #5d5a50; }
}
:root { --ink: #20242b; --muted: #5d5a50; --rule: #cdc4ae; --paper: #ffffff; --oxide: #9c3a1a;
  --serif: "Iowan Old Style", "Palatino Linotype", Palatino, P052, "URW Palladio L", Georgia, serif;
  --sans: "Gill Sans Nova", "Gill Sans", "Gill Sans MT", Candara, "Noto Sans", "Nimbus Sans", Arial, sans-serif; }
* { box-sizing: border-box; }
html { background: #e7dfca; }
body { margin: 1.5rem auto; padding: 2.5rem 3rem; max-width: ${isWide ? 74 : 52}rem; background: #fff; color: var(--ink);
  font: 10.5pt/1.45 var(--sans); font-variant-numeric: tabular-nums lining-nums; }
h1, h2, h3, .lead { font-family: var(--serif); }
h1 { font-size: 24pt; line-height: 1.1; margin: 0; color: var(--oxide); font-weight: 600; }
h2 { font-size: 15pt; margin: 1.6rem 0 .5rem; padding-top: .5rem; border-top: 1.5pt solid var(--oxide); font-weight: 600; break-after: avoid; }
h3 { font-size: 11.5pt; margin: 0; font-weight: 600; }
p { margin: .5rem 0; orphans: 3; widows: 3; }
.subtitle { font-size: 13pt; color: var(--muted); margin: .25rem 0 1rem; }
.lead { font-size: 11.5pt; max-width: 44rem; }
table + p { break-before: avoid; }
section > p:has(+ table) { break-after: avoid; }
.caution { border-left: 3pt solid var(--oxide); padding: .4rem .8rem; background: #fbf3ea; break-inside: avoid; }
.absent { color: var(--muted); font-style: italic; }
code { font-family: ui-monospace, "Cascadia Mono", Menlo, Consolas, monospace; font-size: .92em; }
.imprint { display: flex; flex-wrap: wrap; gap: .3rem 2rem; margin: 1rem 0; font-size: 9pt; }
.imprint dt, .figures dt { color: var(--muted); font-size: 8.5pt; }
dd { margin: 0; }
nav ol { display: flex; flex-wrap: wrap; gap: .1rem 1.2rem; padding: 0; list-style: none; counter-reset: s; font-size: 9.5pt; }
nav li { counter-increment: s; }
nav li::before { content: counter(s) ". "; color: var(--muted); }
nav a { color: inherit; }
.figures { display: grid; grid-template-columns: repeat(auto-fit, minmax(9.5rem, 1fr)); gap: .5rem 1.5rem; margin: .7rem 0; break-inside: avoid; }
.figures div { border-top: .75pt solid var(--rule); padding-top: .3rem; }
.figures b { font: 600 15pt var(--serif); display: block; }
.figures span { font-size: 8.5pt; color: var(--muted); }
figure { margin: 1rem 0; break-inside: avoid; }
figure p { color: var(--muted); font-size: 9pt; margin: .15rem 0 .5rem; }
figure svg { max-width: 100%; height: auto; }
.pair { display: grid; grid-template-columns: 1fr 1fr; gap: .3rem 1.4rem; }
.pair figure { margin: .6rem 0; }
.pair h3 { font-size: 9.5pt; }
table { border-collapse: collapse; width: 100%; margin: .9rem 0; font-size: 8.8pt; }
caption { text-align: left; font-family: var(--serif); font-weight: 600; font-size: 10.5pt; padding-bottom: .3rem; break-after: avoid; }
table.together { break-inside: avoid; }
table.narrow { width: auto; min-width: 55%; }
thead { display: table-header-group; }
th { vertical-align: bottom; font-weight: 600; color: var(--muted); font-size: 8pt; border-bottom: .75pt solid var(--ink); padding: .2rem .4rem; }
td { vertical-align: top; border-bottom: .4pt solid var(--rule); padding: .14rem .4rem; overflow-wrap: break-word; }
td.short { white-space: nowrap; }
td.r, th.r { text-align: right; white-space: nowrap; overflow-wrap: normal; }
th.r { white-space: normal; }
td.l, th.l { text-align: left; }
tr { break-inside: avoid; }
.total td { border-top: .75pt solid var(--ink); border-bottom: 0; font-weight: 600; }
.terms { columns: 2; column-gap: 2rem; font-size: 9pt; line-height: 1.35; }
.terms div { break-inside: avoid; margin: 0 0 .6rem; }
.new-page { break-before: page; }
.sign { display: grid; grid-template-columns: 1fr 1fr; gap: 1.5rem 3rem; margin-top: 2rem; break-inside: avoid; }
.sign p { font-weight: 600; margin-bottom: 1.6rem; }
.sign span { display: block; border-top: .75pt solid var(--ink); color: var(--muted); font-size: 8.5pt; margin-top: 1.8rem; }
.terms dt { font-weight: 600; }
body > footer { margin-top: 2rem; border-top: .75pt solid var(--rule); color: var(--muted); font-size: 8.5pt; }
@media print {
  html { background: none; }
  body { margin: 0; padding: 0; max-width: none; font-size: 9.5pt; }
  body > footer { display: none; }
  a { text-decoration: none; }
}
@media (max-width: 40rem) { body { padding: 1rem; margin: 0; } .terms { columns: 1; } .pair, .sign { grid-template-columns: 1fr; } table { display: block; overflow-x: auto; } }
`
}

/** A CSS string that cannot close its rule, nor the style element around it. */
function cssString(text: string): string {
  return `"${text.replace(/[\\"<>\n\r\f]/g, (letter) => `\\${letter.codePointAt(0)!.toString(16)} `)}"`
}
