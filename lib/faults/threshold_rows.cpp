// SPDX-License-Identifier: MIT
// Nodes are closed upward: every ancestor of a node is one. So whoever is not a node has no
// descendant among them, and given the nodes he is his parents' mean and his own Mendelian
// sampling, as in the prior.
#include "threshold_rows.hpp"

#include <algorithm>
#include <queue>
#include <utility>

#include <doewright/kinship/inbreeding.hpp>
#include <doewright/kinship/inverse.hpp>

namespace doewright {

namespace {

constexpr std::uint32_t nowhere = Pedigree::none;

/// Calls say(s of `part`, s of `whole`) for every stand-in of a part of a pedigree, through its
/// kids.
template <class Say>
void each_stand_in(const AncestorPedigree& part, const Pedigree& whole, Say say) {
  for (std::uint32_t i = 0; i < part.pedigree.size(); ++i) {
    const std::uint32_t slot = part.pedigree.sire_slots()[i];
    if (!Pedigree::is_stand_in(slot)) continue;
    const std::uint32_t in_whole = whole.sire_slots()[part.original[i].position];
    say(Pedigree::stand_in_of(slot), Pedigree::stand_in_of(in_whole));
  }
}

/// Animals and stand-ins of a pedigree as one list of numbers (stand-ins after animals), and walks
/// up from an animal until nodes are met.
class UpwardWalk {
 public:
  UpwardWalk(const LiabilityNodes& nodes, const AncestorPedigree& part)
      : pedigree_(part.pedigree),
        node_(pedigree_.size() + pedigree_.stand_ins(), nowhere),
        weight_(node_.size(), 0.0) {
    for (std::uint32_t i = 0; i < pedigree_.size(); ++i) {
      node_[i] = nodes.node(part.original[i]).value_or(nowhere);
    }
    each_stand_in(part, nodes.pedigree(), [&](std::uint32_t here, std::uint32_t whole) {
      node_[pedigree_.size() + here] = nodes.stand_in_node(whole).value_or(nowhere);
    });
    put_in_order();
  }

  LiabilityPart part_of(Animal animal) {
    LiabilityPart part;
    weight_[animal.position] = 1.0;
    std::priority_queue<std::size_t> todo;  // the youngest first
    todo.push(place_[animal.position]);
    while (!todo.empty()) {
      const std::uint32_t i = parents_first_[todo.top()];
      todo.pop();
      const double weight = std::exchange(weight_[i], 0.0);
      if (weight == 0.0) continue;  // it was reached twice
      if (node_[i] != nowhere) {
        part.core.emplace_back(node_[i], weight);
        continue;
      }
      part.own.emplace_back(i, weight);
      give_to_parents(i, weight, [&](std::uint32_t parent) { todo.push(place_[parent]); });
    }
    std::sort(part.core.begin(), part.core.end());
    std::sort(part.own.begin(), part.own.end());
    return part;
  }

 private:
  /// A stand-in stands before the first of its kids, and after its bucks.
  void put_in_order() {
    const std::size_t animals = pedigree_.size();
    std::vector<bool> placed(pedigree_.stand_ins(), false);
    place_.assign(node_.size(), 0);
    const auto append = [&](std::uint32_t number) {
      place_[number] = parents_first_.size();
      parents_first_.push_back(number);
    };
    for (std::uint32_t i = 0; i < animals; ++i) {
      const std::uint32_t slot = pedigree_.sire_slots()[i];
      if (Pedigree::is_stand_in(slot) && !placed[Pedigree::stand_in_of(slot)]) {
        placed[Pedigree::stand_in_of(slot)] = true;
        append(static_cast<std::uint32_t>(animals) + Pedigree::stand_in_of(slot));
      }
      append(i);
    }
  }

  template <class Reached>
  void give_to_parents(std::uint32_t i, double weight, Reached reached) {
    const auto animals = static_cast<std::uint32_t>(pedigree_.size());
    if (i >= animals) {
      for (const SireChance& buck : pedigree_.stand_in(i - animals)) {
        weight_[buck.sire.position] += weight * buck.probability;
        reached(buck.sire.position);
      }
      return;
    }
    for (const std::uint32_t slot : {pedigree_.sire_slots()[i], pedigree_.dam_slots()[i]}) {
      if (slot == Pedigree::none) continue;
      const std::uint32_t parent =
          Pedigree::is_stand_in(slot) ? animals + Pedigree::stand_in_of(slot) : slot;
      weight_[parent] += weight / 2.0;
      reached(parent);
    }
  }

