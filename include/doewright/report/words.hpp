// SPDX-License-Identifier: MIT
#pragma once
/// The words for what the engine rooms found: one sentence a reason code, used by text and JSON
/// alike.
#include <string>
#include <string_view>

#include <doewright/core/reason.hpp>
#include <doewright/export.hpp>
#include <doewright/herd/herd.hpp>

namespace doewright {

/// A sentence without a full stop; empty if the code is not known (a test sees to it that none is).
DOEWRIGHT_EXPORT std::string sentence(const Herd& herd, const Reason& reason);

/// A place in a pedigree ("", "s", "dd") in words: "itself", "sire", "granddam", "great-grandsire".
DOEWRIGHT_EXPORT std::string place_in_words(std::string_view place);

/// "15 September 2026".
DOEWRIGHT_EXPORT std::string day_in_words(Date date);

}  // namespace doewright
