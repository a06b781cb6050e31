// SPDX-License-Identifier: MIT
#pragma once
/// Plain text at 80 columns: paragraphs that wrap, tables that line up, names that are safe to
/// print.
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include <doewright/report/sink.hpp>

namespace doewright {

class Page {
 public:
  static constexpr std::size_t width = 80;

  Page(Sink& out, bool colour) : out_(out), colour_(colour) {}

  /// Wrapped at blanks; the first line begins at `indent`, the next at `hanging`. A word longer
  /// than the line is left whole.
  void paragraph(std::string_view text, std::size_t indent = 0, std::size_t hanging = 0);
  /// As paragraph, after a label of fixed width that stands before the first line only.
  void labelled(std::string_view label, std::size_t label_width, std::string_view text);
  void heading(std::string_view text);  ///< Bold where colour is on; a blank line before it.
  void headline(std::string_view text);
  void blank() { out_.write("\n"); }
  void line(std::string_view text);

  enum class Align { left, right };
  struct Column {
    std::string title;
    Align align = Align::left;
    std::size_t most = 80;  ///< Longer cells are cut with "…".
  };
  /// Columns are as wide as their widest cell, two blanks apart. Where that is wider than the page,
  /// columns of words are cut, the widest first.
  void table(const std::vector<Column>& columns, const std::vector<std::vector<std::string>>& rows,
             std::size_t indent = 0);

 private:
  void wrapped(std::string_view text, std::string first, std::size_t hanging, bool bold);

  Sink& out_;
  bool colour_;
};

}  // namespace doewright
