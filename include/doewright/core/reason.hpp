// SPDX-License-Identifier: MIT
#pragma once
/// A reason as a fact. The words for it come last, in report/words.
#include <string_view>
#include <vector>

#include <doewright/core/animal.hpp>
#include <doewright/core/table.hpp>

namespace doewright {

/// Why something was decided: a code that report/words can say, the animals and numbers the sentence
/// needs, and the rows of the herd book it rests on. Which numbers a code carries, and in which
/// unit, stands beside the code in `reason_codes.hpp` of the room that makes it.
struct Reason {
  std::string_view code;          ///< Points to a string literal.
  double effect = 0.0;            ///< How much it moves the decision; larger comes first.
  std::vector<Animal> animals;
  std::vector<double> numbers;
  std::vector<Row> records;
};

}  // namespace doewright
