// SPDX-License-Identifier: MIT
#include "closeness.hpp"

#include <algorithm>
#include <cmath>
#include <functional>

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
    const bool has_cost = !model.cost_keep.empty() || !model.cost_meat.empty() ||
                          model.cost_carried != 0.0;
    if (!model.built_in || !has_cost) continue;
    result.push_back({"faults." + model.key + ".cost", [f](KidPrices& prices, PairInputs&,
                                               const PairingAccount&, double factor) {
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
    result.push_back({"traits." + trait.key + ".value", [&trait, t](KidPrices&, PairInputs& inputs,
                                                        const PairingAccount& pair, double factor) {
                        for (const PairMerit& merit : pair.merit) {
                          if (merit.trait != t) continue;
                          scale_trait(trait, merit, pair.kid_inbreeding.used, inputs, factor);
                        }
                      }});
  }
  return result;
}

}  // namespace

void find_close_calls(const WorldsInput& input, PairingTable& table) {
  const auto all = variations(input.herd, table);
  for (std::size_t d = 0; d < table.does.size(); ++d) {
    DoeAccount& doe = table.does[d];
    std::size_t open = 0;
    while (open < doe.sires.size() && doe.sires[open].verdict != Verdict::avoid) ++open;
    if (open < 2) continue;
    const PairingAccount& first = doe.sires.front();
    for (const Variation& variation : all) {
      bool changes = false;
      for (const double factor : {0.5, 2.0}) {
        const PairingAccount* best = nullptr;
        double best_value = 0.0;
        for (std::size_t i = 0; i < open; ++i) {
          KidPrices prices = input.prices;
          PairInputs inputs = input.pairs(doe.sires[i].offer, d);
          variation.scale(prices, inputs, doe.sires[i], factor);
          const double value = value_at(input.herd, prices, inputs, doe.sires[i]);
          if (best == nullptr || std::llround(value * 1e6) > std::llround(best_value * 1e6)) {
            best = &doe.sires[i];
            best_value = value;
          }
        }
        const bool level = std::find(first.tied_with.begin(), first.tied_with.end(),
                                     best->pairing.sire) != first.tied_with.end();
        if (best != &first && !level) changes = true;
      }
      if (changes) doe.close_at.push_back(variation.name);
    }
  }
}

std::vector<OtherPrice> values_at_other_prices(const WorldsInput& input,
                                               const PairingTable& table) {
  std::vector<OtherPrice> result;
  for (const Variation& variation : variations(input.herd, table)) {
    for (const double factor : {0.5, 2.0}) {
      OtherPrice other{variation.name, factor, Grid<double>(table.does.size(), table.sires.size())};
      for (std::size_t d = 0; d < table.does.size(); ++d) {
        for (const PairingAccount& pair : table.does[d].sires) {
          KidPrices prices = input.prices;
          PairInputs inputs = input.pairs(pair.offer, d);
          variation.scale(prices, inputs, pair, factor);
          other.values(d, pair.offer) = value_at(input.herd, prices, inputs, pair);
        }
      }
      result.push_back(std::move(other));
    }
  }
  return result;
}

}  // namespace doewright
