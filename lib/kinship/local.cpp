// SPDX-License-Identifier: MIT
#include "local.hpp"

#include <algorithm>

#include "groups.hpp"

namespace doewright {

std::vector<double> own_parts(const Family& family, const NodeInbreeding& inbreeding) {
  std::vector<double> own(family.size());
  const auto part = [&](std::uint32_t parent) {
    return parent == Family::none ? 0.0 : 0.25 * (1.0 + inbreeding.f[parent]);
  };
  for (std::uint32_t node = 0; node < family.size(); ++node) {
    own[node] = family.is_stand_in(node) ? inbreeding.stand_in_own[family.list_of(node)]
                                         : 1.0 - part(family.sire(node)) - part(family.dam(node));
  }
  return own;
}

std::vector<double> gene_flow_row(const Family& family, std::uint32_t node) {
  std::vector<double> share(family.size(), 0.0);
  share[node] = 1.0;
  for (std::uint32_t i = node + 1; i-- > 0;) {
    if (share[i] == 0.0) continue;
    family.for_parents(
        i, [&](std::uint32_t parent, double part) { share[parent] += part * share[i]; });
  }
  return share;
}

std::vector<double> kinship_column(const Family& family, std::span<const double> own,
                                   std::uint32_t node, const GroupKinship* groups) {
  std::vector<double> x = gene_flow_row(family, node);
  const std::uint32_t first = groups == nullptr ? 0 : groups->groups;
  if (first > 0) {
    const std::vector<double> drawn(x.begin(), x.begin() + first);
    for (std::uint32_t g = 0; g < first; ++g) {
      x[g] = 0.0;
      for (std::uint32_t h = 0; h < first; ++h) x[g] += 2.0 * groups->between(g, h) * drawn[h];
    }
  }
  for (std::uint32_t i = first; i < family.size(); ++i) {
    double sum = x[i] * own[i];
    family.for_parents(i, [&](std::uint32_t parent, double part) { sum += part * x[parent]; });
    x[i] = sum;
  }
  for (double& each : x) each *= 0.5;
  return x;
}

Family with_choices(const Family& family, std::span<const StandInChoice> choices) {
  std::vector<std::uint32_t> sires(family.size()), dams(family.size()), first = {0};
  for (std::uint32_t node = 0; node < family.size(); ++node) {
    sires[node] = family.sire(node);
    dams[node] =
        family.is_stand_in(node) ? Pedigree::stand_in_bit | family.list_of(node) : family.dam(node);
  }
  std::vector<ParentPart> candidates;
  for (std::uint32_t list = 0; list < family.stand_ins(); ++list) {
    const auto choice = std::find_if(choices.begin(), choices.end(),
                                     [&](const StandInChoice& each) { return each.list == list; });
    if (choice == choices.end()) {
      const auto all = family.candidates(list);
      candidates.insert(candidates.end(), all.begin(), all.end());
    } else if (choice->taken != Family::none) {
      candidates.push_back({choice->taken, 1.0});
    }
    first.push_back(static_cast<std::uint32_t>(candidates.size()));
  }
  return Family(std::move(sires), std::move(dams), std::move(first), std::move(candidates));
}

}  // namespace doewright
