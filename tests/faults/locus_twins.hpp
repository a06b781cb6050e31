// SPDX-License-Identifier: MIT
#pragma once
/// The slow, obvious version: every combination of genotypes (and of unsure sires) written out, its
/// probability multiplied together, and the wanted ones summed. Shares no code with lib/faults but the
/// types of its input.
#include <array>
#include <cmath>
#include <vector>

#include <doewright/pedigree/pedigree.hpp>

#include "faults/locus_network.hpp"

namespace doewright::testing {

/// P(kid gets k copies), by what each parent hands on.
inline double twin_transmission(bool x_linked, int k, int sire, int dam, int sex) {
  double total = 0.0;
  for (int from_sire = 0; from_sire < 2; ++from_sire) {
    for (int from_dam = 0; from_dam < 2; ++from_dam) {
      double p_sire = from_sire == 1 ? sire / 2.0 : 1.0 - sire / 2.0;
      if (x_linked) {
        if (sex == 1) p_sire = from_sire == 0 ? 1.0 : 0.0;        // a son gets no X of his sire
        if (sex == 0) p_sire = (from_sire == 1) == (sire == 1) ? 1.0 : 0.0;  // a daughter gets his one
      }
      const double p_dam = from_dam == 1 ? dam / 2.0 : 1.0 - dam / 2.0;
      if (from_sire + from_dam == k) total += p_sire * p_dam;
    }
  }
  return total;
}

inline double twin_founder(bool x_linked, int k, double q, int sex) {
  if (x_linked && sex == 1) return k == 1 ? q : (k == 0 ? 1.0 - q : 0.0);
  double total = 0.0;
  for (int a = 0; a < 2; ++a) {
    for (int b = 0; b < 2; ++b) {
      if (a + b == k) total += (a == 1 ? q : 1.0 - q) * (b == 1 ? q : 1.0 - q);
    }
  }
  return total;
}

class LocusTwin {
 public:
  LocusTwin(const Pedigree& pedigree, const LocusInput& input) : pedigree_(pedigree), input_(input) {
    const std::size_t n = pedigree.size();
    joint_.assign(static_cast<std::size_t>(std::pow(3.0, static_cast<double>(n)) + 0.5), 0.0);
    std::vector<int> choice(pedigree.stand_ins(), 0);
    add_choices(0, 1.0, choice);
    for (const double p : joint_) total_ += p;
  }
  double total() const { return total_; }
  double pair(Animal a, int i, Animal b, int j) const {
    double sum = 0.0;
    for (std::size_t x = 0; x < joint_.size(); ++x) {
      if (copies_in(x, a.position) == i && copies_in(x, b.position) == j) sum += joint_[x];
    }
    return sum / total_;
  }

