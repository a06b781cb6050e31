// SPDX-License-Identifier: MIT
#pragma once
/// `keep` as text, JSON, CSV; `owner` as text, JSON, CSV and a page.
#include <doewright/export.hpp>
#include <doewright/pairing/keep.hpp>
#include <doewright/pairing/owner_report.hpp>
#include <doewright/report/report.hpp>

namespace doewright {

/// `keep`: whom to keep, whom to look at, who may leave.
DOEWRIGHT_EXPORT void report_keep(Sink& out, Format format, const Preamble& preamble,
                                  const Herd& herd, const KeepAdvice& advice);

/// `owner`: what the owner of a hired buck is told.
DOEWRIGHT_EXPORT void report_owner(Sink& out, Format format, const Preamble& preamble,
                                   const Herd& herd, const OwnerReport& report);

}  // namespace doewright
