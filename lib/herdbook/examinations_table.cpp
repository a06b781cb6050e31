// SPDX-License-Identifier: MIT
// What was looked at: examinations.csv in its long and wide form, kid_counts.csv, gene_tests.csv.
#include <algorithm>
#include <array>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

#include "side_tables.hpp"

namespace doewright {

namespace {

/// Days of the words an examiner may write for the age (INTERFACE section 1).
struct AgeWord {
  std::string_view word;
  std::int32_t days;
};
constexpr std::array<AgeWord, 4> age_words = {{{"birth", 0}, {"weaning", 90}, {"kidding", 365}, {"adult", 730}}};

std::optional<std::int32_t> age_of(TableReader& table, std::size_t column, PartialDate born,
                                   PartialDate date) {
  const std::string low = lower_ascii(table.text(column));
  for (const AgeWord& each : age_words) {
    if (low == each.word) return each.days;
  }
  if (!low.empty()) {
    const bool letters = low.find_first_of("0123456789") == std::string::npos;
    if (letters) {
      std::array<std::string_view, age_words.size()> words = {};
      for (std::size_t i = 0; i < words.size(); ++i) words[i] = age_words[i].word;
      table.word(column, words);  // says what is wrong
      return std::nullopt;
    }
    const auto days = table.count(column);
    return days ? std::optional(static_cast<std::int32_t>(*days)) : std::nullopt;
  }
  if (!born.known() || !date.known()) return std::nullopt;
  // Of a partial date the youngest possible age counts: less may be seen of a younger animal.
  return std::max<std::int32_t>(0, date.earliest() - born.latest());
}

/// What the cell says was found; nothing if it is no grade of the fault (said).
bool read_found(TableReader& table, std::string_view cell, Place place, const FaultModel& fault,
                Examination& examination) {
  const std::string low = lower_ascii(cell);
  for (std::size_t g = 0; g < fault.grades.size(); ++g) {
    if (lower_ascii(fault.grades[g]) == low) {
      examination.found = Found::grade;
      examination.grade = static_cast<std::uint8_t>(g);
      return true;
    }
  }
  if (low == "no") {
    examination.found = Found::grade;
    examination.grade = fault.wanted;
    return true;
  }
  if (low == "yes" || low == "removed") {
    examination.found = low == "yes" ? Found::unwanted : Found::removed;
    return true;
  }
  std::vector<std::string_view> words = {"no", "yes", "removed"};
  words.insert(words.end(), fault.grades.begin(), fault.grades.end());
  std::string list;
  for (const std::string_view word : words) {
    if (list.find(word) == std::string::npos) list += (list.empty() ? "" : ", ") + std::string(word);
  }
  const auto near = nearest(low, words);
  table.error("grade-unknown", place,
              cell.empty() ? "what was found is blank"
                           : fmt::format("'{}' is no grade of {}", printable(cell), fault.key),
              near ? fmt::format("did you mean '{}'?", *near)
                   : fmt::format("write one of: {}; leave the row out if nobody looked", list));
  return false;
}

enum ExamColumn : std::size_t { e_animal, e_fault, e_found, e_date, e_age, e_by, e_note };
constexpr std::array<ColumnName, 7> exam_columns = {
    {{"animal", true}, {"fault"}, {"found"}, {"date"}, {"age"}, {"by"}, {"note"}}};

bool shape_is_clear(TableReader& table, const Herd& herd) {
  const bool fault = table.has(e_fault), found = table.has(e_found);
  const bool wide = !table.others().empty();
  bool clear = true;
  std::vector<std::string_view> keys;
  for (const FaultModel& model : herd.faults) keys.push_back(model.key);
  for (const std::size_t i : table.unknown_columns()) {
    if (fault && found) {
      table.warning("column-unknown", table.header_place(i),
                    fmt::format("the column '{}' is not known and is not read",
                                printable(table.header_text(i))),
                    "rename it, or leave it out");
      continue;
    }
    const auto near = nearest(lower_ascii(table.header_text(i)), keys);
    table.error("fault-unknown", table.header_place(i),
                fmt::format("the column '{}' is no fault", printable(table.header_text(i))),
                near ? fmt::format("did you mean '{}'?", *near) : "describe the fault in faults.toml");
  }
  if (fault && found && !wide) return clear;
  if (!fault && !found && wide) return clear;
  if (!fault && !found && !table.unknown_columns().empty()) return false;  // said above
  table.error("table-shape", {1, 0},
              wide ? "columns of both forms: 'fault' or 'found', and columns named after faults"
                   : "neither the columns 'fault' and 'found', nor a column named after a fault",
              "write one look a row with the columns animal, fault, found - or one animal a row with a "
              "column for each fault");
  clear = false;
  return clear;
}

}  // namespace

void read_examinations(std::string_view text, SideReading& reading) {
  Herd& herd = reading.herd;
  std::vector<std::string> keys;
  for (const FaultModel& model : herd.faults) keys.push_back(model.key);
  TableReader table(text, file_name(Table::examinations), Table::examinations, exam_columns,
                    &reading.complaints, keys);
  if (!table.usable()) return;
  if (!shape_is_clear(table, herd)) {
    reading.complaints.whole_file_lost();
    return;
  }
  const bool wide = !table.others().empty();
  while (table.next()) {
    const auto animal = animal_of(table, e_animal, herd, true);
    if (!animal) continue;
    const PartialDate date = table.date(e_date, reading.future, herd.as_of);
    if (table.of_a_later_day()) {
      ++reading.left_out;
      continue;
    }
    Examination look;
    look.animal = *animal;
    look.date = date;
    look.age_days = age_of(table, e_age, herd.animals.born[animal->position], date);
    look.by = table.text(e_by);
    look.note = table.text(e_note);
    look.row = table.row();
    if (wide) {
      for (std::size_t i = 0; i < table.others().size(); ++i) {
        const std::string_view cell = table.other_text(i);
        if (cell.empty()) continue;  // blank: not looked
        look.fault = static_cast<FaultIndex>(table.others()[i].first);
        if (read_found(table, cell, table.other_place(i), herd.faults[look.fault], look)) {
          herd.examinations.push_back(look);
        }
      }
      continue;
    }
    const auto fault = fault_of(table, e_fault, herd);
    if (!fault) continue;
    look.fault = *fault;
    if (read_found(table, table.text(e_found), table.place(e_found), herd.faults[*fault], look)) {
      herd.examinations.push_back(std::move(look));
    }
  }
}

void read_kid_counts(std::string_view text, SideReading& reading) {
  enum : std::size_t { sire, fault, examined, affected, dam, sex, date, word, source };
  static constexpr std::array<ColumnName, 9> columns = {
      {{"sire", true}, {"fault", true}, {"examined", true}, {"affected", true}, {"dam"}, {"sex"},
       {"date"}, {"word"}, {"source"}}};
  static constexpr std::array<std::string_view, 6> sexes = {"doe", "buck", "f", "m", "female", "male"};
  static constexpr std::array<std::string_view, 2> words = {"seen", "told"};
  Herd& herd = reading.herd;
  TableReader table(text, file_name(Table::kid_counts), Table::kid_counts, columns, &reading.complaints);
  while (table.next()) {
    const auto who = animal_of(table, sire, herd, true);
    if (!who) continue;
    KidCount count;
    count.sire = *who;
    const auto which = fault_of(table, fault, herd);
    const auto looked = table.count(examined), found = table.count(affected);
    count.dam = animal_of(table, dam, herd, false);
    const auto kid_sex = table.word(sex, sexes);
    count.date = table.date(date, reading.future, herd.as_of);
    const auto how = table.word(word, words);
    if (table.of_a_later_day()) {
      ++reading.left_out;
      continue;
    }
    for (const std::size_t column : {std::size_t{examined}, std::size_t{affected}}) {
      if (table.text(column).empty()) {
        table.error("number-form", table.place(column), "the count is blank",
                    "write how many; a count that is not known is no count");
      }
    }
    if (!which || !looked || !found) continue;
    if (*found > *looked) {
      table.error("number-form", table.place(affected),
                  fmt::format("{} affected of {} examined", *found, *looked),
                  "correct the two counts");
      continue;
    }
    count.fault = *which;
    count.examined = *looked;
    count.affected = *found;
    if (kid_sex) count.sex = *kid_sex % 2 == 0 ? Sex::doe : Sex::buck;
    count.told = how && *how == 1;
    count.source = table.text(source);
    count.row = table.row();
    herd.kid_counts.push_back(std::move(count));
  }
}

void read_gene_tests(std::string_view text, SideReading& reading) {
  enum : std::size_t { animal, fault, result, date, laboratory };
  static constexpr std::array<ColumnName, 5> columns = {
      {{"animal", true}, {"fault", true}, {"result", true}, {"date"}, {"laboratory"}}};
  static constexpr std::array<std::string_view, 6> results = {"clear", "carrier", "affected",
                                                              "0",     "1",       "2"};
  Herd& herd = reading.herd;
  TableReader table(text, file_name(Table::gene_tests), Table::gene_tests, columns, &reading.complaints);
  while (table.next()) {
    const auto who = animal_of(table, animal, herd, true);
    if (!who) continue;
    const auto which = fault_of(table, fault, herd);
    const auto copies = table.word(result, results);
    GeneTest test;
    test.date = table.date(date, reading.future, herd.as_of);
    if (table.of_a_later_day()) {
      ++reading.left_out;
      continue;
    }
    if (table.text(result).empty()) {
      table.error("word-unknown", table.place(result), "the result is blank",
                  "write clear, carrier or affected");
    }
    if (which && herd.faults[*which].kind == FaultKind::threshold) {
      table.error("test-for-threshold", table.place(fault),
                  fmt::format("there is no gene test for {}: many genes make it",
                              herd.faults[*which].key),
                  "write what was seen into examinations.csv");
      continue;
    }
    if (!which || !copies) continue;
    test.animal = *who;
    test.fault = *which;
    test.copies = static_cast<std::uint8_t>(*copies % 3);
    test.laboratory = table.text(laboratory);
    test.row = table.row();
    herd.gene_tests.push_back(std::move(test));
  }
}

}  // namespace doewright
