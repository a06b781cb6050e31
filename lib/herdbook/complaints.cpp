// SPDX-License-Identifier: MIT
#include "complaints.hpp"

#include <algorithm>
#include <tuple>

#include <doewright/core/table.hpp>

namespace doewright {

namespace {

int place_of_file(std::string_view file) {
  for (int t = static_cast<int>(Table::animals); t <= static_cast<int>(Table::season); ++t) {
    if (file_name(static_cast<Table>(t)) == file) return t;
  }
  return 0;
}

}  // namespace

void Complaints::count_only(Severity severity) {
  switch (severity) {
    case Severity::error:
      ++errors_;
      break;
    case Severity::warning:
      ++warnings_;
      break;
    case Severity::question:
      ++questions_;
      break;
  }
}

void Complaints::add(Problem problem) {
  count_only(problem.severity);
  if (++count_[{problem.code, problem.file}] <= most_kept) kept_.push_back(std::move(problem));
}

void Complaints::add_all(std::vector<Problem> problems) {
  for (Problem& problem : problems) add(std::move(problem));
}

void Complaints::error(std::string_view code, std::string_view file, std::uint32_t line,
                       std::uint32_t column, std::string_view animal, std::string message,
                       std::string remedy) {
  add({Severity::error, std::string(code), std::string(file), line, column, std::string(animal),
       std::move(message), std::move(remedy)});
}

void Complaints::warning(std::string_view code, std::string_view file, std::uint32_t line,
                         std::uint32_t column, std::string_view animal, std::string message,
                         std::string remedy) {
  add({Severity::warning, std::string(code), std::string(file), line, column, std::string(animal),
       std::move(message), std::move(remedy)});
}

std::vector<Problem> Complaints::sorted() && {
  std::stable_sort(kept_.begin(), kept_.end(), [](const Problem& a, const Problem& b) {
    const int file_a = place_of_file(a.file), file_b = place_of_file(b.file);
    return std::tie(file_a, a.file, a.line, a.column, a.code) <
           std::tie(file_b, b.file, b.line, b.column, b.code);
  });
  return std::move(kept_);
}

}  // namespace doewright
