// SPDX-License-Identifier: MIT
#pragma once
#include <doewright/herd/evidence.hpp>
#include <doewright/pairing/keep.hpp>

namespace doewright {

/// Fills the reasons of every doe kid. \pre they are in order of rank.
void give_reasons(const Herd& herd, const Genetics& genetics, const EvidenceIndex& evidence,
                  KeepAdvice& advice);

}  // namespace doewright
