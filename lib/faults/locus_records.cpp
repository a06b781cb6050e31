// SPDX-License-Identifier: MIT
#include "locus_records.hpp"

#include <algorithm>
#include <cmath>

#include <doewright/herd/samples.hpp>

#include "litter_of_kidding.hpp"
#include "survival.hpp"

namespace doewright {

namespace {

bool is_sign_of(const FaultModel& fault, const FaultModel& base) {
  return fault.kind == FaultKind::locus && fault.use &&
         (fault.key == base.key || fault.same_locus_as == base.key);
}

/// Tells nothing. Zero throughout is no such thing: it cannot be.
bool is_flat(const CopiesBySex& likelihood) {
  if (likelihood[0][0] == 0.0) return false;
  return std::all_of(likelihood.begin(), likelihood.end(), [&](const Copies& by_copies) {
    return std::all_of(by_copies.begin(), by_copies.end(),
                       [&](double value) { return value == likelihood[0][0]; });
  });
}

/// Chance that a kid of these parents is found unwanted, by detection `seen`, averaged over the sexes
/// that count.
double chance_found(const FaultModel& fault, const Transmission& from, int sire, int dam, Sex sex,
                    double seen) {
  double sum = 0.0;
  double weight = 0.0;
  for (int s = 0; s < 2; ++s) {
    const int given = genetic_sex(sex);
    if ((given != 2 && given != s) || !(s == 0 ? fault.shown_doe : fault.shown_buck)) continue;
    const Copies shown = chance_shown(fault, s);
    double chance = 0.0;
    for (int k = 0; k < 3; ++k) {
      chance += from.kid(k, sire, dam, s) * shown[static_cast<std::size_t>(k)];
    }
    sum += seen * chance;
    weight += 1.0;
  }
  return weight > 0.0 ? sum / weight : 0.0;
}

class Gatherer {
 public:
  Gatherer(const Herd& herd, const Locus& locus, const EvidenceIndex& evidence, bool with_told)
      : herd_(herd),
        locus_(locus),
        evidence_(evidence),
        with_told_(with_told),
        from_{herd.faults[locus.base].inheritance == Inheritance::x_linked},
        frequency_(allele_frequencies(herd, locus)) {}

  std::vector<LocusRecord> all() {
    for (const FaultIndex fault : locus_.signs) {
      if (herd_.faults[fault].lethal_by_days) {
        add_lethal(fault);
      } else {
        add_looks(fault);
      }
    }
    add_tests();
    add_counts();
    return std::move(records_);
  }

 private:
  const FaultModel& model(FaultIndex fault) const { return herd_.faults[fault]; }

  /// Animals that anybody may have looked at for this sign, ascending.
  std::vector<Animal> candidates(FaultIndex fault) const {
    std::vector<Animal> result;
    for (const Examination& look : herd_.examinations) {
      if (look.fault == fault) result.push_back(look.animal);
    }
    const AnimalFacts& facts = herd_.animals;
    const bool by_horns = model(fault).key == "polled";
    const bool by_sex = model(fault).key == "intersex";
    for (std::uint32_t a = 0; (by_horns || by_sex) && a < facts.sex.size(); ++a) {
      if ((by_horns && facts.horns[a] != Horns::unknown) ||
          (by_sex && facts.sex[a] == Sex::intersex)) {
        result.push_back(Animal{a});
      }
      if (by_sex) {
        if (const auto dam = herd_.pedigree.dam(Animal{a})) result.push_back(*dam);
      }
    }
    if (by_sex) {
      for (const Kidding& kidding : herd_.kiddings) result.push_back(kidding.doe);
    }
    std::sort(result.begin(), result.end());
    result.erase(std::unique(result.begin(), result.end()), result.end());
    return result;
  }

  void add(LocusRecord record) {
    if (!record.pair && !record.living_of_unknown_litter && is_flat(record.likelihood)) return;
    records_.push_back(std::move(record));
  }

  void add_looks(FaultIndex fault) {
    for (const Animal animal : candidates(fault)) {
      const LookedAt look = evidence_.looked_at(animal, fault);
      if (look.look == Look::not_looked) continue;
      add({.kind = RecordKind::look,
           .fault = fault,
           .animal = animal,
           .rows = look.rows,
           .likelihood = likelihood_of_look(model(fault), look)});
    }
  }

  /// A lethal sign: whoever lived past that age, or had a kid, was not showing; whoever died young may
  /// have been. Kids without a row count too where a kidding tells of them.
  void add_lethal(FaultIndex fault) {
    const double days = *model(fault).lethal_by_days;
    const Survival survival(herd_);
    const LittersOfKiddings litters(herd_);
    for (std::uint32_t a = 0; a < herd_.pedigree.size(); ++a) {
      const Animal animal{a};
      const LookedAt look = evidence_.looked_at(animal, fault);
      if (look.look == Look::found) {
        add({.kind = RecordKind::look,
             .fault = fault,
             .animal = animal,
             .rows = look.rows,
             .likelihood = likelihood_of_look(model(fault), look)});
      } else if (survival.known_alive_after(animal, days)) {
        add_alive(fault, animal, litters.size_known(animal));
      } else if (look.look == Look::clear) {
        add({.kind = RecordKind::look,
             .fault = fault,
             .animal = animal,
             .rows = look.rows,
             .likelihood = likelihood_of_look(model(fault), look)});
      } else if (survival.known_dead_before(animal, days)) {
        add({.kind = RecordKind::died,
             .fault = fault,
             .animal = animal,
             .rows = {own_row(animal)},
             .likelihood = dead(fault)});
      }
    }
    for (const LitterWithoutRows& litter : litters.without_rows(survival, days)) {
      add_kids_without_rows(fault, litter);
    }
  }

