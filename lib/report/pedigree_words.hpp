// SPDX-License-Identifier: MIT
#pragma once
/// The pedigree report in words: said once, printed by the text and by the page alike.
#include <cstddef>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <doewright/report/report.hpp>

namespace doewright {

/// A heading and a table; cells are as long as they must be.
struct PedigreeTable {
  std::vector<std::string> titles;
  std::vector<std::vector<std::string>> rows;
};

/// An ancestor that makes part of F: its mark in the chart and what is said of it.
struct PedigreeMark {
  std::string letter;  ///< "A", "B" ... in order of contribution; "" beyond "Z".
  std::string name;
  std::string adds;   ///< "3.13 %"
  std::string where;  ///< "grandsire; great-grandsire on her dam's side"
  std::string how;    ///< How to work it out again, path by path.
};

/// One place of the chart.
struct PedigreeCell {
  std::string place;               ///< "s", "dd"
  std::string name;                ///< Name, or "Larch 50 % or Rowan 50 %", or "not recorded".
  std::string detail;              ///< "D-07, born 2018".
  std::string found;               ///< "found: teats"; or empty.
  std::vector<std::size_t> marks;  ///< Indexes into marks, that stand here.
  bool recorded = false, certain = false;
};

struct PedigreeWords {
  std::string title;     ///< "Hazel (D-07)"
  std::string headline;  ///< One sentence that says the most.
  std::vector<std::string> tags;
  std::vector<std::pair<std::string, std::string>> facts;  ///< Label, value: who the animal is.
  std::string inbreeding, closeness, rests_on;
  std::string known_figure, known;    ///< "9 of 14", and what it means.
  std::string looks_figure, looks;    ///< "1 of 6", and what it means.
  std::vector<std::string> readings;  ///< Of blanks and of unsure sires.
  std::vector<PedigreeMark> marks;    ///< Common ancestors.
  std::string recompute;              ///< Can the buyer work it out from this chart?
  std::vector<PedigreeCell> cells;    ///< As PedigreeReport::places.
  PedigreeTable faults, kin, tests, records, kiddings;
  std::vector<std::string> now;  ///< Served, in kid, kids.
  std::vector<std::string> not_known;
  std::vector<std::string> statement;
  std::string seller;  ///< Empty: not recorded.
};

PedigreeWords pedigree_words(const Preamble& preamble, const Herd& herd,
                             const PedigreeReport& report);

/// "14 March 2026"; "March 2026 (day not recorded)"; "not recorded".
std::string date_in_words(PartialDate date);

/// What the seller does not know, a sentence each.
std::vector<std::string> gaps_in_words(const Herd& herd, const PedigreeReport& report);

/// Who gives the report: the owner, else the own herd; empty if neither is recorded.
std::string seller_of(const Herd& herd, Animal animal);

/// "told", "too young to tell", "age at the sample not known".
std::string_view word(SampleAge age) noexcept;

/// The closing statement, in sentences.
std::vector<std::string> statement_in_words(const Herd& herd, const PedigreeReport& report);

}  // namespace doewright
