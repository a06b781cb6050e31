// SPDX-License-Identifier: MIT
#include <doewright/pairing/genetics.hpp>
#include <doewright/pairing/what_if.hpp>

#include <algorithm>
#include <set>
#include <string>

namespace doewright {

namespace {

std::string place(Row row) {
  return std::string(file_name(row.table)) + ":" + std::to_string(row.line);
}

/// What one record says, as it stands in a list: "examinations.csv:4 (Hazel)".
std::string named(const Herd& herd, const EvidenceEffect& record) {
  std::string text;
  for (const Row row : record.rows) {
    if (!text.empty()) text += ", ";
    text += place(row);
  }
  return text + " (" + std::string(herd.ids[record.animal]) + ")";
}

}  // namespace

Genetics genetics_of(const Herd& herd, const GeneticsOptions& options, const Run& run) {
  Genetics result{Kinship(herd.pedigree, unknown_parents(herd), run), {}, {}, {}};
  const EvidenceIndex evidence(herd);
  FaultOptions fault_options;
  fault_options.seed = options.seed;
  result.faults = fit_faults(herd, result.kinship, evidence, fault_options, run);
  const bool told = std::any_of(result.faults.begin(), result.faults.end(),
                                [](const FaultFit& fit) { return fit.has_told(); });
  if (told) {
    fault_options.with_told = true;
    result.faults_told = fit_faults(herd, result.kinship, evidence, fault_options, run);
  }
  MeritOptions merit_options;
  merit_options.seed = options.seed;
  result.merit = fit_merit(herd, result.kinship, merit_options, run);
  return result;
}

Herd for_one_fault(const Herd& herd, FaultIndex fault) {
  Herd copy = herd;  // columns are shared
  const auto gene = [&](const FaultModel& model) {
    return model.same_locus_as.empty() ? model.key : model.same_locus_as;
  };
  for (FaultModel& model : copy.faults) {
    model.use = model.use && gene(model) == gene(herd.faults[fault]);
  }
  return copy;
}

Genetics refitted(const Genetics& before, const Herd& herd, const GeneticsOptions& options,
                  const Run& run) {
  Genetics result = before;
  const EvidenceIndex evidence(herd);
  FaultOptions fault_options;
  fault_options.seed = options.seed;
  const auto put = [&](std::vector<FaultFit>& all, const std::vector<FaultFit>& fits) {
    for (const FaultFit& fit : fits) {
      const auto same = std::find_if(all.begin(), all.end(), [&](const FaultFit& other) {
        return other.fault() == fit.fault();
      });
      if (same != all.end()) *same = fit;
    }
  };
  put(result.faults, fit_faults(herd, result.kinship, evidence, fault_options, run));
  if (!result.faults_told.empty()) {
    fault_options.with_told = true;
    put(result.faults_told, fit_faults(herd, result.kinship, evidence, fault_options, run));
  }
  return result;
}

std::vector<Problem> contradictions(const Herd& herd, const std::vector<FaultFit>& faults) {
  std::vector<Problem> result;
  std::set<std::string> said;  // signs of one gene share their records
  for (const FaultFit& fit : faults) {
    if (fit.possible()) continue;
    std::string records;
    for (const EvidenceEffect& record : fit.contradiction()) {
      if (!records.empty()) records += "; ";
      records += named(herd, record);
    }
    if (!said.insert(records).second) continue;
    Problem problem;
    problem.severity = Severity::error;
    problem.code = "records-contradict";
    const FaultModel& model = herd.faults[fit.fault()];
    if (!fit.contradiction().empty()) {
      const EvidenceEffect& last = fit.contradiction().back();
      const Row row = last.rows.empty() ? Row{} : last.rows.front();
      problem.file = std::string(file_name(row.table));
      problem.line = row.line;
      problem.animal = std::string(herd.ids[last.animal]);
    }
    problem.message = "by the inheritance of " + model.key +
                      " these records cannot all be true together: " + records;
    problem.remedy =
        "one of them, a parent, or the entry in faults.toml is wrong: correct that one";
    result.push_back(std::move(problem));
  }
  return result;
}

std::vector<Problem> rough_evidence(const Herd& herd, const std::vector<FaultFit>& faults) {
  std::vector<Problem> result;
  for (const FaultFit& fit : faults) {
    const std::size_t animals = fit.ends_unsaid();
    if (animals == 0) continue;
    const FaultModel& model = herd.faults[fit.fault()];
    std::string grades;
    for (std::size_t g = 0; g < model.grades.size(); ++g) {
      if (g == model.wanted) continue;
      grades += (grades.empty() ? "" : ", ") + model.grades[g];
    }
    Problem problem;
    problem.severity = Severity::warning;
    problem.code = "grade-unsaid";
    problem.file = std::string(file_name(Table::examinations));
    problem.message = model.key + " was found, and nobody said which way, in " +
                      std::to_string(animals) + (animals == 1 ? " animal" : " animals") +
                      " more than both ways can be tried for: its chances are rough, some by 10 in 100";
    problem.remedy = "write the grade in place of yes or removed: " + grades;
    result.push_back(std::move(problem));
  }
  return result;
}

bool take_out_contradictions(Herd& herd, const std::vector<FaultFit>& faults) {
  std::set<Row> rows;
  std::size_t taken = 0;
  for (const FaultFit& fit : faults) {
    for (const EvidenceEffect& record : fit.contradiction()) {
      if (record.kind == EvidenceKind::alive || record.kind == EvidenceKind::died) {
        taken += herd.animals.survival_set_aside.insert(record.animal.position).second ? 1u : 0u;
        continue;
      }
      rows.insert(record.rows.begin(), record.rows.end());
    }
  }
  const auto is_named = [&](const auto& record) { return rows.contains(record.row); };
  taken += std::erase_if(herd.examinations, is_named);
  taken += std::erase_if(herd.gene_tests, is_named);
  taken += std::erase_if(herd.kid_counts, is_named);
  for (Kidding& kidding : herd.kiddings) {
    if (!is_named(kidding) || !kidding.kids_born) continue;
    kidding.kids_born = kidding.kids_alive = kidding.kids_raised = std::nullopt;
    ++taken;
  }
  AnimalFacts& facts = herd.animals;
  for (std::uint32_t a = 0; a < herd.pedigree.size(); ++a) {
    if (!rows.contains(Row{Table::animals, facts.line[a]})) continue;
    if (facts.horns[a] != Horns::unknown) {
      facts.horns[a] = Horns::unknown;
      ++taken;
    }
    if (facts.sex[a] == Sex::intersex) {
      facts.sex[a] = Sex::unknown;
      ++taken;
    }
  }
  return taken > 0;
}

std::vector<Problem> contradictions(const Herd& herd, const Run& run) {
  const EvidenceIndex evidence(herd);
  FaultOptions options;
  const std::vector<FaultFit> seen = fit_loci(herd, evidence, options, run);
  std::vector<Problem> found = contradictions(herd, seen);
  const bool told = std::any_of(seen.begin(), seen.end(),
                                [](const FaultFit& fit) { return fit.has_told(); });
  if (!found.empty() || !told) return found;
  options.with_told = true;
  return contradictions(herd, fit_loci(herd, evidence, options, run));
}

}  // namespace doewright
