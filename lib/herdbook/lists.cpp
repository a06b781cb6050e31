// SPDX-License-Identifier: MIT
#include <doewright/herdbook/lists.hpp>

#include <algorithm>
#include <array>

#include <doewright/core/errors.hpp>
#include <doewright/core/text.hpp>

#include "file_text.hpp"
#include "table_reader.hpp"

namespace doewright {

namespace {

std::string shown(const std::string& path) {
  return path == "-" ? "<stdin>" : printable(path);
}

}  // namespace

std::vector<ListedId> read_id_list(const std::string& path) {
  const FileText file(path);
  std::string_view text = file.text();
  if (!is_utf8(text)) throw UsageError(shown(path) + ": the text is not UTF-8");
  if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
  std::vector<ListedId> list;
  for (std::uint32_t line = 1; !text.empty(); ++line) {
    const std::size_t end = std::min(text.find('\n'), text.size());
    std::string_view id = text.substr(0, end);
    if (id.ends_with('\r')) id.remove_suffix(1);
    id = trimmed(id);
    if (!id.empty()) list.push_back({std::string(id), line});
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return list;
}

std::vector<ListedPair> read_pair_list(const std::string& path) {
  static constexpr std::array<ColumnName, 2> columns = {{{"a", true}, {"b", true}}};
  const FileText file(path);
  Complaints complaints;
  TableReader table(file.text(), shown(path), Table::none, columns, &complaints);
  std::vector<ListedPair> list;
  while (table.next()) {
    const auto a = table.id(0), b = table.id(1);
    if (a && b) list.push_back({std::string(*a), std::string(*b), table.row().line});
  }
  if (complaints.errors() > 0) {
    for (const Problem& problem : std::move(complaints).sorted()) {
      if (problem.severity == Severity::error) throw UsageError(to_text(problem));
    }
  }
  return list;
}

std::string read_text_file(const std::string& path) {
  const FileText file(path);
  return std::string(file.text());
}

}  // namespace doewright
