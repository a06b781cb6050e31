// SPDX-License-Identifier: MIT
#pragma once
/// Health tests in words. As written in the book: who prints to a terminal makes them printable.
#include <string>
#include <vector>

#include <doewright/pairing/papers.hpp>

namespace doewright {

/// "Johne's: positive, 2026-07-01", "CL: positive, day not recorded; negative since (2026-08-02)".
std::string positive_words(const HealthPositive& positive);

/// All of them and whom to ask, or nothing.
std::string positives_words(const std::vector<HealthPositive>& positives);

/// A paper of a sire: "CAE: in order", "CL: not recorded", "CL: positive, 2026-07-01".
std::string paper_words(const Paper& paper);

/// Papers to be asked for: "CL: not recorded; CAE: too old", or nothing. A result that is not
/// plainly negative is none of them: positives_words says it.
std::string papers_to_ask(const std::vector<Paper>& papers);

}  // namespace doewright
