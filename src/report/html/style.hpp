#pragma once

#include <string_view>

namespace earbudget::report::html {

/// The look of every page: ink on paper, ruled like a notebook, verdicts by words and by the
/// pattern of a bar, colour only besides. Pages print in black and white on A4 and Letter.
inline constexpr std::string_view style_sheet = R"CSS(
:root { color-scheme: light; --ink: #1c2530; --soft: #4a5663; --line: #b9c1c9; --wash: #f4f2ec;
  --kept: #0a5c5c; --over: #8f2416; --close: #7a4b00; --unknown: #4a3f6b; }
* { box-sizing: border-box; }
body { margin: 0; color: var(--ink); background: #fff; line-height: 1.45;
  font-family: "DejaVu Sans", "Liberation Sans", Verdana, Arial, sans-serif; }
header, main, footer, nav { max-width: 76rem; margin: 0 auto; padding: 0 1.25rem; }
header { padding-top: 1.25rem; }
main { padding-bottom: 1rem; }
footer { padding-bottom: 2rem; }
a { color: #0a4a7a; }
.skip { position: absolute; left: -100rem; }
.skip:focus { left: .5rem; top: .5rem; background: #fff; padding: .5rem; z-index: 1; }
.kind { margin: 0; font-weight: bold; border-bottom: 6px double var(--ink); padding-bottom: .25rem; }
h1, h2, h3, p, li, td, th, dd, dt, figcaption, summary, caption { overflow-wrap: anywhere; }
h1 { font-size: 1.7rem; line-height: 1.2; margin: .5rem 0 .25rem; }
h1.long { font-size: 1rem; font-weight: normal; }
h2 { font-size: 1.3rem; margin: 1.75rem 0 .5rem; border-top: 2px solid var(--ink);
  padding-top: .5rem; }
h3 { font-size: 1rem; margin: 1rem 0 .25rem; }
p { margin: .35rem 0; }
.soft { color: var(--soft); font-size: .9rem; }
nav ul { list-style: none; margin: .5rem 0 0; padding: 0; display: flex; flex-wrap: wrap;
  gap: .1rem 1.25rem; }
nav a { display: inline-block; padding: .25rem 0; }
ul.plain { padding-left: 1.1rem; margin: .35rem 0; }
.answers, .key { list-style: none; margin: .75rem 0; padding: 0; }
.answers > li, .answer { position: relative; padding: .4rem .75rem .4rem 2.9rem;
  margin: .4rem 0; background: var(--wash); font-size: 1.15rem; }
.within { --verdict: var(--kept); } .close { --verdict: var(--close); }
.unknown { --verdict: var(--unknown); } .over { --verdict: var(--over); }
.key .over .shape { vertical-align: -.1em; } .key { display: flex; flex-wrap: wrap; gap: .1rem 1.25rem; font-size: .85rem; margin: .25rem 0; }
.shape { display: inline-block; position: relative; width: 1.2em; height: 1.2em; vertical-align: -.25em;
  border: .13em solid; border-radius: 50%; color: var(--verdict); }
.answers .shape, .answer > .shape { position: absolute; left: .9rem; top: .55rem; }
.shape.close::after { content: ""; position: absolute; left: 0; bottom: 0; width: 100%; height: 0;
  border-bottom: .47em solid; border-radius: 0 0 .47em .47em; }
.shape.unknown { border-width: .6em; print-color-adjust: exact; -webkit-print-color-adjust: exact; }
.shape.unknown::after { content: "?"; position: absolute; left: 0; top: 0; transform: translate(-50%, -50%);
  color: #fff; font-weight: bold; font-size: .95em; line-height: 1; }
.shape.over { border-width: .54em; border-radius: 0; width: 0; height: 0; margin: 0 .2em;
  transform: rotate(45deg); }
.answers .shape.over, .answer > .shape.over { top: .67rem; }
.word { font-weight: bold; color: var(--verdict); }
.under { margin: .2rem 0 0; padding-left: 1.1rem; font-size: .95rem; color: var(--ink); }
.more > summary { font-size: 1rem; padding: .25rem 0; }
.care { border: 1px solid var(--ink); padding: .35rem .75rem; margin: .75rem 0; font-size: .9rem; }
.care p { margin: .2rem 0; }
.wide { overflow-x: auto; margin: .6rem 0; background: linear-gradient(to right, #fff 2rem, #fff0) 0 0
    / 4rem 100% no-repeat local, linear-gradient(to left, #fff 2rem, #fff0) 100% 0 / 4rem 100% no-repeat local,
  linear-gradient(to right, #1c253055, #1c253000) 1px 50% / .8rem calc(100% - 4px) no-repeat,
  linear-gradient(to left, #1c253055, #1c253000) calc(100% - 1px) 50% / .8rem calc(100% - 4px) no-repeat; }
.wide:focus-visible, summary:focus-visible, a:focus-visible { outline: 3px solid #0a4a7a; }
table { border-collapse: collapse; width: 100%; font-size: .9rem; }
caption { text-align: left; font-weight: bold; padding: .25rem 0;
  max-width: calc(100vw - 1.5rem); }
th, td { text-align: left; vertical-align: top; padding: .2rem .5rem .2rem 0;
  border-bottom: 1px solid var(--line); overflow-wrap: normal; }
thead th { border-bottom: 2px solid var(--ink); vertical-align: bottom; }
tbody th { font-weight: normal; overflow-wrap: anywhere; min-width: 7.5rem; }
td.n, th.n { text-align: right; font-variant-numeric: tabular-nums; padding-left: .5rem; }
td.n { white-space: nowrap; }
tr.over th, tr.over td { font-weight: bold; } .group td { background: var(--wash); overflow-wrap: anywhere; }
figure { margin: .75rem 0; }
figcaption, summary { font-size: .85rem; color: var(--soft); }
svg { width: 100%; max-width: 26rem; height: auto; display: block; overflow: visible; }
svg .t, svg .s, svg .b, svg .h { font: 12px "DejaVu Sans", "Liberation Sans", Verdana, Arial, sans-serif;
  fill: #1c2530; }
svg .h, svg .b { paint-order: stroke; stroke: #fff; stroke-width: 3px; }
svg .b { font-weight: bold; }
.line { fill: none; stroke: #1c2530; stroke-width: 1.8; }
.fine { stroke: #d9dee3; stroke-width: 1; }
.axis { stroke: #1c2530; stroke-width: 1.5; }
.limit { stroke: #1c2530; stroke-width: 2.5; }
.reached { stroke: #8f2416; stroke-width: 1.5; stroke-dasharray: 2 2; }
.between { stroke: #6a7682; stroke-width: 1; }
.range { stroke: #6a7682; stroke-width: 5; }
.open { fill: #fff; stroke: #1c2530; stroke-width: 1.6; }
.hook { fill: none; stroke: #fff; stroke-width: 1.7; stroke-linecap: round; }
.full { fill: #1c2530; stroke: #fff; stroke-width: .8; }
.share { fill: #0a5c5c; } .runs { fill: #1c2530; }
.rests { fill: #fff; stroke: #1c2530; stroke-width: .5; }
.running { display: none; }
.step { border-left: 2px solid var(--line); padding-left: .75rem; margin: .75rem 0; }
.step p { margin: .15rem 0; }
.formula { font-family: "DejaVu Sans Mono", "Liberation Mono", monospace; font-size: .85rem; }
dl.record { margin: .35rem 0; font-size: .85rem; } dl.record dt { font-weight: bold; }
dl.record dd { margin: 0 0 .35rem 1rem; }
.hash { font-family: "DejaVu Sans Mono", "Liberation Mono", monospace; font-size: .8rem; }
.checks { list-style: none; padding-left: 0; }
@media (min-width: 62rem) {
  .pair { display: grid; grid-template-columns: minmax(0, 1fr) minmax(0, 1fr); column-gap: 2rem;
    align-items: start; }
  .verdict { display: grid; grid-template-columns: minmax(0, 1fr) minmax(0, 1fr);
    column-gap: 2rem; }
  .with-charts { display: grid; grid-template-columns: minmax(0, 17fr) minmax(0, 10fr);
    column-gap: 2rem; }
}
.sheet { font-size: 1.15rem; } .sheet table { font-size: 1rem; } .sheet h2 { margin-top: 1rem; }
.sheet caption { font-weight: normal; } .sheet td { overflow-wrap: anywhere; }
.sheet #people caption, .sheet #writing caption { font-size: 0; padding: 0; } .sheet thead th { overflow-wrap: anywhere; }
.sheet tr.over td { font-weight: normal; } .sheet tr.over td:last-child, .sheet tr.unknown td:last-child { font-weight: bold; }
.sheet.small .call { font-size: 1.1em; }
.check { border: 1px solid var(--line); padding: .2rem .75rem; font-size: .85em; }
.check .hash { font-size: 1.15em; } .metal { border: 3px solid var(--over); padding: .2rem .75rem; }
.write td { border-left: 1px solid var(--line); padding-left: .3rem; height: 2.2rem; }
.call { font-size: 1.3em; border: 3px solid var(--ink); padding: .35rem .75rem; }
@media screen and (max-width: 48rem) {
  th, td { overflow-wrap: anywhere; } tbody th { min-width: 5rem; }
  .fold, .fold table, .fold caption, .fold tbody, .fold tr, .fold tbody th { display: block; }
  .fold thead { display: none; }
  .fold tr { border-top: 2px solid var(--ink); padding: .25rem 0 .5rem; }
  .fold tbody th { font-weight: bold; border: 0; padding-right: 0; text-align: left; }
  .fold td, .fold td.n { display: grid; grid-template-columns: minmax(0, 2fr) minmax(0, 3fr);
    column-gap: .75rem; border: 0; padding: .1rem 0; text-align: left; white-space: normal; height: auto; }
  .fold td::before { content: attr(data-label); color: var(--soft); unicode-bidi: isolate;
    overflow-wrap: anywhere; }
  .fold td > div { border-bottom: 1px solid var(--line); overflow-wrap: anywhere; }
  .write td > div { min-height: 2rem; }
  .fold .group td { display: block; } .fold .group td::before { content: none; }
}
@media (max-width: 40rem) {
  header, main, footer, nav { padding-left: .75rem; padding-right: .75rem; }
  h1 { font-size: 1.35rem; }
}
@media print {
  body { font-size: 8.4pt; line-height: 1.23; }
  header, main, footer, nav { max-width: none; padding: 0; }
  nav, .skip, details:not([open]):not(.more) { display: none; }
  .more::details-content { content-visibility: visible; display: block; height: auto; }
  .more > summary { display: none; } .under { font-size: 8.5pt; margin: 1pt 0 0; }
  @supports not selector(::details-content) {
    .more:not([open]) > summary { display: block; } .more:not([open]) > summary::after {
      content: " (not printed by this browser: unfold it first)"; }
  }
  h1 { font-size: 15pt; } h2 { font-size: 11.5pt; margin: 7pt 0 2pt; padding-top: 3pt; } h3 { font-size: 9pt;
    margin: 3pt 0 0; }
  h2, h3, caption, figcaption { break-after: avoid; } tbody tr:first-child { break-before: avoid; }
  figure, tr, .care, .answers > li, .step { break-inside: avoid; }
  .person { break-inside: avoid; }
  .answers > li, .answer { background: none; font-size: 9.5pt; padding: 1.5pt 6pt 1.5pt 24pt; margin: 1.5pt 0; }
  .answers .shape, .answer > .shape { left: 5pt; top: 2.5pt; }
  .answers .shape.over, .answer > .shape.over { top: 4pt; } .key { font-size: 7.5pt; margin: 2pt 0; }
  table { font-size: 7.5pt; line-height: 1.2; } th, td { padding-top: .5pt; padding-bottom: .5pt; }
  .wide { overflow: visible; margin: 2pt 0; background: none; } tbody th { min-width: 21ch; }
  th, td { padding-right: 4pt; } td.n, th.n { padding-left: 2pt; }
  figure td.n, figure th { white-space: normal; overflow-wrap: anywhere; min-width: 0; }
  figure table { table-layout: fixed; }
  figure { margin: 0 0 2pt; } figcaption { line-height: 1.15; } figcaption, .soft, .care, dl.record { font-size: 7.5pt; }
  dl.record { columns: 2; column-gap: 12pt; } dl.record dd { margin: 0 0 2pt 6pt; }
  dl.record dt, dl.record dd { break-inside: avoid; } dl.record dt { break-after: avoid; }
  dl.terms dt { float: left; margin-right: 4pt; } #criteria, #warnings, #cautions, #record {
    font-size: 7.5pt; line-height: 1.15; }
  #criteria li, #cautions li { margin: 0; } #criteria h2, #record h2, #cautions h2 { font-size: 10pt; }
  .hash { font-size: 6pt; } p { margin: 1.5pt 0; } ul.plain { margin: 1.5pt 0; }
  .running { display: block; font-size: 7pt; margin: -14pt 0 0; float: right; }
  .with-charts { display: grid; grid-template-columns: minmax(0, 22fr) minmax(0, 9fr);
    column-gap: 10pt; }
  .verdict { display: grid; grid-template-columns: minmax(0, 1fr) minmax(0, 1fr);
    column-gap: 10pt; }
  .with-charts ul.plain { font-size: 6.8pt; line-height: 1.12; padding-left: 8pt; }
  .with-charts thead th { font-size: 6.6pt; line-height: 1.05; } .with-charts table { font-size: 7.2pt; }
  .with-charts thead th.n { max-width: 15mm; } .with-charts h3 { display: none; }
  .pair { display: grid; grid-template-columns: minmax(0, 1fr) minmax(0, 1fr); column-gap: 10pt; }
  .lead { display: grid; grid-template-columns: 17mm minmax(0, 1fr); }
  .lead h3 { margin: 1.5pt 0 0; }
  a { color: inherit; text-decoration: none; }
  svg { max-width: 88mm; } .verdict svg { max-width: 66mm; } .with-charts svg { max-width: 45mm; } caption { max-width: none; }
  .sheet { font-size: 9.2pt; line-height: 1.22; } .sheet table { font-size: 8.8pt; } .sheet h1 { font-size: 15pt; }
  .sheet h2 { font-size: 11.5pt; margin: 2.5pt 0 0; padding-top: 1.5pt; }
  .sheet .wide { margin: 1pt 0; } .sheet tbody th { min-width: 10ch; }
  .sheet #runs caption { font-size: 8.5pt; line-height: 1.15; padding: 0; } .sheet .write table { table-layout: fixed; }
  .sheet.small { font-size: 9.2pt; } .sheet.small h1 { font-size: 12pt; margin: 2pt 0; }
  .sheet .kind { font-size: 9pt; padding: 0; border-bottom-width: 4px; } .sheet p.soft { margin: 0; }
  .sheet.small table { font-size: 8.8pt; } .sheet.small h2 { font-size: 10.5pt; } .sheet .soft { font-size: 7.5pt; }
  .sheet .check { font-size: 8.5pt; margin: 1pt 0; } .sheet .metal { padding: 1pt 6pt; border-width: 2pt; }
  .sheet #stop, .sheet #seating, .sheet #writing tr { break-inside: avoid; }
  .write td { height: 6mm; } .sheet .write thead th { font-size: 8.5pt; }
}
)CSS";

}  // namespace earbudget::report::html
