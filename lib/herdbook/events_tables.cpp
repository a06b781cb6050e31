// SPDX-License-Identifier: MIT
// What was measured and what happened: records, health tests, heats, services, checks, kiddings.
#include <array>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

#include "side_tables.hpp"

namespace doewright {

namespace {

/// A date that the row cannot do without: heats, services and kiddings are counted from it.
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
  static constexpr std::array<ColumnName, 8> columns = {{{"animal", true},
                                                         {"trait", true},
                                                         {"value"},
                                                         {"date"},
                                                         {"group"},
                                                         {"parity"},
                                                         {"age_days"},
                                                         {"value_lb"}}};
  TableReader table(text, file_name(Table::records), Table::records, columns,
                    &reading.complaints());
  if (table.usable() && !table.has(value) && !table.has(value_lb)) {
    table.error("column-missing", table.place_of_header(), "the column 'value' is missing",
                "add it to the header");
    return table.give_up();
  }
  BlankCells blanks;
  reading.each_row(table, [&] {
    const auto who = reading.animal(table, animal);
    if (!who) return;
    Record record;
    record.date = reading.date(table, date);
    if (table.of_a_later_day()) return reading.leave_out();
    const auto which = reading.trait(table, trait);
    auto number = table.number(value);
    if (!number) {
      number = table.number(value_lb);
      if (number) *number *= kilograms_per_pound;
    }
    record.parity = whole(table, parity);
    record.age_days = whole(table, age_days);
    const bool not_measured = table.text(value).empty() && table.text(value_lb).empty();
    if (not_measured) blanks.note(table.place(table.has(value) ? value : value_lb));
    if (!which || !number) return;
    record.animal = *who;
    record.trait = *which;
    record.value = *number;
    record.group = table.words_of(group);
    record.row = table.row();
    reading.herd().records.push_back(std::move(record));
  });
  blanks.say(reading.complaints(), Table::records, "value");
}

void read_health_tests(std::string_view text, SideReading& reading) {
  enum : std::size_t { animal, disease, result, date, laboratory };
  static constexpr std::array<ColumnName, 5> columns = {
      {{"animal", true}, {"disease", true}, {"result", true}, {"date"}, {"laboratory"}}};
  TableReader table(text, file_name(Table::health_tests), Table::health_tests, columns,
                    &reading.complaints());
  BlankCells blanks;
  reading.each_row(table, [&] {
    const auto who = reading.animal(table, animal);
    if (!who) return;
    HealthTest test;
    test.date = reading.date(table, date);
    if (table.of_a_later_day()) return reading.leave_out();
    test.animal = *who;
    test.disease = table.words_of(disease);
    test.result = table.words_of(result);
    test.laboratory = table.words_of(laboratory);
    test.row = table.row();
    if (test.result.empty()) return blanks.note(table.place(result));  // not known yet: no paper
    reading.herd().health_tests.push_back(std::move(test));
  });
  blanks.say(reading.complaints(), Table::health_tests, "result");
}

void read_heats(std::string_view text, SideReading& reading) {
  enum : std::size_t { doe, date };
  static constexpr std::array<ColumnName, 2> columns = {{{"doe", true}, {"date", true}}};
  TableReader table(text, file_name(Table::heats), Table::heats, columns, &reading.complaints());
  reading.each_row(table, [&] {
    const auto who = reading.animal(table, doe);
    if (!who) return;
    const PartialDate day = reading.date(table, date);
    if (table.of_a_later_day()) return reading.leave_out();
    if (has_date(table, date, day)) reading.herd().heats.push_back({*who, day, table.row()});
  });
}

void read_services(std::string_view text, SideReading& reading) {
  enum : std::size_t { doe, sire, from, to, how };
  static constexpr std::array<ColumnName, 5> columns = {
      {{"doe", true}, {"sire", true}, {"from", true}, {"to"}, {"how"}}};
  static constexpr std::array<std::string_view, 4> hows = {"seen", "pen", "visit", "semen"};
  Herd& herd = reading.herd();
  TableReader table(text, file_name(Table::services), Table::services, columns,
                    &reading.complaints());
  reading.each_row(table, [&] {
    const auto who = reading.animal(table, doe);
    if (!who && table.text(doe).empty()) table.id(sire);  // both blanks are said
    const auto by = who ? reading.animal(table, sire) : std::nullopt;
    if (!by) return;
    table.about(table.text(doe));
    Service service;
    service.from = reading.date(table, from);
    if (table.of_a_later_day()) return reading.leave_out();
    const auto way = table.word(how, hows);
    if (way) service.how = static_cast<ServiceHow>(*way + 1);
    // The last day of a pen may lie ahead; that of any stay may, seen from an earlier day.
    const bool may_lie_ahead = service.how == ServiceHow::pen || herd.as_of_set;
    service.to =
        may_lie_ahead ? table.date(to, Future::allowed, herd.as_of) : reading.date(table, to);
    if (!has_date(table, from, service.from)) return;
    if (service.to.known() && service.to.latest() < service.from.earliest()) {
      return table.error("date-impossible", table.place(to), "the last day lies before the first",
                         "correct one of the two dates");
    }
    service.doe = *who;
    service.sire = *by;
    service.row = table.row();
    herd.services.push_back(service);
  });
}

void read_pregnancy_checks(std::string_view text, SideReading& reading) {
  enum : std::size_t { doe, date, result, how, kids, days };
  static constexpr std::array<ColumnName, 6> columns = {
      {{"doe", true}, {"date", true}, {"result", true}, {"how"}, {"kids"}, {"days"}}};
  static constexpr std::array<std::string_view, 3> results = {"in kid", "empty", "unclear"};
  static constexpr std::array<std::string_view, 4> hows = {"scan", "blood", "milk", "hand"};
  TableReader table(text, file_name(Table::pregnancy_checks), Table::pregnancy_checks, columns,
                    &reading.complaints());
  reading.each_row(table, [&] {
    const auto who = reading.animal(table, doe);
    if (!who) return;
    PregnancyCheck check;
    check.date = reading.date(table, date);
    if (table.of_a_later_day()) return reading.leave_out();
    const auto found = table.word(result, results);  // blank: nobody says what was found
    const auto way = table.word(how, hows);
    check.kids = whole(table, kids);
    check.days = whole(table, days);
    if (!has_date(table, date, check.date) || !found) return;
    check.doe = *who;
    check.result = static_cast<PregnancyResult>(*found);
    if (way) check.how = static_cast<PregnancyHow>(*way + 1);
    check.row = table.row();
    reading.herd().pregnancy_checks.push_back(check);
  });
}

void read_kiddings(std::string_view text, SideReading& reading) {
  enum : std::size_t { doe, date, kids_born, kids_alive, kids_raised, help, sire, note };
  static constexpr std::array<ColumnName, 8> columns = {{{"doe", true},
                                                         {"date", true},
                                                         {"kids_born"},
                                                         {"kids_alive"},
                                                         {"kids_raised"},
                                                         {"help"},
                                                         {"sire"},
                                                         {"note"}}};
  static constexpr std::array<std::string_view, 3> helps = {"none", "some", "hard"};
  TableReader table(text, file_name(Table::kiddings), Table::kiddings, columns,
                    &reading.complaints());
  UnknownMarks marks;
  reading.each_row(table, [&] {
    const auto who = reading.animal(table, doe);
    if (!who) return;
    Kidding kidding;
    kidding.date = reading.date(table, date);
    if (table.of_a_later_day()) return reading.leave_out();
    kidding.kids_born = whole(table, kids_born);
    kidding.kids_alive = whole(table, kids_alive);
    kidding.kids_raised = whole(table, kids_raised);
    const auto hard = table.word(help, helps);
    kidding.sire = reading.parent(table, sire, marks);
    if (kidding.kids_born && kidding.kids_alive && *kidding.kids_alive > *kidding.kids_born) {
      table.error("number-form", table.place(kids_alive),
                  fmt::format("{} alive of {} born", *kidding.kids_alive, *kidding.kids_born),
                  "correct the two counts");
      kidding.kids_born.reset();
      kidding.kids_alive.reset();
    }
    if (!has_date(table, date, kidding.date)) return;
    kidding.doe = *who;
    if (hard) kidding.help = static_cast<KiddingHelp>(*hard + 1);
    kidding.note = table.words_of(note);
    kidding.row = table.row();
    reading.herd().kiddings.push_back(std::move(kidding));
  });
  marks.say(reading.complaints(), file_name(Table::kiddings), "read as not known; leave it blank");
}

}  // namespace doewright