 private:
  static int copies_in(std::size_t x, std::size_t animal) {
    for (std::size_t a = 0; a < animal; ++a) x /= 3;
    return static_cast<int>(x % 3);
  }
  /// Every choice of bucks for the stand-ins; choice -1 - is "not on the list".
  void add_choices(std::size_t s, double weight, std::vector<int>& choice) {
    if (weight <= 0.0) return;
    if (s == choice.size()) {
      add_unlisted(0, weight, choice, std::vector<int>(choice.size(), -1));
      return;
    }
    const auto bucks = pedigree_.stand_in(static_cast<std::uint32_t>(s));
    double rest = 1.0;
    for (std::size_t c = 0; c < bucks.size(); ++c) {
      choice[s] = static_cast<int>(c);
      add_choices(s + 1, weight * bucks[c].probability, choice);
      rest -= bucks[c].probability;
    }
    choice[s] = -1;
    if (rest > 1e-12) add_choices(s + 1, weight * rest, choice);
  }
  /// The copies of each buck that is not on a list: a founder of the first kid's breed.
  void add_unlisted(std::size_t s, double weight, const std::vector<int>& choice,
                    std::vector<int> unlisted) {
    if (s == choice.size()) {
      add_genotypes(weight, choice, unlisted);
      return;
    }
    if (choice[s] >= 0) {
      add_unlisted(s + 1, weight, choice, unlisted);
      return;
    }
    std::size_t first_kid = 0;
    while (pedigree_.sire_slots()[first_kid] != (Pedigree::stand_in_bit | s)) ++first_kid;
    for (int k = 0; k < 3; ++k) {
      unlisted[s] = k;
      const double p = twin_founder(input_.transmission.x_linked, k, input_.frequency[first_kid], 1);
      if (p > 0.0) add_unlisted(s + 1, weight * p, choice, unlisted);
    }
  }
  int sire_copies(std::size_t x, std::uint32_t slot, const std::vector<int>& choice,
                  const std::vector<int>& unlisted) const {
    if (!Pedigree::is_stand_in(slot)) return copies_in(x, slot);
    const std::uint32_t s = Pedigree::stand_in_of(slot);
    if (choice[s] < 0) return unlisted[s];
    const Animal buck = pedigree_.stand_in(s)[static_cast<std::size_t>(choice[s])].sire;
    return copies_in(x, buck.position);
  }
  void add_genotypes(double weight, const std::vector<int>& choice,
                     const std::vector<int>& unlisted) {
    for (std::size_t x = 0; x < joint_.size(); ++x) {
      double p = weight;
      for (std::size_t a = 0; a < pedigree_.size() && p > 0.0; ++a) {
        p *= of_animal(a, x, choice, unlisted);
      }
      for (const PairEvidence& evidence : input_.pairs) {
        int sire = 0;
        if (evidence.sire.animal) sire = copies_in(x, evidence.sire.animal->position);
        if (evidence.sire.stand_in) {
          sire = sire_copies(x, Pedigree::stand_in_bit | *evidence.sire.stand_in, choice, unlisted);
        }
        const int doe = evidence.dam.animal ? copies_in(x, evidence.dam.animal->position) : 0;
        p *= evidence.likelihood[static_cast<std::size_t>(sire)][static_cast<std::size_t>(doe)];
      }
      joint_[x] += p;
    }
  }
  double of_animal(std::size_t a, std::size_t x, const std::vector<int>& choice,
                   const std::vector<int>& unlisted) const {
    const bool x_linked = input_.transmission.x_linked;
    const OwnEvidence& own = input_.own[a];
    const int sex = genetic_sex(input_.sex[a]);
    const double q = input_.frequency[a];
    const int k = copies_in(x, a);
    const std::uint32_t sire_slot = pedigree_.sire_slots()[a];
    const std::uint32_t dam_slot = pedigree_.dam_slots()[a];
    const bool founder = sire_slot == Pedigree::none && dam_slot == Pedigree::none;
    double over_sexes = 0.0;
    if (founder) {
      for (int s = 0; s < 2; ++s) {
        if (sex != 2 && sex != s) continue;
        const auto u = static_cast<std::size_t>(s);
        const auto c = static_cast<std::size_t>(k);
        double p = (sex == 2 ? 0.5 : 1.0) * twin_founder(x_linked, k, q, s) * own.likelihood[u][c];
        if (own.living_of_unknown_litter) p *= own.not_shown[u][c];
        over_sexes += p;
      }
      return over_sexes;
    }
    double sum = 0.0;
    for (int i = 0; i < 3; ++i) {
      double p_sire = twin_founder(x_linked, i, q, 1);
      if (sire_slot != Pedigree::none) {
        p_sire = sire_copies(x, sire_slot, choice, unlisted) == i ? 1.0 : 0.0;
      }
      if (p_sire == 0.0) continue;
      for (int j = 0; j < 3; ++j) {
        double p_dam = twin_founder(x_linked, j, q, 0);
        if (dam_slot != Pedigree::none) p_dam = copies_in(x, dam_slot) == j ? 1.0 : 0.0;
        if (p_dam == 0.0) continue;
        double value = 0.0;
        double all = 0.0;
        for (int s = 0; s < 2; ++s) {
          if (sex != 2 && sex != s) continue;
          const double w = sex == 2 ? 0.5 : 1.0;
          const auto u = static_cast<std::size_t>(s);
          for (int other = 0; other < 3; ++other) {
            const auto c = static_cast<std::size_t>(other);
            double p = w * twin_transmission(x_linked, other, i, j, s);
            if (own.living_of_unknown_litter) p *= own.not_shown[u][c];
            all += p;
            if (other == k) value += p * own.likelihood[u][c];
          }
        }
        if (own.living_of_unknown_litter) value = all > 0.0 ? value / all : 0.0;
        sum += p_sire * p_dam * value;
      }
    }
    return sum;
  }

  const Pedigree& pedigree_;
  const LocusInput& input_;
  std::vector<double> joint_;  // copies of animal a: digit a of the index in base 3
  double total_ = 0.0;
};

}  // namespace doewright::testing
