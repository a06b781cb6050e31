// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <set>
#include <string_view>

#include <doewright/core/problem.hpp>
#include <doewright/core/table.hpp>

using namespace doewright;

namespace {

Problem problem() {
  return {.severity = Severity::error,
          .code = "date-form",
          .file = "animals.csv",
          .line = 14,
          .column = 9,
          .animal = "Clover",
          .message = "03/04/21 can be read in two ways",
          .remedy = "write 2021-04-03 or 2021-03-04"};
}

}  // namespace

TEST_CASE("a complaint is one line with its place, the remedy and the code") {
  CHECK(to_text(problem()) ==
        "animals.csv:14:9: error: 03/04/21 can be read in two ways; "
        "write 2021-04-03 or 2021-03-04 [date-form]");
}

TEST_CASE("what is not there is left out") {
  Problem whole_row = problem();
  whole_row.column = 0;
  whole_row.severity = Severity::warning;
  CHECK(to_text(whole_row).starts_with("animals.csv:14: warning: 03/04/21"));
  Problem whole_file = problem();
  whole_file.line = 0;
  whole_file.severity = Severity::question;
  CHECK(to_text(whole_file).starts_with("animals.csv: question: 03/04/21"));
  Problem bare;
  bare.message = "something";
  CHECK(to_text(bare) == "error: something");
}

TEST_CASE("what stands in the keeper's file cannot move the cursor or break the line") {
  Problem nasty = problem();
  nasty.message = "red \x1B[31m, two\nlines, turned \xE2\x80\xAE round, \xFF";
  CHECK(to_text(nasty).find("red \\u{1B}[31m, two\\u{A}lines, turned \\u{202E} round, \\x{FF}") !=
        std::string::npos);
  CHECK(to_text(nasty).find('\n') == std::string::npos);
}

TEST_CASE("every table has a file name of its own") {
  std::set<std::string_view> names;
  for (int i = 0; i <= static_cast<int>(Table::season); ++i) {
    const std::string_view name = file_name(static_cast<Table>(i));
    CHECK(name.empty() == (i == 0));
    CHECK(names.insert(name).second);
  }
  CHECK(file_name(Table::possible_sires) == "possible_sires.csv");
  CHECK(file_name(Table::season) == "season.toml");
}
