// SPDX-License-Identifier: MIT
#include <doewright/herdbook/read.hpp>

#include <sys/stat.h>

#include <algorithm>
#include <unordered_map>
#include <unordered_set>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

#include "animals_table.hpp"
#include "complaints.hpp"
#include "file_text.hpp"
#include "findings.hpp"
#include "possible_sires_table.hpp"
#include "side_tables.hpp"
#include "toml_files.hpp"

namespace doewright {

NotFound::~NotFound() = default;

namespace {

constexpr Table tables[] = {Table::possible_sires,   Table::examinations, Table::kid_counts,
                            Table::gene_tests,       Table::records,      Table::health_tests,
                            Table::heats,            Table::services,     Table::pregnancy_checks,
                            Table::kiddings,         Table::does,         Table::sires,
                            Table::faults,           Table::traits,       Table::season};

enum class PathKind : std::uint8_t { nothing, folder, file };

PathKind kind_of(const std::string& path) {
  struct stat info = {};
  if (::stat(path.c_str(), &info) != 0) return PathKind::nothing;
  return S_ISDIR(info.st_mode) ? PathKind::folder : PathKind::file;
}

class BookReader {
 public:
  BookReader(const std::string& path, const ReadOptions& options, const Run& run)
      : path_(path), options_(options), run_(run) {}

  HerdBook read() {
    open_files();
    read_settings();
    read_animals();
    if (animals_usable_) read_the_rest();
    return finish();
  }

 private:
  void open_files() {
    if (path_ == "-") {
      animals_file_ = "<stdin>";
      animals_ = FileText(path_);
      return;
    }
    switch (kind_of(path_)) {
      case PathKind::nothing:
        throw NotFound(printable(path_) + ": there is no such file or folder");
      case PathKind::file:
        animals_file_ = path_.substr(path_.find_last_of('/') + 1);
        animals_ = FileText(path_);
        return;
      case PathKind::folder: break;
    }
    is_folder_ = true;
    animals_file_ = file_name(Table::animals);
    const std::string animals = in_folder(Table::animals);
    if (kind_of(animals) == PathKind::nothing) {
      throw NotFound(printable(path_) + ": this folder holds no animals.csv; `doewright start` makes a "
                                        "herd book to begin with");
    }
    animals_ = FileText(animals);
    for (const Table table : tables) {
      const std::string file = in_folder(table);
      if (kind_of(file) != PathKind::nothing) files_.emplace(table, FileText(file));
    }
  }

  std::string in_folder(Table table) const { return path_ + "/" + std::string(file_name(table)); }

  std::string_view text_of(Table table) const {
    const auto file = files_.find(table);
    return file == files_.end() ? std::string_view() : file->second.text();
  }

