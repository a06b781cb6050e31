// SPDX-License-Identifier: MIT
#pragma once
#include <memory>

#include "state.hpp"

namespace doewright {

/// The worst that blanks can hide (DEFINITIONS 2, reading 3). Keeps rows of kinships with the whole book
/// from one pair to the next; not for several threads at once.
class WorstReading {
 public:
  explicit WorstReading(const KinshipState& state);
  ~WorstReading();
  /// Fills `worst` and `worst_assumes`; `as_recorded` must be there.
  void read(Animal a, Animal b, KidInbreeding& into);

 private:
  class Reader;
  std::unique_ptr<Reader> reader_;
};

}  // namespace doewright
