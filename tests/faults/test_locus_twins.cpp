// SPDX-License-Identifier: MIT
// Random small pedigrees against full enumeration (locus_twins.hpp).
#include <doctest/doctest.h>

#include <algorithm>
#include <random>

#include "faults/locus_twins.hpp"
#include "faults/locus_world.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

struct RandomCase {
  Pedigree pedigree;
  LocusInput input;
};

class Maker {
 public:
  explicit Maker(std::uint64_t seed) : random_(seed) {}
  double uniform() { return std::uniform_real_distribution<double>(0.0, 1.0)(random_); }
  std::size_t below(std::size_t n) { return std::uniform_int_distribution<std::size_t>(0, n - 1)(random_); }

  /// Even positions are bucks, odd ones does; inbred, half known, some sires unsure.
  RandomCase make(std::size_t animals, bool x_linked, bool unsure) {
    std::vector<std::uint32_t> sire(animals, Pedigree::none), dam(animals, Pedigree::none);
    std::vector<std::vector<SireChance>> stand_ins;
    for (std::size_t a = 2; a < animals; ++a) {
      if (uniform() < 0.75) sire[a] = static_cast<std::uint32_t>(2 * below((a + 1) / 2));
      if (uniform() < 0.75) dam[a] = static_cast<std::uint32_t>(2 * below(a / 2) + 1);
      if (!unsure || a < 4 || uniform() < 0.6) continue;
      const double first = 0.2 + 0.5 * uniform();
      const double second = uniform() < 0.5 ? 1.0 - first : (1.0 - first) * 0.5;
      if (!stand_ins.empty() && uniform() < 0.3 && a > 5) {
        sire[a] = Pedigree::stand_in_bit | static_cast<std::uint32_t>(stand_ins.size() - 1);
        continue;
      }
      sire[a] = Pedigree::stand_in_bit | static_cast<std::uint32_t>(stand_ins.size());
      stand_ins.push_back({{Animal{0}, first}, {Animal{2}, second}});
    }
    RandomCase result;
    result.pedigree = Pedigree(sire, dam, stand_ins);
    LocusInput& input = result.input;
    input.transmission.x_linked = x_linked;
    input.own.resize(animals);
    for (std::size_t a = 0; a < animals; ++a) {
      input.frequency.push_back(0.05 + 0.4 * uniform());
      const bool leaf = std::find(sire.begin(), sire.end(), a) == sire.end() &&
                        std::find(dam.begin(), dam.end(), a) == dam.end() && a > 2;
      input.sex.push_back(leaf && uniform() < 0.3 ? Sex::unknown : (a % 2 == 0 ? Sex::buck : Sex::doe));
      if (uniform() < 0.5) evidence(input.own[a]);
    }
    const std::size_t counts = below(3);
    for (std::size_t c = 0; c < counts; ++c) {
      PairEvidence pair;
      pair.sire.animal = Animal{0};
      if (uniform() < 0.5) pair.dam.animal = Animal{1};
      if (!stand_ins.empty() && uniform() < 0.5) pair.sire = {{}, 0u};
      for (auto& by_sire : pair.likelihood) {
        for (double& value : by_sire) value = uniform();
        if (!pair.dam.animal) by_sire.fill(by_sire[0]);
      }
      input.pairs.push_back(pair);
    }
    return result;
  }

 private:
  void evidence(OwnEvidence& own) {
    const double kind = uniform();
    for (int sex = 0; sex < 2; ++sex) {
      auto& table = own.likelihood[static_cast<std::size_t>(sex)];
      if (kind < 0.25) table = {1.0, 1.0, 0.0};            // clear of a full recessive
      else if (kind < 0.35) table = {0.01, 0.01, 1.0};     // affected, with phenocopies
      else if (kind < 0.5) table = {0.995, 0.0025, 0.0};   // a gene test
      else if (kind < 0.75) table = {uniform(), uniform(), uniform()};
    }
    if (kind < 0.75) return;
    own.living_of_unknown_litter = true;
    own.not_shown[0] = {1.0, uniform(), 0.0};
    own.not_shown[1] = {1.0, 0.5, 0.1};
  }
  std::mt19937_64 random_;
};