  Row own_row(Animal animal) const {
    return {Table::animals, herd_.animals.line[animal.position]};
  }

  /// Whoever lives says more than any look that found nothing; so the look does not count besides.
  void add_alive(FaultIndex fault, Animal animal, bool litter_size_known) {
    CopiesBySex not_shown;
    for (int sex = 0; sex < 2; ++sex) {
      const Copies shown = chance_shown(model(fault), sex);
      for (std::size_t k = 0; k < 3; ++k) not_shown[static_cast<std::size_t>(sex)][k] = 1.0 - shown[k];
    }
    LocusRecord record{.kind = RecordKind::alive,
                       .fault = fault,
                       .animal = animal,
                       .rows = {own_row(animal)},
                       .likelihood = not_shown,
                       .survived = true};
    const bool parents = herd_.pedigree.dam(animal).has_value() ||
                         !herd_.pedigree.possible_sires(animal).empty();
    record.living_of_unknown_litter = parents && !litter_size_known;
    add(std::move(record));
  }

  CopiesBySex dead(FaultIndex fault) const {
    return likelihood_of_death(model(fault), herd_.season.kid.survive);
  }

  void add_kids_without_rows(FaultIndex fault, const LitterWithoutRows& litter) {
    const CopiesBySex died = dead(fault);
    CopiesBySex lived;
    for (int sex = 0; sex < 2; ++sex) {
      const Copies shown = chance_shown(model(fault), sex);
      for (std::size_t k = 0; k < 3; ++k) lived[static_cast<std::size_t>(sex)][k] = 1.0 - shown[k];
    }
    const auto add_kids = [&](RecordKind kind, const CopiesBySex& likelihood, std::uint32_t kids) {
      if (kids == 0) return;
      add({.kind = kind,
           .fault = fault,
           .animal = litter.doe,
           .rows = {litter.row},
           .pair = kids_of_pair(litter.sire, litter.doe, kids, likelihood)});
    };
    add_kids(RecordKind::dead_kids, died, litter.dead);
    add_kids(RecordKind::living_kids, lived, litter.living);
  }

  /// `kids` kids of one pair, each with this likelihood, half of each sex. A sire that is not known is
  /// one founder for all of them.
  PairEvidence kids_of_pair(const PairParent& sire, Animal doe, std::uint32_t kids,
                            const CopiesBySex& likelihood) const {
    PairEvidence result{sire, {.animal = doe, .stand_in = {}}, {}};
    const bool sire_known = sire.animal || sire.stand_in;
    const double q = frequency_[doe.position];
    for (int d = 0; d < 3; ++d) {
      double over_sires = 0.0;
      for (int s = 0; s < 3; ++s) {
        double one = 0.0;
        for (int sex = 0; sex < 2; ++sex) {
          for (int k = 0; k < 3; ++k) {
            one += 0.5 * from_.kid(k, s, d, sex) *
                   likelihood[static_cast<std::size_t>(sex)][static_cast<std::size_t>(k)];
          }
        }
        const double all = std::pow(one, kids);
        result.likelihood[static_cast<std::size_t>(s)][static_cast<std::size_t>(d)] = all;
        over_sires += from_.founder(s, q, 1) * all;
      }
      if (sire_known) continue;
      for (Copies& by_doe : result.likelihood) by_doe[static_cast<std::size_t>(d)] = over_sires;
    }
    return result;
  }

  /// The likelihoods relative to the largest. What is possible at all stays above 0, however many kids
  /// speak against it: several counts are multiplied.
  static void from_logs(ParentCopies& logs) {
    constexpr double least = 1e-100;
    double largest = -INFINITY;
    for (const Copies& by_doe : logs) largest = std::max(largest, *std::max_element(by_doe.begin(), by_doe.end()));
    for (Copies& by_doe : logs) {
      for (double& value : by_doe) {
        value = std::isfinite(value) ? std::max(least, std::exp(value - largest)) : 0.0;
      }
    }
  }

  /// One sample counts once, under whichever signs of the gene it is written; repeats of it that differ
  /// count for nothing.
  void add_tests() {
    for (const auto& sample : samples_of(herd_, locus_.signs)) {
      const GeneTest& first = *sample.front();
      LocusRecord record{.kind = RecordKind::gene_test, .fault = first.fault, .animal = first.animal};
      for (const GeneTest* test : sample) record.rows.push_back(test->row);
      record.likelihood = likelihood_of_test(model(record.fault), first.copies);
      if (all_read_alike(sample)) add(std::move(record));
    }
  }

