#pragma once

#include <string_view>

namespace earbudget::report::html {

/// The look of every page: ink on paper, one column, verdicts by words and by the weight of a bar,
/// colour only besides. Pages print in black and white on A4 and Letter.
inline constexpr std::string_view style_sheet = R"CSS(
:root { --ink: #1c2530; --soft: #4a5663; --line: #b9c1c9; --wash: #f3f1ea;
  --kept: #0a5c5c; --over: #8f2416; --close: #7a4b00; --unknown: #4a3f6b; }
* { box-sizing: border-box; }
html { font-size: 100%; }
body { margin: 0; color: var(--ink); background: #fff; line-height: 1.45;
  font-family: "DejaVu Sans", "Liberation Sans", Arial, sans-serif; }
main, footer { max-width: 60rem; margin: 0 auto; padding: 1rem 1.25rem; }
h1 { font-size: 1.6rem; margin: 0 0 .25rem; overflow-wrap: anywhere; }
h2 { font-size: 1.25rem; margin: 2rem 0 .5rem; border-top: 3px solid var(--ink); padding-top: .5rem;
  overflow-wrap: anywhere; }
h3 { font-size: 1rem; margin: 1.25rem 0 .25rem; }
p, li, td, th, figcaption { overflow-wrap: anywhere; }
p { margin: .35rem 0; }
.soft { color: var(--soft); font-size: .9rem; }
.answers { list-style: none; margin: 1rem 0; padding: 0; }
.answers li { border-left: 1.25rem double var(--kept); padding: .4rem .75rem; margin: .4rem 0;
  background: var(--wash); font-size: 1.1rem; }
.answers li.over { border-left: 1.25rem solid var(--over); font-weight: bold; }
.answers li.close { border-left: 1.25rem dashed var(--close); }
.answers li.unknown { border-left: 1.25rem dotted var(--unknown); }
.word { font-weight: bold; }
.word.within { color: var(--kept); } .word.over { color: var(--over); }
.word.close { color: var(--close); } .word.unknown { color: var(--unknown); }
.wide { overflow-x: auto; }
table { border-collapse: collapse; width: 100%; font-size: .9rem; margin: .5rem 0; }
caption { text-align: left; font-weight: bold; padding: .25rem 0; }
th, td { text-align: left; vertical-align: top; padding: .25rem .5rem;
  border-bottom: 1px solid var(--line); }
th { border-bottom: 2px solid var(--ink); }
tbody th { border-bottom: 1px solid var(--line); font-weight: normal; }
td.n, th.n { text-align: right; white-space: nowrap; font-variant-numeric: tabular-nums; }
figure { margin: .75rem 0; }
figcaption { font-size: .9rem; color: var(--soft); }
svg { max-width: 100%; height: auto; display: block; }
svg text { font-family: "DejaVu Sans", "Liberation Sans", Arial, sans-serif; fill: #1c2530; }
.cautions { border: 2px solid var(--ink); padding: .5rem 1rem; }
.sheet { font-size: 1.35rem; }
.sheet h1 { font-size: 2rem; }
.sheet table { font-size: 1.2rem; }
@media (max-width: 40rem) { main, footer { padding: .75rem; } h1 { font-size: 1.35rem; } }
@media print {
  @page { margin: 16mm 14mm 18mm; }
  body { font-size: 10pt; } main, footer { max-width: none; padding: 0; }
  h2 { break-before: auto; } .person { break-inside: avoid-page; }
  h2, h3, caption { break-after: avoid; } figure, table, .cautions, .answers li { break-inside: avoid; }
  .answers li { background: none; } a { color: inherit; text-decoration: none; }
  .sheet { font-size: 13pt; }
}
)CSS";

}  // namespace earbudget::report::html