  const Pedigree& pedigree_;
  std::vector<std::uint32_t> node_;
  std::vector<double> weight_;
  std::vector<std::uint32_t> parents_first_;
  std::vector<std::size_t> place_;
};

}  // namespace

LiabilityNodes::LiabilityNodes(const Pedigree& pedigree, std::span<const Animal> with_evidence,
                               bool with_mu)
    : pedigree_(pedigree) {
  std::vector<Animal> in_order(with_evidence.begin(), with_evidence.end());
  std::sort(in_order.begin(), in_order.end());
  in_order.erase(std::unique(in_order.begin(), in_order.end()), in_order.end());
  const AncestorPedigree core = ancestors_only(pedigree, in_order);
  core_ = core.pedigree;
  const auto animals = static_cast<std::uint32_t>(core_.size());
  for (std::uint32_t i = 0; i < animals; ++i) node_of_.emplace(core.original[i].position, i);
  each_stand_in(core, pedigree, [&](std::uint32_t here, std::uint32_t whole) {
    stand_in_node_of_.emplace(whole, animals + here);
  });
  nodes_ = animals + core_.stand_ins();
  if (with_mu) mu_ = static_cast<std::uint32_t>(nodes_++);
}

std::optional<std::uint32_t> LiabilityNodes::node(Animal animal) const {
  const auto found = node_of_.find(animal.position);
  return found == node_of_.end() ? std::nullopt : std::optional(found->second);
}

std::optional<std::uint32_t> LiabilityNodes::stand_in_node(std::uint32_t s) const {
  const auto found = stand_in_node_of_.find(s);
  return found == stand_in_node_of_.end() ? std::nullopt : std::optional(found->second);
}

std::vector<Eigen::Triplet<double>> LiabilityNodes::prior_precision(double heritability,
                                                                    double mu_var) const {
  const SparseMatrix inverse = relationship_inverse(core_, inbreeding(core_));
  std::vector<Eigen::Triplet<double>> entries;
  for (std::size_t row = 0; row + 1 < inverse.first.size(); ++row) {
    for (std::uint64_t k = inverse.first[row]; k < inverse.first[row + 1]; ++k) {
      if (inverse.columns[k] > row) continue;
      entries.emplace_back(static_cast<int>(row), static_cast<int>(inverse.columns[k]),
                           inverse.values[k] / heritability);
    }
  }
  if (mu_) entries.emplace_back(static_cast<int>(*mu_), static_cast<int>(*mu_), 1.0 / mu_var);
  return entries;
}

double LiabilityParts::own_covariance(std::size_t a, std::size_t b) const {
  double sum = 0.0;
  auto x = of[a].own.begin();
  auto y = of[b].own.begin();
  while (x != of[a].own.end() && y != of[b].own.end()) {
    if (x->first == y->first) {
      sum += x->second * y->second * own_variance[x->first];
      ++x, ++y;
    } else {
      ++(x->first < y->first ? x : y);
    }
  }
  return sum;
}

LiabilityParts liability_parts(const LiabilityNodes& nodes, std::span<const Animal> asked) {
  LiabilityParts parts;
  std::vector<Animal> in_order(asked.begin(), asked.end());
  std::sort(in_order.begin(), in_order.end());
  in_order.erase(std::unique(in_order.begin(), in_order.end()), in_order.end());
  const AncestorPedigree part = ancestors_only(nodes.pedigree(), in_order);
  parts.own_variance = sampling_variances(part.pedigree, inbreeding(part.pedigree));
  UpwardWalk walk(nodes, part);
  for (const Animal animal : asked) {
    const auto place = std::lower_bound(in_order.begin(), in_order.end(), animal);
    parts.of.push_back(
        walk.part_of(part.asked[static_cast<std::size_t>(place - in_order.begin())]));
  }
  return parts;
}

}  // namespace doewright
