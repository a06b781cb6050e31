// SPDX-License-Identifier: MIT
#include <doewright/kinship/inbreeding.hpp>

#include "engines.hpp"

namespace doewright {

namespace {

// A table of this many parents in use is 1 MB: it stays in the near caches, and its cost an animal does
// not hang on depth. Measured figures: tests/bench/bench_kinship.cpp.
constexpr std::uint32_t most_in_table = 350;

}  // namespace

NodeInbreeding node_inbreeding(const Family& family, const Run& run) {
  const std::uint32_t active = most_active(family, most_in_table);
  return active <= most_in_table ? active_set_inbreeding(family, active, run)
                                 : sire_wise_inbreeding(family, run);
}

std::vector<double> inbreeding(const Pedigree& pedigree, const Run& run) {
  const std::size_t bytes = 40 * (pedigree.size() + pedigree.stand_ins());
  throw_if_too_big(run, bytes, "inbreeding of every animal");
  const Family family(pedigree);
  NodeInbreeding nodes = node_inbreeding(family, run);
  if (family.stand_ins() == 0) return std::move(nodes.f);
  std::vector<double> f(pedigree.size());
  for (std::uint32_t i = 0; i < f.size(); ++i) f[i] = nodes.f[family.node_of(Animal{i})];
  return f;
}

}  // namespace doewright
