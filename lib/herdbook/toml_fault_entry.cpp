// SPDX-License-Identifier: MIT
// One entry of faults.toml: INTERFACE, section 1; meanings in DEFINITIONS 3, 4, 7 and 11.
#include "toml_fault_entry.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <span>
#include <utility>

#include "toml_entries.hpp"

namespace doewright {
namespace {

using namespace std::string_view_literals;

constexpr std::array known_keys = {
    "name"sv,          "model"sv,          "inheritance"sv,     "allele_frequency"sv,
    "grades"sv,        "wanted"sv,         "shown"sv,           "pattern"sv,
    "penetrance"sv,    "one_copy"sv,       "phenocopies"sv,     "test_error"sv,
    "same_locus_as"sv, "detection"sv,      "repeat"sv,          "seen_by"sv,
    "use"sv,           "lethal_by_days"sv, "cost_shown_keep"sv, "cost_keep"sv,
    "cost_carried"sv,  "cost_meat"sv,      "cost_shown_meat"sv, "heritability"sv,
    "source"sv,        "incidence"sv,      "incidence_above"sv, "incidence_worth"sv};
constexpr std::array locus_only = {"inheritance"sv,    "allele_frequency"sv, "shown"sv,
                                   "pattern"sv,        "penetrance"sv,       "one_copy"sv,
                                   "phenocopies"sv,    "test_error"sv,       "same_locus_as"sv,
                                   "lethal_by_days"sv, "cost_carried"sv};
constexpr std::array threshold_only = {"heritability"sv, "incidence"sv, "incidence_above"sv,
                                       "incidence_worth"sv};
constexpr std::array sex_keys = {"any"sv, "doe"sv, "buck"sv};
constexpr std::size_t most_grades = 20;

class FaultEntryReader {
 public:
  FaultEntryReader(TomlTable& table, std::string_view key) : table_(table) { model_.key = key; }

  FaultEntry read(bool names_built_in) {
    static constexpr std::array model_words = {"locus"sv, "threshold"sv};
    const auto kind = table_.choice("model", model_words);
    if (!kind) {
      if (!table_.has("model")) {
        table_.missing("model",
                       names_built_in
                           ? "write model = \"locus\" or \"threshold\"; an entry of nothing "
                             "but use = true or false switches the built-in one"
                           : "write model = \"locus\" (one gene) or \"threshold\" (many)");
      }
      return {std::move(model_), false};
    }
    model_.kind = *kind == 0 ? FaultKind::locus : FaultKind::threshold;
    read_words();
    read_grades();
    read_detection();
    if (model_.kind == FaultKind::locus) {
      read_locus();
    } else {
      read_threshold();
    }
    read_costs();
    read_unused();
    return {std::move(model_), usable_};
  }

 private:
  template <typename Value, typename Place>
  static void take(std::optional<Value> value, Place& place) {
    if (value) place = *std::move(value);
  }

  std::size_t grade_count() const { return model_.grades.size(); }

  /// Complains, and gives up the entry: there is no default to fall back on.
  void lost(std::string_view key, std::string message, std::string remedy) {
    usable_ = false;
    table_.wrong(key, std::move(message), std::move(remedy));
  }
  void needed(std::string_view key, std::string remedy) {
    usable_ = false;
    table_.missing(key, std::move(remedy));
  }

  void read_words() {
    model_.name = model_.key;
    if (const auto name = table_.text("name")) {
      if (trimmed(*name).empty() || has_control(*name)) {
        table_.wrong("name", "name is blank or holds control characters",
                     "write the fault's name as it should be printed");
      } else {
        model_.name = trimmed(*name);
      }
    }
    take(table_.flag("use"), model_.use);
    static constexpr std::array seen_words = {"birth"sv, "weaning"sv, "kidding"sv};
    if (const auto at = table_.choice("seen_by", seen_words)) model_.seen_by = SeenBy(*at);
    static constexpr std::array repeat_words = {"worst"sv, "latest"sv};
    if (const auto at = table_.choice("repeat", repeat_words)) model_.repeat = Repeat(*at);
    take(table_.text("source"), model_.source);
    model_.assumed = says_assumed(model_.source);
  }

