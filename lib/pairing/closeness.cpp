// SPDX-License-Identifier: MIT
#include "closeness.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <span>
#include <string_view>

namespace doewright {

namespace {

/// One price, and how to scale it.
struct Variation {
  std::string name;
  std::function<void(KidPrices&, PairInputs&, const PairingAccount&, double)> scale;
};

void scale_trait(const Trait& trait, const PairMerit& merit, double f, PairInputs& inputs,
                 double factor) {
  const double expected = 0.5 * (merit.sire + merit.dam);
  const double depression = trait.per_percent_inbreeding * 100.0 * f;
  for (std::size_t sex = 0; sex < 2; ++sex) {
    for (std::size_t fate = 0; fate < 2; ++fate) {
      const double price = trait_price(trait, sex, fate);
      inputs.kid.merit[sex][fate] += (factor - 1.0) * price * expected;
      inputs.kid.inbreeding[sex][fate] += (factor - 1.0) * price * depression;
    }
  }
}

std::vector<Variation> variations(const Herd& herd, const PairingTable& table) {
  std::vector<Variation> result;
  const auto is_default = [&](const char* key) { return !herd.season.set.contains(key); };
  if (is_default("kid.value_keep")) {
    result.push_back({"kid.value_keep", [](KidPrices& prices, PairInputs&, const PairingAccount&,
                                           double factor) { prices.base[0] *= factor; }});
  }
  if (is_default("kid.value_meat")) {
    result.push_back({"kid.value_meat", [](KidPrices& prices, PairInputs&, const PairingAccount&,
                                           double factor) { prices.base[1] *= factor; }});
  }
  for (std::size_t f = 0; f < table.faults.size(); ++f) {
    const FaultModel& model = herd.faults[table.faults[f]];
    const bool has_cost =
        !model.cost_keep.empty() || !model.cost_meat.empty() || model.cost_carried != 0.0;
    if (!model.built_in || !has_cost) continue;
    result.push_back({"faults." + model.key + ".cost",
                      [f](KidPrices& prices, PairInputs&, const PairingAccount&, double factor) {
                        for (auto& costs : prices.faults[f].by_grade) {
                          for (double& cost : costs) cost *= factor;
                        }
                        prices.faults[f].carried *= factor;
                      }});
  }
  for (std::size_t t = 0; t < herd.traits.size(); ++t) {
    const Trait& trait = herd.traits[t];
    if (!trait.use || !trait.built_in) continue;
    if (trait.value_keep == 0.0 && trait.value_meat == 0.0) continue;
    result.push_back(
        {"traits." + trait.key + ".value",
         [&trait, t](KidPrices&, PairInputs& inputs, const PairingAccount& pair, double factor) {
           for (const PairMerit& merit : pair.merit) {
             if (merit.trait != t) continue;
             scale_trait(trait, merit, pair.kid_inbreeding.used, inputs, factor);
           }
         }});
  }
  return result;
}

constexpr std::array<double, 2> factors = {0.5, 2.0};

/// Values of a pair with these prices scaled together.
double value_with(const WorldsInput& input, const PairingAccount& pair, std::size_t doe,
                  std::span<const Variation> together, double factor) {
  KidPrices prices = input.prices;
  PairInputs inputs = input.pairs(pair.offer, doe);
  for (const Variation& variation : together) variation.scale(prices, inputs, pair, factor);
  return value_at(input.herd, prices, inputs, pair);
}

/// Who would come first of the first `open` of her list; nobody if that is who does, or one level
/// with him.
const PairingAccount* another_first(const WorldsInput& input, const DoeAccount& doe, std::size_t d,
                                    std::size_t open, std::span<const Variation> together,
                                    double factor) {
  const PairingAccount* best = nullptr;
  double best_value = 0.0;
  for (std::size_t i = 0; i < open; ++i) {
    const double value = value_with(input, doe.sires[i], d, together, factor);
    if (best == nullptr || std::llround(value * 1e6) > std::llround(best_value * 1e6)) {
      best = &doe.sires[i];
      best_value = value;
    }
  }
  const PairingAccount& first = doe.sires.front();
  const bool level = std::find(first.tied_with.begin(), first.tied_with.end(),
                               best->pairing.sire) != first.tied_with.end();
  return best == &first || level ? nullptr : best;
}

/// Prices that bring `other` nearer to her first.
void add_nearer(const WorldsInput& input, std::span<const Variation> all, DoeAccount& doe,
                std::size_t d, const PairingAccount& other, double factor) {
  const PairingAccount& first = doe.sires.front();
  const double behind = first.money->value - other.money->value;
  for (const Variation& variation : all) {
    const double now = value_with(input, first, d, {&variation, 1}, factor) -
                       value_with(input, other, d, {&variation, 1}, factor);
    const bool said =
        std::find(doe.close_at.begin(), doe.close_at.end(), variation.name) != doe.close_at.end();
    if (std::llround(now * 1e6) < std::llround(behind * 1e6) && !said) {
      doe.close_at.push_back(variation.name);
    }
  }
}

}  // namespace

void find_close_calls(const WorldsInput& input, PairingTable& table) {
  const auto all = variations(input.herd, table);
  for (std::size_t d = 0; d < table.does.size(); ++d) {
    DoeAccount& doe = table.does[d];
    std::size_t open = 0;
    while (open < doe.sires.size() && doe.sires[open].verdict != Verdict::avoid) ++open;
    if (open < 2) continue;
    for (const Variation& variation : all) {
      const bool changes = std::any_of(factors.begin(), factors.end(), [&](double factor) {
        return another_first(input, doe, d, open, {&variation, 1}, factor) != nullptr;
      });
      if (changes) doe.close_at.push_back(variation.name);
    }
    if (!doe.close_at.empty()) continue;
    for (const double factor : factors) {
      const PairingAccount* other = another_first(input, doe, d, open, all, factor);
      if (other != nullptr) add_nearer(input, all, doe, d, *other, factor);
    }
  }
}

std::vector<OtherPrice> values_at_other_prices(const WorldsInput& input,
                                               const PairingTable& table) {
  std::vector<OtherPrice> result;
  const std::vector<Variation> all = variations(input.herd, table);
  const auto add = [&](std::string_view name, std::span<const Variation> together) {
    for (const double factor : factors) {
      OtherPrice other{std::string(name), factor,
                       Grid<double>(table.does.size(), table.sires.size())};
      for (std::size_t d = 0; d < table.does.size(); ++d) {
        for (const PairingAccount& pair : table.does[d].sires) {
          other.values(d, pair.offer) = value_with(input, pair, d, together, factor);
        }
      }
      result.push_back(std::move(other));
    }
  };
  for (const Variation& variation : all) add(variation.name, {&variation, 1});
  if (all.size() > 1) add(all_default_prices, all);
  return result;
}

}  // namespace doewright
