// SPDX-License-Identifier: MIT
// F and kinship on random pedigrees beside slow twins (twins.hpp). A failure names the seed.
#include <doctest/doctest.h>

#include <Eigen/Eigenvalues>

#include <array>
#include <cmath>
#include <vector>

#include <doewright/core/errors.hpp>
#include <doewright/kinship/inbreeding.hpp>
#include <doewright/kinship/inverse.hpp>
#include <doewright/kinship/kinship.hpp>
#include <doewright/kinship/known.hpp>

#include "kinship/engines.hpp"
#include "kinship/twins.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

double largest(const std::vector<double>& x, const std::vector<double>& y) {
  REQUIRE(x.size() == y.size());
  double most = 0.0;
  for (std::size_t i = 0; i < x.size(); ++i) most = std::max(most, std::abs(x[i] - y[i]));
  return most;
}

RandomShape shape_of(std::uint64_t seed) {
  RandomShape shape;
  shape.animals = 8 + static_cast<std::uint32_t>(seed % 37);
  shape.founders = 2 + static_cast<std::uint32_t>(seed % 5);
  shape.blank = seed % 3 == 0 ? 0 : 15;
  shape.unsure = seed % 2 == 0 ? 0 : 30;
  shape.reach = 2 + static_cast<std::uint32_t>(seed % 7);
  return shape;
}

std::vector<double> f_of(const Matrix& kinship, std::size_t animals) {
  std::vector<double> f;
  for (std::size_t i = 0; i < animals; ++i) f.push_back(2.0 * kinship[i][i] - 1.0);
  return f;
}

Run with_threads(unsigned threads) {
  Run run;
  run.threads = threads;
  return run;
}

std::vector<Animal> everybody(const Pedigree& pedigree) {
  std::vector<Animal> all;
  for (std::uint32_t i = 0; i < pedigree.size(); ++i) all.push_back(Animal{i});
  return all;
}

}  // namespace

TEST_CASE("F, both engines, and every kinship agree with the table of 400 random pedigrees") {
  for (std::uint64_t seed = 1; seed <= 400; ++seed) {
    CAPTURE(seed);
    Dice dice(seed);
    const Pedigree pedigree = random_pedigree(dice, shape_of(seed));
    const Matrix table = Graph(pedigree).kinship();
    const std::size_t n = pedigree.size();
    const std::vector<double> f = f_of(table, n);
    CHECK(largest(inbreeding(pedigree), f) <= 1e-12);
    if (pedigree.stand_ins() == 0) CHECK(largest(meuwissen_luo(pedigree), f) <= 1e-12);

    const Family family(pedigree);
    const std::uint32_t active = most_active(family, 1000);
    const NodeInbreeding a = active_set_inbreeding(family, active, {});
    const NodeInbreeding b = sire_wise_inbreeding(family, {});
    CHECK(largest(a.f, b.f) <= 1e-12);
    CHECK(largest(a.stand_in_own, b.stand_in_own) <= 1e-12);
    for (std::uint32_t i = 0; i < n; ++i) {
      CHECK(std::abs(a.f[family.node_of(Animal{i})] - f[i]) <= 1e-12);
    }

    const Kinship kinship(pedigree);
    const std::vector<Animal> all = everybody(pedigree);
    const Grid<double> block = kinship.block(all, all);
    double off = 0.0;
    for (std::uint32_t i = 0; i < n; ++i) {
      const std::vector<double> row = kinship.row(Animal{i});
      CHECK(largest(row, {table[i].begin(), table[i].begin() + static_cast<std::ptrdiff_t>(n)}) <=
            1e-12);
      for (std::uint32_t j = 0; j < n; ++j)
        off = std::max(off, std::abs(block(i, j) - table[i][j]));
      const Animal other{dice.below(static_cast<std::uint32_t>(n))};
      CHECK(std::abs(kinship.of(Animal{i}, other) - table[i][other.position]) <= 1e-12);
      CHECK(kinship.of(Animal{i}, other) == kinship.of(other, Animal{i}));
    }
    CHECK(off <= 1e-12);
  }
}

