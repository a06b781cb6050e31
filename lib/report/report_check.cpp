// SPDX-License-Identifier: MIT
#include <map>
#include <utility>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/report/report.hpp>

#include "csv.hpp"
#include "json_writer.hpp"
#include "page.hpp"
#include "preamble.hpp"

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
  return "";
}

std::string counted(std::uint64_t count, std::string_view what) {
  if (count == 0) return fmt::format("no {}s", what);
  return fmt::format("{} {}{}", count, what, count == 1 ? "" : "s");
}

void write_problem(JsonWriter& json, const Problem& problem) {
  json.begin_object();
  json.field("file", problem.file);
  json.key("line");
  problem.line == 0 ? json.null() : json.count(problem.line);
  json.key("column");
  problem.column == 0 ? json.null() : json.count(problem.column);
  json.field("code", problem.code);
  json.key("animal");
  problem.animal.empty() ? json.null() : json.value(problem.animal);
  json.field("message", problem.message);
  json.field("remedy", problem.remedy);
  json.end_object();
}

void write_list(JsonWriter& json, std::string_view key, const CheckResult& result,
                Severity severity) {
  json.key(key);
  json.begin_list();
  for (const Problem& problem : result.problems) {
    if (problem.severity == severity) write_problem(json, problem);
  }
  json.end_list();
}

void as_json(Sink& out, const Preamble& preamble, const CheckResult& result) {
  JsonWriter json(out);
  begin_document(json, "doewright.check/1", preamble, false);
  json.field_count("errors_total", result.errors_total);
  json.field_count("warnings_total", result.warnings_total);
  json.field_count("questions_total", result.questions_total);
  write_list(json, "errors", result, Severity::error);
  write_list(json, "warnings", result, Severity::warning);
  write_list(json, "questions", result, Severity::question);
  json.end_object();
  json.finish();
}

void as_csv(Sink& out, const CheckResult& result) {
  out.write("severity,code,file,line,column,animal,message,remedy\n");
  CsvRow row;
  for (const Problem& p : result.problems) {
    row.text(word_of(p.severity)).text(p.code).text(p.file);
    p.line == 0 ? row.blank() : row.number(p.line);
    p.column == 0 ? row.blank() : row.number(p.column);
    row.text(p.animal).text(p.message).text(p.remedy).write(out);
  }
}

void as_text(Sink& out, const Preamble& preamble, const CheckResult& result) {
  Page page(out, preamble.colour);
  const std::string verdict = result.errors_total > 0 || !result.usable
                                  ? "The herd book needs repair"
                                  : "The herd book can be used";
  page.headline(fmt::format("{}{}: {}, {}, {}.", set_aside_words(preamble), verdict,
                            counted(result.errors_total, "error"),
                            counted(result.warnings_total, "warning"),
                            counted(result.questions_total, "question")));
  if (result.herd != nullptr) {
    const Herd& herd = *result.herd;
    std::string text =
        fmt::format("Read as of {}: {} animals, {} looks at faults", to_text(preamble.as_of),
                    herd.pedigree.size(), herd.examinations.size());
    if (herd.does_listed)
      text +=
          fmt::format(", {} put forward",
                      herd.does.size() == 1 ? "1 doe" : fmt::format("{} does", herd.does.size()));
    if (herd.sires_listed)
      text += fmt::format(", {} on offer", herd.sires.size() == 1
                                               ? "1 sire"
                                               : fmt::format("{} sires", herd.sires.size()));
    page.paragraph(text + ".");
  }
  const std::string list = complaints_as_text(result.problems);
  if (!list.empty()) {
    page.blank();
    out.write(list);
  }
}

}  // namespace

std::string complaints_as_text(std::span<const Problem> problems, bool errors_only) {
  std::map<std::pair<std::string, std::string>, std::size_t> all, shown;
  for (const Problem& problem : problems) ++all[{problem.code, problem.file}];
  std::string text;
  for (const Severity severity : {Severity::error, Severity::warning, Severity::question}) {
    if (errors_only && severity != Severity::error) continue;
    for (const Problem& problem : problems) {
      if (problem.severity != severity) continue;
      const std::pair key(problem.code, problem.file);
      const std::size_t count = ++shown[key];
      if (count > complaints_shown) continue;
      text += to_text(problem) + "\n";
      if (count == complaints_shown && all[key] > complaints_shown) {
        text += fmt::format("{}: and {} more [{}]\n", printable(problem.file),
                            all[key] - complaints_shown, problem.code);
      }
    }
  }
  return text;
}

void report_check(Sink& out, Format format, const Preamble& preamble, const CheckResult& result) {
  switch (format) {
    case Format::json:
      return as_json(out, preamble, result);
    case Format::csv:
      return as_csv(out, result);
    case Format::text:
      return as_text(out, preamble, result);
    case Format::html:
      refuse_page("check");
  }
}

}  // namespace doewright
