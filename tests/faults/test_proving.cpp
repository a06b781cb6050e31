// SPDX-License-Identifier: MIT
// The tm- cases of tests/reference/faults-and-merit: Christensen, Population Genetics, section 5.6, and
// textbook formulas; SOURCE.md of each case has the source.
#include <doctest/doctest.h>

#include <cmath>

#include <doewright/faults/proving.hpp>

#include "kinship/reference_case.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

FaultModel recessive() {
  FaultModel fault;
  fault.kind = FaultKind::locus;
  fault.shown_doe = fault.shown_buck = Penetrance{{{1, 0}, {1, 0}, {0, 1}}};
  return fault;
}

ProvingMate mate_of(const std::string& name) {
  if (name == "affected") return ProvingMate::affected;
  if (name == "carrier") return ProvingMate::carrier;
  if (name == "random_any") return ProvingMate::random_doe;
  if (name == "random_clear") return ProvingMate::clear_doe;
  // A carrier's daughter out of a doe without a copy is what his own daughter is.
  REQUIRE((name == "own_daughter" || name == "carriers_daughter"));
  return ProvingMate::own_daughter;
}

}  // namespace

TEST_CASE("clear kids wanted of a carrier, by mates: the classical table and random does") {
  std::size_t rows = 0;
  for (const char* name : {"tm-classic-table", "tm-random-does"}) {
    for (const auto& row : read_csv(std::string(DOEWRIGHT_SOURCE_DIR) +
                                    "/tests/reference/faults-and-merit/" + name + "/expected.csv")) {
      CAPTURE(row.at("mate"));
      CAPTURE(row.at("q"));
      REQUIRE(row.at("kids_per_mate") == "1");
      const double q = row.at("q").empty() ? 0.01 : fraction(row.at("q"));
      const double clear = clear_kid_probability(recessive(), 1, mate_of(row.at("mate")), q);
      const double expected = std::stod(row.at("expected"));
      if (row.at("query") == "min_mates") {
        const double limit = (1.0 - std::stod(row.at("confidence"))) * (1.0 + 1e-12);
        int n = 0;
        while (std::pow(clear, n) > limit) ++n;
        CHECK(n == static_cast<int>(expected));
      } else {
        CHECK(std::abs(1.0 - std::pow(clear, std::stod(row.at("n"))) - expected) < 1e-9);
      }
      ++rows;
    }
  }
  CHECK(rows == 31);
}