TEST_CASE(
    "unsure sires: kinship is the mean over every way to settle them, litters sharing a draw") {
  std::size_t shared = 0, with_rest = 0;
  for (std::uint64_t seed = 1; seed <= 120; ++seed) {
    CAPTURE(seed);
    Dice dice(seed * 7919);
    const RandomShape shape{
        .animals = 14, .founders = 4, .blank = 10, .unsure = 50, .most_unsure = 4, .reach = 4};
    const Pedigree pedigree = random_pedigree(dice, shape);
    std::vector<int> kids(pedigree.stand_ins(), 0);
    for (const std::uint32_t slot : pedigree.sire_slots()) {
      if (Pedigree::is_stand_in(slot)) ++kids[Pedigree::stand_in_of(slot)];
    }
    for (const int count : kids) shared += count > 1 ? 1u : 0u;
    for (std::uint32_t s = 0; s < pedigree.stand_ins(); ++s) {
      double sum = 0.0;
      for (const SireChance& chance : pedigree.stand_in(s)) sum += chance.probability;
      with_rest += sum < 0.99 ? 1u : 0u;
    }
    const Matrix mean = kinship_by_enumeration(pedigree);
    const Kinship kinship(pedigree);
    const auto all = everybody(pedigree);
    const Grid<double> block = kinship.block(all, all);
    for (std::size_t i = 0; i < pedigree.size(); ++i) {
      double off = 0.0;
      for (std::size_t j = 0; j < pedigree.size(); ++j) {
        off = std::max(off, std::abs(block(i, j) - mean[i][j]));
      }
      CHECK(off <= 1e-12);
      CHECK(std::abs(kinship.inbreeding()[i] - (2.0 * mean[i][i] - 1.0)) <= 1e-12);
    }
  }
  CHECK(shared > 20);  // what the test is about has really come up
  CHECK(with_rest > 20);
}

TEST_CASE("the order of the rows changes nothing beyond 1e-12") {
  for (std::uint64_t seed = 1; seed <= 60; ++seed) {
    CAPTURE(seed);
    Dice dice(seed);
    const Pedigree pedigree = random_pedigree(dice, shape_of(seed));
    std::vector<std::uint32_t> where;
    const Pedigree other = shuffled(pedigree, dice, where);
    const auto f = inbreeding(pedigree), g = inbreeding(other);
    const Kinship a(pedigree), b(other);
    for (std::uint32_t i = 0; i < pedigree.size(); ++i) {
      CHECK(std::abs(f[i] - g[where[i]]) <= 1e-12);
      const std::uint32_t j = dice.below(static_cast<std::uint32_t>(pedigree.size()));
      CHECK(std::abs(a.of(Animal{i}, Animal{j}) - b.of(Animal{where[i]}, Animal{where[j]})) <=
            1e-12);
    }
  }
}

TEST_CASE("A is symmetric and positive semidefinite, and its inverse times A is 1") {
  for (std::uint64_t seed = 1; seed <= 100; ++seed) {
    CAPTURE(seed);
    Dice dice(seed);
    const Pedigree pedigree = random_pedigree(dice, shape_of(seed));
    const auto f = inbreeding(pedigree);
    const std::size_t n = pedigree.size() + pedigree.stand_ins();
    const Matrix table = Graph(pedigree).kinship();

    const SparseMatrix inverse = relationship_inverse(pedigree, f);
    REQUIRE(inverse.first.size() == n + 1);
    for (std::size_t i = 0; i < n; ++i) {
      double off = 0.0;
      for (std::size_t j = 0; j < n; ++j) {
        double sum = 0.0;
        for (auto e = inverse.first[i]; e < inverse.first[i + 1]; ++e) {
          sum += inverse.values[e] * 2.0 * table[inverse.columns[e]][j];
        }
        off = std::max(off, std::abs(sum - (i == j ? 1.0 : 0.0)));
      }
      CHECK(off <= 1e-9);
    }

    // x'Ax >= 0, and A = T D T' with D >= 0: together no room for a negative direction.
    const SparseMatrix flow = gene_flow(pedigree);
    const auto own = sampling_variances(pedigree, f);
    for (const double d : own) CHECK(d >= 0.0);
    const auto entry = [&](std::size_t r, std::size_t c) {
      for (auto e = flow.first[r]; e < flow.first[r + 1]; ++e) {
        if (flow.columns[e] == c) return flow.values[e];
      }
      return 0.0;
    };
    for (std::size_t i = 0; i < n; i += 5) {
      for (std::size_t j = 0; j < n; j += 3) {
        double sum = 0.0;
        for (std::size_t k = 0; k < n; ++k) sum += entry(i, k) * own[k] * entry(j, k);
        CHECK(std::abs(sum - 2.0 * table[i][j]) <= 1e-12);
      }
    }
    std::vector<double> v;
    for (std::size_t i = 0; i < pedigree.size(); ++i) v.push_back(dice.below(2001) / 1000.0 - 1.0);
    const auto product = relationship_times(pedigree, f, v);
    double form = 0.0;
    for (std::size_t i = 0; i < pedigree.size(); ++i) {
      double sum = 0.0;
      for (std::size_t j = 0; j < pedigree.size(); ++j) sum += 2.0 * table[i][j] * v[j];
      CHECK(std::abs(product[i] - sum) <= 1e-11);
      form += v[i] * product[i];
    }
    CHECK(form >= -1e-12);
  }
}