void check_against_enumeration(const RandomCase& made, std::size_t& impossible) {
  const std::size_t n = made.pedigree.size();
  const LocusTwin twin(made.pedigree, made.input);
  std::vector<Animal> all, bucks, does;
  for (std::uint32_t a = 0; a < n; ++a) {
    all.push_back(Animal{a});
    (a % 2 == 0 ? bucks : does).push_back(Animal{a});
  }
  const LocusWorld world(made.pedigree, made.input, all, {}, {});
  REQUIRE(world.possible() == (twin.total() > 0.0));
  if (!world.possible()) {
    ++impossible;
    return;
  }
  for (const Animal animal : all) {
    const Copies found = world.marginal(animal);
    for (int k = 0; k < 3; ++k) {
      CHECK(found[static_cast<std::size_t>(k)] ==
            doctest::Approx(twin.pair(animal, k, animal, k)).epsilon(1e-11));
    }
  }
  const Grid<JointCopies> pairs = world.pairs(bucks, does, {}).joint;
  for (std::size_t s = 0; s < bucks.size(); ++s) {
    for (std::size_t d = 0; d < does.size(); ++d) {
      for (int i = 0; i < 3; ++i) {
        for (int j = 0; j < 3; ++j) {
          CHECK(pairs(s, d)[static_cast<std::size_t>(3 * i + j)] ==
                doctest::Approx(twin.pair(bucks[s], i, does[d], j)).epsilon(1e-11));
        }
      }
    }
  }
}

}  // namespace

TEST_CASE("exact elimination equals full enumeration: autosomal and X-linked, loops, half-known parents") {
  std::size_t impossible = 0;
  for (std::uint64_t seed = 1; seed <= 60; ++seed) {
    CAPTURE(seed);
    check_against_enumeration(Maker(seed).make(7, seed % 2 == 0, false), impossible);
  }
  CHECK(impossible < 30);
}

TEST_CASE("unsure sires are hidden variables: full enumeration of bucks and genotypes") {
  std::size_t impossible = 0;
  for (std::uint64_t seed = 101; seed <= 140; ++seed) {
    CAPTURE(seed);
    check_against_enumeration(Maker(seed).make(7, seed % 3 == 0, true), impossible);
  }
  CHECK(impossible < 20);
}

TEST_CASE("an animal that nobody looked at changes nothing, to the last bit") {
  for (std::uint64_t seed = 201; seed <= 215; ++seed) {
    const RandomCase made = Maker(seed).make(7, false, false);
    std::vector<std::uint32_t> sire(made.pedigree.sire_slots().begin(), made.pedigree.sire_slots().end());
    std::vector<std::uint32_t> dam(made.pedigree.dam_slots().begin(), made.pedigree.dam_slots().end());
    sire.push_back(0);
    dam.push_back(1);
    LocusInput more = made.input;
    more.frequency.push_back(0.3);
    more.sex.push_back(Sex::doe);
    more.own.emplace_back();
    const std::vector<Animal> asked = {Animal{0}, Animal{1}, Animal{5}};
    const LocusWorld before(made.pedigree, made.input, asked, {}, {});
    const LocusWorld after(Pedigree(sire, dam), more, asked, {}, {});
    REQUIRE(before.possible() == after.possible());
    if (!before.possible()) continue;
    for (const Animal animal : asked) CHECK(before.marginal(animal) == after.marginal(animal));
  }
}

TEST_CASE("worlds drawn have the posterior's frequencies, within 5 standard errors") {
  const RandomCase made = Maker(7).make(7, false, true);
  const std::vector<Animal> asked = {Animal{0}, Animal{3}};
  const LocusWorld world(made.pedigree, made.input, asked, {}, {});
  REQUIRE(world.possible());
  constexpr std::size_t draws = 20000;
  const Grid<std::uint8_t> drawn = world.draw(asked, draws, 42, {});
  const JointCopies joint = world.pairs(std::vector{Animal{0}}, std::vector{Animal{3}}, {}).joint(0, 0);
  std::array<double, 9> seen{};
  for (std::size_t w = 0; w < draws; ++w) seen[3u * drawn(w, 0) + drawn(w, 1)] += 1.0 / draws;
  for (std::size_t cell = 0; cell < 9; ++cell) {
    const double error = std::sqrt(joint[cell] * (1.0 - joint[cell]) / draws);
    CHECK(std::abs(seen[cell] - joint[cell]) <= 5.0 * error + 1e-12);
  }
}

