// SPDX-License-Identifier: MIT
// What a look or a gene test says of the copies an animal has (DEFINITIONS 3).
#include "locus_records.hpp"

namespace doewright {

namespace {

const std::optional<Penetrance>& shown_in(const FaultModel& fault, int sex) {
  return sex == 0 ? fault.shown_doe : fault.shown_buck;
}

double chance_of_grade(const Penetrance& shown, int copies, std::size_t grade) {
  // Two rows: the hemizygous bucks of an X-linked fault. Two copies cannot be; the row is not used.
  const auto row = static_cast<std::size_t>(copies);
  return row < shown.rows.size() ? shown.rows[row][grade] : 0.0;
}

}  // namespace

Copies chance_shown(const FaultModel& fault, int sex) {
  Copies result{};
  const auto& shown = shown_in(fault, sex);
  if (!shown) return result;
  for (int k = 0; k < 3; ++k) {
    for (std::size_t grade = 0; grade < fault.grades.size(); ++grade) {
      if (grade == fault.wanted) continue;
      result[static_cast<std::size_t>(k)] += chance_of_grade(*shown, k, grade);
    }
  }
  return result;
}

CopiesBySex likelihood_of_look(const FaultModel& fault, const LookedAt& look) {
  CopiesBySex result = {Copies{1, 1, 1}, Copies{1, 1, 1}};
  for (int sex = 0; sex < 2; ++sex) {
    const auto& shown = shown_in(fault, sex);
    if (!shown) continue;  // not scored: no information
    const Copies any = chance_shown(fault, sex);
    for (int k = 0; k < 3; ++k) {
      double& value = result[static_cast<std::size_t>(sex)][static_cast<std::size_t>(k)];
      const double unwanted = any[static_cast<std::size_t>(k)];
      if (look.look == Look::clear) {
        value = chance_of_grade(*shown, k, fault.wanted) + (1.0 - look.detection) * unwanted;
      } else {
        // The detection matters where the sex is not known and only one is scored.
        const double seen = look.detection > 0.0 ? look.detection : 1.0;
        value = seen * (look.grade ? chance_of_grade(*shown, k, *look.grade) : unwanted);
      }
    }
  }
  return result;
}

CopiesBySex likelihood_of_death(const FaultModel& fault, double survive) {
  CopiesBySex result;
  for (int sex = 0; sex < 2; ++sex) {
    const Copies shown = chance_shown(fault, sex);
    for (std::size_t k = 0; k < 3; ++k) {
      result[static_cast<std::size_t>(sex)][k] = shown[k] + (1.0 - shown[k]) * (1.0 - survive);
    }
  }
  return result;
}

CopiesBySex likelihood_of_test(const FaultModel& fault, std::uint8_t result) {
  const double e = fault.test_error;
  CopiesBySex table;
  for (std::size_t k = 0; k < 3; ++k) {
    if (k == result) {
      table[0][k] = 1.0 - e;
    } else if (k == 1) {
      table[0][k] = e / 2.0;  // one copy read as none or two
    } else {
      table[0][k] = result == 1 ? e : 0.0;
    }
  }
  table[1] = table[0];
  if (fault.inheritance == Inheritance::x_linked) {
    const bool positive = result > 0;
    table[1] = {positive ? e : 1.0 - e, positive ? 1.0 - e : e, 0.0};
  }
  return table;
}

}  // namespace doewright