  void read_grades() {
    if (auto grades = table_.texts("grades")) {
      if (grades_are_good(*grades)) {
        model_.grades = *std::move(grades);
      } else {
        usable_ = false;
      }
    } else if (table_.has("grades")) {
      usable_ = false;
    }
    std::vector<std::string_view> words(model_.grades.begin(), model_.grades.end());
    if (const auto at = table_.choice("wanted", words)) {
      model_.wanted = static_cast<std::uint8_t>(*at);
    } else if (table_.has("wanted")) {
      usable_ = false;
    }
    check_yes_and_no();
  }

  bool grades_are_good(std::vector<std::string>& grades) {
    if (grades.size() < 2 || grades.size() > most_grades) {
      table_.wrong(
          "grades", fmt::format("{} has {} grades", table_.path(), grades.size()),
          fmt::format("write from 2 to {} grades, such as [\"no\", \"yes\"]", most_grades));
      return false;
    }
    for (std::string& grade : grades) {
      grade = trimmed(grade);
      if (lower_ascii(grade) == "removed") {
        table_.wrong("grades", "a grade is called removed",
                     "choose another word: removed in examinations.csv means shown, grade unknown");
        return false;
      }
      if (std::count_if(grades.begin(), grades.end(), [&](const std::string& other) {
            return lower_ascii(trimmed(other)) == lower_ascii(grade);
          }) > 1) {
        table_.wrong("grades", fmt::format("the grade {} stands twice", grade),
                     "write each grade once");
        return false;
      }
    }
    return true;
  }

  /// In examinations.csv `no` is the wanted grade and `yes` any other, so that grades of these
  /// names must not mean the opposite.
  void check_yes_and_no() {
    for (std::size_t i = 0; i < grade_count(); ++i) {
      const std::string grade = lower_ascii(model_.grades[i]);
      if ((grade == "yes" && i == model_.wanted) || (grade == "no" && i != model_.wanted)) {
        lost(table_.has("wanted") ? "wanted" : "grades",
             fmt::format("the grade {} of {} would mean the opposite of {} in examinations.csv",
                         model_.grades[i], table_.path(), model_.grades[i]),
             "examinations write no for the wanted grade and yes for any other: rename the grade");
        return;
      }
    }
  }

  void read_detection() {
    const auto steps = table_.rows("detection");
    if (!steps) return;
    if (steps->empty()) {
      table_.wrong("detection", fmt::format("{} is an empty list", table_.dotted("detection")),
                   "write [[0, 0.9], [90, 1.0]], say, or take the line out: all is seen from birth on");
      return;
    }
    std::vector<std::pair<double, double>> detection;
    for (const std::vector<double>& step : *steps) {
      const bool good = step.size() == 2 && step[1] <= 1.0 &&
                        (detection.empty() || step[0] > detection.back().first);
      if (!good) {
        table_.wrong(
            "detection",
            fmt::format("{} is not a list of [age in days, chance]", table_.dotted("detection")),
            "write ages in ascending order and chances from 0 to 1, such as [[0, 0.9], "
            "[90, 1.0]]");
        return;
      }
      detection.emplace_back(step[0], step[1]);
    }
    model_.detection = std::move(detection);
  }

  // --- one gene -------------------------------------------------------------------------------

