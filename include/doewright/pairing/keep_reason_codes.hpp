// SPDX-License-Identifier: MIT
#pragma once
/// Reasons of keep.hpp, and what each carries. report/words has one sentence for each; a test fails
/// if one has none.
#include <array>
#include <string_view>

namespace doewright::reason {

// A doe kid. animals {kid, ...}
inline constexpr std::string_view keep_fault_found =
    "keep.fault-found";  ///< numbers {fault index, grade or -1: not said}
inline constexpr std::string_view keep_merit =
    "keep.merit";  ///< numbers {money above the founders' mean, largest reliability of a trait}
inline constexpr std::string_view keep_looked =
    "keep.looked";  ///< looked at and clear: numbers {faults, ...their indices}
inline constexpr std::string_view keep_not_looked = "keep.not-looked";  ///< for any fault
inline constexpr std::string_view keep_may_show =
    "keep.may-show";  ///< numbers {fault index, chance, money}
inline constexpr std::string_view keep_may_carry =
    "keep.may-carry";  ///< one copy at least, and it does not show: numbers {fault index, chance}
inline constexpr std::string_view keep_kin =
    "keep.kin";  ///< numbers {mean kinship to the herd, does in it, mean of the kids on the list}
inline constexpr std::string_view keep_inbred = "keep.inbred";  ///< numbers {her own F}
inline constexpr std::string_view keep_first_of_sire =
    "keep.first-of-sire";  ///< the best of his daughters here: animals {kid, sire}; numbers {them}
inline constexpr std::string_view keep_same_sire =
    "keep.same-sire";  ///< animals {kid, sire, a better half sister}
inline constexpr std::string_view keep_same_dam =
    "keep.same-dam";  ///< animals {kid, dam, a better sister}
inline constexpr std::string_view keep_sire_unsure = "keep.sire-unsure";  ///< or not recorded

// A doe whose record says leave. animals {doe}
inline constexpr std::string_view leave_never_settled =
    "leave.never-settled";  ///< numbers {seasons put to a buck}
inline constexpr std::string_view leave_empty =
    "leave.empty";  ///< empty in the last seasons: numbers {seasons}
inline constexpr std::string_view leave_hard_help =
    "leave.hard-help";  ///< numbers {kiddings with hard help, kiddings with help recorded}
inline constexpr std::string_view leave_few_raised =
    "leave.few-raised";  ///< numbers {raised, kiddings, shrunken mean, herd mean}
inline constexpr std::string_view leave_decline =
    "leave.decline";  ///< numbers {mean raised of the last two kiddings, of those before}
inline constexpr std::string_view leave_age =
    "leave.age";  ///< never alone: numbers {years at the youngest}

inline constexpr std::array all_of_keep = {
    keep_fault_found, keep_merit,       keep_looked,         keep_not_looked,    keep_may_show,
    keep_may_carry,   keep_kin,         keep_inbred,         keep_first_of_sire, keep_same_sire,
    keep_same_dam,    keep_sire_unsure, leave_never_settled, leave_empty,        leave_hard_help,
    leave_few_raised, leave_decline,    leave_age,
};

}  // namespace doewright::reason
