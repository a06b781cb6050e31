// SPDX-License-Identifier: MIT
/// The two herd books that come with the program are read whole: the starter and the demo.
#include <filesystem>

#include <doctest/doctest.h>

#include <doewright/herdbook/read.hpp>
#include <doewright/herdbook/start.hpp>

#include "toml_check.hpp"

using namespace doewright;
namespace fs = std::filesystem;

namespace {

HerdBook read_book(const std::string& folder) {
  ReadOptions options;
  options.today = *date_of(2026, 9, 15);
  options.questions = true;
  return read_herd_book(folder, options);
}

std::string all_texts(const HerdBook& book) {
  std::string texts;
  for (const Problem& problem : book.problems) texts += to_text(problem) + "\n";
  return texts;
}

}  // namespace

TEST_CASE("the starter book passes without an error, a warning or a question") {
  const fs::path folder = fs::current_path() / "doewright starter book";
  fs::remove_all(folder);
  write_starter_book(folder.string());
  const HerdBook book = read_book(folder.string());
  fs::remove_all(folder);
  CHECK(all_texts(book) == "");
  REQUIRE(book.herd);
  CHECK(book.herd->pedigree.size() == 5);
  // Each table has a row of its own, so that each shows its form.
  CHECK(book.herd->possible_sires.size() == 2);
  CHECK_FALSE(book.herd->examinations.empty());
  CHECK_FALSE(book.herd->kid_counts.empty());
  CHECK_FALSE(book.herd->gene_tests.empty());
  CHECK_FALSE(book.herd->records.empty());
  CHECK_FALSE(book.herd->health_tests.empty());
  CHECK_FALSE(book.herd->heats.empty());
  CHECK_FALSE(book.herd->services.empty());
  CHECK_FALSE(book.herd->pregnancy_checks.empty());
  CHECK_FALSE(book.herd->kiddings.empty());
  CHECK_FALSE(book.herd->does.empty());
  CHECK_FALSE(book.herd->sires.empty());
  CHECK(book.herd->faults.size() == 9);
  CHECK(book.herd->traits.size() == 6);
}

TEST_CASE("the demo herd has one warning, the one its README speaks of") {
  const HerdBook book = read_book(DOEWRIGHT_SOURCE_DIR "/data-demo");
  REQUIRE(book.herd);
  REQUIRE(book.problems.size() == 1);
  CHECK(book.problems[0].code == "parent-added");
  CHECK(book.problems[0].message.find("Gorse") != std::string::npos);
  CHECK(book.herd->as_of == *date_of(2026, 9, 15));
  CHECK(book.herd->as_of_set);
  CHECK(book.herd->does.size() == 16);
  CHECK(book.herd->sires.size() == 5);
  CHECK(book.herd->possible_sires.size() == 6);
  CHECK(book.herd->faults.size() == 10);  // nine built in, and the jaw
}
