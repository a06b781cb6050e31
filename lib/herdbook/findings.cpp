// SPDX-License-Identifier: MIT
#include "findings.hpp"

#include <algorithm>
#include <array>
#include <tuple>
#include <unordered_map>
#include <vector>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

#include "near_ids.hpp"
#include "table_reader.hpp"

namespace doewright {

namespace {

/// Which cell of the row a complaint is about.
enum class Cell : std::uint8_t { whole_row, id, parent, dam };

constexpr std::array<ColumnName, 3> animal_cells = {{{"id", true}, {"dam"}, {"sire"}}};
constexpr std::array<ColumnName, 3> list_cells = {{{"kid", true}, {"dam"}, {"sire"}}};

struct Told {
  Problem problem;
  Table table = Table::animals;
  Cell cell = Cell::whole_row;
  std::string_view text;  // of the cell that is meant, if there may be two
};

class Teller {
 public:
  Teller(const BuiltPedigree& built, const ParentTables& tables, bool questions,
         Complaints& complaints)
      : built_(built),
        tables_(tables),
        questions_(questions),
        complaints_(complaints),
        near_ids_(built, count_of("parent-added")) {}

  /// Of a code and file only as many as are kept are put into words.
  void tell_all() {
    read_rows_twice();
    std::vector<const Finding*> order;
    for (const Finding& finding : built_.findings) order.push_back(&finding);
    std::stable_sort(order.begin(), order.end(), [](const Finding* a, const Finding* b) {
      return std::tuple(a->code, row_of(*a)) < std::tuple(b->code, row_of(*b));
    });
    std::size_t in_a_row = 0;
    for (std::size_t i = 0; i < order.size(); ++i) {
      const bool same = i > 0 && order[i]->code == order[i - 1]->code &&
                        row_of(*order[i]).table == row_of(*order[i - 1]).table;
      in_a_row = same ? in_a_row + 1 : 0;
      if (in_a_row < Complaints::most_kept) {
        tell(*order[i]);
      } else {
        complaints_.count_only(severity_of(*order[i]));
      }
    }
    place_cells(Table::animals, tables_.animals_text, animal_cells);
    place_cells(Table::possible_sires, tables_.possible_sires_text, list_cells);
    for (Told& told : told_) complaints_.add(std::move(told.problem));
  }

 private:
  std::size_t count_of(std::string_view code) const {
    return static_cast<std::size_t>(
        std::count_if(built_.findings.begin(), built_.findings.end(),
                      [&](const Finding& finding) { return finding.code == code; }));
  }

  /// Where the finding is said.
  static Row row_of(const Finding& f) {
    if (f.rows.empty()) return {};
    return f.code == "id-twice" ? f.rows.back() : f.rows.front();
  }

  std::string id(Animal animal) const { return printable(built_.ids[animal]); }
  std::string id(const Finding& f, std::size_t i) const { return id(f.animals[i]); }

  std::string file_of(Row row) const {
    const bool is_list = row.table == Table::possible_sires;
    return std::string(is_list ? file_name(row.table) : tables_.animals_file);
  }
  std::string place_of(Row row) const { return fmt::format("{}:{}", file_of(row), row.line); }

  /// "Hazel (animals.csv:12)".
  std::string with_place(Animal animal) const {
    const std::uint32_t line = built_.line_of[animal.position];
    return line == 0 ? id(animal)
                     : fmt::format("{} ({}:{})", id(animal), tables_.animals_file, line);
  }

  Severity severity_of(const Finding& f) const {
    if (f.code == "id-twice") return rows_say_the_same(f) ? Severity::warning : Severity::error;
    for (const std::string_view code :
         {"parent-added", "kid-added", "chance-sum", "litter-lists"}) {
      if (f.code == code) return Severity::warning;
    }
    return Severity::error;
  }

