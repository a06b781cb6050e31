// SPDX-License-Identifier: MIT
// What was looked at: examinations.csv in its long and wide form, kid_counts.csv, gene_tests.csv.
#include <algorithm>
#include <array>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

#include "side_tables.hpp"

namespace doewright {

namespace {

enum ExamColumn : std::size_t { e_animal, e_fault, e_found, e_date, e_age, e_by, e_note };
constexpr std::array<ColumnName, 7> exam_columns = {
    {{"animal", true}, {"fault"}, {"found"}, {"date"}, {"age"}, {"by"}, {"note"}}};

// Days of the words an examiner may write for the age (INTERFACE section 1).
constexpr std::array<std::string_view, 4> age_words = {"birth", "weaning", "kidding", "adult"};
constexpr std::array<std::int32_t, 4> age_days = {0, 90, 365, 730};

/// From the two dates; of partial ones the youngest possible age counts: less is seen of a younger
/// animal.
std::optional<std::int32_t> age_between(PartialDate born, PartialDate date) {
  if (!born.known() || !date.known() || date.latest() < born.earliest()) return std::nullopt;
  return std::max(0, date.earliest() - born.latest());
}

std::optional<std::int32_t> age_of(TableReader& table, PartialDate born, PartialDate date) {
  const std::string_view cell = table.text(e_age);
  if (cell.empty()) return age_between(born, date);
  const bool is_word = cell.find_first_of("0123456789") == std::string_view::npos;
  if (is_word) {
    const auto word = table.word(e_age, age_words);
    return word ? std::optional(age_days[*word]) : std::nullopt;
  }
  const auto days = table.count(e_age);
  return days ? std::optional(static_cast<std::int32_t>(*days)) : std::nullopt;
}

/// What the cell says was found, written into the examination. False if it is no grade (said).
bool read_found(TableReader& table, std::string_view cell, Place place, const FaultModel& fault,
                Examination& look) {
  const std::string low = lower_ascii(cell);
  for (std::size_t g = 0; g < fault.grades.size(); ++g) {
    if (lower_ascii(fault.grades[g]) != low) continue;
    look.found = Found::grade;
    look.grade = static_cast<std::uint8_t>(g);
    return true;
  }
  if (low == "no") {
    look.found = Found::grade;
    look.grade = fault.wanted;
    return true;
  }
  look.grade = 0;
  if (low == "yes" || low == "removed") {
    look.found = low == "yes" ? Found::unwanted : Found::removed;
    return true;
  }
  std::vector<std::string_view> words(fault.grades.begin(), fault.grades.end());
  for (const std::string_view word : {"no", "yes", "removed"}) {
    if (std::find(words.begin(), words.end(), word) == words.end()) words.push_back(word);
  }
  table.error("grade-unknown", place, fmt::format("{} is no grade of {}", quoted(cell), fault.key),
              did_you_mean(near_word(low, words), fmt::format("write one of: {}", joined(words))));
  return false;
}

/// Columns that no examination has: in the long form not read, in the wide form meant as faults.
void say_other_columns(TableReader& table, const Herd& herd, bool is_long) {
  std::vector<std::string_view> keys, names;
  for (const FaultModel& fault : herd.faults) keys.push_back(fault.key);
  for (const ColumnName& column : exam_columns) names.push_back(column.name);
  for (const std::size_t i : table.unknown_columns()) {
    if (is_long) {
      table.say_unknown_column(i, names);
      continue;
    }
    const std::string key = lower_ascii(table.header_text(i));
    auto near = near_word(key, names);
    if (!near) near = near_word(key, keys);
    table.error("fault-unknown", table.header_place(i),
                fmt::format("the column {} is no fault", quoted(table.header_text(i))),
                did_you_mean(near, "describe the fault in faults.toml"));
  }
}

/// Long or wide, not both and not neither.
bool shape_is_clear(TableReader& table, const Herd& herd) {
  const bool fault = table.has(e_fault), found = table.has(e_found);
  const bool wide_columns = !table.others().empty();
  say_other_columns(table, herd, fault && found);
  if (fault && found && !wide_columns) return true;
  if (!fault && !found && wide_columns) return true;
  if (!fault && !found && !table.unknown_columns().empty()) return true;  // wide; said above
  std::string_view wrong =
      "neither the columns 'fault' and 'found', nor a column named after a fault";
  if (wide_columns) {
    wrong = "'fault' or 'found' and columns named after faults stand in one table";
  } else if (fault) {
    wrong = "the column 'fault' stands without 'found'";
  } else if (found) {
    wrong = "the column 'found' stands without 'fault'";
  }
  table.error(
      "table-shape", table.place_of_header(), std::string(wrong),
      "write one look a row with the columns animal, fault, found; or one animal a row with "
      "a column for each fault");
  return false;
}

/// A cell for each fault; a blank one was not looked at.
void read_wide_row(TableReader& table, const Examination& look, Herd& herd) {
  for (std::size_t i = 0; i < table.others().size(); ++i) {
    const std::string_view cell = table.other_text(i);
    if (cell.empty()) continue;
    Examination each = look;
    each.fault = static_cast<FaultIndex>(table.others()[i].first);
    if (read_found(table, cell, table.other_place(i), herd.faults[each.fault], each)) {
      herd.examinations.push_back(std::move(each));
    }
  }
}

void read_long_row(TableReader& table, Examination look, const SideReading& reading,
                   BlankCells& blanks) {
  const auto fault = reading.fault(table, e_fault);
  // Blank is not known here as everywhere: nobody says what was seen.
  if (table.text(e_found).empty()) return blanks.note(table.place(e_found));
  if (!fault) return;
  look.fault = *fault;
  Herd& herd = reading.herd();
  if (read_found(table, table.text(e_found), table.place(e_found), herd.faults[*fault], look)) {
    herd.examinations.push_back(std::move(look));
  }
}

}  // namespace

void read_examinations(std::string_view text, SideReading& reading) {
  Herd& herd = reading.herd();
  std::vector<std::string> keys;
  for (const FaultModel& fault : herd.faults) keys.push_back(fault.key);
  TableReader table(text, file_name(Table::examinations), Table::examinations, exam_columns,
                    &reading.complaints(), keys);
  if (!table.usable()) return;
  if (!shape_is_clear(table, herd)) return table.give_up();
  const bool is_wide = !table.has(e_fault);
  BlankCells blanks;
  reading.each_row(table, [&] {
    const auto animal = reading.animal(table, e_animal);
    if (!animal) return;
    const PartialDate date = reading.date(table, e_date);
    if (table.of_a_later_day()) return reading.leave_out();
    Examination look;
    look.animal = *animal;
    look.date = date;
    look.age_days = age_of(table, herd.animals.born[animal->position], date);
    look.by = table.words_of(e_by);
    look.note = table.words_of(e_note);
    look.row = table.row();
    if (is_wide) {
      read_wide_row(table, look, herd);
    } else {
      read_long_row(table, std::move(look), reading, blanks);
    }
  });
  blanks.say(reading.complaints(), Table::examinations, "found");
}

void read_kid_counts(std::string_view text, SideReading& reading) {
  enum : std::size_t { sire, fault, examined, affected, dam, sex, date, word, source };
  static constexpr std::array<ColumnName, 9> columns = {{{"sire", true},
                                                         {"fault", true},
                                                         {"examined", true},
                                                         {"affected", true},
                                                         {"dam"},
                                                         {"sex"},
                                                         {"date"},
                                                         {"word"},
                                                         {"source"}}};
  static constexpr std::array<std::string_view, 6> sexes = {"doe", "buck",   "f",
                                                            "m",   "female", "male"};
  static constexpr std::array<std::string_view, 2> words = {"seen", "told"};
  TableReader table(text, file_name(Table::kid_counts), Table::kid_counts, columns,
                    &reading.complaints());
  UnknownMarks marks;
  BlankCells blanks;
  reading.each_row(table, [&] {
    const auto who = reading.animal(table, sire);
    if (!who) return;
    KidCount count;
    count.sire = *who;
    count.date = reading.date(table, date);
    if (table.of_a_later_day()) return reading.leave_out();
    const auto which = reading.fault(table, fault);
    const auto looked = table.count(examined), found = table.count(affected);
    count.dam = reading.parent(table, dam, marks);
    const auto kid_sex = table.word(sex, sexes);
    const auto how = table.word(word, words);
    const bool no_looked = table.text(examined).empty(), no_found = table.text(affected).empty();
    if (no_looked && no_found) return blanks.note(table.place(examined));  // not known
    if (no_looked || no_found) {
      return table.error(
          "number-form", table.place(no_looked ? examined : affected),
          "one of the two counts is blank",
          "write both: how many kids were examined, and how many of them were affected");
    }
    if (!which || !looked || !found) return;
    if (*found > *looked) {
      return table.error("number-form", table.place(affected),
                         fmt::format("{} affected of {} examined", *found, *looked),
                         "correct the two counts");
    }
    count.fault = *which;
    count.examined = *looked;
    count.affected = *found;
    if (kid_sex) count.sex = *kid_sex % 2 == 0 ? Sex::doe : Sex::buck;
    // A word that cannot be read is no eyewitness.
    count.told = how ? *how == 1 : !table.text(word).empty();
    count.source = table.words_of(source);
    count.row = table.row();
    reading.herd().kid_counts.push_back(std::move(count));
  });
  marks.say(reading.complaints(), file_name(Table::kid_counts),
            "read as not known; leave it blank");
  blanks.say(reading.complaints(), Table::kid_counts, "examined");
}

void read_gene_tests(std::string_view text, SideReading& reading) {
  enum : std::size_t { animal, fault, result, date, laboratory };
  static constexpr std::array<ColumnName, 5> columns = {
      {{"animal", true}, {"fault", true}, {"result", true}, {"date"}, {"laboratory"}}};
  static constexpr std::array<std::string_view, 6> results = {"clear", "carrier", "affected",
                                                              "0",     "1",       "2"};
  Herd& herd = reading.herd();
  TableReader table(text, file_name(Table::gene_tests), Table::gene_tests, columns,
                    &reading.complaints());
  BlankCells blanks;
  reading.each_row(table, [&] {
    const auto who = reading.animal(table, animal);
    if (!who) return;
    GeneTest test;
    test.date = reading.date(table, date);
    if (table.of_a_later_day()) return reading.leave_out();
    const auto which = reading.fault(table, fault);
    if (which && herd.faults[*which].kind == FaultKind::threshold) {
      return table.error(
          "test-for-threshold", table.place(fault),
          fmt::format("there is no gene test for {}: many genes make it", herd.faults[*which].key),
          "write what was seen into examinations.csv");
    }
    const auto copies = table.word(result, results);
    if (table.text(result).empty()) blanks.note(table.place(result));  // not known
    if (!which || !copies) return;
    test.animal = *who;
    test.fault = *which;
    test.copies = static_cast<std::uint8_t>(*copies % 3);
    test.laboratory = table.words_of(laboratory);
    test.row = table.row();
    herd.gene_tests.push_back(std::move(test));
  });
  blanks.say(reading.complaints(), Table::gene_tests, "result");
}

}  // namespace doewright
