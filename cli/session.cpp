// SPDX-License-Identifier: MIT
#include "session.hpp"

#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <map>
#include <thread>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

#include "output.hpp"

using namespace doewright;

namespace {

std::size_t three_quarters_of_memory() {
  const long pages = ::sysconf(_SC_PHYS_PAGES), size = ::sysconf(_SC_PAGE_SIZE);
  if (pages <= 0 || size <= 0) return 0;
  return static_cast<std::size_t>(pages) * static_cast<std::size_t>(size) / 4 * 3;
}

bool wants_colour(const CommonOptions& options) {
  using Colour = CommonOptions::Colour;
  if (options.colour != Colour::automatic) return options.colour == Colour::always;
  const char* no_color = std::getenv("NO_COLOR");
  const char* term = std::getenv("TERM");
  if (no_color != nullptr && *no_color != '\0') return false;
  if (term != nullptr && std::string_view(term) == "dumb") return false;
  return options.output.empty() && ::isatty(STDOUT_FILENO) != 0;
}

/// After a second, and only on a terminal: one line that is written over.
std::function<void(std::string_view, double)> progress_line() {
  if (::isatty(STDERR_FILENO) == 0) return {};
  const auto begin = std::chrono::steady_clock::now();
  return [begin](std::string_view task, double done) {
    if (std::chrono::steady_clock::now() - begin < std::chrono::seconds(1)) return;
    std::fputs(fmt::format("\r\x1b[K{} {:.0f} %{}", task, 100 * done, done >= 1.0 ? "\r\x1b[K" : "")
                   .c_str(),
               stderr);
  };
}

std::vector<std::string> lines_of(const std::vector<Problem>& problems) {
  std::vector<Problem> warnings;
  std::copy_if(problems.begin(), problems.end(), std::back_inserter(warnings),
               [](const Problem& p) { return p.severity == Severity::warning; });
  std::vector<std::string> lines;
  std::string text = complaints_as_text(warnings);
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = text.find('\n', at);
    lines.push_back(text.substr(at, end - at));
    at = end + 1;
  }
  return lines;
}

}  // namespace

Session::Session(const CommandLine& line, std::stop_token stop, Date today)
    : line_(line), today_(today) {
  const CommonOptions& options = line.common;
  run_.threads =
      options.threads != 0 ? options.threads : std::max(1u, std::thread::hardware_concurrency());
  run_.memory_limit = options.max_memory != 0 ? options.max_memory : three_quarters_of_memory();
  run_.stop = std::move(stop);
  if (!options.quiet) run_.progress = progress_line();
}

HerdBook Session::read_book(Needs needs) {
  const ReadOptions options{.as_of = line_.common.as_of,
                            .today = today_,
                            .set_aside = line_.common.set_aside,
                            .strict = line_.common.strict,
                            .fill_lists = needs.season_lists,
                            .questions = needs.questions};
  HerdBook book;
  try {
    book = read_herd_book(line_.herd, options, run_);
  } catch (const NotFound& error) {
    throw Ending{status_wrong_command, error.what()};
  }
  set_aside_ = book.set_aside;
  warnings_ = lines_of(book.problems);
  return book;
}

std::shared_ptr<const Herd> Session::read_herd(Needs needs) {
  const HerdBook book = read_book(needs);
  if (book.herd == nullptr) {
    const bool errors_only = !line_.common.strict;
    std::fputs(complaints_as_text(book.problems, errors_only).c_str(), stderr);
    throw Ending{
        status_book_needs_repair,
        fmt::format("{}: the herd book needs repair: {} error{}, {} warning{}; `doewright check` "
                    "shows all of them",
                    printable(line_.herd), book.errors_total, book.errors_total == 1 ? "" : "s",
                    book.warnings_total, book.warnings_total == 1 ? "" : "s")};
  }
  std::vector<Problem> said;
  for (const Problem& problem : book.problems) {
    if (problem.severity == Severity::error)
      said.push_back(problem);  // set aside, but never silent
  }
  if (!said.empty()) std::fputs(complaints_as_text(said).c_str(), stderr);
  if (!line_.common.quiet) {
    for (const std::string& warning : warnings_) std::fputs((warning + "\n").c_str(), stderr);
  }
  tell(fmt::format("read {}: {} animals", line_.herd, book.herd->pedigree.size()));
  since_ = std::chrono::steady_clock::now();
  return book.herd;
}

