// SPDX-License-Identifier: MIT
// Births against births. Everything is said only if it is so for every possible day.
// Age limits: common practice, no source.
#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include <fmt/format.h>

#include "checks.hpp"
#include "use.hpp"

namespace doewright {

namespace {

constexpr int youngest_dam_days = 240;
constexpr int youngest_sire_days = 180;
constexpr int oldest_parent_months = 18 * 12;
// A kid of a dead buck is possible for a gestation and ten days after his death.
constexpr int longest_after_sire_days = 160;
constexpr int closest_kiddings_days = 3;
constexpr int far_kiddings_days = 140;

/// The birth of a kid, or a kidding of which the kids have no rows.
struct Birth {
  PartialDate date;
  Row row;
  std::optional<Animal> kid;
};

class ParentDates {
 public:
  ParentDates(const Herd& herd, const SayProblem& say)
      : herd_(herd), say_(say), semen_(semen_bucks(herd)) {}

  void judge_dam(const Birth& birth, Animal dam) const { judge(birth, dam, false); }
  void judge_sire(const Birth& birth, Animal sire) const { judge(birth, sire, true); }

 private:
  void judge(const Birth& birth, Animal parent, bool is_sire) const {
    if (!birth.date.known()) return;
    const bool semen = is_sire && std::binary_search(semen_.begin(), semen_.end(), parent);
    judge_age(birth, parent, is_sire, semen);
    if (!semen) judge_leaving(birth, parent, is_sire);
  }

  void judge_age(const Birth& birth, Animal parent, bool is_sire, bool semen) const {
    const PartialDate born = herd_.animals.born[parent.position];
    if (!born.known()) return;
    const Date last = birth.date.latest();
    const std::int32_t most_days = last - born.earliest();
    // Earliest of the parent against latest of the kid: the one pair that could still be in order.
    if (most_days <= 0) {
      const bool same_day = birth.date.to_the_day() && birth.date == born;
      say(Severity::error, "born-before-parent", birth, parent, is_sire,
          same_day ? "on the same day as" : "before",
          "correct one of the two birth dates, or the parent in this row");
      return;
    }
    if (most_days < (is_sire ? youngest_sire_days : youngest_dam_days)) {
      say(Severity::warning, "parent-young", birth, parent, is_sire,
          fmt::format("when at most {} days had passed since the birth of", most_days),
          "look at both birth dates, and at the parent in this row");
    }
    if (!semen && add_months(born.latest(), oldest_parent_months) < birth.date.earliest()) {
      say(Severity::warning, "parent-old", birth, parent, is_sire,
          "more than 18 years after the birth of",
          "look at both birth dates, and whether two animals share one id");
    }
  }

  void judge_leaving(const Birth& birth, Animal parent, bool is_sire) const {
    const AnimalFacts& facts = herd_.animals;
    const PartialDate left = facts.left[parent.position];
    const LeftWhy why = facts.left_why[parent.position];
    if (!left.known() || (why != LeftWhy::died && why != LeftWhy::slaughtered)) return;
    const int days_after = is_sire ? longest_after_sire_days : 0;
    if (birth.date.earliest() <= left.latest() + days_after) return;
    const std::string_view parent_id = herd_.ids[parent];
    say_(problem_at(
        Severity::warning, "born-after-left", birth.row, subject(birth, parent),
        fmt::format("{} {}, but {} {} is recorded as {} on {}", what(birth), to_text(birth.date),
                    role(is_sire), parent_id, word(why), to_text(left)),
        "correct the birth, the leaving date, or the parent in this row"));
  }

  void say(Severity severity, std::string_view code, const Birth& birth, Animal parent,
           bool is_sire, std::string_view relation, std::string remedy) const {
    say_(problem_at(severity, code, birth.row, subject(birth, parent),
                    fmt::format("{} {}, {} {} {} (born {}{})", what(birth), to_text(birth.date),
                                relation, role(is_sire), herd_.ids[parent],
                                to_text(herd_.animals.born[parent.position]), line(parent)),
                    std::move(remedy)));
  }

  std::string_view subject(const Birth& birth, Animal parent) const {
    return herd_.ids[birth.kid.value_or(parent)];
  }
  std::string what(const Birth& birth) const {
    return birth.kid ? fmt::format("{} was born", herd_.ids[*birth.kid]) : "a kidding is recorded";
  }
  static std::string_view role(bool is_sire) { return is_sire ? "the sire" : "the dam"; }
  std::string line(Animal animal) const {
    const std::uint32_t at = herd_.animals.line[animal.position];
    return at == 0 ? "" : fmt::format(", line {}", at);
  }

