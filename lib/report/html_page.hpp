// SPDX-License-Identifier: MIT
#pragma once
/// What every page has: the sheet, its type and its manners on a phone and on paper.
#include <string>
#include <string_view>
#include <vector>

#include "html_writer.hpp"

namespace doewright {

/// Type, sheet, tables, keys, print and phone: everything but what one kind of page needs alone.
/// Colours come first (palette.hpp), so a page adds its own rules behind.
HtmlSheet page_sheet();

/// A table for people: the first cell of each row is its heading. On a phone each row becomes a
/// card in which every cell says its column, so that nothing scrolls sideways. \pre rows as wide as
/// titles.
void html_table(HtmlWriter& html, std::string_view caption, const std::vector<std::string>& titles,
                const std::vector<std::vector<std::string>>& rows);

}  // namespace doewright
