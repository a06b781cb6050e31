// SPDX-License-Identifier: MIT
#include "page.hpp"

#include <algorithm>

#include <doewright/core/text.hpp>

namespace doewright {

namespace {

std::string without_trailing_blanks(std::string text) {
  while (!text.empty() && text.back() == ' ') text.pop_back();
  return text;
}

}  // namespace

void Page::line(std::string_view text) {
  out_.write(without_trailing_blanks(std::string(text)));
  out_.write("\n");
}

void Page::wrapped(std::string_view text, std::string first, std::size_t hanging, bool bold) {
  std::string current = std::move(first);
  bool has_word = false;
  const auto flush = [&] {
    const std::string clean = without_trailing_blanks(current);
    out_.write(bold && colour_ ? "\x1b[1m" + clean + "\x1b[0m" : clean);
    out_.write("\n");
    current = std::string(hanging, ' ');
    has_word = false;
  };
  std::size_t at = 0;
  while (at < text.size()) {
    std::size_t blank = std::min(text.find(' ', at), text.size());
    if (blank + 1 < text.size() && text[blank + 1] == '%') {  // "6.25 %" stays together
      blank = std::min(text.find(' ', blank + 1), text.size());
    }
    const std::string_view next = text.substr(at, blank - at);
    at = blank + 1;
    if (next.empty()) continue;
    if (has_word && display_width(current) + 1 + display_width(next) > width) flush();
    if (has_word) current += ' ';
    current += next;
    has_word = true;
  }
  if (has_word || !without_trailing_blanks(current).empty()) flush();
}

void Page::paragraph(std::string_view text, std::size_t indent, std::size_t hanging) {
  wrapped(text, std::string(indent, ' '), hanging, false);
}

void Page::labelled(std::string_view label, std::size_t label_width, std::string_view text) {
  wrapped(text, pad_right(label, label_width), label_width, false);
}

void Page::headline(std::string_view text) {
  wrapped(text, "", 0, true);
}

void Page::heading(std::string_view text) {
  blank();
  wrapped(text, "", 2, true);
}

namespace {

/// Where a table is too wide, the widest column of words gives way, a sign at a time. Numbers do not.
void fit_to_page(std::vector<std::size_t>& widths, const std::vector<Page::Column>& columns,
                 std::size_t indent) {
  constexpr std::size_t least = 10;
  std::size_t whole = indent + 2 * (widths.empty() ? 0 : widths.size() - 1);
  for (const std::size_t width : widths) whole += width;
  for (; whole > Page::width; --whole) {
    std::size_t* widest = nullptr;
    for (std::size_t c = 0; c < columns.size(); ++c) {
      if (columns[c].align != Page::Align::left) continue;
      if (widths[c] <= std::max(least, display_width(columns[c].title))) continue;
      if (widest == nullptr || widths[c] > *widest) widest = &widths[c];
    }
    if (widest == nullptr) return;
    --*widest;
  }
}

}  // namespace

void Page::table(const std::vector<Column>& columns,
                 const std::vector<std::vector<std::string>>& rows, std::size_t indent) {
  std::vector<std::size_t> widths;
  for (std::size_t c = 0; c < columns.size(); ++c) {
    std::size_t widest = display_width(columns[c].title);
    for (const auto& row : rows) widest = std::max(widest, display_width(row[c]));
    widths.push_back(std::min(widest, std::max(columns[c].most, display_width(columns[c].title))));
  }
  fit_to_page(widths, columns, indent);
  const auto one = [&](const auto& cell_of) {
    std::string text(indent, ' ');
    for (std::size_t c = 0; c < columns.size(); ++c) {
      const std::string cell = cut_to_width(cell_of(c), widths[c]);
      if (c > 0) text += "  ";
      text +=
          columns[c].align == Align::left ? pad_right(cell, widths[c]) : pad_left(cell, widths[c]);
    }
    return without_trailing_blanks(text);
  };
  const std::string title = one([&](std::size_t c) { return columns[c].title; });
  line(colour_ ? "\x1b[1m" + title + "\x1b[0m" : title);
  for (const auto& row : rows) line(one([&](std::size_t c) { return row[c]; }));
}

}  // namespace doewright