  void say(const Finding& f, Cell cell, std::string message, std::string remedy) {
    const Row row = row_of(f);
    Told told;
    told.problem.severity = severity_of(f);
    told.problem.code = f.code == "kid-added" ? "animal-added" : f.code;
    told.problem.file = file_of(row);
    told.problem.line = row.line;
    told.problem.animal = built_.ids[f.animals.front()];
    told.problem.message = std::move(message);
    told.problem.remedy = std::move(remedy);
    told.table = row.table;
    told.cell = cell;
    // The animal the finding is about, or the parent that fills both places.
    told.text = built_.ids[f.animals[f.code == "same-parent-twice" ? 1 : 0]];
    told_.push_back(std::move(told));
  }

  /// Cells of the rows that share an id, so that "the rows say the same" can be told.
  void read_rows_twice() {
    for (const Finding& f : built_.findings) {
      if (f.code != "id-twice") continue;
      for (const Row row : f.rows) cells_of_line_.try_emplace(row.line);
    }
    if (cells_of_line_.empty()) return;
    CsvReader csv(tables_.animals_text, tables_.animals_file, nullptr);
    while (csv.next()) {
      const auto wanted = cells_of_line_.find(csv.line());
      if (wanted == cells_of_line_.end()) continue;
      for (std::size_t i = 0; i < csv.header().size(); ++i) {
        wanted->second += csv.text(i);
        wanted->second += '\0';
      }
    }
  }

  bool rows_say_the_same(const Finding& f) const {
    return cells_of_line_.at(f.rows.front().line) == cells_of_line_.at(f.rows.back().line);
  }

  /// One pass over a table finds the columns of all the cells that are meant.
  void place_cells(Table table, std::string_view text, std::span<const ColumnName> columns) {
    enum : std::size_t { c_id, c_dam, c_sire };
    std::unordered_map<std::uint32_t, std::vector<Told*>> wanted;  // by line
    for (Told& told : told_) {
      const bool has_cell = told.cell != Cell::whole_row && told.table == table;
      if (has_cell) wanted[told.problem.line].push_back(&told);
    }
    if (wanted.empty()) return;
    TableReader reader(text, file_name(table), table, columns, nullptr);
    while (reader.next()) {
      const auto here = wanted.find(reader.row().line);
      if (here == wanted.end()) continue;
      for (Told* told : here->second) {
        std::size_t column = c_id;
        if (told->cell == Cell::dam) column = c_dam;
        if (told->cell == Cell::parent) {
          column = reader.text(c_sire) == told->text ? c_sire : c_dam;
        }
        const Place place = reader.place(column);
        told->problem.line = place.line;
        told->problem.column = place.column;
      }
    }
  }

  void id_twice(const Finding& f) {
    const bool same = rows_say_the_same(f);
    say(f, Cell::id,
        fmt::format("'{}' stands on line {} already, and the rows {}", id(f, 0),
                    f.rows.front().line, same ? "say the same" : "differ"),
        same ? "it is read once; take one of the two rows out"
             : "give one of the two animals another id, or take a row out");
  }

  void loop(const Finding& f) {
    std::string chain;
    for (const Animal animal : f.animals) {
      chain += chain.empty() ? "" : " is a kid of ";
      chain += with_place(animal);
    }
    if (f.animals_in_all > f.animals.size()) {
      chain += fmt::format(" ... and {} more, back to {}", f.animals_in_all - f.animals.size(),
                           id(f, 0));
    } else {
      chain += fmt::format(" is a kid of {}", id(f, 0));
    }
    say(f, Cell::whole_row, fmt::format("an animal cannot be its own ancestor: {}", chain),
        "one of these parents is wrong: correct it, or leave it blank");
  }

  void both_roles(const Finding& f) {
    const Row as_sire = f.rows[f.rows.size() - 2], as_dam = f.rows.back();
    say(f, Cell::whole_row,
        fmt::format("{} is the sire of {} ({}) and the dam of {} ({})", id(f, 0), id(f, 1),
                    place_of(as_sire), id(f, 2), place_of(as_dam)),
        "correct one of the two parents");
  }

