// SPDX-License-Identifier: MIT
#include "locus_world.hpp"

#include <algorithm>
#include <optional>

#include <doewright/core/stream.hpp>

#include "blocked_sampler.hpp"
#include "descent.hpp"
#include "pair_reader.hpp"

namespace doewright {

namespace {

constexpr double good_enough = 2e4;           // entries: looking for a better order costs more
constexpr std::size_t try_fill_up_to = 3000;  // variables: the fill-in order is slow beyond

/// The tables of a network; none: they would hold more than `most_entries` numbers.
std::shared_ptr<const FactorTree> tree_of(const LocusNetwork& network, double most_entries,
                                          const Run& run) {
  const auto& states = network.states();
  const auto& factors = network.factors();
  std::vector<std::uint32_t> order = minimum_degree_order(states.size(), factors);
  double entries = entries_of_order(states, factors, order, most_entries);
  if (entries > good_enough && states.size() <= try_fill_up_to) {
    std::vector<std::uint32_t> other = minimum_fill_order(states.size(), factors);
    const double of_other = entries_of_order(states, factors, other, entries);
    if (of_other < entries) {
      order = std::move(other);
      entries = of_other;
    }
  }
  if (entries > most_entries) return nullptr;
  throw_if_too_big(run, static_cast<std::size_t>(entries) * 12, "genotype probabilities");
  return std::make_shared<const FactorTree>(
      std::make_shared<const TreeShape>(states, factors, order), factors, run);
}

std::vector<Animal> ascending(std::span<const Animal> some, std::span<const Animal> others = {}) {
  std::vector<Animal> result(some.begin(), some.end());
  result.insert(result.end(), others.begin(), others.end());
  std::sort(result.begin(), result.end());
  result.erase(std::unique(result.begin(), result.end()), result.end());
  return result;
}

}  // namespace

LocusWorld::LocusWorld(const Pedigree& pedigree, const LocusInput& input,
                       std::span<const Animal> asked, const LocusWorldOptions& options,
                       const Run& run)
    : options_(options),
      network_(std::make_shared<const LocusNetwork>(pedigree, input, asked)),
      asked_(ascending(asked)) {
  possible_ = network_->possible();
  if (!possible_) return;
  tree_ = tree_of(*network_, options.most_entries, run);
  if (tree_) {
    possible_ = tree_->possible();
  } else {
    draw_beyond_tables(pedigree, input, options, run);
  }
}

/// Those with evidence and their ancestors by exact tables or by chains, the others by descent.
void LocusWorld::draw_beyond_tables(const Pedigree& pedigree, const LocusInput& input,
                                    const LocusWorldOptions& options, const Run& run) {
  network_ = std::make_shared<const LocusNetwork>(pedigree, input, std::span<const Animal>{});
  const Descent descent(pedigree, input, *network_, asked_);
  const auto tree = tree_of(*network_, options.most_entries, run);
  if (tree && !tree->possible()) {
    possible_ = false;
    return;
  }
  const std::uint32_t chains = tree ? 0 : options.chains;
  const std::size_t draws =
      tree ? options.independent_draws : std::size_t{options.chains} * options.sweeps;
  Grid<std::uint8_t> copies(asked_.size(), draws);
  const auto keep = [&](const Descent::World& world, std::size_t draw) {
    for (std::size_t a = 0; a < asked_.size(); ++a) copies(a, draw) = world.animals[asked_[a].position];
  };
  if (tree) {
    parallel_blocks(draws, 256, run, [&](std::size_t begin, std::size_t end) {
      throw_if_stopped(run);
      Descent::World world = descent.room();
      std::vector<std::uint8_t> by_place;
      for (std::size_t draw = begin; draw < end; ++draw) {
        Stream stream(options.seed, "genotypes, independent", draw);
        const auto uniform = [&] { return stream.uniform(); };
        tree->draw(by_place, uniform);
        descent.draw(world, [&](std::uint32_t v) { return tree->drawn(v, by_place); }, uniform);
        keep(world, draw);
      }
    });
  } else {
    const BlockedSampler sampler(network_->states(), network_->factors(),
                                 options.most_block_entries);
    std::vector<std::uint8_t> found(chains, 1);
    parallel_blocks(chains, 1, run, [&](std::size_t begin, std::size_t) {
      const auto chain = static_cast<std::uint32_t>(begin);
      BlockedSampler::Room room = sampler.room();
      auto state = sampler.beginning(options.seed, chain, room, run);
      if (!state) {
        found[chain] = 0;
        return;
      }
      Descent::World world = descent.room();
      Stream stream(options.seed, "a chain of genotypes", chain);
      const auto uniform = [&] { return stream.uniform(); };
      for (std::uint32_t k = 0; k < options.sweeps / 10 + 1; ++k) sampler.sweep(*state, room, uniform, run);
      for (std::uint32_t k = 0; k < options.sweeps; ++k) {
        throw_if_stopped(run);
        sampler.sweep(*state, room, uniform, run);
        descent.draw(world, [&](std::uint32_t v) { return (*state)[v]; }, uniform);
        keep(world, std::size_t{chain} * options.sweeps + k);
      }
    });
    // A state of positive probability that nobody found: said as impossible, which is then looked into.
    possible_ = std::find(found.begin(), found.end(), 0) == found.end();
  }
  drawn_ = std::make_shared<const DrawnCopies>(asked_, std::move(copies), chains);
}

bool can_be_true(const Pedigree& pedigree, const LocusInput& input, const LocusWorldOptions& options,
                 const Run& run) {
  const LocusNetwork network(pedigree, input, std::span<const Animal>{});
  if (!network.possible()) return false;
  if (const auto tree = tree_of(network, options.most_entries, run)) return tree->possible();
  const BlockedSampler sampler(network.states(), network.factors(), options.most_block_entries);
  BlockedSampler::Room room = sampler.room();
  return sampler.beginning(options.seed, 0, room, run).has_value();
}

Copies LocusWorld::marginal(Animal animal) const {
  if (drawn_) return drawn_->marginal(animal);
  Copies result{};
  const auto& copies = network_->copies(animal);
  const auto variable = network_->variable(animal);
  if (!variable) {
    result[copies.front()] = 1.0;
    return result;
  }
  const std::vector<double> p = tree_->marginal(*variable);
  for (std::size_t k = 0; k < copies.size(); ++k) result[copies[k]] = p[k];
  return result;
}

CopiesOfPairs LocusWorld::pairs(std::span<const Animal> sires, std::span<const Animal> does,
                                const Run& run) const {
  CopiesOfPairs result;
  const double work =
      3.0 * static_cast<double>(std::min(sires.size(), does.size())) * static_cast<double>(entries());
  if (!drawn_ && work <= options_.most_pair_work) {
    result.joint = read(sires, does, run);
    return result;
  }
  result.drawn = drawn_ ? drawn_ : draws_of_tree(sires, does, run);
  result.joint = Grid<JointCopies>(sires.size(), does.size());
  for (std::size_t s = 0; s < sires.size(); ++s) {
    for (std::size_t d = 0; d < does.size(); ++d) {
      result.joint(s, d) = result.drawn->counts(sires[s], does[d]).joint();
    }
  }
  return result;
}

std::shared_ptr<const DrawnCopies> LocusWorld::draws_of_tree(std::span<const Animal> sires,
                                                             std::span<const Animal> does,
                                                             const Run& run) const {
  std::vector<Animal> animals = ascending(sires, does);
  const Grid<std::uint8_t> by_draw = draw(animals, options_.independent_draws, options_.seed, run);
  Grid<std::uint8_t> by_animal(by_draw.columns, by_draw.rows);
  for (std::size_t w = 0; w < by_draw.rows; ++w) {
    for (std::size_t a = 0; a < by_draw.columns; ++a) by_animal(a, w) = by_draw(w, a);
  }
  return std::make_shared<const DrawnCopies>(std::move(animals), std::move(by_animal), 0);
}

Grid<JointCopies> LocusWorld::read(std::span<const Animal> sires, std::span<const Animal> does,
                                   const Run& run) const {
  Grid<JointCopies> result(sires.size(), does.size());
  // Who has one possibility only stands in no table, and goes with nobody.
  const auto variables_of = [&](std::span<const Animal> animals) {
    std::vector<std::uint32_t> variables;
    for (const Animal animal : animals) {
      if (const auto variable = network_->variable(animal)) variables.push_back(*variable);
    }
    std::sort(variables.begin(), variables.end());
    variables.erase(std::unique(variables.begin(), variables.end()), variables.end());
    return variables;
  };
  const auto place_in = [&](const std::vector<std::uint32_t>& variables, Animal animal) {
    const auto at = std::lower_bound(variables.begin(), variables.end(), *network_->variable(animal));
    return static_cast<std::size_t>(at - variables.begin());
  };
  const auto of_sires = variables_of(sires);
  const auto of_does = variables_of(does);
  // The shorter side is asked: each of its genotypes is carried through the tables.
  const bool turned = of_does.size() < of_sires.size();
  const Grid<PairStates> found = read_pairs(*tree_, turned ? of_does : of_sires,
                                            turned ? of_sires : of_does, run);
  for (std::size_t s = 0; s < sires.size(); ++s) {
    const auto& sire_copies = network_->copies(sires[s]);
    const Copies of_sire = marginal(sires[s]);
    for (std::size_t d = 0; d < does.size(); ++d) {
      JointCopies& cell = result(s, d);
      cell.fill(0.0);
      const auto& doe_copies = network_->copies(does[d]);
      if (!network_->variable(sires[s]) || !network_->variable(does[d])) {
        const Copies of_doe = marginal(does[d]);
        for (std::size_t i = 0; i < 3; ++i) {
          for (std::size_t j = 0; j < 3; ++j) cell[3 * i + j] = of_sire[i] * of_doe[j];
        }
        continue;
      }
      const std::size_t row = place_in(of_sires, sires[s]);
      const std::size_t column = place_in(of_does, does[d]);
      const PairStates& pair = turned ? found(column, row) : found(row, column);
      for (std::size_t i = 0; i < sire_copies.size(); ++i) {
        for (std::size_t j = 0; j < doe_copies.size(); ++j) {
          cell[3u * sire_copies[i] + doe_copies[j]] = pair[turned ? 3 * j + i : 3 * i + j];
        }
      }
    }
  }
  return result;
}

Grid<std::uint8_t> LocusWorld::draw(std::span<const Animal> animals, std::size_t draws,
                                    std::uint64_t seed, const Run& run) const {
  Grid<std::uint8_t> result(draws, animals.size());
  if (drawn_) {
    for (std::size_t w = 0; w < draws; ++w) {
      const std::size_t row = draws <= drawn_->draws() ? w * drawn_->draws() / draws : w % drawn_->draws();
      for (std::size_t a = 0; a < animals.size(); ++a) result(w, a) = drawn_->copies(animals[a], row);
    }
    return result;
  }
  parallel_blocks(draws, 64, run, [&](std::size_t begin, std::size_t end) {
    throw_if_stopped(run);
    std::vector<std::uint8_t> by_place;
    for (std::size_t w = begin; w < end; ++w) {
      Stream stream(seed, "worlds of genotypes", w);
      tree_->draw(by_place, [&] { return stream.uniform(); });
      for (std::size_t a = 0; a < animals.size(); ++a) {
        const auto variable = network_->variable(animals[a]);
        const auto& copies = network_->copies(animals[a]);
        result(w, a) = variable ? copies[tree_->drawn(*variable, by_place)] : copies.front();
      }
    }
  });
  return result;
}

}  // namespace doewright
