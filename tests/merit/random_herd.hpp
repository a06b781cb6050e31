// SPDX-License-Identifier: MIT
#pragma once
/// Random herds with two correlated traits, and the dense twin of their model, which reads the herd
/// in its own way: levels as texts, columns for every level and the mean too, dense covariances.
#include <map>
#include <string>

#include <doewright/kinship/kinship.hpp>
#include <doewright/merit/merit.hpp>

#include "merit/random_model.hpp"

namespace doewright::testing {

inline Record record_of(Animal animal, TraitIndex trait, double value) {
  Record record;
  record.animal = animal;
  record.trait = trait;
  record.value = value;
  return record;
}

inline void plain_facts(Herd& herd) {
  const std::size_t n = herd.pedigree.size();
  herd.animals.sex.resize(n);
  herd.animals.born.resize(n);
  herd.animals.owners = {"", "Hollow"};
  herd.animals.owner.resize(n);
  herd.animals.breed_mixes = {{}};
  herd.animals.breed_mix.resize(n);
}

/// Traits 0, "gain": sex, birth type, group and age fixed, litters, maternal. 1, "milk": year and
/// parity fixed, repeated. Kids of one dam and year are one litter.
inline Herd random_herd(Dice& dice, std::uint32_t animals, std::uint32_t unsure) {
  Herd herd;
  herd.pedigree =
      random_pedigree(dice, {.animals = animals, .founders = 8, .blank = 12, .unsure = unsure});
  plain_facts(herd);
  for (std::uint32_t i = 0; i < animals; ++i) {
    const int year = 2010 + static_cast<int>(i) / 8;
    const std::uint32_t dam = herd.pedigree.dam_slots()[i];
    herd.animals.sex[i] = dice.in_hundred(10) ? Sex::unknown : i % 2 == 0 ? Sex::buck : Sex::doe;
    herd.animals.born[i] =
        PartialDate::of(year, 3, 1 + (dam == Pedigree::none ? 27 : dam % 25)).value();
    herd.animals.owner[i] = dice.below(2);
  }
  Trait gain, milk;
  gain.key = "gain";
  gain.heritability = 0.3;
  gain.phenotypic_sd = 3.0;
  gain.litter_share = 0.1;
  gain.maternal_heritability = 0.15;
  gain.direct_maternal_correlation = -0.3;
  gain.per_percent_inbreeding = -0.05;
  gain.fixed = {"sex", "birth_type", "group", "age_days"};
  gain.correlations = {{"milk", 0.4}};
  milk.key = "milk";
  milk.heritability = 0.33;
  milk.phenotypic_sd = 20.0;
  milk.repeatability = 0.5;
  milk.fixed = {"year", "parity"};
  milk.per_percent_inbreeding = -0.4;
  herd.traits = {gain, milk};
  for (std::uint32_t i = 0; i < animals; ++i) {
    const Date born = herd.animals.born[i].earliest();
    if (dice.in_hundred(75)) {
      Record record = record_of(Animal{i}, 0, 10 + 10 * half_open(dice));
      if (dice.in_hundred(20)) record.group = "late";
      if (dice.in_hundred(85)) {
        record.date = PartialDate::of(born + 80 + static_cast<std::int32_t>(dice.below(30)));
      }
      herd.records.push_back(record);
    }
    for (std::uint32_t times = i % 2 == 0 ? 0 : dice.below(4); times > 0; --times) {
      Record record = record_of(Animal{i}, 1, 600 + 100 * half_open(dice));
      record.date = PartialDate::of(2014 + static_cast<int>(dice.below(3))).value();
      record.parity = 1 + static_cast<std::int32_t>(dice.below(3));
      herd.records.push_back(record);
    }
  }
  return herd;
}

struct HerdTwin {
  Eigen::VectorXd values;  ///< Gain, maternal, milk of each node.
  Eigen::MatrixXd error;
  std::vector<double> fitted_fixed;  ///< By record of the herd.
};

inline HerdTwin twin_of(const Herd& herd) {
  const Trait &gain = herd.traits[0], &milk = herd.traits[1];
  std::vector<Animal> phantoms;
  std::map<std::uint32_t, Eigen::Index> phantom_node;
  const auto n = static_cast<Eigen::Index>(herd.pedigree.size());
  const auto stand_ins = static_cast<Eigen::Index>(herd.pedigree.stand_ins());
  for (const Record& r : herd.records) {
    if (r.trait != 0 || herd.pedigree.dam(r.animal) || phantom_node.contains(r.animal.position)) {
      continue;
    }
    phantom_node[r.animal.position] = n + stand_ins + static_cast<Eigen::Index>(phantoms.size());
    phantoms.push_back(r.animal);
  }
  const Eigen::MatrixXd a = relationships(herd.pedigree, phantoms);
  const double vg = 9.0, vm = 400.0;  // phenotypic variances
  const double va = gain.heritability * vg, vmat = gain.maternal_heritability * vg;
  const double vamilk = milk.heritability * vm;
  const double dm = gain.direct_maternal_correlation * std::sqrt(va * vmat);
  Eigen::Matrix3d g;
  g << va, dm, 0.4 * std::sqrt(va * vamilk),  //
      dm, vmat, 0.0,                          //
      0.4 * std::sqrt(va * vamilk), 0.0, vamilk;
  const double vlitter = gain.litter_share * vg,
               vpe = (*milk.repeatability - milk.heritability) * vm;
  const double ve_gain = vg - va - vmat - dm - vlitter, ve_milk = vm - vamilk - vpe;

  const auto litter_key = [&](std::uint32_t i) {
    const std::uint32_t dam = herd.pedigree.dam_slots()[i];
    return dam == Pedigree::none
               ? "alone " + std::to_string(i)
               : std::to_string(dam) + " " + std::to_string(herd.animals.born[i].year());
  };
  std::map<std::string, int> mates;
  for (std::uint32_t i = 0; i < herd.pedigree.size(); ++i) ++mates[litter_key(i)];
  std::map<std::string, Eigen::Index> litters, columns;
  const Eigen::Index genetic = a.rows() * 3;
  const auto column = [&](const std::string& name) {
    return columns.emplace(name, static_cast<Eigen::Index>(columns.size())).first->second;
  };
  const auto rows = static_cast<Eigen::Index>(herd.records.size());
  std::vector<std::vector<std::pair<Eigen::Index, double>>> x(herd.records.size());
  std::vector<std::vector<std::pair<Eigen::Index, double>>> z(herd.records.size());
  HerdTwin twin;
  DenseModel dense;
  dense.y.resize(rows);
  dense.residual.resize(rows);
  for (std::size_t r = 0; r < herd.records.size(); ++r) {
    const Record& record = herd.records[r];
    const std::uint32_t i = record.animal.position;
    const auto at = static_cast<Eigen::Index>(i);
    const double f = a(at, at) - 1.0;
    const int born = herd.animals.born[i].year();
    if (record.trait == 0) {
      const int type = herd.pedigree.dam_slots()[i] == Pedigree::none ? 0 : mates[litter_key(i)];
      const std::string owner = herd.animals.owner[i] == 0 ? "own" : "Hollow";
      const std::string group =
          record.group.empty() ? std::to_string(born) + owner : "written " + record.group;
      x[r] = {{column("gain"), 1.0},
              {column("sex" + std::to_string(static_cast<int>(herd.animals.sex[i]))), 1.0},
              {column("type" + std::to_string(type)), 1.0},
              {column("group" + group), 1.0}};
      if (record.date.known()) {
        const double age = record.date.earliest() - herd.animals.born[i].earliest();
        x[r].emplace_back(column("age"), age / 100);
      } else {
        x[r].emplace_back(column("no age"), 1.0);
      }
      const auto dam = herd.pedigree.dam(record.animal);
      const Eigen::Index mother =
          dam ? static_cast<Eigen::Index>(dam->position) : phantom_node.at(i);
      const auto litter =
          litters.emplace(litter_key(i), static_cast<Eigen::Index>(litters.size())).first->second;
      z[r] = {{at * 3, 1.0}, {mother * 3 + 1, 1.0}, {genetic + n + litter, 1.0}};
      dense.y[static_cast<Eigen::Index>(r)] = record.value + 0.05 * 100 * f;
      dense.residual[static_cast<Eigen::Index>(r)] = ve_gain;
    } else {
      x[r] = {{column("milk"), 1.0},
              {column("year" + std::to_string(record.date.year())), 1.0},
              {column("parity" + std::to_string(*record.parity)), 1.0}};
      z[r] = {{at * 3 + 2, 1.0}, {genetic + at, 1.0}};
      dense.y[static_cast<Eigen::Index>(r)] = record.value + 0.4 * 100 * f;
      dense.residual[static_cast<Eigen::Index>(r)] = ve_milk;
    }
  }
  const Eigen::Index random = genetic + n + static_cast<Eigen::Index>(litters.size());
  dense.prior = Eigen::MatrixXd::Zero(random, random);
  dense.prior.topLeftCorner(genetic, genetic) = kronecker(a, g);
  for (Eigen::Index i = 0; i < n; ++i) dense.prior(genetic + i, genetic + i) = vpe;
  for (Eigen::Index i = genetic + n; i < random; ++i) dense.prior(i, i) = vlitter;
  dense.x = Eigen::MatrixXd::Zero(rows, static_cast<Eigen::Index>(columns.size()));
  dense.z = Eigen::MatrixXd::Zero(rows, random);
  for (std::size_t r = 0; r < x.size(); ++r) {
    for (const auto& [c, value] : x[r]) dense.x(static_cast<Eigen::Index>(r), c) += value;
    for (const auto& [c, value] : z[r]) dense.z(static_cast<Eigen::Index>(r), c) += value;
  }
  const DenseAnswer answer = by_definition(dense);
  twin.values = answer.random;
  twin.error = answer.error;
  twin.fitted_fixed.assign(answer.fitted_fixed.data(),
                           answer.fitted_fixed.data() + answer.fitted_fixed.size());
  return twin;
}

}  // namespace doewright::testing