  void parent_added(const Finding& f) {
    if (tables_.left_out.contains(std::string(built_.ids[f.animals[0]]))) {
      return say(f, Cell::parent,
                 fmt::format("{}, a parent of {}, is born after the day this is worked out for",
                             quoted(built_.ids[f.animals[0]]), id(f, 1)),
                 "it is read as an animal with unknown parents; correct one of the two births, or "
                 "the parent");
    }
    const auto near = near_ids_.nearest_to(built_.ids[f.animals[0]]);
    say(f, Cell::parent,
        fmt::format("{}, a parent of {}, has no row of its own", quoted(built_.ids[f.animals[0]]),
                    id(f, 1)),
        near ? fmt::format("did you mean '{}'? it is added with unknown parents", id(*near))
             : "it is added with unknown parents; add a row if more is known");
    // Ids that differ in case, blanks and accents alone are asked about among all likenesses.
    if (!near || !questions_ || folded(built_.ids[*near]) == folded(built_.ids[f.animals[0]]))
      return;
    Told question = told_.back();
    question.problem.severity = Severity::question;
    question.problem.code = "id-near";
    question.problem.message = fmt::format("is {} the same animal as {}?",
                                           quoted(built_.ids[f.animals[0]]), with_place(*near));
    question.problem.remedy = "if it is, write the id the same way in both places";
    told_.push_back(std::move(question));
  }

  void tell(const Finding& f) {
    if (f.code == "loop") return loop(f);
    if (f.code == "id-twice") return id_twice(f);
    if (f.code == "both-roles") return both_roles(f);
    if (f.code == "parent-added") return parent_added(f);
    if (f.code == "own-parent") {
      return say(f, Cell::parent, fmt::format("{} is written as its own parent", id(f, 0)),
                 "correct the parent, or leave it blank");
    }
    if (f.code == "same-parent-twice") {
      const bool listed = f.rows.size() > 1;
      return say(f, Cell::dam,
                 listed ? fmt::format("{} is the dam of {} and one of its possible sires ({})",
                                      id(f, 1), id(f, 0), place_of(f.rows.back()))
                        : fmt::format("{} is both sire and dam of {}", id(f, 1), id(f, 0)),
                 "correct one of the two, or leave it blank");
    }
    if (f.code == "sire-and-possible") {
      return say(f, Cell::whole_row,
                 fmt::format("{} has a certain sire here ({}) and possible sires in {}", id(f, 0),
                             place_of(f.rows.front()), place_of(f.rows.back())),
                 "leave the sire blank in animals.csv, or take the list out");
    }
    if (f.code == "chance-sum") {
      return say(f, Cell::id, fmt::format("the chances of {} sum to more than 1", id(f, 0)),
                 "they are rescaled to sum to 1; correct them");
    }
    if (f.code == "litter-lists") {
      return say(f, Cell::id,
                 fmt::format("{} and {} are of one litter and their possible sires differ",
                             id(f, 0), id(f, 1)),
                 "each draws its sire for itself; give both the same list");
    }
    if (f.code == "kid-added") {
      return say(
          f, Cell::id,
          fmt::format("{} is not in {}", quoted(built_.ids[f.animals[0]]), tables_.animals_file),
          "it is added with unknown parents; add a row, or correct the id");
    }
    say(f, Cell::whole_row, fmt::format("{} cannot stand as it is written", id(f, 0)),
        "correct this row");
  }

  const BuiltPedigree& built_;
  const ParentTables& tables_;
  bool questions_;
  Complaints& complaints_;
  NearIds near_ids_;
  std::unordered_map<std::uint32_t, std::string> cells_of_line_;
  std::vector<Told> told_;
};

}  // namespace

void complain_of_findings(const BuiltPedigree& built, const ParentTables& tables, bool questions,
                          Complaints& complaints) {
  Teller(built, tables, questions, complaints).tell_all();
}

}  // namespace doewright
