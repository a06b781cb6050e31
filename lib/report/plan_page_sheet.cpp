// SPDX-License-Identifier: MIT
#include <cmath>

#include "pedigree_forms.hpp"
#include "plan_page.hpp"

namespace doewright {

namespace {

void door_top(HtmlSheet& sheet) {
  sheet.add(R"(.band{margin:0 -40px;width:calc(100% + 80px);height:22px;max-width:none}
.head{padding:22px 0 12px}
h1{font-size:1.9rem;max-width:32em}
.ask{border-left:5px solid var(--ink);padding:.1em 0 .1em 14px;margin:0 0 14px}
.ask h2{font-size:1.05rem}
.short{display:grid;grid-template-columns:repeat(4,1fr);border-top:2px solid var(--ink);border-bottom:1px solid var(--soft)}
.short>div{padding:10px 16px 10px 0;min-width:0}
.short>div+div{border-left:1px solid var(--hair);padding-left:16px}
.short h2{font-size:1rem;font-weight:600;color:var(--soft)}
.uses{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,18rem),1fr));gap:0 30px}
.use{margin-top:10px;border-top:1px solid var(--hair);padding-top:8px;min-width:0}
.use h3{font-size:1.25rem;display:flex;flex-wrap:wrap;gap:.2em .5em;align-items:center;overflow-wrap:anywhere}
.use .tag{font-size:.82rem}
.swatch{width:26px;height:12px;flex:none}
.facts{margin:.3em 0;font-size:.92rem}
.facts>div{display:grid;grid-template-columns:6.6em 1fr;gap:0 12px;padding:.12em 0}
.facts dt{color:var(--soft)}
.facts dd{margin:0;min-width:0}
.beside{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,17rem),1fr));gap:0 30px}
.beside>section{min-width:0}
.beside th{font-weight:400}
.beside td:last-child{padding-right:0}
.paper-only{display:none}
.notes{margin-top:26px;background:var(--wool);padding:14px 20px}
.key{display:flex;flex-wrap:wrap;gap:.35em 1.4em;list-style:none;margin:.8em 0 0;padding:0;color:var(--soft);font-size:.875rem}
.key li{display:flex;align-items:center;gap:.45em}
)");
}

void door_table(HtmlSheet& sheet) {
  sheet.add(R"(.pairs .num{text-align:right;padding-right:1.3em}
.pairs .to .swatch{display:inline-block;margin:0 .5em 0 0}
.pairs tbody th{padding-left:12px;overflow-wrap:anywhere}
.pairs{table-layout:fixed}
.pairs td{overflow-wrap:anywhere}
.pairs thead th{overflow-wrap:normal}
.pairs thead th:nth-child(1),.pairs thead th:nth-child(3),.pairs thead th:nth-child(7){width:13%}
.pairs thead th:nth-child(2){width:8%}
.pairs thead th:nth-child(4),.pairs thead th:nth-child(6){width:7.5%}
.pairs thead th:nth-child(5){width:11%}
.pairs tbody .stitched{background:repeating-linear-gradient(var(--ink) 0 4px,transparent 4px 7px) left/5px 100% no-repeat}
.hatched{background-color:var(--wool);background-image:repeating-linear-gradient(135deg,var(--wool) 0 6px,var(--wool-dark) 6px 9px)}
.pairs .by-hand{display:none}
.said{margin:.6em 0;padding-left:1.9em;font-size:.92rem}
)");
}

void door_calendar(HtmlSheet& sheet, const StripSpan& span) {
  sheet.add(R"(.strip{table-layout:fixed}
.strip th,.strip td{padding-top:.15em;padding-bottom:.15em;vertical-align:middle;overflow-wrap:anywhere}
.strip thead th:first-child{width:21%}
.strip .when{width:45%;padding-left:0;padding-right:14px}
.strip th .swatch{display:inline-block;margin:0 .5em 0 0}
.strip .of-doe th{font-weight:400;padding-left:1.2em}
.strip .of-wish{color:var(--soft)}
.strip .of-doe td,.strip .of-doe th,.strip .of-sire td,.strip .of-sire th{border-bottom-color:transparent}
.strip .of-sire td,.strip .of-sire th{border-top:1px solid var(--hair)}
.lane{width:100%;height:18px;max-width:none}
.heat,.apart,.thin{stroke-width:1;vector-effect:non-scaling-stroke}
.apart{stroke-dasharray:3 2}
.axis{position:relative;height:2.5em}
.month{position:absolute;bottom:0;font-size:.78rem;line-height:1.15;border-left:1px solid var(--soft);padding-left:3px}
.box{display:inline-block;width:1.9em;height:1em}
.edged{border:1px dashed var(--ink)}
.open{border:1px solid var(--ink)}
)");
  std::size_t k = 0;
  for (const Date month : strip_months(span)) {
    sheet.count(".m", k++, "{");
    sheet.count("left:calc(.01%*", static_cast<std::size_t>(std::lround(1e4 * span.share(month))),
                ")}");
  }
}

