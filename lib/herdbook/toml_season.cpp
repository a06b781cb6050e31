// SPDX-License-Identifier: MIT
#include <algorithm>
#include <array>
#include <string>
#include <string_view>
#include <utility>

#include <fmt/core.h>

#include <doewright/core/text.hpp>

#include "toml_files.hpp"
#include "toml_reader.hpp"

namespace doewright {
namespace {

using namespace std::string_view_literals;

constexpr std::array top_keys = {
    "currency"sv, "own_herd"sv,  "hemisphere"sv,       "kid_from"sv,        "kid_to"sv,
    "pens"sv,     "max_hired"sv, "hire_budget"sv,      "as_of"sv,           "keepers_wanted"sv,
    "kid"sv,      "fate"sv,      "breed_inbreeding"sv, "unknown_kinship"sv, "open"sv,
    "limits"sv,   "settle"sv,    "gestation"sv,        "papers"sv,          "risk"sv,
    "rules"sv,    "find_out"sv};
constexpr std::array kid_keys = {"value_keep"sv, "value_meat"sv, "litter_size"sv,
                                 "litter_size_first"sv, "survive"sv};
constexpr std::array fate_keys = {"keep"sv, "either"sv, "meat"sv};
constexpr std::array fate_of_keys = {"doe_kept"sv, "buck_kept"sv};
constexpr std::array open_keys = {"value"sv};
constexpr std::array limit_keys = {"keep"sv,       "meat"sv,      "lethal"sv,
                                   "doe_months"sv, "condition"sv, "doe_weight_share"sv,
                                   "rest_days"sv};
constexpr std::array settle_keys = {
    "proven"sv,           "yearling"sv, "buck_kid"sv,           "semen"sv,       "never"sv,
    "infertile_proven"sv, "cycling"sv,  "infertile_unproven"sv, "heat_noticed"sv};
constexpr std::array papers_keys = {"required"sv, "max_age_months"sv, "isolation_days"sv};
constexpr std::array risk_keys = {"loss_per_month"sv};
constexpr std::array rules_keys = {"polled"sv};
constexpr std::array find_out_keys = {"gene_test"sv, "kids"sv, "papers"sv};

/// A key that stands under the wrong [table] is the commonest slip of TOML: where each one belongs.
constexpr std::array homes = {"currency"sv,
                              "own_herd"sv,
                              "hemisphere"sv,
                              "kid_from"sv,
                              "kid_to"sv,
                              "pens"sv,
                              "max_hired"sv,
                              "hire_budget"sv,
                              "as_of"sv,
                              "keepers_wanted"sv,
                              "breed_inbreeding"sv,
                              "unknown_kinship"sv,
                              "kid.value_keep"sv,
                              "kid.value_meat"sv,
                              "kid.litter_size"sv,
                              "kid.litter_size_first"sv,
                              "kid.survive"sv,
                              "fate.keep.doe_kept"sv,
                              "fate.keep.buck_kept"sv,
                              "limits.lethal"sv,
                              "limits.doe_months"sv,
                              "limits.doe_weight_share"sv,
                              "limits.condition"sv,
                              "limits.rest_days"sv,
                              "settle.proven"sv,
                              "settle.yearling"sv,
                              "settle.buck_kid"sv,
                              "settle.semen"sv,
                              "settle.never"sv,
                              "settle.infertile_proven"sv,
                              "settle.infertile_unproven"sv,
                              "settle.heat_noticed"sv,
                              "settle.cycling"sv,
                              "papers.required"sv,
                              "papers.max_age_months"sv,
                              "papers.isolation_days"sv,
                              "risk.loss_per_month"sv,
                              "rules.polled"sv,
                              "find_out.gene_test"sv};

/// Reads season.toml into `season`; a key that is missing or wrong leaves its default alone.
class SeasonReader {
 public:
  explicit SeasonReader(Season& season) : season_(season) {}

