// SPDX-License-Identifier: MIT
#pragma once
/// How likely each answer to a question about a sire is, by all that is known now.
#include <cstddef>
#include <vector>

#include <doewright/pairing/genetics.hpp>
#include <doewright/pairing/pairing.hpp>

namespace doewright {

/// One gene test: chance that the laboratory reads 0, 1, 2 copies (DEFINITIONS 3, test error); 0, 1
/// of an x-linked fault. \param f  Index into PairingTable::faults, a fault of one gene.
std::vector<double> answers_of_test(const Herd& herd, const Genetics& genetics,
                                    const PairingTable& table, std::size_t sire, std::size_t f);

/// 0..kids affected among so many kids of his out of unrelated dams, sex not recorded, found at the
/// lowest detection.
std::vector<double> answers_of_kids(const Herd& herd, const Genetics& genetics,
                                    const PairingTable& table, std::size_t sire, std::size_t f,
                                    unsigned kids);

}  // namespace doewright
