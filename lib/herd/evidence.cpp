// SPDX-License-Identifier: MIT
#include <doewright/herd/evidence.hpp>

#include <algorithm>
#include <cstddef>
#include <string_view>
#include <tuple>
#include <utility>

#include <doewright/core/errors.hpp>

namespace doewright {

namespace {

constexpr std::int32_t kidded_age_days = 365;  // DEFINITIONS 11: signs elsewhere in the book

/// Rows by animal: row k stands under key(k), in order of the file. \pre keys are positions.
template <class Keys>
void order_by_animal(std::size_t animals, std::size_t rows, Keys each_key,
                     std::vector<std::uint32_t>& first, std::vector<std::uint32_t>& order) {
  first.assign(animals + 1, 0);
  for (std::size_t k = 0; k < rows; ++k) {
    each_key(k, [&](Animal animal) { ++first[animal.position]; });
  }
  std::uint32_t sum = 0;
  for (std::uint32_t& count : first) sum += std::exchange(count, sum);
  order.resize(sum);
  std::vector<std::uint32_t> next = first;
  for (std::size_t k = 0; k < rows; ++k) {
    each_key(
        k, [&](Animal animal) { order[next[animal.position]++] = static_cast<std::uint32_t>(k); });
  }
}

bool is_unwanted(const FaultModel& fault, const Sign& sign) {
  return sign.found != Found::grade || sign.grade != fault.wanted;
}

/// The grade that says the thing is there: "yes", else the last; and that it is not: the wanted
/// one.
Sign sign_of(const FaultModel& fault, bool shown) {
  Sign sign;
  if (!shown) {
    sign.grade = fault.wanted;
  } else if (const auto yes = std::find(fault.grades.begin(), fault.grades.end(), "yes");
             yes != fault.grades.end()) {
    sign.grade = static_cast<std::uint8_t>(yes - fault.grades.begin());
  } else {
    sign.found = Found::unwanted;
  }
  return sign;
}

/// Larger is worse. A tie of everything goes to the earlier row: the first of equals is kept.
auto badness(const FaultModel& fault, const Sign& sign) {
  return std::tuple(is_unwanted(fault, sign), sign.found == Found::grade, sign.grade,
                    sign.found != Found::removed, sign.detection);
}

bool counts_more(const FaultModel& fault, const Sign& a, const Sign& b) {
  // An unknown date compares before every other: undated first.
  if (fault.repeat == Repeat::latest && a.date != b.date) return a.date > b.date;
  return badness(fault, a) > badness(fault, b);
}

/// Of several looks that found nothing unwanted, the one that would have seen most.
const Sign& best_of_same(const FaultModel& fault, const std::vector<Sign>& signs,
                         const Sign& chosen) {
  const Sign* best = &chosen;
  for (const Sign& sign : signs) {
    if (!is_unwanted(fault, sign) && sign.detection > best->detection) best = &sign;
  }
  return is_unwanted(fault, chosen) ? chosen : *best;
}

LookedAt summed_up(const FaultModel& fault, const std::vector<Sign>& signs, bool scored) {
  LookedAt result;
  const Sign* best = nullptr;
  for (const Sign& sign : signs) {
    result.rows.push_back(sign.row);
    const bool tells = scored && (is_unwanted(fault, sign) || sign.detection > 0.0);
    if (tells && (best == nullptr || counts_more(fault, sign, *best))) best = &sign;
  }
  if (best == nullptr) return result;
  best = &best_of_same(fault, signs, *best);
  result.look = is_unwanted(fault, *best) ? Look::found : Look::clear;
  result.removed = best->found == Found::removed;
  if (best->found == Found::grade) result.grade = best->grade;
  result.age_days = best->age_days;
  result.detection = best->detection;
  return result;
}

}  // namespace

double detection_at(const FaultModel& fault, std::optional<std::int32_t> age_days) {
  if (fault.detection.empty()) return 1.0;
  double chance = 0.0;
  if (!age_days) {
    chance = 1.0;
    for (const auto& [from_age, step] : fault.detection) chance = std::min(chance, step);
    return chance;
  }
  for (const auto& [from_age, step] : fault.detection) {
    if (from_age <= *age_days) chance = step;
  }
  return chance;
}

bool is_scored(const FaultModel& fault, Sex sex) noexcept {
  if (fault.kind != FaultKind::locus) return true;  // thresholds are declared for both sexes
  switch (sex) {
    case Sex::doe:
    case Sex::intersex:
      return fault.shown_doe.has_value();
    case Sex::buck:
    case Sex::wether:
      return fault.shown_buck.has_value();
    case Sex::unknown:
      break;
  }
  return fault.shown_doe.has_value() || fault.shown_buck.has_value();
}

EvidenceIndex::EvidenceIndex(const Herd& herd) : herd_(&herd), offspring_(herd.pedigree) {
  const std::size_t n = herd.pedigree.size();
  order_by_animal(
      n, herd.examinations.size(),
      [&](std::size_t k, auto put) { put(herd.examinations[k].animal); }, exam_first_, exam_order_);
  order_by_animal(
      n, herd.kid_counts.size(),
      [&](std::size_t k, auto put) {
        put(herd.kid_counts[k].sire);
        if (herd.kid_counts[k].dam) put(*herd.kid_counts[k].dam);
      },
      count_first_, count_order_);
  order_by_animal(
      n, herd.kiddings.size(), [&](std::size_t k, auto put) { put(herd.kiddings[k].doe); },
      kidding_first_, kidding_order_);
}

std::vector<Sign> EvidenceIndex::signs(Animal animal, FaultIndex fault) const {
  if (animal.position >= herd_->pedigree.size()) throw UsageError("evidence: no such animal");
  if (fault >= herd_->faults.size()) throw UsageError("evidence: no such fault");
  std::vector<Sign> signs;
  for (std::uint32_t k = exam_first_[animal.position]; k < exam_first_[animal.position + 1]; ++k) {
    const Examination& look = herd_->examinations[exam_order_[k]];
    if (look.fault != fault) continue;
    signs.push_back({look.found, look.grade, look.date, look.age_days, 1.0, look.row});
  }
  add_signs_elsewhere(animal, fault, signs);
  for (Sign& sign : signs) sign.detection = detection_at(herd_->faults[fault], sign.age_days);
  return signs;
}

void EvidenceIndex::add_signs_elsewhere(Animal animal, FaultIndex fault,
                                        std::vector<Sign>& signs) const {
  const AnimalFacts& facts = herd_->animals;
  const FaultModel& model = herd_->faults[fault];
  const Row row{Table::animals, facts.line[animal.position]};
  if (model.key == "polled" && facts.horns[animal.position] != Horns::unknown) {
    Sign sign = sign_of(model, facts.horns[animal.position] == Horns::polled);
    sign.date = facts.born[animal.position];
    sign.age_days = 0;
    sign.row = row;
    signs.push_back(sign);
  }
  if (model.key != "intersex") return;
  if (facts.sex[animal.position] == Sex::intersex) {
    Sign sign = sign_of(model, true);
    sign.row = row;
    signs.push_back(sign);
    return;
  }
  const auto add_kidding = [&](PartialDate date, Row where) {
    Sign sign = sign_of(model, false);
    sign.date = date;
    sign.age_days = kidded_age_days;
    sign.row = where;
    signs.push_back(sign);
  };
  for (const Animal kid : offspring_.of(animal)) {
    if (herd_->pedigree.dam(kid) != animal) continue;
    add_kidding(facts.born[kid.position], {Table::animals, facts.line[kid.position]});
  }
  for (std::uint32_t k = kidding_first_[animal.position]; k < kidding_first_[animal.position + 1];
       ++k) {
    const Kidding& kidding = herd_->kiddings[kidding_order_[k]];
    add_kidding(kidding.date, kidding.row);
  }
}

LookedAt EvidenceIndex::looked_at(Animal animal, FaultIndex fault) const {
  const std::vector<Sign> all = signs(animal, fault);
  const FaultModel& model = herd_->faults[fault];
  return summed_up(model, all, is_scored(model, herd_->animals.sex[animal.position]));
}

void EvidenceIndex::add(Animal animal, FaultIndex fault, LookCount& count) const {
  ++count.animals;
  const LookedAt looked = looked_at(animal, fault);
  if (looked.look == Look::not_looked) return;
  ++count.examined;
  if (looked.look == Look::found) ++count.found;
  count.rows.insert(count.rows.end(), looked.rows.begin(), looked.rows.end());
}

void EvidenceIndex::add_test(Animal animal, FaultIndex fault, LookCount& count) const {
  ++count.animals;
  const GeneTested result = tested(animal, fault);
  if (!result.copies) return;
  ++count.examined;
  if (*result.copies > 0) ++count.found;
  count.rows.insert(count.rows.end(), result.rows.begin(), result.rows.end());
}

GeneTested EvidenceIndex::tested(Animal animal, FaultIndex fault) const {
  GeneTested result;
  const GeneTest* newest = nullptr;
  bool differ = false;
  for (const GeneTest& test : herd_->gene_tests) {
    if (test.animal != animal || test.fault != fault) continue;
    result.rows.push_back(test.row);
    const bool same_sample =
        newest != nullptr && test.date == newest->date && test.laboratory == newest->laboratory;
    if (same_sample) {
      differ = differ || test.copies != newest->copies;
    } else if (newest == nullptr || test.date >= newest->date) {
      newest = &test;
      differ = false;
    }
  }
  if (newest != nullptr && !differ) result.copies = newest->copies;
  return result;
}

FaultEvidence EvidenceIndex::around(Animal animal, FaultIndex fault) const {
  FaultEvidence result;
  result.own = looked_at(animal, fault);
  result.test = tested(animal, fault);
  if (const auto sire = herd_->pedigree.sire(animal)) result.sire_test = tested(*sire, fault);
  if (const auto dam = herd_->pedigree.dam(animal)) result.dam_test = tested(*dam, fault);
  std::vector<Animal> sibs;
  const auto look_at_parent = [&](std::optional<Animal> parent, LookedAt& looked, bool& known) {
    known = parent.has_value();
    if (!parent) return;
    looked = looked_at(*parent, fault);
    const auto kids = offspring_.of(*parent);
    sibs.insert(sibs.end(), kids.begin(), kids.end());
  };
  look_at_parent(herd_->pedigree.sire(animal), result.sire, result.sire_known);
  look_at_parent(herd_->pedigree.dam(animal), result.dam, result.dam_known);

  std::sort(sibs.begin(), sibs.end());  // a full sib came twice
  sibs.erase(std::unique(sibs.begin(), sibs.end()), sibs.end());
  for (const Animal sib : sibs) {
    if (sib != animal) add(sib, fault, result.sibs);
  }
  for (const Animal kid : offspring_.of(animal)) add(kid, fault, result.kids);
  const bool any_tested = std::any_of(herd_->gene_tests.begin(), herd_->gene_tests.end(),
                                      [&](const GeneTest& test) { return test.fault == fault; });
  if (any_tested) {
    for (const Animal sib : sibs) {
      if (sib != animal) add_test(sib, fault, result.sibs_tested);
    }
    for (const Animal kid : offspring_.of(animal)) add_test(kid, fault, result.kids_tested);
  }

  const FaultModel& model = herd_->faults[fault];
  for (std::uint32_t k = count_first_[animal.position]; k < count_first_[animal.position + 1];
       ++k) {
    const KidCount& count = herd_->kid_counts[count_order_[k]];
    if (count.fault != fault || !is_scored(model, count.sex)) continue;
    LookCount& into = count.told ? result.elsewhere_told : result.elsewhere_seen;
    into.animals += count.examined;
    into.examined += count.examined;
    into.found += count.affected;
    into.rows.push_back(count.row);
  }
  return result;
}

}  // namespace doewright