  void read(TomlTable top) {
    read_top(top);
    in(top, "kid", [this](TomlTable& t) { read_kid(t); });
    in(top, "fate", [this](TomlTable& t) { read_fates(t); });
    in(top, "open", [this](TomlTable& t) {
      take(t.number("value", any_number), season_.open_value);
      t.report_unknown(open_keys, homes);
    });
    in(top, "limits", [this](TomlTable& t) { read_limits(t); });
    in(top, "settle", [this](TomlTable& t) { read_settle(t); });
    in(top, "gestation", [this](TomlTable& t) { read_gestation(t); });
    in(top, "papers", [this](TomlTable& t) { read_papers(t); });
    in(top, "risk", [this](TomlTable& t) {
      take(t.number("loss_per_month", a_share), season_.loss_per_month);
      t.report_unknown(risk_keys, homes);
    });
    in(top, "rules", [this](TomlTable& t) { read_rules(t); });
    in(top, "find_out", [this](TomlTable& t) {
      take(t.number("gene_test", not_negative), season_.find_out.gene_test);
      take(t.number("kids", not_negative), season_.find_out.kids);
      take(t.number("papers", not_negative), season_.find_out.papers);
      t.report_unknown(find_out_keys, homes);
    });
    top.report_unknown(top_keys, homes);
    season_.set.merge(top.good);
  }

 private:
  template <typename Value, typename Place>
  static void take(std::optional<Value> value, Place& place) {
    if (value) place = *std::move(value);
  }

  template <typename Read>
  void in(TomlTable& outer, std::string_view key, Read read) {
    auto table = outer.table(key);
    if (!table) return;
    read(*table);
    season_.set.merge(table->good);
  }

  void read_top(TomlTable& t) {
    for (auto [key, place] :
         {std::pair{"currency"sv, &season_.currency}, std::pair{"own_herd"sv, &season_.own_herd}}) {
      const auto text = t.text(key);
      if (!text) continue;
      if (trimmed(*text).empty() || has_control(*text)) {
        t.good.erase(t.dotted(key));
        t.wrong(key, fmt::format("{} is blank or holds control characters", key),
                "write a short plain text, or take the line out");
      } else {
        *place = trimmed(*text);
      }
    }
    static constexpr std::array hemispheres = {"north"sv, "south"sv};
    if (const auto side = t.choice("hemisphere", hemispheres)) season_.north = *side == 0;
    take(t.date("kid_from"), season_.kid_from);
    take(t.date("kid_to"), season_.kid_to);
    if (season_.kid_from && season_.kid_to && *season_.kid_to < *season_.kid_from) {
      t.wrong("kid_to", "kid_to is before kid_from",
              "write the first day wanted as kid_from and the last as kid_to");
      t.good.erase("kid_from");
      t.good.erase("kid_to");
      season_.kid_from.reset();
      season_.kid_to.reset();
    }
    take(t.count("pens"), season_.pens);
    take(t.count("max_hired"), season_.max_hired);
    take(t.number("hire_budget", not_negative), season_.hire_budget);
    take(t.date("as_of"), season_.as_of);
    take(t.count("keepers_wanted"), season_.keepers_wanted);
    take(t.by_breed("breed_inbreeding", share_below_one, season_.breed_inbreeding.other),
         season_.breed_inbreeding);
    take(t.number("unknown_kinship", a_share), season_.unknown_kinship);
  }

  void read_kid(TomlTable& t) {
    Season::Kid& kid = season_.kid;
    // What a kid is worth, less what it cost to rear, may well be below nothing.
    take(t.number("value_keep", any_number), kid.value_keep);
    take(t.number("value_meat", any_number), kid.value_meat);
    take(t.number("litter_size", above_zero), kid.litter_size);
    take(t.number("litter_size_first", above_zero), kid.litter_size_first);
    take(t.number("survive", a_share), kid.survive);
    t.report_unknown(kid_keys, homes);
  }

  void read_fates(TomlTable& t) {
    for (auto [key, fate] :
         {std::pair{"keep"sv, &season_.fate_keep}, std::pair{"either"sv, &season_.fate_either},
          std::pair{"meat"sv, &season_.fate_meat}}) {
      in(t, key, [fate = fate](TomlTable& kids) {
        take(kids.number("doe_kept", a_share), fate->doe_kept);
        take(kids.number("buck_kept", a_share), fate->buck_kept);
        kids.report_unknown(fate_of_keys, homes);
      });
    }
    t.report_unknown(fate_keys, homes);
  }

  /// A list of exactly `N` numbers, none smaller than the one before.
  template <std::size_t N>
  void take_ascending(TomlTable& t, std::string_view key, const Bounds& bounds,
                      std::array<double, N>& place) {
    const auto list = t.numbers(key, bounds);
    if (!list) return;
    if (list->size() != N || !std::is_sorted(list->begin(), list->end())) {
      t.good.erase(t.dotted(key));
      t.wrong(key, fmt::format("{} is not {} numbers in ascending order", t.dotted(key), N),
              N == 3
                  ? "write the limits for note, caution and avoid, such as [0.03125, 0.0625, 0.125]"
                  : "write two numbers, the smaller one first");
      return;
    }
    std::copy(list->begin(), list->end(), place.begin());
  }

