// SPDX-License-Identifier: MIT
#include "html_page.hpp"

#include "palette.hpp"

namespace doewright {

namespace {

void type_and_sheet(HtmlSheet& sheet) {
  sheet.add(R"(*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%}
body{margin:0;background:var(--page);color:var(--ink);font:16px/1.45 Seravek,Ubuntu,Calibri,Carlito,"Noto Sans","DejaVu Sans",sans-serif;font-variant-numeric:tabular-nums lining-nums;overflow-wrap:break-word}
svg text{font-family:inherit;fill:var(--ink)}
.sheet{background:var(--paper);max-width:1040px;margin:28px auto;padding:0 40px 30px}
h1,h2,h3,p{margin:0}
h1,h2,h3{line-height:1.14;text-wrap:balance}
h1{font-size:2.7rem;letter-spacing:-.015em}
h2{font-size:1.2rem}
h3{font-size:1rem}
p{margin:.35em 0}
.small{font-size:.875rem}
.figure{font-size:1.9rem;font-weight:700;line-height:1.15}
.tag{display:inline-block;background:var(--weld);color:var(--weld-ink);font-weight:700;padding:.05em .6em;border-radius:.4em .4em .85em .85em;max-width:100%}
section{margin-top:24px}
svg{display:block;max-width:100%;height:auto}
ul{margin:.35em 0;padding-left:1.3em}
.scroll{overflow-x:auto}
[tabindex]:focus-visible,summary:focus-visible{outline:3px solid var(--woad);outline-offset:2px}
summary{cursor:pointer;color:var(--woad);font-weight:600;padding:.35em 0;min-height:24px}
.unseen{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap}
)");
}

void tables(HtmlSheet& sheet) {
  sheet.add(R"(table{border-collapse:collapse;width:100%;font-size:.92rem}
caption{text-align:left;font-weight:700;padding:.2em 0}
th,td{text-align:left;vertical-align:top;padding:.34em .8em .34em 0;border-bottom:1px solid var(--hair)}
thead th{color:var(--soft);font-weight:600;border-bottom:1.5px solid var(--soft)}
tbody th{font-weight:600}
)");
}

void paper(HtmlSheet& sheet) {
  sheet.add(R"(@page{margin:9mm 10mm}
@media print{
body{background:none;font-size:10.5px;line-height:1.34;-webkit-print-color-adjust:exact;print-color-adjust:exact}
html{font-size:10.5px}
.sheet{margin:0;max-width:none;padding:0}
.screen{display:none}
.scroll{overflow:visible}
.small,table{font-size:1em}
section{margin-top:11px}
section,figure,tr,svg{break-inside:avoid}
th,td{padding-top:.2em;padding-bottom:.2em}
p{margin:.22em 0}
}
)");
}

void phone(HtmlSheet& sheet) {
  sheet.add(R"(@media screen and (max-width:760px){
.sheet{margin:0;padding:0 16px 24px}
h1{font-size:2.1rem}
}
@media screen and (max-width:600px){
table.folds,.folds tbody,.folds tr,.folds th,.folds td,.folds caption{display:block}
.folds thead{display:none}
.folds tr{padding:.5em 0;border-bottom:1px solid var(--hair)}
.folds th,.folds td{border:0;padding:.1em 0}
.folds .column{display:inline}
}
@media print{.column{display:none}}
@media screen and (min-width:601px){.column{display:none}}
.column{color:var(--soft)}
)");
}

}  // namespace

HtmlSheet page_sheet() {
  HtmlSheet sheet;
  palette_sheet(sheet);
  type_and_sheet(sheet);
  tables(sheet);
  paper(sheet);
  phone(sheet);
  return sheet;
}

void html_table(HtmlWriter& html, std::string_view caption, const std::vector<std::string>& titles,
                const std::vector<std::vector<std::string>>& rows) {
  // Roles are said outright: a table that folds into cards would lose them.
  const auto table = html.in("table", {{"class", "folds"}, {"role", "table"}});
  if (!caption.empty()) html.element("caption", caption);
  {
    const auto head = html.in("thead", {{"role", "rowgroup"}});
    const auto row = html.in("tr", {{"role", "row"}});
    for (const std::string& title : titles) {
      html.element("th", {{"scope", "col"}, {"role", "columnheader"}}, title);
    }
  }
  const auto body = html.in("tbody", {{"role", "rowgroup"}});
  for (const auto& cells : rows) {
    const auto row = html.in("tr", {{"role", "row"}});
    html.element("th", {{"scope", "row"}, {"role", "rowheader"}}, cells.front());
    for (std::size_t c = 1; c < cells.size(); ++c) {
      const auto cell = html.in("td", {{"role", "cell"}});
      html.element("span", {{"class", "column"}, {"aria-hidden", "true"}}, titles[c] + ": ");
      html.text(cells[c]);
    }
  }
}

}  // namespace doewright
