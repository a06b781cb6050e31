// SPDX-License-Identifier: MIT
#include <doewright/core/text.hpp>
#include <doewright/report/report.hpp>

#include "csv.hpp"
#include "pedigree_forms.hpp"

namespace doewright {

namespace {

void as_csv(Sink& out, const Herd& herd, const PedigreeReport& report) {
  out.write("place,id,name,born,sire_probability,inbreeding\n");
  CsvRow row;
  for (const PedigreePlace& place : report.places) {
    if (place.held.empty()) {
      row.text(place.place).blank().blank().blank().blank().blank().write(out);
    }
    for (std::size_t k = 0; k < place.held.size(); ++k) {
      const Animal animal = place.held[k].sire;
      row.text(place.place)
          .text(herd.ids[animal])
          .text(herd.animals.name[animal])
          .text(to_text(herd.animals.born[animal.position]))
          .number(place.held[k].probability)
          .number(place.inbreeding[k])
          .write(out);
    }
  }
}

}  // namespace

void report_pedigree(Sink& out, Format format, const Preamble& preamble, const Herd& herd,
                     const PedigreeReport& report) {
  switch (format) {
    case Format::json:
      return pedigree_as_json(out, preamble, herd, report);
    case Format::csv:
      return as_csv(out, herd, report);
    case Format::text:
      return pedigree_as_text(out, preamble, report, pedigree_words(preamble, herd, report));
    case Format::html:
      return pedigree_as_page(out, preamble, report, pedigree_words(preamble, herd, report));
  }
}

}  // namespace doewright
