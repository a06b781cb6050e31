// SPDX-License-Identifier: MIT
#include "locus_network.hpp"

#include <algorithm>

namespace doewright {

namespace {

constexpr std::uint32_t no_variable = 0xFFFFFFFFu;
constexpr std::uint32_t no_kid = 0xFFFFFFFFu;

/// Weights of the sexes an animal may have.
struct SexWeights {
  double doe, buck;
  double operator[](int sex) const noexcept { return sex == 0 ? doe : buck; }
};
SexWeights weights_of(Sex sex) noexcept {
  switch (genetic_sex(sex)) {
    case 0: return {1.0, 0.0};
    case 1: return {0.0, 1.0};
    default: return {0.5, 0.5};
  }
}

}  // namespace

int genetic_sex(Sex sex) noexcept {
  switch (sex) {
    case Sex::doe:
    case Sex::intersex: return 0;
    case Sex::buck:
    case Sex::wether: return 1;
    case Sex::unknown: break;
  }
  return 2;
}

double Transmission::kid(int k, int sire, int dam, int sex) const noexcept {
  const double from_dam = dam / 2.0;
  if (x_linked) {
    if (sex == 1) return k == 0 ? 1.0 - from_dam : (k == 1 ? from_dam : 0.0);
    const double from_sire = sire > 0 ? 1.0 : 0.0;
    if (k == 2) return from_sire * from_dam;
    if (k == 0) return (1.0 - from_sire) * (1.0 - from_dam);
    return from_sire * (1.0 - from_dam) + (1.0 - from_sire) * from_dam;
  }
  const double from_sire = sire / 2.0;
  if (k == 2) return from_sire * from_dam;
  if (k == 0) return (1.0 - from_sire) * (1.0 - from_dam);
  return from_sire * (1.0 - from_dam) + (1.0 - from_sire) * from_dam;
}

double Transmission::founder(int k, double q, int sex) const noexcept {
  if (x_linked && sex == 1) return k == 0 ? 1.0 - q : (k == 1 ? q : 0.0);
  if (k == 0) return (1.0 - q) * (1.0 - q);
  return k == 1 ? 2.0 * q * (1.0 - q) : q * q;
}

bool OwnEvidence::tells() const noexcept {
  if (living_of_unknown_litter) return true;
  const double first = likelihood[0][0];
  if (first == 0.0) return true;  // zero throughout contradicts itself, whoever is asked about
  for (const Copies& by_copies : likelihood) {
    for (const double value : by_copies) {
      if (value != first) return true;
    }
  }
  return false;
}

LocusNetwork::LocusNetwork(const Pedigree& pedigree, const LocusInput& input,
                           std::span<const Animal> asked)
    : contains_(pedigree.size(), false),
      contains_stand_in_(pedigree.stand_ins(), false),
      copies_(pedigree.size()),
      copies_stand_in_(pedigree.stand_ins()),
      variable_(pedigree.size(), no_variable),
      variable_of_stand_in_(pedigree.stand_ins(), no_variable),
      selector_of_stand_in_(pedigree.stand_ins(), no_variable),
      kid_of_stand_in_(pedigree.stand_ins(), no_kid) {
  mark_relevant(pedigree, input, asked);
  add_variables(pedigree, input);
  if (!possible_) return;
  for (std::uint32_t a = 0; a < pedigree.size(); ++a) {
    if (contains_[a]) add_animal(pedigree, input, Animal{a});
  }
  for (std::uint32_t s = 0; s < pedigree.stand_ins(); ++s) {
    if (contains_stand_in_[s]) add_stand_in(pedigree, input, s);
  }
  for (const PairEvidence& evidence : input.pairs) add_pair(evidence);
}

void LocusNetwork::mark_relevant(const Pedigree& pedigree, const LocusInput& input,
                                 std::span<const Animal> asked) {
  for (const Animal animal : asked) contains_[animal.position] = true;
  for (std::uint32_t a = 0; a < pedigree.size(); ++a) {
    if (input.own[a].tells()) contains_[a] = true;
  }
  const auto mark_parent = [&](const PairParent& parent) {
    if (parent.animal) contains_[parent.animal->position] = true;
    if (parent.stand_in) contains_stand_in_[*parent.stand_in] = true;
  };
  for (const PairEvidence& evidence : input.pairs) {
    mark_parent(evidence.sire);
    mark_parent(evidence.dam);
  }
  // Parents before offspring, and a stand-in stands between its bucks and its kids: one pass upward.
  const auto sires = pedigree.sire_slots();
  const auto dams = pedigree.dam_slots();
  for (std::uint32_t a = 0; a < pedigree.size(); ++a) {
    if (Pedigree::is_stand_in(sires[a])) {
      std::uint32_t& kid = kid_of_stand_in_[Pedigree::stand_in_of(sires[a])];
      if (kid == no_kid) kid = a;
    }
  }
  for (std::uint32_t a = static_cast<std::uint32_t>(pedigree.size()); a-- > 0;) {
    // Stand-ins whose first kid is a: its later kids have been seen.
    if (Pedigree::is_stand_in(sires[a])) {
      const std::uint32_t s = Pedigree::stand_in_of(sires[a]);
      if (contains_[a]) contains_stand_in_[s] = true;
      if (kid_of_stand_in_[s] == a && contains_stand_in_[s]) {
        for (const SireChance& chance : pedigree.stand_in(s)) {
          contains_[chance.sire.position] = true;
        }
      }
    }
    if (!contains_[a]) continue;
    if (sires[a] != Pedigree::none && !Pedigree::is_stand_in(sires[a])) contains_[sires[a]] = true;
    if (dams[a] != Pedigree::none) contains_[dams[a]] = true;
  }
}

void LocusNetwork::add_variables(const Pedigree& pedigree, const LocusInput& input) {
  const auto add = [&](const std::vector<std::uint8_t>& copies, std::uint32_t& variable) {
    if (copies.empty()) possible_ = false;
    if (copies.size() < 2) return;
    variable = static_cast<std::uint32_t>(states_.size());
    states_.push_back(static_cast<std::uint32_t>(copies.size()));
  };
  const bool x_linked = input.transmission.x_linked;
  for (std::uint32_t a = 0; a < pedigree.size(); ++a) {
    if (!contains_[a]) continue;
    const SexWeights weight = weights_of(input.sex[a]);
    const OwnEvidence& own = input.own[a];
    for (std::uint8_t k = 0; k < 3; ++k) {
      double best = 0.0;
      for (int sex = 0; sex < 2; ++sex) {
        if (x_linked && sex == 1 && k == 2) continue;
        double value = weight[sex] * at(own.likelihood, sex, k);
        if (own.living_of_unknown_litter) value *= at(own.not_shown, sex, k);
        best = std::max(best, value);
      }
      if (best > 0.0) copies_[a].push_back(k);
    }
    add(copies_[a], variable_[a]);
  }
  for (std::uint32_t s = 0; s < pedigree.stand_ins(); ++s) {
    if (!contains_stand_in_[s]) continue;
    copies_stand_in_[s] = x_linked ? std::vector<std::uint8_t>{0, 1}
                                   : std::vector<std::uint8_t>{0, 1, 2};
    add(copies_stand_in_[s], variable_of_stand_in_[s]);
    const std::size_t bucks = pedigree.stand_in(s).size() + 1;  // and one who is not on the list
    selector_of_stand_in_[s] = static_cast<std::uint32_t>(states_.size());
    states_.push_back(static_cast<std::uint32_t>(bucks));
  }
}

std::optional<std::uint32_t> LocusNetwork::variable(Animal animal) const {
  if (variable_[animal.position] == no_variable) return std::nullopt;
  return variable_[animal.position];
}

std::optional<std::uint32_t> LocusNetwork::variable_of_stand_in(std::uint32_t s) const {
  if (variable_of_stand_in_[s] == no_variable) return std::nullopt;
  return variable_of_stand_in_[s];
}

double LocusNetwork::frequency_of_unlisted(const Pedigree& pedigree, const LocusInput& input,
                                           std::uint32_t s) const {
  const std::uint32_t kid = kid_of_stand_in_[s];
  return input.frequency[kid == no_kid ? pedigree.stand_in(s)[0].sire.position : kid];
}

LocusNetwork::Node LocusNetwork::node(Animal animal) const {
  return {variable(animal), &copies_[animal.position]};
}

LocusNetwork::Node LocusNetwork::node_of_stand_in(std::uint32_t s) const {
  return {variable_of_stand_in_[s], &copies_stand_in_[s]};
}

LocusNetwork::Node LocusNetwork::node_of(const PairParent& parent) const {
  if (parent.animal) return node(*parent.animal);
  if (parent.stand_in) return node_of_stand_in(*parent.stand_in);
  return {};
}

/// value(copies of each node, -1 where the node is not known), for every combination that is possible.
template <class Value>
void LocusNetwork::add_factor(std::span<const Node> nodes, Value value) {
  TreeFactor factor;
  std::vector<std::size_t> counts;
  for (const Node& node : nodes) {
    if (node.variable) factor.scope.push_back(*node.variable);
    counts.push_back(node.copies == nullptr ? 1 : node.copies->size());
  }
  std::vector<std::size_t> at(nodes.size(), 0);
  std::vector<int> copies(nodes.size(), -1);
  while (true) {
    for (std::size_t n = 0; n < nodes.size(); ++n) {
      if (nodes[n].copies != nullptr) copies[n] = (*nodes[n].copies)[at[n]];
    }
    factor.table.push_back(value(copies));
    std::size_t n = 0;
    for (; n < nodes.size(); ++n) {
      if (++at[n] < counts[n]) break;
      at[n] = 0;
    }
    if (n == nodes.size()) break;
  }
  factors_.push_back(std::move(factor));
}

void LocusNetwork::add_animal(const Pedigree& pedigree, const LocusInput& input, Animal animal) {
  const std::uint32_t a = animal.position;
  const Transmission& from = input.transmission;
  const OwnEvidence& own = input.own[a];
  const SexWeights weight = weights_of(input.sex[a]);
  const double q = input.frequency[a];
  const std::uint32_t sire_slot = pedigree.sire_slots()[a];
  const std::uint32_t dam_slot = pedigree.dam_slots()[a];

  if (sire_slot == Pedigree::none && dam_slot == Pedigree::none) {
    const std::array<Node, 1> nodes = {node(animal)};
    add_factor(nodes, [&](const std::vector<int>& copies) {
      double sum = 0.0;
      for (int sex = 0; sex < 2; ++sex) {
        double value = weight[sex] * from.founder(copies[0], q, sex) * at(own.likelihood, sex, copies[0]);
        if (own.living_of_unknown_litter) value *= at(own.not_shown, sex, copies[0]);
        sum += value;
      }
      return sum;
    });
    return;
  }
  // P(k, sex | both parents' copies), with the living-kid table where it applies, times the evidence.
  const auto given_parents = [&](int k, int sire, int dam) {
    double sum = 0.0;
    double all = 0.0;
    for (int sex = 0; sex < 2; ++sex) {
      if (weight[sex] == 0.0) continue;
      double value = weight[sex] * from.kid(k, sire, dam, sex);
      if (own.living_of_unknown_litter) {
        value *= at(own.not_shown, sex, k);
        for (int other = 0; other < 3; ++other) {
          all += weight[sex] * from.kid(other, sire, dam, sex) * at(own.not_shown, sex, other);
        }
      }
      sum += value * at(own.likelihood, sex, k);
    }
    if (!own.living_of_unknown_litter) return sum;
    return all > 0.0 ? sum / all : 0.0;
  };
  const Node sire = sire_slot == Pedigree::none ? Node{}
                    : Pedigree::is_stand_in(sire_slot)
                        ? node_of_stand_in(Pedigree::stand_in_of(sire_slot))
                        : node(Animal{sire_slot});
  const Node dam = dam_slot == Pedigree::none ? Node{} : node(Animal{dam_slot});
  if (sire_slot == dam_slot) {  // one animal in both roles: an error of the book, said elsewhere
    const std::array<Node, 2> nodes = {node(animal), sire};
    add_factor(nodes, [&](const std::vector<int>& copies) {
      return given_parents(copies[0], copies[1], copies[1]);
    });
    return;
  }
  const std::array<Node, 3> nodes = {node(animal), sire, dam};
  add_factor(nodes, [&](const std::vector<int>& copies) {
    double sum = 0.0;
    for (int s = 0; s < 3; ++s) {
      const double of_sire = copies[1] >= 0 ? (copies[1] == s ? 1.0 : 0.0) : from.founder(s, q, 1);
      if (of_sire == 0.0) continue;
      for (int d = 0; d < 3; ++d) {
        const double of_dam = copies[2] >= 0 ? (copies[2] == d ? 1.0 : 0.0) : from.founder(d, q, 0);
        if (of_dam != 0.0) sum += of_sire * of_dam * given_parents(copies[0], s, d);
      }
    }
    return sum;
  });
}

void LocusNetwork::add_stand_in(const Pedigree& pedigree, const LocusInput& input,
                                std::uint32_t s) {
  const auto bucks = pedigree.stand_in(s);
  const std::uint32_t selector = selector_of_stand_in_[s];
  double rest = 1.0;
  TreeFactor prior{{selector}, {}};
  for (const SireChance& chance : bucks) {
    prior.table.push_back(chance.probability);
    rest -= chance.probability;
  }
  prior.table.push_back(rest > 1e-12 ? rest : 0.0);
  factors_.push_back(std::move(prior));

  std::vector<std::uint8_t> choices;
  for (std::size_t c = 0; c <= bucks.size(); ++c) choices.push_back(static_cast<std::uint8_t>(c));
  const Node choice{selector, &choices};
  const Node copy = node_of_stand_in(s);
  for (std::size_t c = 0; c < bucks.size(); ++c) {
    const std::array<Node, 3> nodes = {copy, choice, node(bucks[c].sire)};
    add_factor(nodes, [&](const std::vector<int>& copies) {
      if (copies[1] != static_cast<int>(c)) return 1.0;
      return copies[0] == copies[2] ? 1.0 : 0.0;
    });
  }
  const double q = frequency_of_unlisted(pedigree, input, s);
  const std::array<Node, 2> nodes = {copy, choice};
  add_factor(nodes, [&](const std::vector<int>& copies) {
    if (copies[1] != static_cast<int>(bucks.size())) return 1.0;
    return input.transmission.founder(copies[0], q, 1);
  });
}

void LocusNetwork::add_pair(const PairEvidence& evidence) {
  const std::array<Node, 2> nodes = {node_of(evidence.sire), node_of(evidence.dam)};
  add_factor(nodes, [&](const std::vector<int>& copies) {
    const auto sire = static_cast<std::size_t>(std::max(0, copies[0]));  // not known: any is the same
    const auto doe = static_cast<std::size_t>(std::max(0, copies[1]));
    return evidence.likelihood[sire][doe];
  });
}

}  // namespace doewright
