// SPDX-License-Identifier: MIT
// A row is a grid; what a cell opens to stands below the row, across its whole width.
#include "cells_forms.hpp"
#include "pedigree_forms.hpp"

namespace doewright {

namespace {

constexpr std::size_t columns_on_paper = 8;  ///< More: on paper each doe's cells run on in lines.

void cells_rows(HtmlSheet& sheet, std::size_t columns) {
  sheet.add(R"(.cells,.cells thead,.cells tbody{display:block}
.cells tr{display:grid;gap:0 5px;align-items:stretch;border-bottom:1px solid var(--hair);padding:5px 2px}
.cells th,.cells td{border:0;padding:0;min-width:0}
)");
  sheet.count(".cells tr{grid-template-columns:7.2rem repeat(", columns, ",minmax(6.3rem,1fr))}");
  sheet.add(
      R"(.cells.one tr{grid-template-columns:7.2rem 11rem 15.5rem minmax(9rem,1fr) 3.5rem;gap:0 16px}
)");
  sheet.add("@media screen and (min-width:601px){\n");
  sheet.count(".cells{min-width:calc(7.6rem + ", columns, "*(6.3rem + 5px))}");
  sheet.add(R"(.cells.one{min-width:0}
.cells th[scope=row]{position:sticky;left:0;background:var(--paper);z-index:1}
.cells tbody tr{content-visibility:auto;contain-intrinsic-size:auto 104px}
)");
  // Where a browser lets the opened part leave its cell, the cell stays in its place above it.
  sheet.add(
      "@supports selector(::details-content){.cells td:has(>details),.cells "
      "td>details{display:contents}\n"
      ".cells td>details::details-content{grid-column:1/-1}\n"
      ".cells td>details:not([open])::details-content{display:none}}\n"
      "@supports not selector(::details-content){.cells "
      "td:has(>details[open]){grid-column:1/-1;grid-row:auto}}\n");
  for (std::size_t k = 1; k <= columns + 1; ++k) {
    sheet.count(".cells tr>:nth-child(", k, ")");
    sheet.count(",.cells tr>:nth-child(", k, ")>details>summary");
    sheet.count("{grid-column:", k, ";grid-row:1}");
  }
  sheet.add("}\n");
}

void cells_faces(HtmlSheet& sheet) {
  sheet.add(R"(.cells th{color:var(--ink)}
.cells thead th{align-self:end;color:var(--soft);font-weight:400}
.cells thead tr{border-bottom:1.5px solid var(--soft)}
.cells .name{font-weight:700;color:var(--ink);overflow-wrap:anywhere;display:block}
.cells .what{color:var(--soft);font-weight:400;font-size:.82rem;display:block}
.hold{display:inline-block;border:1.5px solid var(--ink);padding:0 .4em;font-size:.82rem;font-weight:600}
.swatch{width:26px;height:12px;margin-bottom:3px}
.cells .name .swatch{display:inline-block;margin:0 6px 0 0}
.scroll.wide{padding:0 3px}
.cell{list-style:none;color:var(--ink);font-weight:400;padding:4px 6px 5px;border-left:5px solid transparent;line-height:1.25;height:100%;min-width:0;display:flex;flex-wrap:wrap;align-content:flex-start;align-items:center;gap:0 .4em}
.cell>span{flex:0 0 100%;min-width:0}
.cell>.worth{flex:1 0 auto}
.cell>.tag{flex:0 0 auto}
.cell::-webkit-details-marker{display:none}
.cell:hover{background:var(--wool)}
.cell.hatched:hover{background-color:var(--wool)}
.cell .worth{font-size:1.12rem;font-weight:700;white-space:nowrap}
.hatched .worth{font-weight:400}
.cell .kid,.cell .verdict{font-size:.8rem}
.cell .tag{font-size:.78rem;padding:0 .5em}
.bar{display:block;position:relative;height:5px;margin:2px 0 3px}
.bar::before{content:"";position:absolute;top:0;height:100%;left:min(var(--zero),var(--to));width:max(calc(var(--to) - var(--zero)),calc(var(--zero) - var(--to)));background:var(--woad)}
.stitched{border-left:5px dashed var(--ink)}
.head-of{outline:2.5px solid var(--ink);outline-offset:-1px}
.hatched{background-color:var(--wool);background-image:repeating-linear-gradient(135deg,var(--wool) 0 6px,var(--wool-dark) 6px 9px)}
.of{display:none}
details[open]>.cell{box-shadow:inset 0 -4px 0 var(--ink)}
.box{display:inline-block;width:1.9em;height:1.5em;border-left-width:5px}
.key{display:flex;flex-wrap:wrap;gap:.35em 1.4em;list-style:none;margin:.8em 0 0;padding:0;color:var(--soft);font-size:.875rem}
.key li{display:flex;align-items:center;gap:.45em}
)");
}

void cells_accounts(HtmlSheet& sheet) {
  sheet.add(
      R"(.account{border:2px solid var(--ink);padding:10px 16px 14px;margin:6px 0 12px;font-size:.92rem;position:sticky;left:0;width:min(100%,calc(min(100vw,1040px) - 84px));background:var(--paper)}
.account h3{margin:.9em 0 .25em}
.account .scroll{margin-top:.4em}
.pair-two{display:grid;grid-template-columns:1fr 1fr;gap:0 30px}
.pair-two>div{min-width:0}
.parts,.risks{list-style:none;padding:0;margin:.2em 0}
.parts li{display:grid;grid-template-columns:9.2em 1fr 5.4em;gap:10px;align-items:center}
.parts li:last-child{border-top:1px solid var(--soft);font-weight:700}
.step{width:100%;height:10px}
.amount{text-align:right}
.risks li{display:grid;grid-template-columns:13em 200px 1fr;gap:2px 14px;align-items:center;padding:2px 0}
.chance{width:200px;background:linear-gradient(var(--wool-dark),var(--wool-dark)) 50% 50%/188px 4px no-repeat}
.axis .chance{background:none}
.readings{width:240px}
.mean{stroke-width:2}
.tiny{font-size:10.5px}
.paths{width:720px;min-width:600px;margin-top:.5em}
.crest{stroke-width:2.2}
.halo{paint-order:stroke;stroke:var(--paper);stroke-width:4px}
.looked{margin:.3em 0;font-size:.92rem}
.looked>div{display:grid;grid-template-columns:13em 1fr;gap:0 14px;padding:.15em 0}
.looked dt{color:var(--soft)}
.looked dd{margin:0}
.sires{display:grid;grid-template-columns:1fr 1fr;gap:0 30px}
.sire-card{margin-top:14px;border-top:1px solid var(--hair);padding-top:8px;font-size:.92rem;min-width:0}
.lines table{table-layout:fixed}
.lines th:nth-child(1),.lines th:nth-child(3),.lines th:nth-child(5){width:10%}
.lines th:nth-child(2),.lines th:nth-child(6){width:19%}
.sire-card h3{overflow-wrap:anywhere;font-size:1.1rem;display:flex;gap:.5em;align-items:center}
.ask{border-left:5px solid var(--ink);padding:.1em 0 .1em 14px;margin:.9em 0}
.notes{margin-top:26px;background:var(--wool);padding:14px 20px}
.lead{font-size:1.05rem;max-width:46em}
)");
}

void cells_top(HtmlSheet& sheet) {
  sheet.add(R"(.band{margin:0 -40px;width:calc(100% + 80px);height:22px;max-width:none}
.head{padding:22px 0 12px}
h1{font-size:1.9rem;max-width:30em}
.short{display:grid;grid-template-columns:1fr 1fr 1fr;border-top:2px solid var(--ink);border-bottom:1px solid var(--soft)}
.short>div{padding:12px 20px 12px 0;min-width:0}
.short>div+div{border-left:1px solid var(--hair);padding-left:20px}
.short h2{font-size:1rem;font-weight:600;color:var(--soft)}
)");
}

void cells_phone(HtmlSheet& sheet) {
  sheet.add(R"(@media screen and (max-width:760px){
.band{margin:0 -16px;width:calc(100% + 32px)}
h1{font-size:1.45rem}
.short,.sires,.pair-two{grid-template-columns:1fr}
.short>div,.short>div+div{padding:10px 0;border-left:0}
.short>div+div{border-top:1px solid var(--hair)}
.account{width:min(100%,calc(100vw - 36px));padding:8px 10px}
.risks li,.looked>div{grid-template-columns:1fr;padding:5px 0}
.axis span{display:none}
}
@media screen and (max-width:600px){
.scroll.wide{overflow:visible}
.cells thead{display:none}
.cells tr{grid-template-columns:1fr 1fr;gap:6px}
.cells.one tr{grid-template-columns:1fr;gap:4px}
.cells th,.cells.one td{grid-column:1/-1}
.cells .name,.cells .what{display:inline}
.of{display:block;font-weight:600}
.one .of{display:inline;font-weight:400;color:var(--soft)}
.cells td:has(details[open]){grid-column:1/-1}
.cell{border-top:1px solid var(--hair)}
}
)");
}

void cells_paper(HtmlSheet& sheet, std::size_t columns) {
  sheet.add(R"(@media print{
.band{margin:0 0 6px;width:100%;height:9px}
.head{padding:0 0 6px}
h1{font-size:1.8em}
.long{break-inside:auto}
.cells tr{padding:2px 0;gap:0 3px}
.cell{padding:1px 4px 2px;border-left-width:4px}
.cell .worth{font-size:1.15em}
.cell .kid,.cell .verdict,.cell .tag,.cells .what,.hold{font-size:.9em}
.bar{height:4px}
.account{font-size:1em;width:100%;position:static;break-inside:avoid}
.key,.looked,.sire-card,.lead{font-size:1em}
.notes{margin-top:10px;padding:7px 12px}
.short>div{padding-top:6px;padding-bottom:6px}
.figure{font-size:1.7em}
.cells.one tr{grid-template-columns:7.5em 11em 20em 1fr 4.5em}
.cells td>details,.cells td>details:not([open])>summary{height:100%}
.readings{width:200px}
)");
  if (columns <= columns_on_paper) {
    sheet.count(".cells tr{grid-template-columns:7em repeat(", columns, ",minmax(0,1fr))}");
    sheet.add("}\n");
    return;
  }
  sheet.add(R"(.cells thead{display:none}
.cells tr{grid-template-columns:repeat(7,minmax(0,1fr));break-inside:auto}
.cells td{break-inside:avoid}
.cells th{grid-column:1/-1}
.cells .name,.cells .what{display:inline}
.of{display:block;font-weight:600}
}
)");
}

}  // namespace

void add_cells_sheet(HtmlSheet& sheet, const CellsLook& look, std::size_t columns) {
  add_chart_sheet(sheet);
  cells_top(sheet);
  cells_rows(sheet, columns);
  cells_faces(sheet);
  add_value_sheet(sheet, look);
  cells_accounts(sheet);
  cells_phone(sheet);
  cells_paper(sheet, columns);
}

}  // namespace doewright
