// SPDX-License-Identifier: MIT
#pragma once
/// The forms that the pedigree report takes.
#include "html_writer.hpp"
#include "pedigree_words.hpp"

namespace doewright {

void pedigree_as_text(Sink& out, const Preamble& preamble, const PedigreeReport& report,
                      const PedigreeWords& words);
void pedigree_as_page(Sink& out, const Preamble& preamble, const PedigreeReport& report,
                      const PedigreeWords& words);

/// The chart as a drawing: the subject at left, older to the right, the sire's line above.
void draw_pedigree(HtmlWriter& html, const PedigreeReport& report, const PedigreeWords& words);
/// Its own rules of style.
void add_chart_sheet(HtmlSheet& sheet);
/// The sign of a common ancestor beside its letter; decorative.
void draw_mark(HtmlWriter& html, std::size_t mark, const std::string& letter, double x, double y);

}  // namespace doewright
