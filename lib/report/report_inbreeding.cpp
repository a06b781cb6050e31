// SPDX-License-Identifier: MIT
#include <algorithm>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/report/report.hpp>

#include "csv.hpp"
#include "json_writer.hpp"
#include "page.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

void as_text(Sink& out, const Preamble& preamble, const Herd& herd,
             const InbreedingColumns& columns) {
  Page page(out, preamble.colour);
  const auto& f = columns.inbreeding;
  const auto inbred = static_cast<std::size_t>(
      std::count_if(f.begin(), f.end(), [](double each) { return each > 0.0; }));
  if (inbred == 0) {
    page.headline(fmt::format("{}None of {} animals is inbred as far as the book knows.",
                              set_aside_words(preamble), f.size()));
  } else {
    const auto most = static_cast<std::uint32_t>(std::max_element(f.begin(), f.end()) - f.begin());
    page.headline(fmt::format("{}{} of {} animals are inbred; most of all {}, {}.",
                              set_aside_words(preamble), inbred, f.size(),
                              long_name(herd, Animal{most}), percent(f[most], 2)));
  }
  page.paragraph(
      "Inbreeding is what the book shows: a floor where parents are not known. Generations: "
      "how many are known, counted together. Complete: share of both sides known over five "
      "generations, 0 % if a parent is missing.");
  page.blank();
  page.line(pad_right("animal", 36) + pad_left("inbreeding", 12) + pad_left("generations", 14) +
            pad_left("complete", 12));
  for (std::uint32_t i = 0; i < f.size(); ++i) {
    const std::string name = pad_right(cut_to_width(long_name(herd, Animal{i}), 36), 36);
    page.line(name + pad_left(percent(f[i], 2), 12) +
              pad_left(fixed(columns.generations[i], 2), 14) +
              pad_left(percent(columns.completeness[i], 0), 12));
  }
}

void as_json(Sink& out, const Preamble& preamble, const Herd& herd,
             const InbreedingColumns& columns) {
  JsonWriter json(out);
  begin_document(json, "doewright.inbreeding/1", preamble);
  json.key("animals");
  json.begin_list();
  for (std::uint32_t i = 0; i < columns.inbreeding.size(); ++i) {
    json.begin_object();
    json.field("id", herd.ids[Animal{i}]);
    json.field("inbreeding", columns.inbreeding[i]);
    json.field("generations", columns.generations[i]);
    json.field("completeness", columns.completeness[i]);
    json.end_object();
  }
  json.end_list();
  json.end_object();
  json.finish();
}

void as_csv(Sink& out, const Herd& herd, const InbreedingColumns& columns) {
  out.write("id,inbreeding,generations,completeness\n");
  CsvRow row;
  for (std::uint32_t i = 0; i < columns.inbreeding.size(); ++i) {
    row.text(herd.ids[Animal{i}])
        .number(columns.inbreeding[i])
        .number(columns.generations[i])
        .number(columns.completeness[i])
        .write(out);
  }
}

}  // namespace

void report_inbreeding(Sink& out, Format format, const Preamble& preamble, const Herd& herd,
                       const InbreedingColumns& columns) {
  switch (format) {
    case Format::json:
      return as_json(out, preamble, herd, columns);
    case Format::csv:
      return as_csv(out, herd, columns);
    case Format::text:
      return as_text(out, preamble, herd, columns);
    case Format::html:
      refuse_page("inbreeding");
  }
}

}  // namespace doewright
