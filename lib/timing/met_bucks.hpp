// SPDX-License-Identifier: MIT
#pragma once
/// The bucks that a doe met. A buck and his semen have chances of their own to settle, and one
/// fertility.
#include <algorithm>
#include <cstddef>
#include <vector>

#include <doewright/timing/settling.hpp>
#include <doewright/timing/whose.hpp>

namespace doewright {

struct MetBucks {
  std::vector<Animal> sires;    ///< Each once, in the order met.
  std::vector<BuckOdds> odds;   ///< The conception is his own where she met him, else his semen's.

  struct Met {
    std::size_t buck;
    double conception;  ///< Of this exposure.
  };
  Met meet(const Herd& herd, const Offspring& offspring, Animal sire, Date day, bool semen) {
    const BuckOdds his = buck_odds_on(herd, offspring, sire, day, semen);
    const auto place = std::find(sires.begin(), sires.end(), sire);
    const auto buck = static_cast<std::size_t>(place - sires.begin());
    if (place == sires.end()) {
      sires.push_back(sire);
      odds.push_back(his);
      in_person_.push_back(!semen);
    } else if (!semen && !in_person_[buck]) {
      odds[buck].conception = his.conception;
      in_person_[buck] = true;
    }
    return {buck, semen ? his.conception : odds[buck].conception};
  }

 private:
  std::vector<bool> in_person_;
};

}  // namespace doewright