  void read_locus() {
    static constexpr std::array inheritance_words = {"autosomal"sv, "x-linked"sv};
    if (const auto at = table_.choice("inheritance", inheritance_words)) {
      model_.inheritance = Inheritance(*at);
    } else if (table_.has("inheritance")) {
      usable_ = false;
    }
    read_frequency();
    if (table_.has("shown") && table_.has("pattern")) {
      lost("pattern", fmt::format("{} has both shown and pattern", table_.path()),
           "keep one: pattern is the short way to write shown");
      for (const std::string_view key :
           {"shown"sv, "pattern"sv, "penetrance"sv, "one_copy"sv, "phenocopies"sv})
        table_.ignore(key);
    } else if (table_.has("pattern")) {
      read_pattern();
    } else if (table_.has("shown")) {
      read_shown();
    } else {
      needed("shown",
             "write pattern = \"recessive\", \"dominant\" or \"incomplete\", or "
             "shown.any = [[...], [...], [...]]: chance of each grade for 0, 1, 2 copies");
    }
    // At one half a test says nothing; beyond it, it would say the opposite.
    take(table_.number("test_error", {.low = 0.0, .high = 0.5}), model_.test_error);
    if (const auto days = table_.number("lethal_by_days", not_negative)) {
      model_.lethal_by_days = *days;
    }
    take(table_.number("cost_carried", not_negative), model_.cost_carried);
  }

  void read_frequency() {
    if (const auto other = table_.text("same_locus_as")) {
      model_.same_locus_as = *other;
    } else if (table_.has("same_locus_as")) {
      usable_ = false;
    }
    if (table_.has("same_locus_as")) return;  // that entry gives the frequency
    if (auto frequency = table_.by_breed("allele_frequency", a_share, std::nullopt)) {
      model_.allele_frequency = *std::move(frequency);
    } else if (table_.has("allele_frequency")) {
      usable_ = false;
    } else {
      needed("allele_frequency",
             "write allele_frequency = ..., the share of the fault allele among founders, from 0 "
             "to 1; if it is a guess, say \"assumed\" in source");
    }
  }

  void read_pattern() {
    static constexpr std::array patterns = {"recessive"sv, "dominant"sv, "incomplete"sv};
    double penetrance = 1.0, one_copy = 0.5, phenocopies = 0.0;
    take(table_.number("penetrance", a_share), penetrance);
    take(table_.number("phenocopies", a_share), phenocopies);
    const auto pattern = table_.choice("pattern", patterns);
    if (!pattern) {
      table_.ignore("one_copy");
      usable_ = false;
      return;
    }
    const bool incomplete = *pattern == 2;
    if (incomplete) take(table_.number("one_copy", a_share), one_copy);
    if (grade_count() != 2) {
      lost("pattern",
           fmt::format("{} has {} grades, and pattern is for two", table_.path(), grade_count()),
           "write shown.any = [[...], [...], [...]] instead: chance of each grade for 0, 1, 2 "
           "copies");
      return;
    }
    const double middle = incomplete ? one_copy : *pattern == 1 ? penetrance : phenocopies;
    const Penetrance rows{{chances(phenocopies), chances(middle), chances(penetrance)}};
    model_.shown_doe = rows;
    model_.shown_buck = buck_rows_of(rows);
  }

  /// The two grades' chances when the unwanted one has chance `shown`.
  std::vector<double> chances(double shown) const {
    std::vector<double> row(2, shown);
    row[model_.wanted] = 1.0 - shown;
    return row;
  }

  /// The one copy of a hemizygous buck acts like the two copies of a doe.
  Penetrance buck_rows_of(const Penetrance& rows) const {
    if (model_.inheritance == Inheritance::autosomal) return rows;
    return {{rows.rows.front(), rows.rows.back()}};
  }

  void read_shown() {
    auto shown = table_.table("shown");
    if (!shown) {
      usable_ = false;
      return;
    }
    const auto any = read_rows(*shown, "any", 3);
    if (any) {
      model_.shown_doe = *any;
      model_.shown_buck = buck_rows_of(*any);
    }
    if (auto doe = read_rows(*shown, "doe", 3)) model_.shown_doe = std::move(doe);
    const std::size_t buck_rows = model_.inheritance == Inheritance::x_linked ? 2 : 3;
    if (auto buck = read_rows(*shown, "buck", buck_rows)) model_.shown_buck = std::move(buck);
    shown->report_unknown(sex_keys);
    if (!model_.shown_doe && !model_.shown_buck && usable_) {
      lost("shown", fmt::format("{} says of neither sex what is shown", table_.dotted("shown")),
           "write shown.any = [[...], [...], [...]], or shown.doe, or shown.buck");
    }
  }

