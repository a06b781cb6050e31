// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <doewright/core/text.hpp>

#include "page.hpp"
#include "pedigree_forms.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

/// The chart as a tree: the sire's line above each animal, the dam's below.
class TextTree {
 public:
  TextTree(Page& page, const PedigreeReport& report, const PedigreeWords& words)
      : page_(page), report_(report), words_(words) {}

  void draw() { draw("", "", "", "", words_.title); }

 private:
  std::size_t index_of(const std::string& place) const {
    for (std::size_t p = 0; p < words_.cells.size(); ++p) {
      if (words_.cells[p].place == place) return p;
    }
    return words_.cells.size();
  }

  std::string said(const PedigreeCell& cell) const {
    std::string text = cell.name;
    for (const std::size_t m : cell.marks) {
      if (!words_.marks[m].letter.empty()) text += " [" + words_.marks[m].letter + "]";
    }
    if (!cell.detail.empty()) text += (cell.certain ? ", " : " ") + cell.detail;
    if (!cell.found.empty()) text += "; " + cell.found;
    return text;
  }

  void draw_parent(const std::string& place, const std::string& margin, bool sire) {
    const std::size_t p = index_of(place);
    if (p == words_.cells.size()) return;
    const PedigreeCell& cell = words_.cells[p];
    const std::string here = margin + (sire ? "┌─ " : "└─ ");
    if (!cell.recorded) {
      const std::size_t older =
          (std::size_t{2} << (static_cast<std::size_t>(report_.chart_generations) - place.size())) -
          2;
      page_.line(here + cell.name +
                 (older > 0 ? fmt::format(", nor the {} before", older) : std::string()));
      return;
    }
    // A bar goes on beside the half of the older ones that lies towards the kid.
    draw(place, margin + (sire ? "   " : "│  "), margin + (sire ? "│  " : "   "), here, said(cell));
  }

  void draw(const std::string& place, const std::string& above, const std::string& below,
            const std::string& here, const std::string& text) {
    draw_parent(place + "s", above, true);
    page_.line(here + cut_to_width(text, Page::width - display_width(here)));
    draw_parent(place + "d", below, false);
  }

  Page& page_;
  const PedigreeReport& report_;
  const PedigreeWords& words_;
};

void say_list(Page& page, const std::vector<std::string>& lines) {
  for (const std::string& line : lines) page.paragraph("- " + line, 0, 2);
}

/// Rows as a label and what is said of it, title by title.
void say_rows(Page& page, const PedigreeTable& table) {
  for (const auto& row : table.rows) {
    page.line(cut_to_width(row.front(), Page::width));
    for (std::size_t c = 1; c < row.size(); ++c) {
      page.labelled("  " + pad_right(table.titles[c], 16), 18, row[c]);
    }
  }
}

void say_table(Page& page, const PedigreeTable& table) {
  std::vector<Page::Column> columns;
  for (const std::string& title : table.titles) {
    columns.push_back({title, Page::Align::left, columns.empty() ? 28u : 40u});
  }
  page.table(columns, table.rows);
}

void say_marks(Page& page, const PedigreeWords& words) {
  page.heading("What makes the inbreeding");
  for (const PedigreeMark& mark : words.marks) {
    const std::string label = mark.letter.empty() ? "" : "[" + mark.letter + "]";
    page.labelled(pad_right(label, 4), 4,
                  fmt::format("{} adds {}: {}", mark.name, mark.adds, mark.where));
    page.paragraph(mark.how, 4, 6);
  }
  page.paragraph(words.recompute);
}

}  // namespace

void pedigree_as_text(Sink& out, const Preamble& preamble, const PedigreeReport& report,
                      const PedigreeWords& words) {
  Page page(out, preamble.colour);
  page.headline(words.headline);
  page.blank();
  for (const auto& [label, value] : words.facts) {
    page.labelled(pad_right(label, 14), 14, value);
  }
  page.heading("Pedigree: the sire's line above each animal, the dam's below");
  TextTree(page, report, words).draw();
  page.heading("Inbreeding");
  page.paragraph(fmt::format("{}: {}. {}", words.inbreeding, words.closeness, words.rests_on));
  page.paragraph(fmt::format("{} {}", words.known_figure, words.known));
  say_list(page, words.readings);
  if (!words.marks.empty()) say_marks(page, words);
  if (!words.faults.rows.empty()) {
    page.heading("Faults: looked for in this animal");
    say_rows(page, words.faults);
    page.heading("Faults: parents, sibs and kids");
    say_rows(page, words.kin);
  }
  page.heading("Tests");
  if (words.tests.rows.empty()) page.paragraph("None recorded.");
  say_rows(page, words.tests);
  if (!words.records.rows.empty()) {
    page.heading("Records");
    say_rows(page, words.records);
  }
  if (!words.kiddings.rows.empty()) {
    page.heading("Kiddings");
    say_table(page, words.kiddings);
  }
  if (!words.now.empty()) {
    page.heading("Now");
    say_list(page, words.now);
  }
  page.heading("What the seller does not know");
  if (words.not_known.empty()) page.paragraph("Nothing that this report asks for is blank.");
  say_list(page, words.not_known);
  page.heading("Statement");
  for (const std::string& line : words.statement) page.paragraph(line);
  page.blank();
  page.paragraph("Given by: " + (words.seller.empty() ? "not recorded" : words.seller));
  page.paragraph("Signed, date: ______________________________");
  say_inputs(page, preamble);
}

}  // namespace doewright
