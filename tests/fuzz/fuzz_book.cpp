// SPDX-License-Identifier: MIT
// A whole herd book in one input: "@@ name" begins the file of that name.
#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <string>
#include <string_view>

#include <unistd.h>
#include <doewright/core/date.hpp>
#include <doewright/herdbook/read.hpp>

#include "demand.hpp"

namespace {

constexpr std::string_view names[] = {
    "animals.csv",    "possible_sires.csv",   "examinations.csv", "kid_counts.csv",
    "gene_tests.csv", "records.csv",          "health_tests.csv", "heats.csv",
    "services.csv",   "pregnancy_checks.csv", "kiddings.csv",     "does.csv",
    "sires.csv",      "faults.toml",          "traits.toml",      "season.toml"};

/// A folder of this process, emptied for every input.
const std::filesystem::path& folder() {
  static const std::filesystem::path path =
      std::filesystem::temp_directory_path() / ("doewright-fuzz-" + std::to_string(getpid()));
  return path;
}

void lay_out(std::string_view text) {
  std::filesystem::remove_all(folder());
  std::filesystem::create_directory(folder());
  std::ofstream(folder() / "animals.csv");  // a folder without it is no herd book
  while (!text.empty()) {
    const std::size_t line_end = std::min(text.find('\n'), text.size());
    std::string_view name = text.substr(0, line_end);
    text.remove_prefix(std::min(line_end + 1, text.size()));
    const std::size_t next = text.find("\n@@ ");
    const std::string_view body = text.substr(0, next == text.npos ? next : next + 1);
    text.remove_prefix(body.size());
    if (!name.starts_with("@@ ")) continue;
    name.remove_prefix(3);
    if (std::find(std::begin(names), std::end(names), name) == std::end(names)) continue;
    std::ofstream(folder() / name, std::ios::binary)
        .write(body.data(), static_cast<std::streamsize>(body.size()));
  }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  lay_out(text);
  doewright::ReadOptions options;
  options.today = doewright::Date{20'711};  // 2026-09-15
  options.fill_lists = true;
  options.questions = true;
  for (const bool set_aside : {false, true}) {
    options.set_aside = set_aside;
    const doewright::HerdBook book = doewright::read_herd_book(folder().string(), options);
    demand(book.repairable() || book.errors_total > 0);  // refused only with a reason
    demand(set_aside || book.errors_total == 0 || !book.repairable());  // an error stops everything
    for (const doewright::Problem& problem : book.problems) demand_sound(problem, lines_of(text));
  }
  std::filesystem::remove_all(folder());
  return 0;
}
