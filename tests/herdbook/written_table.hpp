// SPDX-License-Identifier: MIT
#pragma once
/// A table written as RFC 4180 allows, in many manners; while writing, the place of every cell is
/// counted. The reader under test has no part in this.
#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <numeric>
#include <random>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace doewright {

using CellRows = std::vector<std::vector<std::string>>;  // the header first

/// How a table is written. Rows may be of any width.
struct Manner {
  char separator = ',';
  std::string line_end = "\n";
  bool byte_order_mark = false;
  bool last_line_end = true;
  std::uint_fast32_t quotes = 0;       // of 4 cells that need none, so many get them
  std::uint_fast32_t blank_lines = 0;  // before 4 rows there are so many
  bool shuffled_columns = false;

  static Manner any(std::mt19937& random) {
    static constexpr std::string_view separators = ",;\t";
    static const std::string ends[] = {"\n", "\r\n", "\r"};
    Manner manner;
    manner.separator = separators[random() % 3];
    manner.line_end = ends[random() % 3];
    manner.byte_order_mark = random() % 2 == 0;
    manner.last_line_end = random() % 2 == 0;
    manner.quotes = random() % 5;
    manner.blank_lines = random() % 3;
    manner.shuffled_columns = random() % 2 == 0;
    return manner;
  }
};

struct WrittenPlace {
  std::uint32_t line = 1, column = 1;
};

struct WrittenTable {
  std::string text;
  std::vector<WrittenPlace> begins;               // of the rows
  std::vector<std::vector<WrittenPlace>> places;  // by row and column as given, whatever the order
};

class TableWriter {
 public:
  TableWriter(const Manner& manner, std::mt19937& random) : manner_(manner), random_(random) {}

  WrittenTable write(const CellRows& rows) {
    std::vector<std::size_t> order(rows.front().size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    if (manner_.shuffled_columns) std::shuffle(order.begin(), order.end(), random_);
    if (manner_.byte_order_mark) table_.text += "\xEF\xBB\xBF";
    for (std::size_t r = 0; r < rows.size(); ++r) {
      if (r > 0) put(manner_.line_end);
      if (r > 0 && random_() % 4 < manner_.blank_lines) put(manner_.line_end);
      write_row(rows[r], order);
    }
    if (manner_.last_line_end) put(manner_.line_end);
    return std::move(table_);
  }

 private:
  void write_row(const std::vector<std::string>& row, const std::vector<std::size_t>& order) {
    table_.begins.push_back(at_);
    table_.places.emplace_back(row.size());
    for (std::size_t i = 0; i < row.size(); ++i) {
      if (i > 0) put(std::string(1, manner_.separator));
      const std::size_t column = i < order.size() && order[i] < row.size() ? order[i] : i;
      table_.places.back()[column] = at_;
      put(cell(row[column]));
    }
  }

  std::string cell(const std::string& text) {
    const bool needed = text.find_first_of("\"\r\n") != std::string::npos ||
                        text.find(manner_.separator) != std::string::npos;
    if (!needed && random_() % 4 >= manner_.quotes) return text;
    std::string quoted = "\"";
    for (const char c : text) quoted += c == '"' ? "\"\"" : std::string(1, c);
    return quoted + "\"";
  }

  void put(const std::string& text) {
    for (std::size_t i = 0; i < text.size(); ++i) {
      const bool crlf = text[i] == '\r' && i + 1 < text.size() && text[i + 1] == '\n';
      const bool is_character = (static_cast<unsigned char>(text[i]) & 0xC0) != 0x80;
      if (crlf) continue;
      if (text[i] == '\n' || text[i] == '\r') {
        at_ = {at_.line + 1, 1};
      } else {
        at_.column += is_character;
      }
    }
    table_.text += text;
  }

  const Manner& manner_;
  std::mt19937& random_;
  WrittenTable table_;
  WrittenPlace at_;
};

}  // namespace doewright
