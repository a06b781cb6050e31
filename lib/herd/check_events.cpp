// SPDX-License-Identifier: MIT
// Rows of the other tables against births, leavings, sexes and kids in the book.
#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include <fmt/format.h>

#include <doewright/herd/samples.hpp>

#include <doewright/herd/evidence.hpp>

#include "checks.hpp"

#include "use.hpp"

namespace doewright {

namespace {

/// Said if every possible day of `date` lies before every possible day of the birth.
void check_before_born(const Herd& herd, Animal animal, PartialDate date, Row row,
                       std::string_view what, const SayProblem& say) {
  const PartialDate born = herd.animals.born[animal.position];
  if (!date.known() || !born.known() || date.latest() >= born.earliest()) return;
  const std::string_view id = herd.ids[animal];
  say(problem_at(Severity::warning, "before-born", row, id,
                 fmt::format("{} of {} is dated {}, before its birth ({}{})", what, id,
                             to_text(date), to_text(born), line_text(herd, animal)),
                 "correct one of the two dates, or the id"));
}

void check_births(const Herd& herd, const SayProblem& say) {
  for (std::uint32_t i = 0; i < herd.pedigree.size(); ++i) {
    const PartialDate left = herd.animals.left[i];
    if (!left.known()) continue;
    check_before_born(herd, Animal{i}, left, row_of(herd, Animal{i}), "the leaving", say);
  }
  for (const Examination& e : herd.examinations) {
    check_before_born(herd, e.animal, e.date, e.row, "an examination", say);
  }
  for (const GeneTest& t : herd.gene_tests) {
    check_before_born(herd, t.animal, t.date, t.row, "a gene test", say);
  }
  for (const Record& r : herd.records) {
    check_before_born(herd, r.animal, r.date, r.row, "a record", say);
  }
  for (const HealthTest& t : herd.health_tests) {
    check_before_born(herd, t.animal, t.date, t.row, "a health test", say);
  }
  for (const Heat& h : herd.heats) check_before_born(herd, h.doe, h.date, h.row, "a heat", say);
  for (const Service& s : herd.services) {
    check_before_born(herd, s.doe, s.from, s.row, "a service", say);
    check_before_born(herd, s.sire, s.from, s.row, "a service", say);
  }
  for (const PregnancyCheck& c : herd.pregnancy_checks) {
    check_before_born(herd, c.doe, c.date, c.row, "a pregnancy check", say);
  }
}

void check_served_after_left(const Herd& herd, Animal animal, const Service& service,
                             std::string_view role, const SayProblem& say) {
  const PartialDate left = herd.animals.left[animal.position];
  if (!left.known() || !service.from.known()) return;
  if (service.from.earliest() <= left.latest()) return;
  const std::string_view id = herd.ids[animal];
  say(problem_at(
      Severity::warning, "service-after-left", service.row, id,
      fmt::format("a service dated {}, after the {} {} had left ({}{})", to_text(service.from),
                  role, id, to_text(left), line_text(herd, animal)),
      "correct one of the two dates, or the id"));
}

void check_services(const Herd& herd, const SayProblem& say) {
  const std::vector<Animal> semen = semen_bucks(herd);
  for (const Service& service : herd.services) {
    check_served_after_left(herd, service.doe, service, "doe", say);
    // A straw of a dead buck is no complaint.
    if (!std::binary_search(semen.begin(), semen.end(), service.sire)) {
      check_served_after_left(herd, service.sire, service, "sire", say);
    }
  }
}

void check_scored(const Herd& herd, const SayProblem& say) {
  const auto complain = [&](Animal animal, Sex sex, FaultIndex fault, Row row,
                            std::string_view what) {
    if (is_scored(herd.faults.at(fault), sex)) return;
    say(problem_at(Severity::warning, "sex-not-scored", row, herd.ids[animal],
                   fmt::format("{} for {}, which is not scored in a {}: it tells nothing", what,
                               herd.faults[fault].key, word(sex)),
                   "correct the fault or the sex, or leave the row as it is"));
  };
  for (const Examination& look : herd.examinations) {
    complain(look.animal, herd.animals.sex[look.animal.position], look.fault, look.row,
             fmt::format("{} was looked at", herd.ids[look.animal]));
  }
  for (const KidCount& count : herd.kid_counts) {
    complain(count.sire, count.sex, count.fault, count.row,
             fmt::format("kids of {} were counted", herd.ids[count.sire]));
  }
}

/// Can the count be of the kid that was born on this day? As written the same; or, where the count
/// names its month or day, a birth that falls into it.
bool same_date(PartialDate count, PartialDate born) {
  if (!count.known() || !born.known()) return false;
  if (count == born) return true;
  return count.month() != 0 && born.earliest() >= count.earliest() &&
         born.latest() <= count.latest();
}

/// Kids of each counted sire in the book, possible kids too: one pass, for these sires only.
class CountedSires {
 public:
  explicit CountedSires(const Herd& herd) {
    for (const KidCount& count : herd.kid_counts) sires_.push_back(count.sire);
    std::sort(sires_.begin(), sires_.end());
    sires_.erase(std::unique(sires_.begin(), sires_.end()), sires_.end());
    kids_.resize(sires_.size());
    const auto slots = herd.pedigree.sire_slots();
    for (std::uint32_t i = 0; i < slots.size(); ++i) {
      if (slots[i] == Pedigree::none) continue;
      if (!Pedigree::is_stand_in(slots[i])) {
        add(Animal{slots[i]}, Animal{i});
        continue;
      }
      for (const SireChance& chance : herd.pedigree.stand_in(Pedigree::stand_in_of(slots[i]))) {
        add(chance.sire, Animal{i});
      }
    }
  }

