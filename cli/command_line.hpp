// SPDX-License-Identifier: MIT
#pragma once
/// The words of the command line become plain values. The only file that knows the parser is
/// command_line.cpp.
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include <doewright/core/date.hpp>
#include <doewright/report/report.hpp>

/// How a run ends (INTERFACE section 2).
enum Status : int {
  status_done = 0,
  status_book_needs_repair = 1,
  status_wrong_command = 2,
  status_outside_failed = 3,
  status_our_mistake = 4,
  status_interrupted = 130,
};

/// Ends the run with a message for standard error.
struct Ending {
  Status status;
  std::string message;
};

struct CommonOptions {
  doewright::Format format = doewright::Format::text;
  bool ics = false;    ///< `calendar --format ics`; then `format` is not looked at.
  std::string output;  ///< Empty: standard output.
  std::optional<doewright::Date> as_of;
  unsigned threads = 0;  ///< 0: all cores.
  std::uint64_t seed = 1;
  bool quiet = false;
  bool verbose = false;
  bool strict = false;
  bool set_aside = false;
  enum class Colour { automatic, always, never } colour = Colour::automatic;
  std::size_t max_memory = 0;  ///< Bytes; 0: three quarters of the machine.
  std::vector<std::string> does, sires;
};

struct CommandLine {
  enum class Command {
    none,
    check,
    does,
    inbreeding,
    keep,
    kin,
    faults,
    merit,
    owner,
    pedigree,
    plan,
    rank,
    sire,
    whose,
    stay,
    calendar,
    start
  } command = Command::none;
  CommonOptions common;
  std::string herd;
  std::string animal_a, animal_b;  ///< `kin A B`, `sire SIRE`, `stay SIRE`, `owner SIRE`, `whose KID`,
                                   ///< `pedigree ANIMAL`.
  std::vector<std::string> prove;  ///< `faults --prove SIRE FAULT`: two words, or none.
  bool week = false;               ///< `calendar --week`.
  int generations = 4;             ///< Of the chart of `pedigree`.
  std::string pairs_file, sires_file, does_file;
  std::string since_file;          ///< `plan --since`: an earlier plan as JSON.
};

/// Parses; prints help or version itself (to standard output when asked for) and then returns
/// nothing. \throws Ending with status 2 and a sentence that offers the nearest known word.
std::optional<CommandLine> parse_command_line(int argc, char** argv);
