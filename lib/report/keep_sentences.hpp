// SPDX-License-Identifier: MIT
#pragma once
#include <string>

#include <doewright/core/reason.hpp>
#include <doewright/herd/herd.hpp>

namespace doewright {

/// The words of keep_reason_codes.hpp; empty for any other code.
std::string keep_sentence(const Herd& herd, const Reason& reason);

}  // namespace doewright