Genetics Session::genetics(Herd& herd) {
  const GeneticsOptions options{.seed = seed()};
  for (int again = 0;; ++again) {
    Genetics result = genetics_of(herd, options, run_);
    std::vector<Problem> problems = contradictions(herd, result.faults);
    // What an owner told may contradict what was seen.
    const bool by_word = problems.empty();
    const std::vector<FaultFit>& fits = by_word ? result.faults_told : result.faults;
    if (by_word) problems = contradictions(herd, fits);
    if (problems.empty()) {
      const std::vector<Problem> rough = rough_evidence(herd, result.faults);
      for (const std::string& line : lines_of(rough)) {
        warnings_.push_back(line);
        if (!line_.common.quiet) std::fputs((line + "\n").c_str(), stderr);
      }
      return result;
    }
    std::fputs(complaints_as_text(problems).c_str(), stderr);
    constexpr int most_rounds = 50;  // each takes at least one record out
    if (!line_.common.set_aside) {
      throw Ending{status_book_needs_repair,
                   fmt::format("{}: records contradict each other; --set-aside works without them",
                               printable(line_.herd))};
    }
    if (again == most_rounds || !take_out_contradictions(herd, fits)) {
      throw Ending{status_book_needs_repair,
                   fmt::format("{}: records contradict each other, and leaving them out does not help: a "
                               "parent or an entry of faults.toml is wrong",
                               printable(line_.herd))};
    }
    set_aside_ += problems.size();
  }
}

Preamble Session::preamble(const Herd& herd, InputsOf inputs) const {
  return {.as_of = herd.as_of,
          .herd = line_.herd,
          .warnings = warnings_,
          .inputs = defaults_used(herd.season, inputs),
          .assumed = {},
          .set_aside = set_aside_,
          .colour = wants_colour(line_.common)};
}

void Session::refuse_input_as_output() const {
  namespace fs = std::filesystem;
  std::error_code error;
  const fs::path out = fs::weakly_canonical(line_.common.output, error);
  const fs::path herd = fs::weakly_canonical(line_.herd, error);
  bool is_input = out == herd;
  for (int t = static_cast<int>(Table::animals); t <= static_cast<int>(Table::season); ++t) {
    is_input = is_input || out == herd / std::string(file_name(static_cast<Table>(t)));
  }
  for (const std::string& file : {line_.pairs_file, line_.sires_file, line_.does_file,
                                  line_.since_file}) {
    is_input = is_input || (!file.empty() && out == fs::weakly_canonical(file, error));
  }
  if (is_input) {
    throw Ending{status_wrong_command,
                 fmt::format("-o {}: that is a file of the herd book; choose another name",
                             printable(line_.common.output))};
  }
}

void Session::answer(const std::function<void(Sink&)>& write) const {
  tell("worked out");
  if (!line_.common.output.empty()) refuse_input_as_output();
  Output output(line_.common.output);
  write(output);
  throw_if_stopped(run_);
  output.finish();
}

Animal Session::find(const Herd& herd, std::string_view id, std::string_view what) const {
  if (const auto animal = herd.ids.find(id)) return *animal;
  std::vector<std::string_view> known;
  known.reserve(2 * herd.ids.size());
  for (std::uint32_t i = 0; i < herd.ids.size(); ++i) {
    known.push_back(herd.ids[Animal{i}]);
    const std::string_view name = herd.animals.name[Animal{i}];
    if (name == id) {
      throw Ending{status_wrong_command,
                   fmt::format("no {} has the id {}; {} is the name of {}", what, printable(id),
                               printable(id), printable(herd.ids[Animal{i}]))};
    }
  }
  const auto near = nearest(id, known);
  throw Ending{status_wrong_command,
               fmt::format("no {} '{}' in the herd book{}", what, printable(id),
                           near ? fmt::format("; did you mean '{}'?", printable(*near)) : "")};
}

void Session::tell(std::string_view text) const {
  if (!line_.common.verbose) return;
  const std::chrono::duration<double> cost = std::chrono::steady_clock::now() - since_;
  std::fputs(fmt::format("{} ({:.3f} s)\n", text, cost.count()).c_str(), stderr);
}