  const Herd& herd_;
  const SayProblem& say_;
  std::vector<Animal> semen_;
};

/// One kidding of one doe: a kid's birth or a row of kiddings.csv, at most this wide.
struct KiddingDay {
  Date first, last;
  Row row;
};

void judge_gaps(const Herd& herd, Animal doe, std::vector<KiddingDay>& days,
                const SayProblem& say) {
  std::sort(days.begin(), days.end(), [](const KiddingDay& a, const KiddingDay& b) {
    return std::pair(a.first, a.last) < std::pair(b.first, b.last) ||
           (a.first == b.first && a.last == b.last && a.row < b.row);
  });
  // Each day is held against the one before; of two that overlap the one known more exactly stays.
  const KiddingDay* before = nullptr;
  for (const KiddingDay& day : days) {
    if (before == nullptr) {
      before = &day;
      continue;
    }
    const std::int32_t least = day.first - before->last;
    const std::int32_t most = day.last - before->first;
    if (least >= closest_kiddings_days && most < far_kiddings_days) {
      const std::string days_apart =
          least == most ? fmt::format("{}", least) : fmt::format("{} to {}", least, most);
      say(problem_at(Severity::warning, "kiddings-close", day.row, herd.ids[doe],
                     fmt::format("{} kidded {} days after her kidding in {}:{}", herd.ids[doe],
                                 days_apart, file_name(before->row.table), before->row.line),
                     "look at both dates, and whether both kids are hers"));
    }
    const bool wider = least <= 0 && day.last - day.first > before->last - before->first;
    if (!wider) before = &day;
  }
}

/// Rows that date a kidding: kid i of the pedigree, or row k of kiddings.csv as size() + k.
class KiddingRows {
 public:
  explicit KiddingRows(const Herd& herd) : herd_(herd), dams_(herd.pedigree.dam_slots()) {}

  std::size_t size() const { return dams_.size() + herd_.kiddings.size(); }

  /// The doe, or none if there is no doe or no date that can be close to anything.
  std::uint32_t doe(std::size_t k) const {
    const PartialDate date = date_of_row(k);
    if (!date.known() || date.month() == 0) return Pedigree::none;
    return k < dams_.size() ? dams_[k] : herd_.kiddings[k - dams_.size()].doe.position;
  }

  KiddingDay day(std::size_t k) const {
    const PartialDate date = date_of_row(k);
    const Row row = k < dams_.size() ? row_of(herd_, Animal{static_cast<std::uint32_t>(k)})
                                     : herd_.kiddings[k - dams_.size()].row;
    return {date.earliest(), date.latest(), row};
  }

 private:
  PartialDate date_of_row(std::size_t k) const {
    return k < dams_.size() ? herd_.animals.born[k] : herd_.kiddings[k - dams_.size()].date;
  }
  const Herd& herd_;
  std::span<const std::uint32_t> dams_;
};

}  // namespace

void check_parent_dates(const Herd& herd, const SayProblem& say) {
  const ParentDates dates(herd, say);
  const auto sires = herd.pedigree.sire_slots();
  const auto dams = herd.pedigree.dam_slots();
  const std::vector<bool> listed = listed_kids(herd);
  for (std::uint32_t i = 0; i < herd.pedigree.size(); ++i) {
    const PartialDate born = herd.animals.born[i];
    if (!born.known()) continue;
    const Birth birth{born, row_of(herd, Animal{i}), Animal{i}};
    if (dams[i] != Pedigree::none) dates.judge_dam(birth, Animal{dams[i]});
    const bool sire_is_here = sires[i] != Pedigree::none && !Pedigree::is_stand_in(sires[i]) &&
                              (listed.empty() || !listed[i]);
    if (sire_is_here) dates.judge_sire(birth, Animal{sires[i]});
  }
  for (const PossibleSire& entry : herd.possible_sires) {
    if (!(entry.probability > 0.0)) continue;
    dates.judge_sire({herd.animals.born[entry.kid.position], entry.row, entry.kid}, entry.sire);
  }
  for (const Kidding& kidding : herd.kiddings) {
    const Birth birth{kidding.date, kidding.row, {}};
    dates.judge_dam(birth, kidding.doe);
    if (kidding.sire) dates.judge_sire(birth, *kidding.sire);
  }
}

void check_kidding_gaps(const Herd& herd, const SayProblem& say) {
  const KiddingRows rows(herd);
  // Counting sort by doe: two passes, and no list an animal.
  std::vector<std::uint32_t> first(herd.pedigree.size() + 1, 0);
  std::size_t dated = 0;
  for (std::size_t k = 0; k < rows.size(); ++k) {
    if (const std::uint32_t doe = rows.doe(k); doe != Pedigree::none) {
      ++first[doe + 1];
      ++dated;
    }
  }
  if (dated < 2) return;
  for (std::size_t i = 1; i < first.size(); ++i) first[i] += first[i - 1];
  std::vector<std::uint32_t> row_of_doe(dated);
  for (std::size_t k = rows.size(); k-- > 0;) {
    // Filled from the back: afterwards first[doe + 1] is where the rows of doe begin.
    if (const std::uint32_t doe = rows.doe(k); doe != Pedigree::none) {
      row_of_doe[--first[doe + 1]] = static_cast<std::uint32_t>(k);
    }
  }
  std::vector<KiddingDay> days;
  for (std::uint32_t doe = 0; doe < herd.pedigree.size(); ++doe) {
    const std::size_t begin = first[doe + 1];
    const std::size_t end = doe + 2 < first.size() ? first[doe + 2] : dated;
    if (end - begin < 2) continue;
    days.clear();
    for (std::size_t k = begin; k < end; ++k) days.push_back(rows.day(row_of_doe[k]));
    judge_gaps(herd, Animal{doe}, days, say);
  }
}

}  // namespace doewright
