// SPDX-License-Identifier: MIT
// Two engines, chosen from the pedigree alone:
//   active_set.cpp  one pass, time n w, where w parents at most are in use at the same time: a
//   herd,
//                   a closed line of any depth;
//   sire_wise.cpp   a sweep up and down the ancestors of each sire and his mates: everything else.
#include <doewright/kinship/inbreeding.hpp>

#include <algorithm>
#include <utility>

#include "engines.hpp"
#include "groups.hpp"

namespace doewright {

namespace {

// A table of this many parents in use is 1 MB: it stays in the near caches, and its cost an animal
// does not hang on depth. Measured figures: tests/bench/bench_kinship.cpp.
constexpr std::uint32_t most_in_table = 350;

// What sire_wise.cpp holds at most, were every animal a parent: once, and once more a thread.
constexpr std::size_t bytes_a_node = 80, bytes_a_node_and_thread = 36;

}  // namespace

NodeInbreeding node_inbreeding(const Family& family, const Run& run, const GroupKinship* groups) {
  const std::uint32_t active =
      most_active(family, most_in_table, groups == nullptr ? 0 : groups->groups);
  if (active <= most_in_table) return active_set_inbreeding(family, active, run, groups);
  const std::size_t threads = std::max(1u, run.threads);
  throw_if_too_big(run, family.size() * (bytes_a_node + bytes_a_node_and_thread * threads),
                   "inbreeding of every animal");
  return sire_wise_inbreeding(family, run, groups);
}

std::vector<double> inbreeding(const Pedigree& pedigree, const Run& run) {
  throw_if_too_big(run, 24 * (pedigree.size() + pedigree.stand_ins()),
                   "inbreeding of every animal");
  const Family family(pedigree);
  NodeInbreeding nodes = node_inbreeding(family, run);
  if (family.stand_ins() == 0) return std::move(nodes.f);
  std::vector<double> f(pedigree.size());
  for (std::uint32_t i = 0; i < f.size(); ++i) f[i] = nodes.f[family.node_of(Animal{i})];
  return f;
}

}  // namespace doewright
