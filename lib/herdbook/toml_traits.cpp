// SPDX-License-Identifier: MIT
// traits.toml: INTERFACE, section 1; meanings in DEFINITIONS 6.
#include <array>
#include <cmath>
#include <map>
#include <utility>

#include <doewright/herdbook/built_in.hpp>

#include "toml_entries.hpp"
#include "toml_files.hpp"

namespace doewright {
namespace {

using namespace std::string_view_literals;

constexpr std::array known_keys = {"name"sv,
                                   "unit"sv,
                                   "mean"sv,
                                   "heritability"sv,
                                   "phenotypic_sd"sv,
                                   "repeatability"sv,
                                   "litter_share"sv,
                                   "maternal_heritability"sv,
                                   "direct_maternal_correlation"sv,
                                   "fixed"sv,
                                   "shown_by"sv,
                                   "value_keep"sv,
                                   "value_meat"sv,
                                   "per_percent_inbreeding"sv,
                                   "correlations"sv,
                                   "from"sv,
                                   "use"sv,
                                   "source"sv};
constexpr std::array fixed_words = {"sex"sv,    "group"sv, "birth_type"sv,
                                    "parity"sv, "year"sv,  "age_days"sv};
constexpr std::array from_kiddings = {"kids_born"sv, "kids_raised"sv, "help"sv};

class TraitEntryReader {
 public:
  TraitEntryReader(TomlTable& table, std::string_view key) : table_(table) { trait_.key = key; }

  /// The trait, and whether it can be computed with.
  std::pair<Trait, bool> read() {
    read_words();
    needed_number("heritability", inside_share, trait_.heritability,
                  "write heritability = ..., above 0 and below 1");
    needed_number("phenotypic_sd", above_zero, trait_.phenotypic_sd,
                  "write phenotypic_sd = ..., the standard deviation among animals alike in sex, "
                  "group and whatever else is in fixed");
    read_numbers();
    read_fixed();
    if (usable_) check_rest();
    table_.report_unknown(known_keys);
    return {std::move(trait_), usable_};
  }

 private:
  template <typename Value, typename Place>
  static void take(std::optional<Value> value, Place& place) {
    if (value) place = *std::move(value);
  }

  void needed_number(std::string_view key, const Bounds& bounds, double& place,
                     std::string_view remedy) {
    if (const auto value = table_.number(key, bounds)) {
      place = *value;
      return;
    }
    usable_ = false;
    if (!table_.has(key)) table_.missing(key, std::string(remedy));
  }

  void read_words() {
    trait_.name = trait_.key;
    if (const auto name = table_.text("name")) {
      if (trimmed(*name).empty() || has_control(*name)) {
        table_.wrong("name", "name is blank or holds control characters",
                     "write the trait's name as it should be printed");
      } else {
        trait_.name = trimmed(*name);
      }
    }
    take(table_.text("unit"), trait_.unit);
    take(table_.flag("use"), trait_.use);
    take(table_.text("source"), trait_.source);
    trait_.assumed = says_assumed(trait_.source);
    static constexpr std::array shown_words = {"both"sv, "does"sv};
    if (const auto at = table_.choice("shown_by", shown_words)) trait_.shown_by = ShownBy(*at);
    static constexpr std::array from_words = {"records"sv, "kiddings"sv};
    if (const auto at = table_.choice("from", from_words)) trait_.from = RecordsFrom(*at);
    const bool counted =
        std::find(from_kiddings.begin(), from_kiddings.end(), trait_.key) != from_kiddings.end();
    if (trait_.from == RecordsFrom::kiddings && !counted) {
      table_.wrong("from", fmt::format("kiddings.csv has no {}", trait_.key),
                   "write from = \"records\"; kiddings.csv gives kids_born, kids_raised and help");
      trait_.from = RecordsFrom::records;
    }
  }

  void read_numbers() {
    if (const auto mean = table_.number("mean", any_number)) trait_.mean = *mean;
    if (const auto r = table_.number("repeatability", share_below_one)) trait_.repeatability = *r;
    take(table_.number("litter_share", share_below_one), trait_.litter_share);
    take(table_.number("maternal_heritability", share_below_one), trait_.maternal_heritability);
    take(table_.number("direct_maternal_correlation", a_correlation),
         trait_.direct_maternal_correlation);
    if (table_.has("direct_maternal_correlation") && !table_.has("maternal_heritability")) {
      table_.unused("direct_maternal_correlation",
                    fmt::format("{} does nothing here: there is no maternal_heritability",
                                table_.dotted("direct_maternal_correlation")),
                    "write maternal_heritability = ... beside it, or take it out");
    }
    take(table_.number("value_keep", any_number), trait_.value_keep);
    take(table_.number("value_meat", any_number), trait_.value_meat);
    take(table_.number("per_percent_inbreeding", any_number), trait_.per_percent_inbreeding);
    read_correlations();
  }

