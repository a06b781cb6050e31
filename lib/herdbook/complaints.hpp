// SPDX-License-Identifier: MIT
#pragma once
/// Everything that is wrong with a herd book, gathered while reading.
#include <cstdint>
#include <map>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <doewright/core/problem.hpp>

namespace doewright {

class Complaints {
 public:
  /// Kept of one code and file; all are counted.
  static constexpr std::size_t most_kept = 10'000;

  void add(Problem problem);
  /// Counts one that would not be kept anyway.
  void count_only(Severity severity);
  void add_all(std::vector<Problem> problems);

  void error(std::string_view code, std::string_view file, std::uint32_t line, std::uint32_t column,
             std::string_view animal, std::string message, std::string remedy);
  void warning(std::string_view code, std::string_view file, std::uint32_t line,
               std::uint32_t column, std::string_view animal, std::string message,
               std::string remedy);

  std::uint64_t errors() const noexcept { return errors_; }
  std::uint64_t warnings() const noexcept { return warnings_; }
  std::uint64_t questions() const noexcept { return questions_; }

  /// A file that cannot be read at all, so that nothing of it can be set aside.
  void whole_file_lost() noexcept { lost_ = true; }
  bool lost() const noexcept { return lost_; }

  /// By file in the order of the herd book, then line, column, code.
  std::vector<Problem> sorted() &&;

 private:
  std::vector<Problem> kept_;
  std::map<std::pair<std::string, std::string>, std::size_t> count_;
  std::uint64_t errors_ = 0, warnings_ = 0, questions_ = 0;
  bool lost_ = false;
};

}  // namespace doewright