void door_weeks_sheet(HtmlSheet& sheet) {
  sheet.add(R"(.weeks,.weeks tbody{display:block}
.weeks tr{display:grid;grid-template-columns:7.4em 1fr;align-items:center}
.weeks th,.weeks td{border:0;padding:.1em 0;font-weight:400}
.weeks td{display:flex;align-items:center;gap:.6em}
.count{font-weight:700;min-width:2.4em;text-align:right}
.weeks td>span:nth-child(2){flex:1;display:block}
.pile{display:block;height:14px;background:var(--woad);width:calc(1%*var(--to));min-width:2px}
.pile.hatched{background-color:var(--wool-dark);background-image:repeating-linear-gradient(135deg,var(--woad) 0 3px,var(--wool) 3px 6px);outline:1px solid var(--woad)}
@media screen and (min-width:601px),print{
.upright tbody{display:flex;align-items:flex-end;gap:4px;border-bottom:0}
.upright tr{flex:1 1 0;max-width:64px;min-width:0;display:flex;flex-direction:column-reverse;align-items:stretch}
.upright th{border-top:1.5px solid var(--soft);text-align:center;font-size:.8rem;line-height:1.15;height:3.6em}
.upright th span{display:block}
.upright td{flex-direction:column;gap:2px;align-items:stretch}
.upright td>span:nth-child(2){flex:none}
.upright .count{text-align:center;min-width:0}
.upright .pile{width:auto;height:calc(.8px*var(--to));min-height:2px}
}
)");
  for (std::size_t k = 0; k <= 100; ++k) {
    sheet.count(".h", k, "{");
    sheet.count("--to:", k, "}");
  }
}

void door_phone(HtmlSheet& sheet) {
  sheet.add(R"(@media screen and (max-width:760px){
.band{margin:0 -16px;width:calc(100% + 32px)}
h1{font-size:1.45rem}
.short{grid-template-columns:1fr 1fr}
.short>div,.short>div+div{padding:10px 8px 10px 0;border-left:0}
}
@media screen and (max-width:600px){
.pairs .num{text-align:left}
.pairs tbody th{padding-left:8px;font-size:1.1rem}
.pairs tr{display:grid;grid-template-columns:1fr 1fr;gap:0 10px}
.pairs tbody th,.pairs td:nth-child(8){grid-column:1/-1}
.pairs td{padding-left:12px}
.strip,.strip tbody,.strip thead,.strip tr,.strip th,.strip td{display:block}
.strip thead th:not(.when){display:none}
.strip thead{position:sticky;top:0;background:var(--paper);z-index:1}
.strip .when{width:100%;padding-right:0}
.strip tbody td,.strip tbody th{border:0;padding:.1em 0}
.strip .of-sire th{border-top:1px solid var(--hair);margin-top:.3em}
.strip tr{padding:.3em 0}
}
)");
}

void door_paper(HtmlSheet& sheet) {
  sheet.add(R"(@page{margin:8mm 10mm}
@media print{
html,body{font-size:10.2px}
body{line-height:1.2}
.band{margin:0 0 4px;width:100%;height:8px}
.head{padding:0 0 3px}
.head>p{margin:0}
h1{font-size:1.55em;max-width:none}
.long{break-inside:auto}
section{margin-top:3px}
.ask{margin:0 0 5px;padding:0 0 0 9px}
.ask ul{margin:.1em 0}
.short{display:flex;flex-wrap:wrap;justify-content:space-between;gap:0 1em;border-top-width:1px;padding:2px 0}
.short>div,.short>div+div{padding:0;border:0;display:flex;gap:.4em;align-items:baseline}
.short h2,.short p{font-size:1em;margin:0}
.uses{grid-template-columns:repeat(2,1fr);gap:0 24px}
.use{margin-top:2px;padding-top:2px;break-inside:avoid}
.use h3{font-size:1.15em}
.use .tag,.facts,.said,.key{font-size:1em}
.facts{margin:.1em 0}
.facts>div,.facts dt,.facts dd{display:inline}
.facts dt::after{content:":"}
.facts>div:not(:last-child)::after{content:";"}
.swatch{width:20px;height:8px}
.said{margin:.25em 0;columns:2;column-gap:24px}
.said li{break-inside:avoid}
.pairs .by-hand{display:table-cell;width:10%}
.pairs td.by-hand{border-bottom:1px solid var(--soft)}
.pairs tbody th{padding-left:9px}
.pairs tbody .stitched{background-size:3px 100%}
.pairs th,.pairs td{padding-top:.15em;padding-bottom:.15em;padding-right:.6em;line-height:1.2}
.pairs .num{padding-right:.9em}
.pairs thead th:nth-child(1),.pairs thead th:nth-child(3){width:12%}
.pairs thead th:nth-child(7){width:11%}
.pairs thead th:nth-child(2){width:7%}
.pairs thead th:nth-child(4){width:6%}
.pairs thead th:nth-child(5){width:10%}
.pairs thead th:nth-child(6){width:7%}
.pairs td:last-child{padding-right:0}
.beside{grid-template-columns:1.2fr 1fr 1fr;gap:0 20px}
.beside th,.beside td{padding:.1em .6em .1em 0;line-height:1.2}
h2{break-after:avoid;font-size:1.1em}
.lane{height:10px}
.axis{height:2.2em}
.month{font-size:.95em}
.strip th,.strip td{padding-top:.03em;padding-bottom:.03em;line-height:1.17}
.upright .pile{height:calc(.2px*var(--to))}
.upright tbody{border-bottom:0}
.upright th{font-size:.95em;height:2.5em}
.key{margin:.2em 0 0}
.notes{margin-top:4px;padding:2px 10px;break-inside:avoid}
.notes p{margin:.1em 0}
.paper-only{display:inline}
.worth{margin-top:3px}
.worth h2,.worth p{display:inline;font-size:1em;margin:0}
.worth h2::after{content:": "}
.worth .key{display:none}
}
)");
}

}  // namespace

void add_door_sheet(HtmlSheet& sheet, const StripSpan& span) {
  door_top(sheet);
  door_table(sheet);
  door_calendar(sheet, span);
  door_weeks_sheet(sheet);
  door_phone(sheet);
  door_paper(sheet);
}

}  // namespace doewright
