// SPDX-License-Identifier: MIT
#pragma once
/// Who is known to have lived past an age, and who is known to have died before it (DEFINITIONS 3, 11).
#include <cstdint>
#include <vector>

#include <doewright/herd/herd.hpp>

namespace doewright {

class Survival {
 public:
  explicit Survival(const Herd& herd);

  /// A parent, or some dated fact of it, its leaving, or as-of while nothing says that it has left, is
  /// later than its latest possible birth plus `days`. Birth not recorded: only a parent is known.
  bool known_alive_after(Animal animal, double days) const;

  /// Died (not sold, not slaughtered) before that age on every possible day of both dates.
  bool known_dead_before(Animal animal, double days) const;

 private:
  const Herd& herd_;
  std::vector<std::int32_t> last_seen_;  // day number; lowest possible: never
  std::vector<bool> parent_;
};

}  // namespace doewright
