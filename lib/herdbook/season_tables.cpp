// SPDX-License-Identifier: MIT
// Who is put forward and who is on offer this season: does.csv and sires.csv.
#include <algorithm>
#include <array>
#include <unordered_map>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

#include "side_tables.hpp"

namespace doewright {

namespace {

std::optional<double> weight(TableReader& table, std::size_t kg, std::size_t lb) {
  auto value = table.amount(kg);
  if (value && !table.text(lb).empty()) {
    table.error("column-twice", table.place(lb), "one weight is written in kg and in lb",
                "leave one of the two cells blank");
  }
  if (value) return value;
  value = table.amount(lb);
  if (value) *value *= kilograms_per_pound;
  return value;
}

/// Animals that have a row already: of two rows the first counts.
class RowsOfAnimals {
 public:
  bool has(TableReader& table, std::size_t column, Animal animal) {
    const auto [earlier, is_new] = lines_.try_emplace(animal.position, table.row().line);
    if (is_new) return false;
    table.error("id-twice", table.place(column),
                fmt::format("{} stands on line {} already, and the rows differ",
                            quoted(table.text(column)), earlier->second),
                "take one of the two rows out");
    return true;
  }

 private:
  std::unordered_map<std::uint32_t, std::uint32_t> lines_;
};

void sex_use(TableReader& table, std::size_t column, std::string message) {
  table.error("sex-use", table.place(column), std::move(message),
              "correct the sex in animals.csv, or the id here");
}

}  // namespace

void read_does(std::string_view text, SideReading& reading) {
  enum : std::size_t {
    doe,
    kids_for,
    weight_kg,
    weighed,
    grown_weight_kg,
    condition,
    decision,
    sire,
    not_sires,
    note,
    weight_lb,
    grown_weight_lb
  };
  static constexpr std::array<ColumnName, 12> columns = {{{"doe", true},
                                                          {"kids_for"},
                                                          {"weight_kg"},
                                                          {"weighed"},
                                                          {"grown_weight_kg"},
                                                          {"condition"},
                                                          {"decision"},
                                                          {"sire"},
                                                          {"not_sires"},
                                                          {"note"},
                                                          {"weight_lb"},
                                                          {"grown_weight_lb"}}};
  static constexpr std::array<std::string_view, 3> goals = {"either", "keep", "meat"};
  static constexpr std::array<std::string_view, 3> decisions = {"go", "wait", "no"};
  Herd& herd = reading.herd();
  herd.does_listed = true;
  TableReader table(text, file_name(Table::does), Table::does, columns, &reading.complaints());
  RowsOfAnimals earlier;
  UnknownMarks marks;
  reading.each_row(table, [&] {
    const auto who = reading.animal(table, doe);
    if (!who || earlier.has(table, doe, *who)) return;
    DoeForward row;
    row.doe = *who;
    row.row = table.row();
    if (const auto goal = table.word(kids_for, goals)) row.kids_for = static_cast<KidsFor>(*goal);
    row.weight_kg = weight(table, weight_kg, weight_lb);
    row.weighed = table.date(weighed, Future::allowed, herd.as_of);
    row.grown_weight_kg = weight(table, grown_weight_kg, grown_weight_lb);
    row.condition = table.amount(condition);
    if (row.condition && (*row.condition < 1.0 || *row.condition > 5.0)) {
      table.error("number-form", table.place(condition), "condition goes from 1 to 5",
                  "write her condition on that scale");
      row.condition.reset();
    }
    if (const auto word = table.word(decision, decisions))
      row.decision = static_cast<Decision>(*word + 1);
    row.sire = reading.parent(table, sire, marks);
    for (const std::string_view id : parts_of_list(table.id_or_blank(not_sires).value_or(""))) {
      if (const auto each = herd.ids.find(id)) row.not_sires.push_back(*each);
    }
    row.note = table.words_of(note);
    const Sex sex = herd.animals.sex[who->position];
    if (sex != Sex::unknown && sex != Sex::doe) {
      sex_use(table, doe, fmt::format("a {} is put forward as a doe", word(sex)));
      return;
    }
    herd.does.push_back(std::move(row));
  });
  marks.say(reading.complaints(), file_name(Table::does), "read as not known; leave it blank");
}

void read_sires(std::string_view text, SideReading& reading) {
  enum : std::size_t {
    sire,
    terms,
    from,
    to,
    most_does,
    fee,
    fee_per_doe,
    cost_per_day,
    haul,
    tests_cost,
    value_if_lost,
    straws,
    semen,
    served,
    settled,
    conception,
    owner,
    note
  };
  static constexpr std::array<ColumnName, 18> columns = {{{"sire", true},
                                                          {"terms"},
                                                          {"from"},
                                                          {"to"},
                                                          {"most_does"},
                                                          {"fee"},
                                                          {"fee_per_doe"},
                                                          {"cost_per_day"},
                                                          {"haul"},
                                                          {"tests_cost"},
                                                          {"value_if_lost"},
                                                          {"straws"},
                                                          {"semen"},
                                                          {"served"},
                                                          {"settled"},
                                                          {"conception"},
                                                          {"owner"},
                                                          {"note"}}};
  static constexpr std::array<std::string_view, 4> all_terms = {"own", "hired", "visit", "semen"};
  static constexpr std::array<std::string_view, 3> kinds = {"fresh", "frozen", "surgical"};
  Herd& herd = reading.herd();
  herd.sires_listed = true;
  TableReader table(text, file_name(Table::sires), Table::sires, columns, &reading.complaints());
  RowsOfAnimals earlier;
  reading.each_row(table, [&] {
    const auto who = reading.animal(table, sire);
    if (!who || earlier.has(table, sire, *who)) return;
    SireOffer row;
    row.sire = *who;
    row.row = table.row();
    if (const auto word = table.word(terms, all_terms)) row.terms = static_cast<Terms>(*word + 1);
    row.from = table.date(from, Future::allowed, herd.as_of);
    row.to = table.date(to, Future::allowed, herd.as_of);
    if (row.from.known() && row.to.known() && row.to.latest() < row.from.earliest()) {
      table.error("date-impossible", table.place(to), "his last day lies before his first",
                  "correct one of the two dates");
      row.to = {};
    }
    row.most_does = table.count(most_does);
    row.fee = table.amount(fee);
    row.fee_per_doe = table.amount(fee_per_doe);
    row.cost_per_day = table.amount(cost_per_day);
    row.haul = table.amount(haul);
    row.tests_cost = table.amount(tests_cost);
    row.value_if_lost = table.amount(value_if_lost);
    row.straws = table.count(straws);
    if (const auto word = table.word(semen, kinds)) row.semen = static_cast<SemenKind>(*word + 1);
    row.served = table.count(served);
    row.settled = table.count(settled);
    if (row.served && row.settled && *row.settled > *row.served) {
      table.error("number-form", table.place(settled),
                  fmt::format("{} settled of {} served", *row.settled, *row.served),
                  "correct the two counts");
      row.served.reset();
      row.settled.reset();
    }
    row.conception = table.share(conception);
    row.owner = table.words_of(owner);
    row.note = table.words_of(note);
    const Sex sex = herd.animals.sex[who->position];
    const bool straws_of_old = sex == Sex::wether && row.terms == Terms::semen;
    if (sex != Sex::unknown && sex != Sex::buck && !straws_of_old) {
      sex_use(table, sire, fmt::format("a {} is on offer as a sire", word(sex)));
      return;
    }
    herd.sires.push_back(std::move(row));
  });
}

}  // namespace doewright
