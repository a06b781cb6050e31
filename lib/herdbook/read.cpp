// SPDX-License-Identifier: MIT
#include <doewright/herdbook/read.hpp>

#include <algorithm>
#include <array>
#include <filesystem>
#include <optional>
#include <system_error>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

#include "cells.hpp"
#include "read_texts.hpp"

namespace doewright {

NotFound::~NotFound() = default;

namespace {

namespace fs = std::filesystem;

constexpr std::array<Table, 15> side_files = {
    Table::possible_sires,   Table::examinations, Table::kid_counts, Table::gene_tests,
    Table::records,          Table::health_tests, Table::heats,      Table::services,
    Table::pregnancy_checks, Table::kiddings,     Table::does,       Table::sires,
    Table::faults,           Table::traits,       Table::season};

constexpr std::size_t most_slips = 2;  // in the name of a file

bool is_there(const std::string& path) {
  std::error_code error;
  return fs::exists(path, error) || error;  // what cannot be looked at is said when it is opened
}

std::string in_folder(const std::string& folder, Table table) {
  return fmt::format("{}/{}", folder, file_name(table));
}

/// The table of this book that a file may have been meant as: "examination.csv" would else be
/// passed over, and nothing found would look like nothing wrong.
std::optional<Table> meant_as(std::string_view name, const BookFiles& files) {
  if (name.find_first_of("0123456789") != std::string_view::npos) return std::nullopt;
  std::optional<Table> meant;
  std::size_t fewest = most_slips + 1;
  for (const Table table : side_files) {
    if (files.contains(table)) continue;
    const std::size_t slips = edit_distance(lower_ascii(name), file_name(table));
    if (slips >= fewest) continue;
    fewest = slips;
    meant = table;
  }
  return meant;
}

void find_misspelt_files(const std::string& folder, BookTexts& texts) {
  std::vector<std::string> names;
  std::error_code error;
  for (const fs::directory_entry& entry : fs::directory_iterator(folder, error)) {
    const std::string name = entry.path().filename().string();
    const std::string ending = lower_ascii(entry.path().extension().string());
    if (name.size() < 40 && (ending == ".csv" || ending == ".toml")) names.push_back(name);
  }
  std::sort(names.begin(), names.end());  // a folder has no order of its own
  for (const std::string& name : names) {
    const bool is_read = name == file_name(Table::animals) ||
                         std::any_of(side_files.begin(), side_files.end(),
                                     [&](Table table) { return file_name(table) == name; });
    if (is_read) continue;
    if (const auto table = meant_as(name, texts.files)) {
      texts.problems.push_back({Severity::warning,
                                "file-unknown",
                                name,
                                0,
                                0,
                                {},
                                "no table has this name: the file is not read",
                                fmt::format("did you mean '{}'?", file_name(*table))});
    }
  }
}

/// "Animals.csv", "animal.csv", "animals.CSV": the first by name, or nothing.
std::optional<std::string> nearly_animals(const std::string& folder) {
  std::optional<std::string> first;
  std::error_code error;
  for (const fs::directory_entry& entry : fs::directory_iterator(folder, error)) {
    std::string name = entry.path().filename().string();
    const bool near = name.size() < 40 && edit_distance(lower_ascii(name), "animals.csv") <= 2;
    if (near && (!first || name < *first)) first = std::move(name);
  }
  return first;
}

[[noreturn]] void no_animals(const std::string& folder) {
  const auto near = nearly_animals(folder);
  throw NotFound(
      fmt::format("{}: this folder holds no animals.csv; {}", printable(folder),
                  near ? fmt::format("did you mean {}? give it that name", doewright::quoted(*near))
                       : "`doewright start` makes a herd book to begin with"));
}

BookTexts open_folder(const std::string& path) {
  const std::string animals = in_folder(path, Table::animals);
  if (!is_there(animals)) no_animals(path);
  BookTexts texts;
  texts.animals = FileText(animals);
  for (const Table table : side_files) {
    const std::string file = in_folder(path, table);
    if (is_there(file)) texts.files.emplace(table, FileText(file));
  }
  find_misspelt_files(path, texts);
  return texts;
}

BookTexts open_book(const std::string& path) {
  std::error_code error;
  if (path != "-" && fs::is_directory(path, error)) return open_folder(path);
  BookTexts texts;
  texts.animals_file = path == "-" ? "<stdin>" : path.substr(path.find_last_of('/') + 1);
  texts.animals = FileText(path);
  return texts;
}

}  // namespace

HerdBook read_herd_book(const std::string& path, const ReadOptions& options, const Run& run) {
  return read_texts(open_book(path), options, run);
}

}  // namespace doewright
