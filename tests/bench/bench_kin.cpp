// SPDX-License-Identifier: MIT
// `kin` of two animals in a large book, step by step: for the pair alone, beside F of the whole
// book first. Both answers are compared. Books to measure with: write_book.py.
//
//   bench_kin FOLDER ID ID [times]
#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <string_view>

#include <fmt/format.h>

#include <doewright/herd/herd.hpp>
#include <doewright/herdbook/read.hpp>
#include <doewright/kinship/kinship.hpp>

using namespace doewright;

namespace {

template <class Call>
double shortest_of(int times, Call&& call) {
  double best = 1e300;
  for (int i = 0; i < times; ++i) {
    const auto begin = std::chrono::steady_clock::now();
    call();
    best = std::min(
        best, std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count());
  }
  return best;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 4) return 2;
  const int times = argc > 4 ? std::atoi(argv[4]) : 3;
  ReadOptions options;
  options.today = *date_of(2026, 9, 15);
  const HerdBook book = read_herd_book(argv[1], options);
  if (!book.herd) return 1;
  const auto a = book.herd->ids.find(argv[2]), b = book.herd->ids.find(argv[3]);
  if (!a || !b) return 2;
  const std::array both = {*a, *b};
  const Pedigree& pedigree = book.herd->pedigree;
  UnknownParents unknowns;
  const double filled = shortest_of(times, [&] { unknowns = unknown_parents(*book.herd); });
  fmt::print("{} animals\nunknown_parents: {:.4f} s\n", pedigree.size(), filled);
  for (const bool by_years : {true, false}) {
    if (!by_years) unknowns.birth_year = {}, unknowns.breed_class = {};
    KidInbreeding whole_kid, part_kid;
    Why whole_why, part_why;
    const double whole = shortest_of(times, [&] {
      const Kinship kinship(pedigree, unknowns);
      whole_kid = kinship.kid_of(*a, *b);
      whole_why = kinship.why(*a, *b);
    });
    const double part = shortest_of(times, [&] {
      const Kinship kinship = Kinship::of_some(pedigree, unknowns, both);
      part_kid = kinship.kid_of(*a, *b);
      part_why = kinship.why(*a, *b);
    });
    if (std::abs(whole_kid.worst - part_kid.worst) > 1e-12 ||
        std::abs(whole_kid.unknowns_as_breed - part_kid.unknowns_as_breed) > 1e-12 ||
        std::abs(whole_why.kinship - part_why.kinship) > 1e-12) {
      fmt::print("the two answers differ\n");
      return 1;
    }
    fmt::print(
        "reading 2 {}: of the whole book {:.4f} s, of the pair {:.4f} s ({:.1f}x); kinship {:.6f}, "
        "worst {:.6f}\n",
        part_kid.unknowns_by == UnknownsBy::breed ? "by breed" : "by breed and years", whole, part,
        whole / part, part_why.kinship, part_kid.worst);
  }
  return 0;
}