  void read_limits(TomlTable& t) {
    Season::Limits& limits = season_.limits;
    take_ascending(t, "keep", a_share, limits.keep);
    take_ascending(t, "meat", a_share, limits.meat);
    take_ascending(t, "lethal", a_share, limits.lethal);
    take_ascending(t, "doe_months", not_negative, limits.doe_months);
    take_ascending(t, "doe_weight_share", not_negative, limits.doe_weight_share);
    take_ascending(t, "condition", {.low = 1.0, .high = 5.0}, limits.condition);
    take(t.number("rest_days", not_negative), limits.rest_days);
    t.report_unknown(limit_keys, homes);
  }

  void read_settle(TomlTable& t) {
    Season::Settle& settle = season_.settle;
    take(t.number("proven", a_share), settle.proven);
    take(t.number("yearling", a_share), settle.yearling);
    take(t.number("buck_kid", a_share), settle.buck_kid);
    take(t.number("semen", a_share), settle.semen);
    // Below 1: what is left of the does or the bucks stands in a denominator.
    take(t.number("never", share_below_one), settle.never);
    take(t.number("infertile_proven", share_below_one), settle.infertile_proven);
    take(t.number("infertile_unproven", share_below_one), settle.infertile_unproven);
    take(t.number("heat_noticed", a_share), settle.heat_noticed);
    if (const auto months = t.numbers("cycling", a_share)) {
      if (months->size() == settle.cycling.size()) {
        std::copy(months->begin(), months->end(), settle.cycling.begin());
      } else {
        t.good.erase("settle.cycling");
        t.wrong("cycling",
                fmt::format("settle.cycling has {} numbers, not one a month", months->size()),
                "write twelve shares from 0 to 1, January first, for the northern hemisphere");
      }
    }
    t.report_unknown(settle_keys, homes);
  }

  void read_gestation(TomlTable& t) {
    for (const TomlEntry* entry : t.all_entries()) {
      if (entry->key != "breeds") read_gestation_class(t, entry->key);
    }
    in(t, "breeds", [this](TomlTable& breeds) {
      std::vector<std::string_view> classes;
      for (const auto& [name, days] : season_.gestation) classes.push_back(name);
      for (const TomlEntry* entry : breeds.all_entries()) {
        const auto chosen = breeds.choice(entry->key, classes);
        if (!chosen) continue;
        season_.gestation_class_of_breed[lower_ascii(trimmed(entry->key))] = classes[*chosen];
      }
    });
  }

  void read_gestation_class(TomlTable& t, std::string_view name) {
    const auto days = t.numbers(name, above_zero);
    if (!days) return;
    // A goat's pregnancy lasts five months; anything far from it is a slip of the keys.
    if (days->size() != 2 || (*days)[0] < 120.0 || (*days)[0] > 180.0 || (*days)[1] > 20.0) {
      t.good.erase(t.dotted(name));
      t.wrong(name,
              fmt::format("{} is not a mean and a standard deviation in days", t.dotted(name)),
              "write two numbers such as [150, 3.0]: a mean from 120 to 180, a deviation up to 20");
      return;
    }
    season_.gestation[std::string(name)] = {(*days)[0], (*days)[1]};
  }

  void read_papers(TomlTable& t) {
    take(t.texts("required"), season_.papers.required);
    take(t.number("max_age_months", not_negative), season_.papers.max_age_months);
    take(t.count("isolation_days"), season_.papers.isolation_days);
    t.report_unknown(papers_keys, homes);
  }

  void read_rules(TomlTable& t) {
    static constexpr std::array verdicts = {"avoid"sv, "caution"sv};
    if (const auto verdict = t.choice("polled", verdicts)) {
      season_.polled_rule = *verdict == 0 ? Verdict::avoid : Verdict::caution;
    }
    t.report_unknown(rules_keys, homes);
  }

  Season& season_;
};

}  // namespace

Season read_season(std::string_view text, std::string_view file, std::vector<Problem>& problems) {
  Season season;
  const auto tree = parse_toml(text, file, problems);
  if (!tree) return season;
  TomlComplaints complaints{std::string(file), problems};
  SeasonReader(season).read(TomlTable(*tree, "", complaints));
  return season;
}

}  // namespace doewright
