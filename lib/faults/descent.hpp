// SPDX-License-Identifier: MIT
#pragma once
/// Animals of which nothing is known and that have no offspring of which anything is: given their
/// ancestors, their genotypes are as meiosis deals them. So they need not stand in any table: a world of
/// the others is drawn first, then they follow, parents before kids ("gene dropping", MacCluer et al.
/// 1986, Zoo Biol. 5:147).
#include <cstdint>
#include <span>
#include <vector>

#include <doewright/pedigree/pedigree.hpp>

#include "locus_network.hpp"

namespace doewright {

class Descent {
 public:
  /// `known`: the network of all animals with evidence and their ancestors; it and the pedigree must
  /// outlive this.
  Descent(const Pedigree& pedigree, const LocusInput& input, const LocusNetwork& known,
          std::span<const Animal> asked);

  /// Room for one world; reused from draw to draw.
  struct World {
    std::vector<std::uint8_t> animals, stand_ins;  // copies, by position
  };
  World room() const;

  /// Copies of all asked animals and of their ancestors that are not in the network; `state_of(variable)`
  /// is the drawn state of a variable of the network.
  template <class StateOf, class Uniform>
  void draw(World& world, StateOf state_of, Uniform uniform) const {
    for (const FromNetwork& one : from_network_) {
      const std::uint8_t copies =
          one.variable ? (*one.copies)[state_of(*one.variable)] : one.copies->front();
      (one.stand_in ? world.stand_ins : world.animals)[one.position] = copies;
    }
    for (const Step& step : steps_) {
      if (step.stand_in) {
        draw_stand_in(world, step.position, uniform(), uniform());
      } else {
        draw_animal(world, step, uniform());
      }
    }
  }

 private:
  struct FromNetwork {
    std::uint32_t position;
    bool stand_in;
    std::optional<std::uint32_t> variable;
    const std::vector<std::uint8_t>* copies;
  };
  struct Step {
    std::uint32_t position;
    bool stand_in;
    std::uint32_t sire, dam;  // slots; none: summed out in the table
    std::array<Copies, 9> chance;  // of an animal: by 3 x sire's copies + dam's, of 0, 1, 2 copies
  };
  void draw_stand_in(World& world, std::uint32_t s, double which, double what) const;
  void draw_animal(World& world, const Step& step, double what) const;
  Step step_of(const LocusInput& input, std::uint32_t a) const;

  const Pedigree* pedigree_;
  std::vector<FromNetwork> from_network_;
  std::vector<Step> steps_;                    // parents before kids
  std::vector<Copies> unlisted_of_stand_in_;   // chances of one who is not on the list
};

}  // namespace doewright
