// SPDX-License-Identifier: MIT
#pragma once
/// `does` and `plan` as text, JSON and CSV.
#include <doewright/export.hpp>
#include <doewright/pairing/doe_review.hpp>
#include <doewright/report/report.hpp>

namespace doewright {

/// `does`: go, caution, wait, not this year; one reason each.
DOEWRIGHT_EXPORT void report_does(Sink& out, Format format, const Preamble& preamble,
                                  const Herd& herd, const DoesReview& review);

}  // namespace doewright