  const std::vector<Animal>& kids(Animal sire) const {
    const auto found = std::lower_bound(sires_.begin(), sires_.end(), sire);
    return kids_[static_cast<std::size_t>(found - sires_.begin())];
  }

 private:
  void add(Animal sire, Animal kid) {
    const auto found = std::lower_bound(sires_.begin(), sires_.end(), sire);
    if (found == sires_.end() || *found != sire) return;
    kids_[static_cast<std::size_t>(found - sires_.begin())].push_back(kid);
  }
  std::vector<Animal> sires_;
  std::vector<std::vector<Animal>> kids_;
};

void check_counts(const Herd& herd, const SayProblem& say) {
  if (herd.kid_counts.empty()) return;
  const CountedSires sires(herd);
  for (const KidCount& count : herd.kid_counts) {
    const auto& kids = sires.kids(count.sire);
    const auto counted_twice = [&](Animal kid) {
      const auto dam = herd.pedigree.dam(kid);
      const bool by_that_dam = count.dam && dam && *dam == *count.dam;
      return by_that_dam || same_date(count.date, herd.animals.born[kid.position]);
    };
    const auto kid = std::find_if(kids.begin(), kids.end(), counted_twice);
    if (kid == kids.end()) continue;
    const std::string_view id = herd.ids[count.sire];
    say(problem_at(Severity::warning, "count-own-farm", count.row, id,
                   fmt::format("a count of kids of {}, but {}{} is a kid of his by that dam or of "
                               "that date",
                               id, herd.ids[*kid], line_text(herd, *kid)),
                   "is it counted here again? Count only kids that have no row in animals.csv"));
  }
}

/// The entry that stands for a gene: signs of one gene are the same test.
FaultIndex gene_of(const Herd& herd, FaultIndex fault) {
  const std::string& base = herd.faults[fault].same_locus_as;
  for (std::size_t f = 0; !base.empty() && f < herd.faults.size(); ++f) {
    if (herd.faults[f].key == base) return static_cast<FaultIndex>(f);
  }
  return fault;
}

void check_samples(const Herd& herd, const SayProblem& say) {
  if (herd.gene_tests.empty()) return;
  for (std::size_t gene = 0; gene < herd.faults.size(); ++gene) {
    std::vector<FaultIndex> signs;
    for (std::size_t f = 0; f < herd.faults.size(); ++f) {
      const auto fault = static_cast<FaultIndex>(f);
      if (gene_of(herd, fault) == gene) signs.push_back(fault);
    }
    for (const GeneSample& sample : samples_of(herd, signs)) {
      if (all_read_alike(sample)) continue;
      const GeneTest& last = *sample.back();
      say(problem_at(Severity::warning, "tests-differ", last.row, herd.ids[last.animal],
                     fmt::format("one sample of {} was read differently for {}: none of its {} "
                                 "results counts",
                                 herd.ids[last.animal], herd.faults[gene].key, sample.size()),
                     "correct the wrong row, or write the date or laboratory if they are two samples"));
    }
  }
}

}  // namespace

void check_dates_of_facts(const Herd& herd, const SayProblem& say) {
  check_births(herd, say);
  check_services(herd, say);
}

void check_looks(const Herd& herd, const SayProblem& say) {
  check_scored(herd, say);
  check_counts(herd, say);
  check_samples(herd, say);
}

}  // namespace doewright