  void read_correlations() {
    auto others = table_.table("correlations");
    if (!others) return;
    for (const TomlEntry* other : others->all_entries()) {
      const auto r = others->number(other->key, a_correlation);
      if (!r) continue;
      if (other->key == trait_.key) {
        others->wrong(other->key, fmt::format("{} is correlated with itself", trait_.key),
                      "name another trait");
        continue;
      }
      trait_.correlations[other->key] = *r;
    }
  }

  void read_fixed() {
    const auto words = table_.texts("fixed");
    if (!words) return;
    for (std::size_t i = 0; i < words->size(); ++i) {
      const std::string& word = (*words)[i];
      if (std::find(fixed_words.begin(), fixed_words.end(), word) == fixed_words.end()) {
        table_.wrong("fixed", fmt::format("{} names {}", table_.dotted("fixed"), word),
                     one_of(word, fixed_words));
        return;
      }
      if (std::find(words->begin(), words->begin() + static_cast<std::ptrdiff_t>(i), word) !=
          words->begin() + static_cast<std::ptrdiff_t>(i)) {
        table_.wrong("fixed", fmt::format("{} names {} twice", table_.dotted("fixed"), word),
                     "name each once");
        return;
      }
    }
    trait_.fixed = *words;
  }

  /// What is left for the residual, as a share of phenotypic_sd squared:
  /// 1 - h2 - m2 - r_am sqrt(h2 m2) - (r - h2) - litter share (DEFINITIONS 6 and 11).
  void check_rest() {
    const double h2 = trait_.heritability;
    const double m2 = trait_.maternal_heritability;
    const double covariance = trait_.direct_maternal_correlation * std::sqrt(h2 * m2);
    if (trait_.repeatability && *trait_.repeatability < h2) {
      usable_ = false;
      table_.wrong("repeatability",
                   fmt::format("{}: repeatability {} is below heritability {}", trait_.key,
                               shortest(*trait_.repeatability), shortest(h2)),
                   "repeatability holds the heritable part: write at least the heritability");
      return;
    }
    const double permanent = trait_.repeatability ? *trait_.repeatability - h2 : 0.0;
    const double rest = 1.0 - h2 - m2 - covariance - permanent - trait_.litter_share;
    if (rest > 1e-12) return;
    usable_ = false;
    table_.wrong("heritability",
                 fmt::format("{}: heritability, maternal part, repeatability and litter share "
                             "together leave {} of the variance for chance",
                             trait_.key, rest < 0.0 ? "less than nothing" : "nothing"),
                 "lower them until they come to less than 1 together");
  }