/// Chances of the pair (10, 11) from draws, beside the exact ones: how many of the nine are off by more
/// than 5 standard errors.
static std::size_t cells_off(const DrawnCopies& drawn, const JointCopies& exact) {
  const auto counts = drawn.counts(Animal{10}, Animal{11});
  std::size_t off = 0;
  for (std::size_t cell = 0; cell < 9; ++cell) {
    std::array<double, 9> is_cell{};
    is_cell[cell] = 1.0;
    const auto estimate = drawn.estimate(counts, is_cell);
    CHECK(estimate.effective_draws <= static_cast<double>(drawn.draws()));
    if (std::abs(estimate.mean - exact[cell]) > 5.0 * estimate.standard_error) ++off;
  }
  return off;
}

TEST_CASE("independent draws: of the whole tree, and of those with evidence with the others by descent") {
  const std::vector<Animal> asked = {Animal{10}, Animal{11}};
  const std::vector<Animal> sire = {Animal{10}}, doe = {Animal{11}};
  std::size_t by_descent = 0;
  for (std::uint64_t seed = 301; seed <= 340; ++seed) {
    CAPTURE(seed);
    RandomCase made = Maker(seed).make(12, seed % 3 == 0, seed % 2 == 0);
    for (std::size_t a = 7; a < 12; ++a) made.input.own[a] = {};  // nobody looked at the young ones
    const LocusWorld world(made.pedigree, made.input, asked, {}, {});
    if (!world.possible()) continue;
    const JointCopies exact = world.pairs(sire, doe, {}).joint(0, 0);

    LocusWorldOptions no_pairs;
    no_pairs.most_pair_work = 0.0;
    const LocusWorld whole(made.pedigree, made.input, asked, no_pairs, {});
    const CopiesOfPairs of_tree = whole.pairs(sire, doe, {});
    REQUIRE(of_tree.drawn);
    CHECK(whole.method() == Method::exact);
    CHECK(cells_off(*of_tree.drawn, exact) == 0);

    const LocusWorld known(made.pedigree, made.input, {}, {}, {});
    if (known.entries() >= world.entries()) continue;
    ++by_descent;
    LocusWorldOptions no_asked;
    no_asked.most_entries = static_cast<double>(known.entries());
    no_asked.seed = seed;
    const LocusWorld descended(made.pedigree, made.input, asked, no_asked, {});
    REQUIRE(descended.method() == Method::sampled);
    REQUIRE(descended.possible());
    CHECK(cells_off(*descended.drawn(), exact) == 0);
    CHECK(descended.drawn()->draws() == no_asked.independent_draws);
  }
  CHECK(by_descent >= 20);
}

TEST_CASE("the sampler's 95 % intervals hold the exact answer in at least 90 of 100 random pedigrees") {
  // The same over 1,000 pedigrees, run by hand: 967 (938 without the spread of the chains).
  std::size_t held = 0, asked_for = 0;
  for (std::uint64_t seed = 1; asked_for < 100; ++seed) {
    const RandomCase made = Maker(1000 + seed).make(12, false, seed % 2 == 0);
    const std::vector<Animal> asked = {Animal{10}, Animal{11}};
    const LocusWorld exact(made.pedigree, made.input, asked, {}, {});
    if (!exact.possible()) continue;
    ++asked_for;
    LocusWorldOptions options;
    options.most_entries = 0.0;
    options.most_block_entries = 100.0;  // small blocks: the chain has to mix
    options.sweeps = 500;
    options.seed = seed;
    const LocusWorld sampled(made.pedigree, made.input, asked, options, {});
    REQUIRE(sampled.method() == Method::sampled);
    REQUIRE(sampled.possible());
    const std::array<double, 9> kid_shows = {0, 0, 0, 0, 0.25, 0.5, 0, 0.5, 1};
    const DrawnCopies& drawn = *sampled.drawn();
    const auto found = drawn.estimate(drawn.counts(Animal{10}, Animal{11}), kid_shows);
    const JointCopies joint = exact.pairs(std::vector{Animal{10}}, std::vector{Animal{11}}, {}).joint(0, 0);
    double truth = 0.0;
    for (std::size_t cell = 0; cell < 9; ++cell) truth += kid_shows[cell] * joint[cell];
    if (std::abs(found.mean - truth) <= 1.96 * found.standard_error) ++held;
  }
  MESSAGE("held in ", held, " of 100");
  CHECK(held >= 90);
}