TEST_CASE("A as it is told, pair by pair, is symmetric and has no negative eigenvalue") {
  for (std::uint64_t seed = 1; seed <= 100; ++seed) {
    CAPTURE(seed);
    Dice dice(seed * 17);
    const Pedigree pedigree = random_pedigree(dice, shape_of(seed));
    const Kinship kinship(pedigree);
    const auto all = everybody(pedigree);
    const Grid<double> block = kinship.block(all, all);
    const auto n = static_cast<Eigen::Index>(all.size());
    Eigen::MatrixXd a(n, n);
    for (Eigen::Index i = 0; i < n; ++i) {
      for (Eigen::Index j = 0; j < n; ++j) {
        a(i, j) = 2.0 * block(static_cast<std::size_t>(i), static_cast<std::size_t>(j));
      }
    }
    CHECK((a - a.transpose()).cwiseAbs().maxCoeff() <= 1e-14);
    const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> parts(a, Eigen::EigenvaluesOnly);
    REQUIRE(parts.info() == Eigen::Success);
    CHECK(parts.eigenvalues().minCoeff() >= -1e-12 * parts.eigenvalues().maxCoeff());
  }
}

TEST_CASE("any number of threads gives the same bits") {
  Dice dice(4711);
  const RandomShape shape{
      .animals = 30000, .founders = 800, .blank = 5, .unsure = 5, .most_unsure = 500, .reach = 900};
  const Pedigree pedigree = random_pedigree(dice, shape);
  REQUIRE(most_active(Family(pedigree), 362) > 362);  // the engine that uses threads
  const auto one = inbreeding(pedigree, with_threads(1));
  CHECK(one == inbreeding(pedigree, with_threads(2)));
  CHECK(one == inbreeding(pedigree, with_threads(7)));
  const Kinship kinship(pedigree);
  std::vector<Animal> some;
  for (std::uint32_t i = 0; i < 40; ++i) some.push_back(Animal{29000 + 17 * i});
  CHECK(kinship.block(some, some).cells == kinship.block(some, some, with_threads(3)).cells);
}

TEST_CASE("a line a million generations deep") {
  // x mated to a new doe each time: F = 0 throughout. x mated to its own dam's line: a known limit.
  const std::uint32_t depth = 1'000'000;
  std::vector<std::uint32_t> sires(depth, Pedigree::none), dams(depth, Pedigree::none);
  for (std::uint32_t i = 1; i < depth; ++i) sires[i] = i - 1;
  for (const double f : inbreeding(Pedigree(sires, dams))) REQUIRE(f == 0.0);

  // Each animal from the two before it: F(t) = (1 + 2 F(t-1) + F(t-2)) / 4 shifted (offspring x
  // younger parent, Wright 1921), which tends to 1.
  for (std::uint32_t i = 2; i < depth; ++i) {
    sires[i] = i % 2 == 0 ? i - 2 : i - 1;
    dams[i] = i % 2 == 0 ? i - 1 : i - 2;
  }
  sires[1] = Pedigree::none;
  const auto f = inbreeding(Pedigree(sires, dams));
  double before = 0.0, now = 0.0;  // F(2) = 0: its parents are founders
  for (std::uint32_t i = 3; i < 200; ++i) {
    const double next = i == 3 ? 0.25 : 0.25 * (1.0 + 2.0 * now + before);
    CHECK(std::abs(f[i] - next) <= 1e-12);
    before = now;
    now = next;
  }
  CHECK(f.back() > 1.0 - 1e-12);
  const Kinship kinship{Pedigree(sires, dams)};
  CHECK(kinship.of(Animal{depth - 1}, Animal{depth - 2}) == doctest::Approx(1.0));
}

