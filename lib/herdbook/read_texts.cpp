// SPDX-License-Identifier: MIT
#include "read_texts.hpp"

#include <algorithm>
#include <unordered_set>
#include <utility>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

#include "animals_table.hpp"
#include "complaints.hpp"
#include "findings.hpp"
#include "possible_sires_table.hpp"
#include "toml_files.hpp"

namespace doewright {

namespace {

class BookReader {
 public:
  BookReader(BookTexts texts, const ReadOptions& options, const Run& run)
      : texts_(std::move(texts)), options_(options), run_(run) {}

  HerdBook read() {
    complaints_.add_all(std::move(texts_.problems));
    read_settings();
    read_tables();
    if (animals_usable_) {
      if (options_.fill_lists) fill_lists();
      check_herd();
    }
    say_left_out();
    return finish();
  }

 private:
  std::string_view text_of(Table table) const {
    const auto file = texts_.files.find(table);
    return file == texts_.files.end() ? std::string_view() : file->second.text();
  }
  bool has(Table table) const { return texts_.files.contains(table); }

  void read_settings() {
    std::vector<Problem> problems;
    if (has(Table::season)) {
      herd_.season = read_season(text_of(Table::season), file_name(Table::season), problems);
    }
    std::vector<FaultModel> faults;
    std::vector<Trait> traits;
    if (has(Table::faults)) {
      faults = read_faults(text_of(Table::faults), file_name(Table::faults), problems);
    }
    if (has(Table::traits)) {
      traits = read_traits(text_of(Table::traits), file_name(Table::traits), problems);
    }
    herd_.faults = with_built_in_faults(std::move(faults));
    herd_.traits = with_built_in_traits(std::move(traits));
    complaints_.add_all(std::move(problems));

    const auto& by_hand = options_.as_of ? options_.as_of : herd_.season.as_of;
    herd_.as_of = by_hand.value_or(options_.today);
    herd_.as_of_set = by_hand.has_value();
    future_ = herd_.as_of_set ? Future::leave_out : Future::is_error;
  }

  /// Without a usable animals.csv the other tables are read all the same: for what is wrong in
  /// them.
  void read_tables() {
    KidsById kids;
    if (has(Table::possible_sires)) kids = kids_with_lists(text_of(Table::possible_sires));
    PedigreeBuilder builder;
    AnimalsTable animals(texts_.animals.text(), texts_.animals_file, herd_.as_of, future_, builder,
                         kids, complaints_, run_);
    animals_usable_ = animals.usable();
    const KnownIds known{animals.left_out(), animals.has_zero()};
    left_out_ += animals.left_out().size();
    std::vector<PossibleRow> possible;
    if (has(Table::possible_sires)) {
      possible = read_possible_sires(text_of(Table::possible_sires), known, left_out_, complaints_);
    }
    const std::vector<Mention> mentions = mention_animals(texts_.files, known, builder, run_);
    add_possible_sires(possible, kids, texts_.files, builder);
    const std::unordered_set<std::string> left_out = animals.left_out();
    build(std::move(builder), std::move(animals), mentions, left_out);
    herd_.possible_sires = used_possible_sires(possible, herd_);

    SideReading reading(herd_, future_, complaints_, run_);
    read_side_tables(texts_.files, reading);
    left_out_ += reading.left_out();
  }

  void build(PedigreeBuilder builder, AnimalsTable animals, const std::vector<Mention>& mentions,
             const std::unordered_set<std::string>& left_out) {
    const BuiltPedigree built = std::move(builder).build(run_);
    herd_.animals = std::move(animals).facts(built);
    herd_.pedigree = built.pedigree;
    herd_.ids = built.ids;
    if (!animals_usable_) return;  // then every animal is one that has no row
    say_mentions(mentions, built);
    complain_of_findings(
        built,
        {texts_.animals.text(), texts_.animals_file, text_of(Table::possible_sires), left_out},
        options_.questions, complaints_);
  }

