// SPDX-License-Identifier: MIT
// What the headers promise about threads: const calls are safe from any number of them, and no
// result depends on how many there were. Under the thread sanitizer a race is a failure by itself.
#include <doctest/doctest.h>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <cstdint>
#include <functional>
#include <random>
#include <stop_token>
#include <string>
#include <thread>
#include <utility>
#include <vector>

#include <doewright/core/errors.hpp>
#include <doewright/core/run.hpp>
#include <doewright/kinship/inbreeding.hpp>
#include <doewright/kinship/kinship.hpp>
#include <doewright/pedigree/offspring.hpp>
#include <doewright/pedigree/pedigree.hpp>
#include <doewright/pedigree/pedigree_builder.hpp>

#include "faults/locus_world.hpp"

using namespace doewright;

namespace {

constexpr std::uint32_t herd_size = 100;

/// A hundred animals, every tenth with an uncertain sire; the same ones every time.
BuiltPedigree some_herd() {
  std::mt19937 random(20260915);
  PedigreeBuilder builder;
  for (std::uint32_t i = 0; i < herd_size; ++i) {
    const std::string id = "a" + std::to_string(i);
    if (i < 20) {
      builder.add(id, "", "");
      continue;
    }
    const std::string dam = "a" + std::to_string(2 * (random() % (i / 2)));  // does are even,
    const auto buck = [&] {
      return "a" + std::to_string(2 * (random() % (i / 2)) + 1);
    };  // bucks odd
    if (i % 10 != 0) {
      builder.add(id, buck(), dam);
      continue;
    }
    builder.add(id, "", dam);
    const std::string one = buck();
    std::string other = buck();
    while (other == one) other = buck();
    const std::vector<NamedChance> chances = {{one, 0.5, {}}, {other, 0.25, {}}};
    builder.add_possible_sires(id, "", chances);
  }
  return std::move(builder).build();
}

/// The same work on four threads at once.
void at_once(const std::function<void()>& work) {
  std::vector<std::jthread> threads;
  for (int i = 0; i < 4; ++i) threads.emplace_back(work);
}

std::vector<Animal> every_ninth(std::uint32_t first) {
  std::vector<Animal> some;
  for (std::uint32_t i = first; i < herd_size; i += 9) some.push_back(Animal{i});
  return some;
}

}  // namespace

TEST_CASE("one pedigree, its ids and its offspring are read by four threads at once") {
  const BuiltPedigree built = some_herd();
  REQUIRE(built.pedigree.size() == herd_size);
  const Offspring offspring(built.pedigree);
  std::atomic<int> wrong = 0;
  at_once([&] {
    const Pedigree copy = built.pedigree;  // shares the arrays
    for (std::uint32_t i = 0; i < herd_size; ++i) {
      if (built.ids.find(built.ids[Animal{i}]) != Animal{i}) ++wrong;
      for (const Animal kid : offspring.of(Animal{i})) {
        if (copy.sire(kid) != Animal{i} && copy.dam(kid) != Animal{i}) ++wrong;
      }
    }
  });
  CHECK(wrong == 0);
}

TEST_CASE("one Kinship answers four threads at once as it answers one") {
  const BuiltPedigree built = some_herd();
  const Kinship kinship(built.pedigree);
  const std::vector<Animal> sires = every_ninth(1);
  const std::vector<Animal> does = every_ninth(2);
  const Grid<double> alone = kinship.block(sires, does);
  const double used_alone = kinship.kid({.sire = sires.back(), .doe = does.back()}).used;
  const std::vector<double> row_alone = kinship.row(sires.back());
  REQUIRE(*std::max_element(alone.cells.begin(), alone.cells.end()) > 0.0);
  std::atomic<int> wrong = 0;
  at_once([&] {
    if (kinship.block(sires, does).cells != alone.cells) ++wrong;
    if (kinship.row(sires.back()) != row_alone) ++wrong;
    if (kinship.kid({.sire = sires.back(), .doe = does.back()}).used != used_alone) ++wrong;
    if (kinship.of(sires.front(), does.front()) != alone(0, 0)) ++wrong;
    const Why why = kinship.why(sires.back(), does.back());
    if (std::abs(why.kinship - kinship.of(sires.back(), does.back())) > 1e-12) ++wrong;
  });
  CHECK(wrong == 0);
}

