// SPDX-License-Identifier: MIT
#include "pedigree_forms.hpp"

namespace doewright {

void add_pedigree_sheet(HtmlSheet& sheet) {
  add_chart_sheet(sheet);
  sheet.add(
      R"(.band{margin:0 -40px;width:calc(100% + 80px);height:22px;max-width:none}
.head{padding:22px 0 16px;display:grid;grid-template-columns:1fr auto;gap:20px;align-items:end}
.head>div{min-width:0}
.short{display:grid;grid-template-columns:1.2fr 1fr 1fr;border-top:2px solid var(--ink);border-bottom:1px solid var(--soft)}
.short>div{padding:12px 20px 12px 0;min-width:0}
.short>div+div{border-left:1px solid var(--hair);padding-left:20px}
.short h2{font-size:1rem;font-weight:600;color:var(--soft)}
.who{display:grid;grid-template-columns:repeat(auto-fill,minmax(200px,1fr));gap:.3em 1.6em;margin:.9em 0 0}
.who>div{min-width:0}
.who dt{color:var(--soft);font-size:.85rem}
.who dd{margin:0}
.two{display:grid;grid-template-columns:1fr 1fr;gap:0 36px}
.two>section{min-width:0}
.scale{width:330px;margin:.35em 0}
.mark-row{display:grid;grid-template-columns:30px 1fr;gap:8px;margin:.5em 0}
.mark-row>div{min-width:0}
.foot{margin-top:26px;background:var(--wool);padding:16px 20px;display:grid;grid-template-columns:1.6fr 1fr;gap:30px}
.foot>div{min-width:0}
.sign{border-bottom:1px solid var(--ink);height:2.6em}
.key{display:flex;flex-wrap:wrap;gap:.3em 1.4em;list-style:none;margin:.6em 0 0;padding:0;color:var(--soft);font-size:.875rem}
.key li{display:flex;align-items:center;gap:.4em}
@media screen and (max-width:760px){
.head,.short,.two,.foot{grid-template-columns:1fr;gap:10px}
.short>div,.short>div+div{padding:10px 0;border-left:0}
.short>div+div{border-top:1px solid var(--hair)}
.band{margin:0 -16px;width:calc(100% + 32px)}
.chart svg{min-width:860px;max-width:none}
}
@media print{
.band{margin:0 0 6px;width:100%;height:9px}
.head{padding:0 0 6px}
h1{font-size:2.2em}
.short>div{padding-top:6px;padding-bottom:6px}
.figure{font-size:1.7em}
.who{grid-template-columns:repeat(6,1fr);margin-top:5px;gap:.1em 1.2em}
.mark-row{margin:.1em 0}
.mark-row svg{height:18px;width:21px}
.two{gap:0 24px}
.who dt,.key{font-size:1em}
.foot{margin-top:10px;padding:7px 12px;break-inside:avoid}
.scale{width:240px}
.long{break-inside:auto}
}
)");
}

}  // namespace doewright
