// SPDX-License-Identifier: MIT
#pragma once
/// A herd book written in the test itself, and what is said of it in short form.
#include <map>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <fmt/format.h>

#include <doewright/core/table.hpp>
#include <doewright/herdbook/read.hpp>

#include "herdbook/read_texts.hpp"

namespace doewright {

using Texts = std::map<Table, std::string>;

/// \param texts  animals.csv is needed; the others as the test wants.
inline HerdBook read_book(const Texts& texts, ReadOptions options = {}) {
  if (options.today == Date{}) options.today = *date_of(2026, 9, 15);
  BookTexts book;
  for (const auto& [table, text] : texts) {
    if (table == Table::animals) {
      book.animals = FileText::of(text);
    } else {
      book.files.emplace(table, FileText::of(text));
    }
  }
  return read_texts(std::move(book), options);
}

/// "error date-form animals.csv:2:5 D-07", in the order of the list; no id, no blank at the end.
inline std::string short_form(const Problem& problem) {
  static constexpr std::string_view severities[] = {"error", "warning", "question"};
  std::string text = fmt::format("{} {} {}:{}:{}", severities[static_cast<int>(problem.severity)],
                                 problem.code, problem.file, problem.line, problem.column);
  if (!problem.animal.empty()) text += " " + problem.animal;
  return text;
}

using Lines = std::vector<std::string>;

inline Lines said(const HerdBook& book) {
  Lines lines;
  for (const Problem& problem : book.problems) lines.push_back(short_form(problem));
  return lines;
}

/// One text for a failing test to print, and to compare.
inline std::string all_said(const HerdBook& book) {
  return fmt::format("{}", fmt::join(said(book), "\n"));
}

/// Lines as all_said writes them.
inline std::string lines(const Lines& expected) {
  return fmt::format("{}", fmt::join(expected, "\n"));
}

inline Animal animal(const HerdBook& book, std::string_view id) {
  return book.herd->ids.find(id).value();
}

}  // namespace doewright
