// SPDX-License-Identifier: MIT
#pragma once
/// How a doe put forward stands once the season has begun, and how it is said. Sentences are safe
/// to print, without a full stop.
#include <cstdint>
#include <optional>
#include <string>

#include <doewright/herd/herd.hpp>
#include <doewright/pedigree/offspring.hpp>
#include <doewright/timing/in_kid.hpp>

namespace doewright {

enum class DoeNowIs : std::uint8_t { unserved, served, back, found_empty, found_in_kid };

struct DoeNow {
  DoeNowIs is = DoeNowIs::unserved;
  std::optional<Service> service;  ///< Her last one that has begun; empty of an unserved doe.
  StandsInKid stands;
  std::optional<Date> back_on;  ///< The last heat seen after it, where no check has told since.
};

/// Nobody in the book has served her since her last kidding, in 200 days: unserved.
DoeNow doe_now(const Herd& herd, const Offspring& offspring, Animal doe);

/// Nothing more is to be done for her but to look after her: served, or found in kid.
bool left_alone(const DoeNow& now);

/// "found in kid on 2026-11-20 by a scan (2 kids); served by Tor on 2026-09-20"; empty: unserved.
std::string now_words(const Herd& herd, const DoeNow& now);

/// "found empty on 2026-11-20 by a scan"; empty: no clear check.
std::string check_words(const StandsInKid& stands);

/// "served by Tor on 2026-09-20", "with Tor from 2026-09-14 (no last day written)"; empty:
/// unserved.
std::string service_words(const Herd& herd, const DoeNow& now);

}  // namespace doewright
