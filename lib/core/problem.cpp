// SPDX-License-Identifier: MIT
#include <doewright/core/problem.hpp>

#include <string_view>

#include <doewright/core/text.hpp>

namespace doewright {

namespace {

std::string_view word_of(Severity severity) {
  switch (severity) {
    case Severity::error:
      return "error";
    case Severity::warning:
      return "warning";
    case Severity::question:
      return "question";
  }
  return "error";
}

}  // namespace

std::string to_text(const Problem& problem) {
  std::string text;
  if (!problem.file.empty()) {
    text += problem.file;
    if (problem.line != 0) text += ':' + std::to_string(problem.line);
    if (problem.line != 0 && problem.column != 0) text += ':' + std::to_string(problem.column);
    text += ": ";
  }
  text += word_of(problem.severity);
  text += ": " + problem.message;
  if (!problem.remedy.empty()) text += "; " + problem.remedy;
  if (!problem.code.empty()) text += " [" + problem.code + "]";
  return printable(text);  // ids and cells of the keeper's files stand in the message
}

}  // namespace doewright
