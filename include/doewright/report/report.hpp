// SPDX-License-Identifier: MIT
#pragma once
/// Finished results become text, JSON, CSV or a page. Nothing is computed here.
#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include <doewright/core/animal.hpp>
#include <doewright/core/date.hpp>
#include <doewright/core/problem.hpp>
#include <doewright/export.hpp>
#include <doewright/faults/proving.hpp>
#include <doewright/herd/herd.hpp>
#include <doewright/kinship/kinship.hpp>
#include <doewright/merit/merit.hpp>
#include <doewright/pairing/pairing.hpp>
#include <doewright/pairing/pedigree_report.hpp>
#include <doewright/report/sink.hpp>

namespace doewright {

/// html: one self-contained page that asks for nothing and runs nothing; only of the commands that
/// have one (INTERFACE section 2), the others throw UsageError.
enum class Format : std::uint8_t { text, json, csv, html };

/// A default that was used, by its dotted key in season.toml.
struct Input {
  std::string name;
  std::variant<double, std::string, std::vector<double>, std::vector<std::string>> value;
};

/// What stands at the head of every report.
struct Preamble {
  Date as_of;
  std::string herd;  ///< HERD as it was given.
  std::vector<std::string> warnings;
  std::vector<Input> inputs;         ///< Every default used.
  std::vector<std::string> assumed;  ///< Assumed values that mattered.
  std::uint64_t set_aside = 0;       ///< Records read as unknown: said on the first line.
  bool colour = false;
};

/// Which defaults of season.toml a command used: those of its keys that the keeper did not set.
enum class InputsOf : std::uint8_t { none, kin, rank, timing, fitness, faults };
DOEWRIGHT_EXPORT std::vector<Input> defaults_used(const Season& season, InputsOf command);

/// At most this many complaints of one code and file are printed, then "and N more".
inline constexpr std::size_t complaints_shown = 20;

/// Complaints as lines for a terminal, grouped so that "and N more" can be said. `only` errors, or
/// all.
DOEWRIGHT_EXPORT std::string complaints_as_text(std::span<const Problem> problems,
                                                bool errors_only = false);

/// What `check` found. The book need not be usable.
struct CheckResult {
  std::span<const Problem> problems;  ///< By file, line, column, code.
  std::uint64_t errors_total = 0, warnings_total = 0, questions_total = 0;
  bool usable = false;         ///< Other commands would go on.
  const Herd* herd = nullptr;  ///< If it could be read: for the count of what is in it.
};
DOEWRIGHT_EXPORT void report_check(Sink& out, Format format, const Preamble& preamble,
                                   const CheckResult& result);

/// Columns of `inbreeding`; all of the same length, by position.
struct InbreedingColumns {
  std::span<const double> inbreeding, generations, completeness;
};
DOEWRIGHT_EXPORT void report_inbreeding(Sink& out, Format format, const Preamble& preamble,
                                        const Herd& herd, const InbreedingColumns& columns);

/// `kin` of one pair.
struct KinResult {
  Animal a, b;
  double kinship = 0.0, inbreeding_a = 0.0, inbreeding_b = 0.0;
  KidInbreeding kid;
  double unknown_kinship = 0.0;
  Known known_a, known_b;
  double known_pair = 0.0;
  Why why;
};
DOEWRIGHT_EXPORT void report_kin(Sink& out, Format format, const Preamble& preamble,
                                 const Herd& herd, const KinResult& result);

/// `kin --pairs` and `kin --sires --does`: CSV a,b,kinship, or JSON {pairs: [...]}, or text.
struct KinPair {
  Animal a, b;
  double kinship = 0.0;
};
DOEWRIGHT_EXPORT void report_kin_pairs(Sink& out, Format format, const Preamble& preamble,
                                       const Herd& herd, std::span<const KinPair> pairs);

/// `merit`: the animals asked for, with what the fits say of them.
struct MeritResult {
  std::span<const MeritFit> fits;
  std::span<const Animal> animals;
  std::span<const MeritIndex> index;  ///< By animal asked for.
};
DOEWRIGHT_EXPORT void report_merit(Sink& out, Format format, const Preamble& preamble,
                                   const Herd& herd, const MeritResult& result);

/// What `faults` found, fault by fault.
struct FaultsOfHerd {
  FaultIndex fault = 0;
  std::vector<AnimalFault> animals;                       ///< By animal asked for.
  std::vector<std::vector<EvidenceEffect>> evidence;      ///< By animal asked for.
  bool too_many = false;  ///< Effects were not worked out: too many records.
};
/// `faults --prove SIRE FAULT`.
struct ProofOfSire {
  Animal sire;
  FaultIndex fault = 0;
  Proof proof;
};
/// `faults`. `full`: every animal with its evidence, not only those of note.
DOEWRIGHT_EXPORT void report_faults(Sink& out, Format format, const Preamble& preamble,
                                    const Herd& herd, std::span<const Animal> animals,
                                    const std::vector<FaultsOfHerd>& faults,
                                    const std::optional<ProofOfSire>& proof, bool full);

/// `rank`. `full`: the whole account of each doe, not only the two deciding facts a sire; a page has it
/// always. A page draws the paths that trace_paths() (pair_paths.hpp) filled in, and in tables of more than
/// 320 pairs the pictures of the sires at the head of each list alone.
DOEWRIGHT_EXPORT void report_rank(Sink& out, Format format, const Preamble& preamble,
                                  const Herd& herd, const PairingTable& table, bool full);

/// `sire`: a table of one sire; also as a page. \pre table.sires.size() == 1.
DOEWRIGHT_EXPORT void report_sire(Sink& out, Format format, const Preamble& preamble,
                                  const Herd& herd, const PairingTable& table);

/// `pedigree`: the report for a buyer.
DOEWRIGHT_EXPORT void report_pedigree(Sink& out, Format format, const Preamble& preamble,
                                      const Herd& herd, const PedigreeReport& report);

}  // namespace doewright