  void add_counts() {
    for (const KidCount& count : herd_.kid_counts) {
      if (std::find(locus_.signs.begin(), locus_.signs.end(), count.fault) == locus_.signs.end()) {
        continue;
      }
      const FaultModel& fault = model(count.fault);
      if (count.examined == 0 || (count.told && !with_told_) || !is_scored(fault, count.sex)) {
        continue;
      }
      const double seen = detection_at(fault, std::nullopt);
      PairEvidence pair{{.animal = count.sire, .stand_in = {}}, {.animal = count.dam, .stand_in = {}}, {}};
      const double q = frequency_[count.sire.position];
      const auto log_binomial = [&](double p) {
        const double clear = count.examined - count.affected;
        return (count.affected > 0 ? count.affected * std::log(p) : 0.0) +
               (clear > 0 ? clear * std::log1p(-p) : 0.0);
      };
      for (int s = 0; s < 3; ++s) {
        double any_dam = 0.0;
        for (int d = 0; d < 3; ++d) {
          const double p = chance_found(fault, from_, s, d, count.sex, seen);
          pair.likelihood[static_cast<std::size_t>(s)][static_cast<std::size_t>(d)] = log_binomial(p);
          any_dam += from_.founder(d, q, 0) * p;
        }
        if (count.dam) continue;
        for (double& value : pair.likelihood[static_cast<std::size_t>(s)]) value = log_binomial(any_dam);
      }
      from_logs(pair.likelihood);
      records_.push_back({.kind = RecordKind::count,
                          .fault = count.fault,
                          .animal = count.sire,
                          .rows = {count.row},
                          .told = count.told,
                          .pair = pair});
    }
  }

  const Herd& herd_;
  const Locus& locus_;
  const EvidenceIndex& evidence_;
  bool with_told_;
  Transmission from_;
  std::vector<double> frequency_;
  std::vector<LocusRecord> records_;
};

}  // namespace

std::vector<Locus> loci_in_use(const Herd& herd) {
  std::vector<Locus> result;
  for (std::size_t f = 0; f < herd.faults.size(); ++f) {
    const FaultModel& fault = herd.faults[f];
    if (fault.kind != FaultKind::locus || !fault.use) continue;
    Locus locus = locus_of(herd, static_cast<FaultIndex>(f));
    const bool there = std::any_of(result.begin(), result.end(), [&](const Locus& other) {
      return other.base == locus.base;
    });
    if (!there) result.push_back(std::move(locus));
  }
  return result;
}

Locus locus_of(const Herd& herd, FaultIndex fault) {
  Locus locus{fault, {}};
  const std::string& base_key = herd.faults[fault].same_locus_as;
  for (std::size_t f = 0; !base_key.empty() && f < herd.faults.size(); ++f) {
    if (herd.faults[f].key == base_key) locus.base = static_cast<FaultIndex>(f);
  }
  for (std::size_t f = 0; f < herd.faults.size(); ++f) {
    if (is_sign_of(herd.faults[f], herd.faults[locus.base])) {
      locus.signs.push_back(static_cast<FaultIndex>(f));
    }
  }
  return locus;
}

std::vector<LocusRecord> locus_records(const Herd& herd, const Locus& locus,
                                       const EvidenceIndex& evidence, bool with_told) {
  return Gatherer(herd, locus, evidence, with_told).all();
}

std::vector<double> allele_frequencies(const Herd& herd, const Locus& locus) {
  const ByBreed& frequency = herd.faults[locus.base].allele_frequency;
  std::vector<double> result(herd.pedigree.size(), frequency.other);
  if (frequency.named.empty()) return result;
  const auto shares = breed_shares(herd);
  for (std::size_t a = 0; a < result.size(); ++a) {
    result[a] = by_breed(frequency, shares[a], herd.animals.breed_names);
  }
  return result;
}

void add_record(const LocusRecord& record, OwnEvidence& own) {
  CopiesBySex& into = record.living_of_unknown_litter ? own.not_shown : own.likelihood;
  own.living_of_unknown_litter = own.living_of_unknown_litter || record.living_of_unknown_litter;
  for (std::size_t sex = 0; sex < 2; ++sex) {
    for (std::size_t k = 0; k < 3; ++k) into[sex][k] *= record.likelihood[sex][k];
  }
}

LocusInput locus_input(const Herd& herd, const Locus& locus,
                       const std::vector<LocusRecord>& records,
                       const std::vector<bool>& left_out) {
  LocusInput input;
  input.transmission.x_linked = herd.faults[locus.base].inheritance == Inheritance::x_linked;
  input.frequency = allele_frequencies(herd, locus);
  input.sex = sexes_or_uses(herd);
  input.own.resize(herd.pedigree.size());
  for (std::size_t r = 0; r < records.size(); ++r) {
    const LocusRecord& record = records[r];
    if (r < left_out.size() && left_out[r]) continue;
    if (record.pair) {
      input.pairs.push_back(*record.pair);
      continue;
    }
    add_record(record, input.own[record.animal->position]);
  }
  return input;
}

}  // namespace doewright
