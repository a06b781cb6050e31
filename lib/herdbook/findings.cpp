// SPDX-License-Identifier: MIT
#include "findings.hpp"

#include <algorithm>
#include <unordered_map>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

#include "csv_reader.hpp"

namespace doewright {

namespace {

class Teller {
 public:
  Teller(const BuiltPedigree& built, std::string_view text, std::string_view file,
         Complaints& complaints)
      : built_(built), text_(text), file_(file), complaints_(complaints) {}

  void tell_all() {
    read_rows_twice();
    for (const Finding& finding : built_.findings) tell(finding);
  }

 private:
  std::string id(Animal animal) const { return printable(built_.ids[animal]); }
  std::string id(const Finding& f, std::size_t i) const { return id(f.animals[i]); }

  std::string file_of(Row row) const {
    return row.table == Table::animals || row.table == Table::none ? std::string(file_)
                                                                   : std::string(file_name(row.table));
  }
  /// "Hazel (animals.csv:12)".
  std::string with_place(Animal animal) const {
    const std::uint32_t line = built_.line_of[animal.position];
    return line == 0 ? id(animal) : fmt::format("{} ({}:{})", id(animal), file_, line);
  }

  void error(const Finding& f, std::string message, std::string remedy) {
    const Row row = f.rows.empty() ? Row{} : f.rows.front();
    complaints_.error(f.code, file_of(row), row.line, 0, built_.ids[f.animals.front()],
                      std::move(message), std::move(remedy));
  }
  void warning(const Finding& f, std::string message, std::string remedy) {
    const Row row = f.rows.empty() ? Row{} : f.rows.front();
    complaints_.warning(f.code, file_of(row), row.line, 0, built_.ids[f.animals.front()],
                        std::move(message), std::move(remedy));
  }

  /// Cells of the rows that share an id, so that "the rows say the same" can be told.
  void read_rows_twice() {
    for (const Finding& f : built_.findings) {
      if (f.code != "id-twice") continue;
      for (const Row row : f.rows) rows_.try_emplace(row.line);
    }
    if (rows_.empty()) return;
    CsvReader csv(text_, file_, nullptr);
    while (csv.next()) {
      const auto wanted = rows_.find(csv.line());
      if (wanted == rows_.end()) continue;
      for (std::size_t i = 0; i < csv.header().size(); ++i) {
        wanted->second += csv.text(i);
        wanted->second += '\0';
      }
    }
  }

  void id_twice(const Finding& f) {
    const Row first = f.rows.front(), later = f.rows.back();
    const bool same = rows_[first.line] == rows_[later.line];
    const std::string message =
        fmt::format("'{}' stands on line {} already{}", id(f, 0), first.line,
                    same ? ", and the rows say the same" : ", and the rows differ");
    const std::string remedy = same ? "read once; take one of the two rows out"
                                    : "give one of the two animals another id, or take a row out";
    const std::string_view animal = built_.ids[f.animals.front()];
    if (same) {
      complaints_.warning(f.code, file_, later.line, 0, animal, message, remedy);
    } else {
      complaints_.error(f.code, file_, later.line, 0, animal, message, remedy);
    }
  }

  void loop(const Finding& f) {
    std::string chain;
    for (const Animal animal : f.animals) {
      chain += (chain.empty() ? "" : " is a kid of ") + with_place(animal);
    }
    if (f.animals_in_all > f.animals.size()) {
      chain += fmt::format(" ... and {} more, back to {}", f.animals_in_all - f.animals.size(), id(f, 0));
    } else {
      chain += " is a kid of " + id(f, 0);
    }
    error(f, "an animal cannot be its own ancestor: " + chain,
          "one of these parents is wrong: correct it, or leave it blank");
  }

  void tell(const Finding& f) {
    if (f.code == "loop") return loop(f);
    if (f.code == "id-twice") return id_twice(f);
    if (f.code == "own-parent") {
      return error(f, fmt::format("{} is written as its own parent", id(f, 0)),
                   "correct the parent, or leave it blank");
    }
    if (f.code == "same-parent-twice") {
      return error(f, fmt::format("{} is both sire and dam of {}", id(f, 1), id(f, 0)),
                   "correct one of the two, or leave it blank");
    }
    if (f.code == "both-roles") {
      std::string where;
      if (f.rows.size() >= 3) {
        where = fmt::format(" ({}:{} and {}:{})", file_of(f.rows[1]), f.rows[1].line, file_of(f.rows[2]),
                            f.rows[2].line);
      }
      return error(f, fmt::format("{} is the sire of {} and the dam of {}{}", id(f, 0), id(f, 1), id(f, 2),
                                  where),
                   "correct one of the two parents");
    }
    if (f.code == "sire-and-possible") {
      const Row list = f.rows.size() > 1 ? f.rows[1] : Row{};
      return error(f, fmt::format("{} has a certain sire here and possible sires in {}:{}", id(f, 0),
                                  file_of(list), list.line),
                   "leave the sire blank in animals.csv, or take the list out");
    }
    if (f.code == "parent-added") {
      return warning({f.code, {f.animals[0]}, f.rows, {}, {}, {}},
                     fmt::format("{}, a parent of {}, has no row of its own", id(f, 0), id(f, 1)),
                     "added with unknown parents; add a row if more is known");
    }
    if (f.code == "chance-sum") {
      return warning(f, fmt::format("the chances of {} sum to more than 1", id(f, 0)),
                     "rescaled to sum to 1; correct them");
    }
    if (f.code == "litter-lists") {
      return warning(f, fmt::format("{} and {} are of one litter and their possible sires differ",
                                    id(f, 0), id(f, 1)),
                     "each draws its sire for itself; give both the same list");
    }
    if (f.code == "kid-added") {
      return warning({"animal-added", f.animals, f.rows, {}, {}, {}},
                     fmt::format("{} is not in {}", id(f, 0), file_),
                     "added with unknown parents; add a row if more is known");
    }
    error(f, std::string(f.code), "correct the rows named");
  }

  const BuiltPedigree& built_;
  std::string_view text_, file_;
  Complaints& complaints_;
  std::unordered_map<std::uint32_t, std::string> rows_;
};

}  // namespace

void complain_of_findings(const BuiltPedigree& built, std::string_view animals_text,
                          std::string_view animals_file, Complaints& complaints) {
  Teller(built, animals_text, animals_file, complaints).tell_all();
}

}  // namespace doewright
