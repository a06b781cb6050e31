// SPDX-License-Identifier: MIT
#pragma once
/// The forms that the pedigree report takes.
#include "html_writer.hpp"
#include "pedigree_words.hpp"

namespace doewright {

void pedigree_as_text(Sink& out, const Preamble& preamble, const PedigreeReport& report,
                      const PedigreeWords& words);
void pedigree_as_json(Sink& out, const Preamble& preamble, const Herd& herd,
                      const PedigreeReport& report);
void pedigree_as_page(Sink& out, const Preamble& preamble, const PedigreeReport& report,
                      const PedigreeWords& words);

/// The chart as a drawing: the subject at left, older to the right, the sire's line above.
void draw_pedigree(HtmlWriter& html, const PedigreeReport& report, const PedigreeWords& words);
/// The rules of style of the page and of its chart.
void add_pedigree_sheet(HtmlSheet& sheet);
void add_chart_sheet(HtmlSheet& sheet);
/// As many weaves as there are dyes; further ancestors have a letter alone.
inline constexpr std::size_t threads_most = 4;
/// The weaves, for the marks and the band to fill with.
void weaves(HtmlWriter& html);
/// Class of the thread of a common ancestor. \pre mark < threads_most.
HtmlConst thread_class(std::size_t mark);
/// The sign of a common ancestor beside its letter; decorative.
void draw_mark(HtmlWriter& html, std::size_t mark, const std::string& letter, double x, double y);

}  // namespace doewright
