// SPDX-License-Identifier: MIT
// What was measured and what happened: records, health tests, heats, services, checks, kiddings.
#include <array>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

#include "side_tables.hpp"

namespace doewright {

namespace {

/// A date that the row cannot do without.
bool has_date(TableReader& table, std::size_t column, PartialDate date) {
  if (date.known()) return true;
  if (table.text(column).empty()) {
    table.error("date-form", table.place(column), "the date is blank",
                "write the day, or the month or year if no more is known");
  }
  return false;
}

std::optional<std::int32_t> whole(TableReader& table, std::size_t column) {
  const auto value = table.count(column);
  return value ? std::optional(static_cast<std::int32_t>(*value)) : std::nullopt;
}

}  // namespace

void read_records(std::string_view text, SideReading& reading) {
  enum : std::size_t { animal, trait, value, date, group, parity, age_days, value_lb };
  static constexpr std::array<ColumnName, 8> columns = {
      {{"animal", true}, {"trait", true}, {"value"}, {"date"}, {"group"}, {"parity"}, {"age_days"},
       {"value_lb"}}};
  Herd& herd = reading.herd;
  TableReader table(text, file_name(Table::records), Table::records, columns, &reading.complaints);
  if (!table.usable()) return;
  if (!table.has(value) && !table.has(value_lb)) {
    table.error("column-missing", {1, 0}, "the column 'value' is missing", "add it to the header");
    reading.complaints.whole_file_lost();
    return;
  }
  while (table.next()) {
    const auto who = animal_of(table, animal, herd, true);
    if (!who) continue;
    const auto which = trait_of(table, trait, herd);
    auto number = table.number(value);
    if (!number) {
      number = table.number(value_lb);
      if (number) *number *= kilograms_per_pound;
    }
    Record record;
    record.date = table.date(date, reading.future, herd.as_of);
    record.parity = whole(table, parity);
    record.age_days = whole(table, age_days);
    if (table.of_a_later_day()) {
      ++reading.left_out;
      continue;
    }
    if (!which || !number) continue;  // a blank value: not measured
    record.animal = *who;
    record.trait = *which;
    record.value = *number;
    record.group = table.text(group);
    record.row = table.row();
    herd.records.push_back(std::move(record));
  }
}

void read_health_tests(std::string_view text, SideReading& reading) {
  enum : std::size_t { animal, disease, result, date, laboratory };
  static constexpr std::array<ColumnName, 5> columns = {
      {{"animal", true}, {"disease", true}, {"result", true}, {"date"}, {"laboratory"}}};
  Herd& herd = reading.herd;
  TableReader table(text, file_name(Table::health_tests), Table::health_tests, columns,
                    &reading.complaints);
  while (table.next()) {
    const auto who = animal_of(table, animal, herd, true);
    if (!who) continue;
    HealthTest test;
    test.date = table.date(date, reading.future, herd.as_of);
    if (table.of_a_later_day()) {
      ++reading.left_out;
      continue;
    }
    test.animal = *who;
    test.disease = table.text(disease);
    test.result = table.text(result);
    test.laboratory = table.text(laboratory);
    test.row = table.row();
    herd.health_tests.push_back(std::move(test));
  }
}

void read_heats(std::string_view text, SideReading& reading) {
  enum : std::size_t { doe, date };
  static constexpr std::array<ColumnName, 2> columns = {{{"doe", true}, {"date", true}}};
  Herd& herd = reading.herd;
  TableReader table(text, file_name(Table::heats), Table::heats, columns, &reading.complaints);
  while (table.next()) {
    const auto who = animal_of(table, doe, herd, true);
    if (!who) continue;
    const PartialDate day = table.date(date, reading.future, herd.as_of);
    if (table.of_a_later_day()) {
      ++reading.left_out;
    } else if (has_date(table, date, day)) {
      herd.heats.push_back({*who, day, table.row()});
    }
  }
}

void read_services(std::string_view text, SideReading& reading) {
  enum : std::size_t { doe, sire, from, to, how };
  static constexpr std::array<ColumnName, 5> columns = {
      {{"doe", true}, {"sire", true}, {"from", true}, {"to"}, {"how"}}};
  static constexpr std::array<std::string_view, 4> hows = {"seen", "pen", "visit", "semen"};
  Herd& herd = reading.herd;
  TableReader table(text, file_name(Table::services), Table::services, columns, &reading.complaints);
  while (table.next()) {
    const auto who = animal_of(table, doe, herd, true);
    const auto by = animal_of(table, sire, herd, true);
    if (!who || !by) continue;
    table.about(herd.ids[*who]);
    Service service;
    const auto way = table.word(how, hows);
    if (way) service.how = static_cast<ServiceHow>(*way + 1);
    service.from = table.date(from, reading.future, herd.as_of);
    // A pen's last day may well lie ahead.
    const bool pen = service.how == ServiceHow::pen || service.how == ServiceHow::unknown;
    service.to = table.date(to, pen ? Future::allowed : reading.future, herd.as_of);
    if (table.of_a_later_day()) {
      ++reading.left_out;
      continue;
    }
    if (!has_date(table, from, service.from)) continue;
    if (service.to.known() && service.to.latest() < service.from.earliest()) {
      table.error("date-impossible", table.place(to), "the last day lies before the first",
                  "correct one of the two dates");
      continue;
    }
    service.doe = *who;
    service.sire = *by;
    service.row = table.row();
    herd.services.push_back(service);
  }
}

void read_pregnancy_checks(std::string_view text, SideReading& reading) {
  enum : std::size_t { doe, date, result, how, kids, days };
  static constexpr std::array<ColumnName, 6> columns = {
      {{"doe", true}, {"date", true}, {"result", true}, {"how"}, {"kids"}, {"days"}}};
  static constexpr std::array<std::string_view, 3> results = {"in kid", "empty", "unclear"};
  static constexpr std::array<std::string_view, 4> hows = {"scan", "blood", "milk", "hand"};
  Herd& herd = reading.herd;
  TableReader table(text, file_name(Table::pregnancy_checks), Table::pregnancy_checks, columns,
                    &reading.complaints);
  while (table.next()) {
    const auto who = animal_of(table, doe, herd, true);
    if (!who) continue;
    PregnancyCheck check;
    check.date = table.date(date, reading.future, herd.as_of);
    const auto found = table.word(result, results);
    const auto way = table.word(how, hows);
    check.kids = whole(table, kids);
    check.days = whole(table, days);
    if (table.of_a_later_day()) {
      ++reading.left_out;
      continue;
    }
    if (table.text(result).empty()) {
      table.error("word-unknown", table.place(result), "the result is blank",
                  "write in kid, empty or unclear");
    }
    if (!has_date(table, date, check.date) || !found) continue;
    check.doe = *who;
    check.result = static_cast<PregnancyResult>(*found);
    if (way) check.how = static_cast<PregnancyHow>(*way + 1);
    check.row = table.row();
    herd.pregnancy_checks.push_back(check);
  }
}

void read_kiddings(std::string_view text, SideReading& reading) {
  enum : std::size_t { doe, date, kids_born, kids_alive, kids_raised, help, sire, note };
  static constexpr std::array<ColumnName, 8> columns = {
      {{"doe", true}, {"date", true}, {"kids_born"}, {"kids_alive"}, {"kids_raised"}, {"help"}, {"sire"},
       {"note"}}};
  static constexpr std::array<std::string_view, 3> helps = {"none", "some", "hard"};
  Herd& herd = reading.herd;
  TableReader table(text, file_name(Table::kiddings), Table::kiddings, columns, &reading.complaints);
  while (table.next()) {
    const auto who = animal_of(table, doe, herd, true);
    if (!who) continue;
    Kidding kidding;
    kidding.date = table.date(date, reading.future, herd.as_of);
    kidding.kids_born = whole(table, kids_born);
    kidding.kids_alive = whole(table, kids_alive);
    kidding.kids_raised = whole(table, kids_raised);
    const auto hard = table.word(help, helps);
    kidding.sire = animal_of(table, sire, herd, false);
    if (table.of_a_later_day()) {
      ++reading.left_out;
      continue;
    }
    if (kidding.kids_born && kidding.kids_alive && *kidding.kids_alive > *kidding.kids_born) {
      table.error("number-form", table.place(kids_alive),
                  fmt::format("{} alive of {} born", *kidding.kids_alive, *kidding.kids_born),
                  "correct the two counts");
      continue;
    }
    if (!has_date(table, date, kidding.date)) continue;
    kidding.doe = *who;
    if (hard) kidding.help = static_cast<KiddingHelp>(*hard + 1);
    kidding.note = table.text(note);
    kidding.row = table.row();
    herd.kiddings.push_back(std::move(kidding));
  }
}

}  // namespace doewright
