// SPDX-License-Identifier: MIT
#include <doewright/report/words.hpp>

#include "html_page.hpp"
#include "owner_words.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

void table_part(HtmlWriter& html, std::string_view title, const OwnerTable& table,
                std::string_view if_none) {
  const auto section = html.in("section");
  html.element("h2", title);
  if (table.rows.empty()) {
    html.element("p", if_none);
  } else {
    html_table(html, "", table.titles, table.rows);
  }
}

/// What the book does not hold is a line to be filled in by hand, never left out.
void blanks(HtmlWriter& html, const OwnerWords& words) {
  const auto section = html.in("section");
  html.element("h2", "Not in the herd book");
  for (const std::string& line : words.not_known) {
    html.element("p", line);
    html.leaf("div", {{"class", "fill-in s-soft"}});
  }
}

}  // namespace

void owner_as_page(Sink& out, const Preamble& preamble, const OwnerWords& words) {
  HtmlSheet sheet = page_sheet();
  sheet.add(R"(.head{padding-top:26px}
.fill-in{height:1.9em;border-bottom:1px solid var(--soft)}
)");
  HtmlWriter html(words.title + ": what his owner is told", sheet);
  {
    const auto page = html.in("main", {{"class", "sheet"}});
    {
      const auto header = html.in("header", {{"class", "head"}});
      html.element("p", {{"class", "t-soft"}}, "Progeny report for the owner of a buck");
      html.element("h1", words.title);
      html.element("p", {{"class", "small"}}, "Records as of " + day_in_words(preamble.as_of));
    }
    const std::string aside = set_aside_words(preamble);
    if (!aside.empty()) html.element("p", aside);
    html.element("p", {{"class", "figure"}}, words.headline);
    html.element("p", words.worst);
    html.element("p", words.dates);
    table_part(html, "Counts", words.counts, "");
    table_part(html, "Kids looked at, fault by fault", words.looks,
               "No kid of his was looked at for a fault.");
    table_part(html, "Doe by doe", words.does, "No doe was put to him in this herd book.");
    blanks(html, words);
    const auto foot = html.in("footer", {{"class", "small"}});
    for (const std::string& note : words.notes) html.element("p", note);
  }
  html.finish(out);
}

}  // namespace doewright