  TomlTable& table_;
  Trait trait_;
  bool usable_ = true;
};

/// The lower triangle of a Cholesky factor exists: the correlations can all hold at once.
bool positive_definite(std::vector<std::vector<double>> a) {
  for (std::size_t j = 0; j < a.size(); ++j) {
    for (std::size_t k = 0; k < j; ++k) a[j][j] -= a[j][k] * a[j][k];
    if (a[j][j] <= 1e-10) return false;
    a[j][j] = std::sqrt(a[j][j]);
    for (std::size_t i = j + 1; i < a.size(); ++i) {
      for (std::size_t k = 0; k < j; ++k) a[i][j] -= a[i][k] * a[j][k];
      a[i][j] /= a[j][j];
    }
  }
  return true;
}

using Correlations = std::map<std::pair<std::string, std::string>, double>;

/// Every pair once, in whichever entry it stands; complains of names and of entries that disagree.
Correlations pairs_of(const TomlValue& tree, const std::vector<Trait>& own,
                      const std::vector<Trait>& built_in, TomlComplaints& complaints) {
  Correlations pairs;
  std::vector<std::string_view> keys;
  for (const Trait& trait : own) keys.push_back(trait.key);
  for (const Trait& trait : built_in) keys.push_back(trait.key);
  for (const TomlEntry& entry : tree.entries) {
    const Trait* trait = find_entry(own, entry.key);
    if (!trait || only_switches(entry)) continue;
    TomlTable table(entry.value, entry.key, complaints);
    for (const auto& [other, r] : trait->correlations) {
      if (!find_entry(own, other) && !find_entry(built_in, other)) {
        table.wrong("correlations",
                    fmt::format("{} is correlated with {}, which is no trait of the book",
                                entry.key, other),
                    one_of(other, keys));
        continue;
      }
      const auto [at, added] = pairs.emplace(std::minmax(entry.key, other), r);
      if (!added && at->second != r) {
        table.wrong("correlations",
                    fmt::format("{} and {} have correlation {} here and {} in the other entry",
                                entry.key, other, shortest(r), shortest(at->second)),
                    "write the same number in both, or in one of them only");
      }
    }
  }
  return pairs;
}

/// Correlations that contradict each other (A like B, B like C, A unlike C) describe no animals.
void check_correlations(const TomlValue& tree, std::vector<Trait>& own,
                        const std::vector<Trait>& built_in, TomlComplaints& complaints) {
  const Correlations pairs = pairs_of(tree, own, built_in, complaints);
  std::map<std::string, std::size_t> index;
  for (const auto& [pair, r] : pairs) {
    index.emplace(pair.first, index.size());
    index.emplace(pair.second, index.size());
  }
  std::vector<std::vector<double>> matrix(index.size(), std::vector<double>(index.size(), 0.0));
  for (std::size_t i = 0; i < matrix.size(); ++i) matrix[i][i] = 1.0;
  for (const auto& [pair, r] : pairs) {
    const std::size_t i = index[pair.first], j = index[pair.second];
    matrix[i][j] = matrix[j][i] = r;
  }
  if (positive_definite(std::move(matrix))) return;
  for (const TomlEntry& entry : tree.entries) {
    const Trait* trait = find_entry(own, entry.key);
    if (!trait || trait->correlations.empty() || only_switches(entry)) continue;
    TomlTable(entry.value, entry.key, complaints)
        .wrong("correlations", "these correlations cannot all hold at once",
               "bring them nearer to 0, or leave some out");
    break;
  }
  for (Trait& trait : own) trait.correlations.clear();
}

std::vector<Trait> read_entries(const TomlValue& tree, const std::vector<Trait>& built_in,
                                TomlComplaints& complaints) {
  std::vector<Trait> own;
  std::vector<std::string_view> taken;
  for (const Trait& trait : built_in) taken.push_back(trait.key);
  if (tree.entries.size() > most_toml_entries) {
    complaints.wrong(
        {}, fmt::format("{} entries, more than {}", tree.entries.size(), most_toml_entries),
        "keep the traits that matter in this herd");
    return own;
  }
  for (const TomlEntry& entry : tree.entries) {
    if (!key_is_good(entry, "trait", taken, {}, complaints)) continue;
    taken.push_back(entry.key);
    TomlTable table(entry.value, entry.key, complaints);
    const Trait* named = find_entry(built_in, entry.key);
    if (named && only_switches(entry)) {
      Trait trait = *named;
      if (const auto use = table.flag("use")) trait.use = *use;
      trait.row = {Table::traits, entry.value.place.line};
      trait.built_in = false;
      own.push_back(std::move(trait));
    } else {
      auto [trait, usable] = TraitEntryReader(table, entry.key).read();
      if (!usable && named) continue;  // the built-in one stands
      // Its key stays known, so that records.csv does not complain again; it is not computed with.
      if (!usable) trait.use = false;
      trait.row = {Table::traits, entry.value.place.line};
      own.push_back(std::move(trait));
    }
  }
  check_correlations(tree, own, built_in, complaints);
  return own;
}

std::vector<Trait> built_in_traits() {
  std::vector<Problem> none;
  TomlComplaints complaints{"built-in traits", none};
  std::vector<Trait> traits;
  if (const auto tree = parse_toml(built_in_traits_toml(), complaints.file, none)) {
    traits = read_entries(*tree, {}, complaints);
  }
  for (Trait& trait : traits) {
    trait.row = {};
    trait.built_in = true;
  }
  return traits;
}

}  // namespace

std::vector<Trait> read_traits(std::string_view text, std::string_view file,
                               std::vector<Problem>& problems) {
  const auto tree = parse_toml(text, file, problems);
  if (!tree) return {};
  TomlComplaints complaints{std::string(file), problems};
  return read_entries(*tree, built_in_traits(), complaints);
}

std::vector<Trait> with_built_in_traits(std::vector<Trait> own) {
  return with_built_in(std::move(own), built_in_traits());
}

}  // namespace doewright