TEST_CASE("every number of threads gives the same bits") {
  const BuiltPedigree built = some_herd();
  const std::vector<Animal> sires = every_ninth(1);
  const std::vector<Animal> does = every_ninth(2);
  const auto with = [&](unsigned threads) {
    Run run;
    run.threads = threads;
    const Kinship kinship(built.pedigree, {}, run);
    std::vector<double> all = inbreeding(built.pedigree, run);
    const Grid<double> block = kinship.block(sires, does, run);
    all.insert(all.end(), block.cells.begin(), block.cells.end());
    for (const KidInbreeding& kid : kinship.kids(sires, does, run).cells) {
      all.insert(all.end(), {kid.as_recorded, kid.unknowns_as_breed, kid.worst, kid.used});
    }
    return all;
  };
  const std::vector<double> one = with(1);
  for (const unsigned threads : {2u, 3u, 8u}) {
    CAPTURE(threads);
    CHECK(with(threads) == one);
  }
}

TEST_CASE("genotypes, exact and drawn, are the same bits for every number of threads") {
  const BuiltPedigree built = some_herd();
  LocusInput input;
  input.frequency.assign(herd_size, 0.2);
  input.own.resize(herd_size);
  for (std::uint32_t i = 0; i < herd_size; ++i) {
    const Sex sex = std::stoi(std::string(built.ids[Animal{i}].substr(1))) % 2 == 0 ? Sex::doe : Sex::buck;
    input.sex.push_back(sex);
    if (i % 9 == 4) input.own[i].likelihood = {Copies{1.0, 0.9, 0.2}, Copies{1.0, 0.9, 0.2}};
  }
  const std::vector<Animal> sires = every_ninth(1);
  const std::vector<Animal> does = every_ninth(2);
  std::vector<Animal> asked = sires;
  asked.insert(asked.end(), does.begin(), does.end());
  LocusWorldOptions exact, drawn, by_chains;
  drawn.most_pair_work = 0.0;
  drawn.independent_draws = 600;
  by_chains.most_entries = 0.0;
  by_chains.most_block_entries = 500.0;
  by_chains.sweeps = 5;
  for (const LocusWorldOptions& options : {exact, drawn, by_chains}) {
    const auto with = [&](unsigned threads) {
      Run run;
      run.threads = threads;
      const LocusWorld world(built.pedigree, input, asked, options, run);
      REQUIRE(world.possible());
      std::vector<double> all;
      for (const JointCopies& joint : world.pairs(sires, does, run).joint.cells) {
        all.insert(all.end(), joint.begin(), joint.end());
      }
      const Grid<std::uint8_t> worlds = world.draw(does, 300, 7, run);
      all.insert(all.end(), worlds.cells.begin(), worlds.cells.end());
      return all;
    };
    const std::vector<double> one = with(1);
    CHECK(with(3) == one);
    CHECK(with(8) == one);
  }
}

TEST_CASE("a stop asked for from another thread ends the work and leaves nothing running") {
  const BuiltPedigree built = some_herd();
  std::stop_source source;
  Run run;
  run.threads = 3;
  run.stop = source.get_token();
  std::atomic<int> begun = 0;
  CHECK_THROWS_AS(parallel_blocks(1'000'000, 1, run,
                                  [&](std::size_t, std::size_t) {
                                    if (++begun == 5) source.request_stop();
                                    throw_if_stopped(run);
                                  }),
                  Cancelled);
  CHECK(begun < 1'000'000);
}