  void read_settings() {
    std::vector<Problem> problems;
    if (files_.contains(Table::season)) {
      herd_.season = read_season(text_of(Table::season), file_name(Table::season), problems);
    }
    std::vector<FaultModel> faults;
    std::vector<Trait> traits;
    if (files_.contains(Table::faults)) {
      faults = read_faults(text_of(Table::faults), file_name(Table::faults), problems);
    }
    if (files_.contains(Table::traits)) {
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

  void read_animals() {
    if (files_.contains(Table::possible_sires)) {
      possible_ = read_possible_sires(text_of(Table::possible_sires), complaints_);
    }
    std::unordered_map<std::string, KidFacts> kids;
    for (const PossibleRow& row : possible_) kids.try_emplace(row.kid);

    PedigreeBuilder builder;
    AnimalsTable table(animals_.text(), animals_file_, herd_.as_of, future_, builder, kids, complaints_,
                       run_);
    animals_usable_ = table.usable();
    if (!animals_usable_) return;
    left_out_ += table.rows_left_out();
    const std::vector<Mention> mentions = mention_animals(files_, builder);
    add_possible_sires(possible_, kids, files_, builder);

    BuiltPedigree built = std::move(builder).build(run_);
    herd_.animals = std::move(table).facts(built);
    say_mentions(mentions, built);
    complain_of_findings(built, animals_.text(), animals_file_, complaints_);
    herd_.pedigree = built.pedigree;
    herd_.ids = built.ids;
  }

  /// A possible sire or parent that only a list names is said as a parent; others are said here.
  void say_mentions(const std::vector<Mention>& mentions, const BuiltPedigree& built) {
    std::unordered_set<std::uint32_t> said_as_parent;
    for (const Finding& finding : built.findings) {
      if (finding.code == "parent-added") said_as_parent.insert(finding.animals.front().position);
    }
    for (const Mention& mention : mentions) {
      const auto animal = built.ids.find(mention.id);
      if (!animal || said_as_parent.contains(animal->position)) continue;
      complaints_.warning("animal-added", file_name(mention.row.table), mention.row.line, mention.column,
                          mention.id,
                          fmt::format("'{}' is not in {}", printable(mention.id), animals_file_),
                          "added with unknown parents; add a row, or correct the id");
    }
  }

  void read_the_rest() {
    for (const PossibleRow& row : possible_) {
      const auto kid = herd_.ids.find(row.kid), sire = herd_.ids.find(row.sire);
      if (!kid || !sire) continue;
      for (const SireChance& chance : herd_.pedigree.possible_sires(*kid)) {
        if (chance.sire == *sire) {
          herd_.possible_sires.push_back({*kid, *sire, chance.probability, row.litter, row.row});
        }
      }
    }
    left_out_ += read_side_tables(files_, herd_, future_, complaints_);
    if (options_.fill_lists) fill_lists();
    complaints_.add_all(named(check(herd_)));
    if (options_.questions) complaints_.add_all(named(likenesses(herd_)));
    if (left_out_ > 0) {
      complaints_.warning("date-future", animals_file_, 0, 0, {},
                          fmt::format("{} {} dated after {} and left out", left_out_,
                                      left_out_ == 1 ? "row is" : "rows are", to_text(herd_.as_of)),
                          "nothing to do if the book is read as of an earlier day");
    }
  }

  /// The rooms call the animals' table by its usual name.
  std::vector<Problem> named(std::vector<Problem> problems) const {
    if (is_folder_) return problems;
    for (Problem& problem : problems) {
      if (problem.file == file_name(Table::animals)) problem.file = animals_file_;
    }
    return problems;
  }

  void fill_lists() {
    if (!herd_.does_listed) {
      herd_.does = does_by_default(herd_);
      complaints_.warning("does-default", file_name(Table::does), 0, 0, {},
                          fmt::format("there is no does.csv: every living doe of the own herd that is of "
                                      "age is put forward ({})",
                                      herd_.does.size()),
                          "list the does of this season in does.csv");
    }
    if (!herd_.sires_listed) {
      herd_.sires = sires_by_default(herd_);
      complaints_.warning("sires-default", file_name(Table::sires), 0, 0, {},
                          fmt::format("there is no sires.csv: every living buck is on offer ({})",
                                      herd_.sires.size()),
                          "list the sires on offer this season in sires.csv");
    }
  }

  HerdBook finish() {
    HerdBook book;
    book.as_of = herd_.as_of;
    book.errors_total = complaints_.errors();
    book.warnings_total = complaints_.warnings();
    book.questions_total = complaints_.questions();
    const bool errors_stop = book.errors_total > 0 && (!options_.set_aside || complaints_.lost());
    const bool warnings_stop = options_.strict && book.warnings_total > 0;
    if (animals_usable_ && !errors_stop && !warnings_stop) {
      book.set_aside = book.errors_total;
      book.herd = std::make_shared<const Herd>(std::move(herd_));
    }
    book.problems = std::move(complaints_).sorted();
    return book;
  }

  std::string path_;
  const ReadOptions& options_;
  const Run& run_;
  bool is_folder_ = false, animals_usable_ = false;
  std::string animals_file_;
  FileText animals_;
  BookFiles files_;
  Complaints complaints_;
  Herd herd_;
  Future future_ = Future::is_error;
  std::vector<PossibleRow> possible_;
  std::size_t left_out_ = 0;
};

}  // namespace

HerdBook read_herd_book(const std::string& path, const ReadOptions& options, const Run& run) {
  return BookReader(path, options, run).read();
}

}  // namespace doewright
