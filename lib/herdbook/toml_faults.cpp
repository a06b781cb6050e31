// SPDX-License-Identifier: MIT
#include <array>
#include <set>
#include <utility>

#include <doewright/herdbook/built_in.hpp>

#include "toml_entries.hpp"
#include "toml_fault_entry.hpp"
#include "toml_files.hpp"

namespace doewright {
namespace {

using namespace std::string_view_literals;

// Columns of examinations.csv in its wide form, where every other column is a fault.
constexpr std::array reserved_columns = {"animal"sv, "date"sv, "age"sv, "by"sv, "note"sv};

/// The entry that `model` borrows its allele frequency from: the file's own first.
const FaultModel* lender_of(const FaultModel& model, const std::vector<FaultModel>& own,
                            const std::vector<FaultModel>& built_in) {
  const FaultModel* lender = find_entry(own, model.same_locus_as);
  return lender ? lender : find_entry(built_in, model.same_locus_as);
}

bool can_lend(const FaultModel& lender, const FaultModel& borrower) {
  return lender.kind == FaultKind::locus && lender.same_locus_as.empty() &&
         lender.inheritance == borrower.inheritance;
}

/// same_locus_as names an entry of one gene that has a frequency of its own.
void check_lenders(const TomlValue& tree, const std::vector<FaultModel>& own,
                   const std::vector<FaultModel>& built_in, const std::set<std::string>& broken,
                   TomlComplaints& complaints) {
  for (const TomlEntry& entry : tree.entries) {
    const FaultModel* model = find_entry(own, entry.key);
    if (!model || model->same_locus_as.empty() || only_switches(entry)) continue;
    if (broken.contains(model->same_locus_as)) continue;
    const TomlTable table(entry.value, entry.key, complaints);
    const FaultModel* lender = lender_of(*model, own, built_in);
    if (!lender) {
      std::vector<std::string_view> keys;
      for (const FaultModel& other : own) keys.push_back(other.key);
      for (const FaultModel& other : built_in) keys.push_back(other.key);
      table.wrong("same_locus_as",
                  fmt::format("{}.same_locus_as names {}, which is no fault of the book", entry.key,
                              model->same_locus_as),
                  one_of(model->same_locus_as, keys));
    } else if (lender == model || !can_lend(*lender, *model)) {
      table.wrong("same_locus_as",
                  fmt::format("{}.same_locus_as names {}, which is not another entry of one gene "
                              "with a frequency of its own and the same inheritance",
                              entry.key, model->same_locus_as),
                  "name the entry that gives the gene's allele_frequency");
    }
  }
  // A built-in sign must still find its gene where the keeper replaced that entry.
  for (const FaultModel& model : built_in) {
    if (model.same_locus_as.empty() || find_entry(own, model.key)) continue;
    const FaultModel* replaced = find_entry(own, model.same_locus_as);
    if (!replaced || broken.contains(replaced->key) || can_lend(*replaced, model)) continue;
    complaints.wrong({replaced->row.line, 1},
                     fmt::format("the built-in {} is a sign of the gene {}, which this entry makes "
                                 "something else",
                                 model.key, replaced->key),
                     fmt::format("keep {} an autosomal gene, or add [{}] with use = false",
                                 replaced->key, model.key));
  }
}

std::vector<FaultModel> read_entries(const TomlValue& tree, const std::vector<FaultModel>& built_in,
                                     TomlComplaints& complaints) {
  std::vector<FaultModel> own;
  std::set<std::string> broken;
  std::vector<std::string_view> taken;
  for (const FaultModel& model : built_in) taken.push_back(model.key);
  if (tree.entries.size() > most_toml_entries) {
    complaints.wrong(
        {}, fmt::format("{} entries, more than {}", tree.entries.size(), most_toml_entries),
        "keep the faults that matter in this herd");
    return own;
  }
  for (const TomlEntry& entry : tree.entries) {
    if (!key_is_good(entry, "fault", taken, reserved_columns, complaints)) continue;
    taken.push_back(entry.key);
    TomlTable table(entry.value, entry.key, complaints);
    const FaultModel* named = find_entry(built_in, entry.key);
    if (named && only_switches(entry)) {
      FaultModel model = *named;
      if (const auto use = table.flag("use")) model.use = *use;
      model.row = {Table::faults, entry.value.place.line};
      model.built_in = false;
      own.push_back(std::move(model));
    } else {
      auto [model, usable] = read_fault_entry(table, entry.key, named != nullptr);
      if (!usable) broken.insert(entry.key);
      if (!usable && named) continue;  // the built-in one stands
      // Its key stays known, so that the tables do not complain of it again; it is not computed
      // with.
      if (!usable) model.use = false;
      model.row = {Table::faults, entry.value.place.line};
      own.push_back(std::move(model));
    }
  }
  check_lenders(tree, own, built_in, broken, complaints);
  return own;
}

std::vector<FaultModel> built_in_faults() {
  std::vector<Problem> none;
  TomlComplaints complaints{"built-in faults", none};
  std::vector<FaultModel> models;
  if (const auto tree = parse_toml(built_in_faults_toml(), complaints.file, none)) {
    models = read_entries(*tree, {}, complaints);
  }
  for (FaultModel& model : models) {
    model.row = {};
    model.built_in = true;
  }
  return models;
}

}  // namespace

std::vector<FaultModel> read_faults(std::string_view text, std::string_view file,
                                    std::vector<Problem>& problems) {
  const auto tree = parse_toml(text, file, problems);
  if (!tree) return {};
  TomlComplaints complaints{std::string(file), problems};
  return read_entries(*tree, built_in_faults(), complaints);
}

std::vector<FaultModel> with_built_in_faults(std::vector<FaultModel> own) {
  return with_built_in(std::move(own), built_in_faults());
}

}  // namespace doewright
