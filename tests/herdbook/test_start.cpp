// SPDX-License-Identifier: MIT
#include <filesystem>
#include <fstream>
#include <iterator>
#include <regex>
#include <set>
#include <string>

#include <doctest/doctest.h>

#include <doewright/core/errors.hpp>
#include <doewright/herdbook/built_in.hpp>
#include <doewright/herdbook/start.hpp>

#include "toml_check.hpp"

using namespace doewright;
namespace fs = std::filesystem;

namespace {

/// A folder of this test's own, gone when it ends.
struct Scratch {
  Scratch() : path(fs::current_path() / fmt::format("doewright start {}", count++)) {
    fs::remove_all(path);
  }
  ~Scratch() { fs::remove_all(path); }
  fs::path path;
  static inline int count = 0;
};

std::string text_of(const fs::path& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

std::set<std::string> names_in(const fs::path& folder) {
  std::set<std::string> names;
  for (const auto& entry : fs::directory_iterator(folder)) {
    names.insert(entry.path().filename().string());
  }
  return names;
}

}  // namespace

TEST_CASE("the starter book has every file of a herd book, in a folder made for it") {
  const Scratch scratch;
  write_starter_book((scratch.path / "deep" / "herd").string());
  const auto names = names_in(scratch.path / "deep" / "herd");
  CHECK(names == std::set<std::string>{"README.txt", "animals.csv", "does.csv", "examinations.csv",
                                       "faults.toml", "gene_tests.csv", "health_tests.csv",
                                       "heats.csv", "kid_counts.csv", "kiddings.csv",
                                       "possible_sires.csv", "pregnancy_checks.csv", "records.csv",
                                       "season.toml", "services.csv", "sires.csv", "traits.toml"});
  CHECK(text_of(scratch.path / "deep" / "herd" / "faults.toml") == built_in_faults_toml());
  CHECK(text_of(scratch.path / "deep" / "herd" / "traits.toml") == built_in_traits_toml());
}

TEST_CASE("the starter's season.toml leaves every price and limit a default, and names them all") {
  const Scratch scratch;
  write_starter_book(scratch.path.string());
  const std::string text = text_of(scratch.path / "season.toml");
  const SeasonReading reading(text);
  CHECK(reading.only() == "none");
  // A value that is written is the keeper's own: it would no longer be listed as a default.
  CHECK(reading.result.set == std::set<std::string>{"currency", "hemisphere", "own_herd"});
  // The lines that are commented out are good as well, and say what the defaults are.
  const std::string all =
      std::regex_replace(text, std::regex("(^|\n)# (?=\\[|[a-z_.]+ = )"), "$1");
  const SeasonReading whole(all);
  CHECK(whole.only() == "none");
  // Every key of INTERFACE, seven of them without a default, and what it costs to find out.
  CHECK(whole.result.set.size() == 51);
  const Season defaults;
  CHECK(whole.result.kid.value_keep == defaults.kid.value_keep);
  CHECK(whole.result.settle.cycling == defaults.settle.cycling);
  CHECK(whole.result.limits.keep == defaults.limits.keep);
  CHECK(whole.result.fate_either.doe_kept == defaults.fate_either.doe_kept);
  CHECK(whole.result.papers.required == defaults.papers.required);
}

TEST_CASE("nothing is overwritten, and then nothing is written at all") {
  const Scratch scratch;
  fs::create_directories(scratch.path);
  std::ofstream(scratch.path / "sires.csv") << "mine";
  std::string message;
  try {
    write_starter_book(scratch.path.string());
  } catch (const FileError& error) {
    message = error.what();
  }
  CHECK(message.find("sires.csv is already there") != std::string::npos);
  CHECK(names_in(scratch.path) == std::set<std::string>{"sires.csv"});
  CHECK(text_of(scratch.path / "sires.csv") == "mine");
}

TEST_CASE("other files in the folder are left in peace") {
  const Scratch scratch;
  fs::create_directories(scratch.path);
  std::ofstream(scratch.path / "photo.txt") << "mine";
  write_starter_book(scratch.path.string() + "/");
  CHECK(names_in(scratch.path).size() == 18);
  CHECK(text_of(scratch.path / "photo.txt") == "mine");
}

TEST_CASE("a file where the folder should be is an error that says so") {
  const Scratch scratch;
  fs::create_directories(scratch.path);
  std::ofstream(scratch.path / "herd") << "a file";
  CHECK_THROWS_AS(write_starter_book((scratch.path / "herd").string()), FileError);
  CHECK_THROWS_AS(write_starter_book((scratch.path / "herd" / "below").string()), FileError);
  CHECK(names_in(scratch.path) == std::set<std::string>{"herd"});
}
