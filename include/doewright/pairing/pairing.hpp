// SPDX-License-Identifier: MIT
#pragma once
/// One doe to one sire: what is known, how close, which rules speak, in which order.
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <doewright/core/reason.hpp>
#include <doewright/core/run.hpp>
#include <doewright/export.hpp>
#include <doewright/herd/evidence.hpp>
#include <doewright/herd/herd.hpp>
#include <doewright/kinship/kinship.hpp>
#include <doewright/pairing/fitness.hpp>
#include <doewright/pairing/papers.hpp>

namespace doewright {

/// A rule that spoke: its name (INTERFACE, DEFINITIONS 11) and what it says. Only caution and
/// avoid.
struct RuleHit {
  std::string_view rule;
  Verdict verdict = Verdict::caution;
};

/// The account of one doe with one sire. Money and probabilities are empty until they can be
/// computed: empty is "not worked out", never zero.
struct PairingAccount {
  Pairing pairing;
  std::size_t offer = 0;          ///< Index into PairingTable::sires.
  std::size_t rank = 0;           ///< 1 is first for this doe.
  Verdict verdict = Verdict::go;  ///< The strictest rule.
  KidInbreeding kid_inbreeding;
  double known = 0.0;  ///< C of the pair.
  std::vector<AncestorShare> common_ancestors;
  std::vector<Animal>
      tied_with;  ///< Sires level with him for this doe; between them only the id decides.
  std::vector<RuleHit> rules;
  std::vector<Reason> reasons;  ///< By effect, largest first.
  std::vector<Reason> questions;
};

/// A doe put forward, with every sire on offer: nobody is left out. Avoid last, then by
/// kid_inbreeding.used in whole millionths, then by id in byte order.
struct DoeAccount {
  DoeForward doe;
  DoeFitness fitness;
  Known known;
  std::vector<FaultEvidence> faults;  ///< One for each of PairingTable::faults.
  std::vector<PairingAccount> sires;  ///< In the order of rank.
};

/// What is to be said of a sire on offer, whoever the doe.
struct SireAccount {
  SireOffer offer;
  Known known;
  std::optional<double> age_months;  ///< Youngest possible, on the first day of his stay.
  std::optional<std::uint32_t>
      most_does;              ///< As given, else by his class (DEFINITIONS 8); empty: no limit.
  bool proven = false;        ///< A kid in the book, or settled >= 1 elsewhere.
  std::vector<Paper> papers;  ///< Empty where papers_needed is false.
  std::vector<FaultEvidence> faults;  ///< One for each of PairingTable::faults.
  std::vector<Reason> questions;  ///< The questions that would change the answer most; at most two.
};

struct PairingTable {
  std::vector<SireAccount> sires;
  std::vector<DoeAccount> does;
  std::vector<FaultIndex> faults;  ///< Faults in use.
  bool unknown_kinship_decides =
      false;  ///< An order or verdict rests on the assumed unknown_kinship.
};

/// Narrows to these; empty: all.
struct ScoreOptions {
  std::vector<Animal> only_does;
  std::vector<Animal> only_sires;
};

/// Scores every doe of herd.does with every sire of herd.sires.
/// \throws UsageError if an animal of the options is not put forward or not on offer; Cancelled.
/// Cost: the kinship block, and per pair the common ancestors and the evidence.
DOEWRIGHT_EXPORT PairingTable score(const Herd& herd, const Kinship& kinship,
                                    const ScoreOptions& options = {}, const Run& run = {});

}  // namespace doewright