  /// A possible sire or parent that only a list names is said as a parent; others are said here.
  void say_mentions(const std::vector<Mention>& mentions, const BuiltPedigree& built) {
    if (mentions.empty()) return;
    std::unordered_set<std::uint32_t> said_as_parent;
    for (const Finding& finding : built.findings) {
      if (finding.code == "parent-added") said_as_parent.insert(finding.animals.front().position);
    }
    for (const Mention& mention : mentions) {
      const auto animal = built.ids.find(mention.id);
      if (!animal || said_as_parent.contains(animal->position)) continue;
      complaints_.warning("animal-added", file_name(mention.row.table), mention.row.line,
                          mention.column, mention.id,
                          fmt::format("{} is not in {}", quoted(mention.id), texts_.animals_file),
                          "it is added with unknown parents; add a row, or correct the id");
    }
  }

  /// The rules that look at several facts at once. Where a record is set aside, the fact that
  /// cannot be is read as unknown.
  void check_herd() {
    std::vector<Problem> errors;
    check(herd_, [&](Problem&& problem) {
      if (options_.set_aside && problem.severity == Severity::error) errors.push_back(problem);
      complaints_.add(named(std::move(problem)));
    });
    for (const Problem& error : errors) set_aside(error);
    if (!options_.questions) return;
    likenesses(herd_, [&](Problem&& problem) { complaints_.add(named(std::move(problem))); });
  }

  void set_aside(const Problem& error) {
    const auto animal = herd_.ids.find(error.animal);
    if (!animal) return;
    if (error.code == "sex-use") herd_.animals.sex[animal->position] = Sex::unknown;
    if (error.code == "born-before-parent") herd_.animals.born[animal->position] = {};
  }

  /// The rooms call the animals' table by its usual name.
  Problem named(Problem problem) const {
    if (problem.file == file_name(Table::animals)) problem.file = texts_.animals_file;
    return problem;
  }

  void fill_lists() {
    if (!has(Table::does)) {
      herd_.does = does_by_default(herd_);
      complaints_.warning(
          "does-default", file_name(Table::does), 0, 0, {},
          fmt::format("there is no does.csv: every living doe of the own herd that is of "
                      "age is put forward ({})",
                      herd_.does.size()),
          "list the does of this season in does.csv");
    }
    if (!has(Table::sires)) {
      herd_.sires = sires_by_default(herd_);
      complaints_.warning("sires-default", file_name(Table::sires), 0, 0, {},
                          fmt::format("there is no sires.csv: every living buck is on offer ({})",
                                      herd_.sires.size()),
                          "list the sires on offer this season in sires.csv");
    }
  }

  void say_left_out() {
    if (left_out_ == 0) return;
    complaints_.warning("date-future", texts_.animals_file, 0, 0, {},
                        fmt::format("{} {} dated after {} and left out (of all tables together)", left_out_,
                                    left_out_ == 1 ? "row is" : "rows are", to_text(herd_.as_of)),
                        "nothing to do if the book is read as of an earlier day");
  }

  HerdBook finish() {
    HerdBook book;
    book.as_of = herd_.as_of;
    book.errors_total = complaints_.errors();
    book.warnings_total = complaints_.warnings();
    book.questions_total = complaints_.questions();
    const bool errors_stop = book.errors_total > 0 && (!options_.set_aside || complaints_.lost());
    const bool warnings_stop = options_.strict && !options_.set_aside && book.warnings_total > 0;
    if (animals_usable_ && !errors_stop && !warnings_stop) {
      book.set_aside = book.errors_total;
      book.herd = std::make_shared<const Herd>(std::move(herd_));
    }
    book.problems = std::move(complaints_).sorted();
    return book;
  }

  BookTexts texts_;
  const ReadOptions& options_;
  const Run& run_;
  bool animals_usable_ = false;
  Complaints complaints_;
  Herd herd_;
  Future future_ = Future::is_error;
  std::size_t left_out_ = 0;
};

}  // namespace

HerdBook read_texts(BookTexts texts, const ReadOptions& options, const Run& run) {
  return BookReader(std::move(texts), options, run).read();
}

}  // namespace doewright
