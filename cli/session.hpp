// SPDX-License-Identifier: MIT
#pragma once
/// What every command needs: the herd book with its complaints said, a Run, a place for the answer.
#include <chrono>
#include <functional>
#include <memory>
#include <string>
#include <string_view>

#include <doewright/core/run.hpp>
#include <doewright/herdbook/read.hpp>
#include <doewright/pairing/genetics.hpp>
#include <doewright/report/report.hpp>

#include "command_line.hpp"

/// What a command needs of the book beside its facts.
struct Needs {
  bool questions = false;  ///< Likenesses too.
  bool season_lists =
      false;  ///< Does put forward and sires on offer, also where they are not listed.
};

class Session {
 public:
  Session(const CommandLine& line, std::stop_token stop, doewright::Date today);

  const CommandLine& line() const { return line_; }
  const doewright::Run& run() const { return run_; }

  doewright::HerdBook read_book(Needs needs);
  /// Reads it and says its complaints on standard error. \throws Ending if it needs repair.
  std::shared_ptr<const doewright::Herd> read_herd(Needs needs = {});

  /// Kinship, faults and merit, fitted. Records that contradict each other end it with status 1; with
  /// --set-aside they are taken out of the herd and said.
  doewright::Genetics genetics(doewright::Herd& herd);
  std::uint64_t seed() const { return line_.common.seed; }

  doewright::Preamble preamble(const doewright::Herd& herd, doewright::InputsOf inputs) const;

  /// Writes the answer, whole or not at all. \throws Ending if the file is one of the herd book.
  void answer(const std::function<void(doewright::Sink&)>& write) const;

  /// The animal, or an Ending with status 2 that offers the nearest names.
  doewright::Animal find(const doewright::Herd& herd, std::string_view id,
                         std::string_view what = "animal") const;

  /// With --verbose: one line on standard error, with the seconds since the step began.
  void tell(std::string_view text) const;

 private:
  void refuse_input_as_output() const;

  const CommandLine& line_;
  doewright::Run run_;
  doewright::Date today_;
  std::vector<std::string> warnings_;
  std::uint64_t set_aside_ = 0;
  std::chrono::steady_clock::time_point since_ = std::chrono::steady_clock::now();  ///< For tell().
};

/// One a command: ask, compute, show.
Status run_check(Session& session);
Status run_does(Session& session);
Status run_inbreeding(Session& session);
Status run_keep(Session& session);
Status run_kin(Session& session);
Status run_faults(Session& session);
Status run_merit(Session& session);
Status run_owner(Session& session);
Status run_pedigree(Session& session);
Status run_plan(Session& session);
Status run_rank(Session& session);
Status run_sire(Session& session);
Status run_whose(Session& session);
Status run_stay(Session& session);
Status run_calendar(Session& session);
Status run_start(Session& session);
