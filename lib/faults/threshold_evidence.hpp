// SPDX-License-Identifier: MIT
#pragma once
/// The records of one threshold fault, as likelihoods of single liabilities (DEFINITIONS 3, 4, 11).
#include <optional>
#include <vector>

#include <doewright/core/animal.hpp>
#include <doewright/core/table.hpp>
#include <doewright/herd/evidence.hpp>
#include <doewright/herd/herd.hpp>

#include "ep_site.hpp"
#include "threshold_rows.hpp"
#include "threshold_scale.hpp"

namespace doewright {

/// One piece of evidence: an animal looked at, or a count of kids elsewhere of this sire.
struct ThresholdSite {
  Animal animal;
  std::vector<Row> rows;  ///< All looks at the animal, or the row of the count.
  bool count = false;
  std::optional<Animal> dam;  ///< Of a count: the dam of its kids, where known.
};

/// What is recorded, before anybody is numbered.
struct ThresholdEvidence {
  struct Item {
    ThresholdSite site;
    LiabilitySex sex = LiabilitySex::either;
    LookedAt looked;                     ///< Of an animal.
    double affected = 0.0, clear = 0.0;  ///< Of a count.
  };
  std::vector<Item> items;  ///< Animals in pedigree order, then counts in order of the file.

  std::vector<Animal> animals() const;  ///< All whose liability is in an item.
};

/// Who was looked at, and the counts; told counts only if asked for. An animal whose sex is not
/// recorded has the sex its use in the book shows.
ThresholdEvidence threshold_evidence(const Herd& herd, FaultIndex fault,
                                     const EvidenceIndex& evidence, bool with_told);

/// Each item as a likelihood of [mu +] its animal's a, of [mu +] a_s / 2 for a count with unknown
/// dams, of [mu +] (a_s + a_d) / 2 with a known one. `f` is F by position.
std::vector<EpSite> threshold_sites(const ThresholdEvidence& evidence, const ThresholdScale& scale,
                                    const LiabilityNodes& nodes, std::span<const double> f,
                                    double lowest_detection);

/// Likelihood of what one look found, for a liability around x with variance rest_var.
LookLikelihood look_likelihood(const ThresholdScale& scale, const LookedAt& looked,
                               LiabilitySex sex, double rest_var);

}  // namespace doewright
