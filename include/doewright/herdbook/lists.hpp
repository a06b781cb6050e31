// SPDX-License-Identifier: MIT
#pragma once
/// Small lists of ids given beside the herd book: one id a line, or CSV with the columns a and b.
#include <cstdint>
#include <string>
#include <vector>

#include <doewright/export.hpp>

namespace doewright {

struct ListedId {
  std::string id;
  std::uint32_t line = 0;
};

struct ListedPair {
  std::string a, b;
  std::uint32_t line = 0;
};

/// One id a line; blanks at the ends and blank lines do not count. "-" is standard input.
/// \throws NotFound, FileError; UsageError naming file and line if the text is not UTF-8.
DOEWRIGHT_EXPORT std::vector<ListedId> read_id_list(const std::string& path);

/// CSV with the columns a,b in any order. \throws the same; UsageError if a column is missing or a
/// row is short.
DOEWRIGHT_EXPORT std::vector<ListedPair> read_pair_list(const std::string& path);

/// The whole text of a file that is no table. "-" is standard input. \throws NotFound, FileError.
DOEWRIGHT_EXPORT std::string read_text_file(const std::string& path);

}  // namespace doewright
