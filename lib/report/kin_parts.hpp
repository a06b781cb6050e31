// SPDX-License-Identifier: MIT
#pragma once
/// Parts of a report on kinship that `kin`, `rank` and `sire` share.
#include <string>
#include <vector>

#include <doewright/kinship/kinship.hpp>
#include <doewright/report/report.hpp>

#include "json_writer.hpp"

namespace doewright {

std::string_view word(UnknownsBy by) noexcept;

/// What blanks count as in reading 2: "as the breed".
std::string_view unknowns_in_words(UnknownsBy by) noexcept;

/// kid_inbreeding and its other readings, worst_assumes included.
void write_readings(JsonWriter& json, const Herd& herd, const KidInbreeding& kid);

/// common_ancestors: [{id, contribution, share}].
void write_common_ancestors(JsonWriter& json, const Herd& herd,
                            const std::vector<AncestorShare>& ancestors, double kinship);

/// "if Thorn (B-02) is the sire of Rowan and ...", or empty.
std::string assumes_in_words(const Herd& herd, const KidInbreeding& kid);

/// Places known by generation, "2/2, 3/4, 2/8, 0/16, 0/32".
std::string places_in_words(const Known& known);

/// How close a coefficient is, in words people use: "as half brother and sister". Landmarks are
/// exact: 25 % parent and offspring or full sibs, 12.5 % half sibs, 6.25 % first cousins.
std::string closeness_in_words(double kinship);

}  // namespace doewright
