// SPDX-License-Identifier: MIT
#pragma once
#include <doewright/pairing/pedigree_report.hpp>

namespace doewright {

/// The places of the chart, parents first.
std::vector<PedigreePlace> chart_places(const Herd& herd, Animal animal, int generations);

/// F, what makes it, and its readings.
void fill_inbreeding(const Herd& herd, const Kinship& kinship, PedigreeReport& report);

/// Looks, tests, records, kiddings, services, kids.
void fill_facts(const Herd& herd, PedigreeReport& report);

/// What the seller does not know.
std::vector<PedigreeNotKnown> gaps_of(const Herd& herd, const PedigreeReport& report);

}  // namespace doewright