  std::optional<Penetrance> read_rows(TomlTable& shown, std::string_view sex, std::size_t copies) {
    auto rows = shown.rows(sex);
    if (!rows) {
      if (shown.has(sex)) usable_ = false;
      return std::nullopt;
    }
    const bool good =
        rows->size() == copies && std::all_of(rows->begin(), rows->end(), [&](const auto& row) {
          const double sum = std::accumulate(row.begin(), row.end(), 0.0);
          return row.size() == grade_count() && std::abs(sum - 1.0) <= 1e-9;
        });
    if (!good) {
      usable_ = false;
      shown.wrong(sex,
                  fmt::format("{} is not {} lists of {} chances that add up to 1",
                              shown.dotted(sex), copies, grade_count()),
                  copies == 2 ? "a buck has one copy of an x-linked gene or none: write a list for "
                                "each of the two, with a chance for each grade"
                              : "write one list each for 0, 1 and 2 copies, with a chance for each "
                                "grade");
      return std::nullopt;
    }
    return Penetrance{*std::move(rows)};
  }

  // --- many genes -----------------------------------------------------------------------------

  void read_threshold() {
    // At 0 nothing would be inherited, at 1 nothing else would count: neither can be computed with.
    if (const auto h2 = table_.number("heritability", inside_share)) {
      model_.heritability = *h2;
    } else if (table_.has("heritability")) {
      usable_ = false;
    } else {
      needed("heritability",
             "write heritability = ..., of liability, above 0 and below 1; where "
             "nothing is known 0.3 is a usual guess: then say \"assumed\" in source");
    }
    if (table_.has("incidence") && table_.has("incidence_above")) {
      lost("incidence", fmt::format("{} has both incidence and incidence_above", table_.path()),
           "keep incidence_above");
      table_.ignore("incidence_above");
    }
    if (table_.has("incidence")) {
      read_incidence();
    } else {
      read_incidence_above();
    }
    if (const auto animals = table_.number("incidence_worth", not_negative)) {
      model_.incidence_worth = *animals;
    }
  }

  void read_incidence() {
    const auto share = table_.number("incidence", inside_share);
    if (!share) {
      usable_ = false;
    } else if (grade_count() != 2) {
      lost("incidence",
           fmt::format("{} has {} grades, and incidence is for two", table_.path(), grade_count()),
           "write incidence_above = [...]: the share in the 2nd grade or later, the 3rd or later");
    } else {
      model_.incidence_above = {*share};
    }
  }

  void read_incidence_above() {
    const TomlEntry* entry = table_.entry("incidence_above");
    if (!entry) {
      needed("incidence_above",
             "write incidence_above = [...]: the share of animals in the 2nd "
             "grade or later, the 3rd or later; two grades: incidence = ...");
      return;
    }
    if (entry->value.kind != TomlKind::table) {
      take(read_borders(table_, "incidence_above", true), model_.incidence_above);
      return;
    }
    auto sexes = table_.table("incidence_above");
    take(read_borders(*sexes, "any", true), model_.incidence_above);
    take(read_borders(*sexes, "doe", false), model_.incidence_above_doe);
    take(read_borders(*sexes, "buck", false), model_.incidence_above_buck);
    sexes->report_unknown(sex_keys);
    if (!model_.incidence_above.empty() || sexes->has("any")) return;
    const std::size_t full = grade_count() - 1;
    if (model_.incidence_above_doe.size() == full && model_.incidence_above_buck.size() == full) {
      // Both sexes are whole, so `any` decides nothing; their mean stands for it.
      for (std::size_t k = 0; k < full; ++k) {
        model_.incidence_above.push_back(
            (model_.incidence_above_doe[k] + model_.incidence_above_buck[k]) / 2);
      }
    } else {
      lost("incidence_above", fmt::format("{}.any is missing", table_.dotted("incidence_above")),
           "write incidence_above.any = [...] beside it: a number for each grade but the first");
    }
  }

