// SPDX-License-Identifier: MIT
#pragma once
/// The f of whose.hpp, day by day.
#include <cstddef>
#include <functional>
#include <span>

#include <doewright/timing/whose.hpp>

namespace doewright {

using UseConception = std::function<void(std::size_t buck, Date day, double f)>;

/// Calls `use` with every part of f_s(day) (a day can come several times), infertile bucks averaged
/// over: exposures up to and with `until`, services before it. As whose_kid() defines f; given that
/// she is a doe that can settle and cycles.
void each_conception(std::span<const BuckOdds> bucks, double never,
                     std::span<const SireExposure> exposures, Date until, const UseConception& use);

}  // namespace doewright