TEST_CASE("a kid of one parent twice over is no trap for the table") {
  const std::uint32_t none = Pedigree::none;
  const Pedigree pedigree({none, 0, 1, none, 2}, {none, 0, 1, 2, 3});
  const Matrix table = Graph(pedigree).kinship();
  CHECK(largest(inbreeding(pedigree), f_of(table, 5)) <= 1e-15);
  CHECK(inbreeding(pedigree)[2] == 0.75);
}

TEST_CASE("the empty pedigree, and animals that are not there") {
  CHECK(inbreeding(Pedigree()).empty());
  CHECK(relationship_inverse(Pedigree(), {}).first == std::vector<std::uint64_t>{0});
  CHECK(completeness(Pedigree()).empty());
  const Kinship nobody{Pedigree()};
  CHECK_THROWS_AS(nobody.of(Animal{0}, Animal{0}), UsageError);
  CHECK_THROWS_AS(nobody.kid({Animal{0}, Animal{0}}), UsageError);
  CHECK_THROWS_AS(nobody.why(Animal{0}, Animal{0}), UsageError);
  CHECK_THROWS_AS(known(Pedigree(), Animal{0}), UsageError);
  CHECK_THROWS_AS(nobody.sire_of_pair(Animal{0}, Animal{0}), UsageError);
  const std::array<double, 2> two = {0.0, 0.0};
  CHECK_THROWS_AS(sampling_variances(Pedigree(), two), UsageError);
  UnknownParents wrong;
  wrong.birth_year = {2020};
  CHECK_THROWS_AS(Kinship(Pedigree(), wrong), UsageError);
}

namespace {

/// Shares of places known, by the definition: every place looked at on its own.
double places_known(const Graph& graph, std::size_t node, int generation) {
  if (generation == 0) return 1.0;
  double sum = 0.0;
  for (const auto& part : graph.parents[node]) {
    if (!graph.is_stand_in[part.parent]) {
      sum += places_known(graph, part.parent, generation - 1);
      continue;
    }
    for (const auto& buck : graph.parents[part.parent]) {
      sum += buck.part * places_known(graph, buck.parent, generation - 1);
    }
  }
  return sum;
}

}  // namespace

TEST_CASE("what is known of an animal, place by place") {
  for (std::uint64_t seed = 1; seed <= 60; ++seed) {
    CAPTURE(seed);
    Dice dice(seed);
    RandomShape shape = shape_of(seed);
    shape.animals = std::min(shape.animals, 24u);
    const Pedigree pedigree = random_pedigree(dice, shape);
    const Graph graph(pedigree);
    const auto generations = generations_known(pedigree);
    const auto index = completeness(pedigree, 5);
    for (std::uint32_t i = 0; i < pedigree.size(); ++i) {
      const Known found = known(pedigree, Animal{i});
      double share = 0.0, sum = 0.0;
      for (int g = 1; g <= 24; ++g) {
        const double places = places_known(graph, i, g);
        sum += places * std::pow(0.5, g);
        if (g > 5) {
          if (places == 0.0) break;
          continue;
        }
        CHECK(std::abs(found.places[static_cast<std::size_t>(g - 1)] - places) <= 1e-12);
        share += places * std::pow(0.5, g) / 5.0;
      }
      CHECK(std::abs(found.share - share) <= 1e-12);
      CHECK(std::abs(found.generations - sum) <= 1e-12);
      CHECK(std::abs(generations[i] - sum) <= 1e-12);

      // MacCluer et al. (1983): the parent is its side's first generation.
      double side[2] = {0.0, 0.0};
      const std::uint32_t slots[2] = {pedigree.sire_slots()[i], pedigree.dam_slots()[i]};
      for (int which = 0; which < 2; ++which) {
        if (slots[which] == Pedigree::none) continue;
        const std::size_t parent = Pedigree::is_stand_in(slots[which])
                                       ? pedigree.size() + Pedigree::stand_in_of(slots[which])
                                       : slots[which];
        for (int g = 0; g < 5; ++g) {
          if (graph.is_stand_in[parent]) {
            for (const auto& buck : graph.parents[parent]) {
              side[which] +=
                  buck.part * places_known(graph, buck.parent, g) * std::pow(0.5, g) / 5.0;
            }
          } else {
            side[which] += places_known(graph, parent, g) * std::pow(0.5, g) / 5.0;
          }
        }
      }
      const double both = side[0] + side[1];
      CHECK(std::abs(index[i] - (both > 0.0 ? 2.0 * side[0] * side[1] / both : 0.0)) <= 1e-12);
    }
  }
}