  /// Shares of animals beyond each border between grades, none larger than the one before. A list
  /// for one sex may be shorter: its first number then moves all the borders (DEFINITIONS 4).
  std::optional<std::vector<double>> read_borders(TomlTable& in, std::string_view key, bool whole) {
    auto borders = in.numbers(key, inside_share);
    if (!borders) {
      if (in.has(key)) usable_ = false;
      return std::nullopt;
    }
    const std::size_t full = grade_count() - 1;
    const bool right_size =
        whole ? borders->size() == full : !borders->empty() && borders->size() <= full;
    if (right_size && std::is_sorted(borders->rbegin(), borders->rend())) return borders;
    usable_ = false;
    in.wrong(
        key,
        right_size ? fmt::format("{} grows from one number to the next", in.dotted(key))
                   : fmt::format("{} has {} numbers for {} grades", in.dotted(key), borders->size(),
                                 grade_count()),
        "write the share of animals in the 2nd grade or later, then in the 3rd or later, and so "
        "on: never more than the one before");
    return std::nullopt;
  }

  // --- money ----------------------------------------------------------------------------------

  void read_costs() {
    read_cost("cost_keep", "cost_shown_keep", model_.cost_keep);
    read_cost("cost_meat", "cost_shown_meat", model_.cost_meat);
    if (model_.seen_by == SeenBy::kidding && model_.cost_keep.empty() && !table_.has("cost_keep") &&
        !table_.has("cost_shown_keep")) {
      table_.missing(
          "cost_shown_keep",
          "a fault first seen at kidding brings years of trouble to a kept doe: write what "
          "that costs, cost_shown_keep = ...");
    }
  }

  void read_cost(std::string_view by_grade, std::string_view one, std::vector<double>& place) {
    const auto list = table_.numbers(by_grade, not_negative);
    const auto shown = table_.number(one, not_negative);
    if (table_.has(by_grade) && table_.has(one)) {
      table_.wrong(one, fmt::format("{} has both {} and {}", table_.path(), by_grade, one),
                   fmt::format("keep one: {} is the same sum for every unwanted grade", one));
    } else if (list && list->size() != grade_count()) {
      table_.wrong(by_grade,
                   fmt::format("{} has {} numbers for {} grades", table_.dotted(by_grade),
                               list->size(), grade_count()),
                   "write one sum for each grade, in the order of grades");
    } else if (list) {
      place = *list;
    } else if (shown) {
      place.assign(grade_count(), *shown);
      place[model_.wanted] = 0.0;
    }
  }

  // --- what is left ---------------------------------------------------------------------------

  void not_used(std::span<const std::string_view> keys, std::string_view why) {
    for (const std::string_view key : keys) {
      if (!table_.has(key)) continue;
      table_.ignore(key);
      table_.unused(key, fmt::format("{} does nothing here: {}", table_.dotted(key), why),
                    "take it out, or correct the line it goes with");
    }
  }

  void read_unused() {
    if (model_.kind == FaultKind::locus) {
      not_used(threshold_only, "the model is locus");
      if (!table_.has("pattern")) {
        not_used(std::array{"penetrance"sv, "one_copy"sv, "phenocopies"sv}, "there is no pattern");
      } else if (!table_.asked("one_copy")) {
        not_used(std::array{"one_copy"sv}, "it goes with pattern = \"incomplete\"");
      }
      if (table_.has("same_locus_as")) {
        not_used(std::array{"allele_frequency"sv}, "same_locus_as gives the frequency");
      }
    } else {
      not_used(locus_only, "the model is threshold");
    }
    table_.report_unknown(known_keys);
  }

  TomlTable& table_;
  FaultModel model_;
  bool usable_ = true;
};

}  // namespace

FaultEntry read_fault_entry(TomlTable& table, std::string_view key, bool names_built_in) {
  return FaultEntryReader(table, key).read(names_built_in);
}

}  // namespace doewright
