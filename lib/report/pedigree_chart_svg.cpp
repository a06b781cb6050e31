// SPDX-License-Identifier: MIT
// The chart: columns go back in time, the sire's line in the upper half. An animal that makes part
// of the inbreeding wears a weave and a letter at each of its places, and a thread in the right
// margin joins these. Half-way up a card lies the border between its parents' halves, so a thread
// on its way to the margin runs between the older cards and never over one.
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

#include "chart_names.hpp"
#include "pedigree_forms.hpp"

namespace doewright {

namespace {

constexpr double chart_width = 1000.0;
constexpr double gutter = 26.0;
constexpr double head_height = 20.0;
constexpr double name_size = 14.0, text_size = 13.5;  ///< chart-name, chart-text of the sheet.
constexpr double line_high = 15.5;                    ///< Of a second line of a name.

struct ChartMeasure {
  int generations = 4;
  double margin = 0.0;  ///< Right of the oldest, for the threads.
  double subject_width = 132.0;
  double width = 0.0;  ///< Of a card of an ancestor.
  double row = 32.0;   ///< Of one of the oldest.

  double left(std::size_t generation) const {
    if (generation == 0) return 1.0;
    return 1.0 + subject_width + gutter +
           (width + gutter) * (static_cast<double>(generation) - 1.0);
  }
  double height() const { return head_height + row * std::pow(2.0, generations); }
  /// Middle of a place: its word read as a binary number, sire 0, dam 1.
  double middle(const std::string& place) const {
    double at = 0.5, half = 0.25;
    for (const char step : place) {
      at += step == 's' ? -half : half;
      half /= 2.0;
    }
    return head_height + at * (height() - head_height);
  }
  double card_height(std::size_t generation) const {
    const bool oldest = static_cast<int>(generation) == generations;
    return oldest ? row - 6.0 : std::max(row - 6.0, std::min(46.0, row * 2.0 - 8.0));
  }
};

ChartMeasure measure(const PedigreeReport& report, const PedigreeWords& words) {
  ChartMeasure m;
  m.generations = report.chart_generations;
  m.margin = 8.0 + 11.0 * static_cast<double>(std::min(threads_most, words.marks.size()));
  if (m.generations == 3) m.row = 48.0;
  if (m.generations == 5) m.row = 22.0, m.subject_width = 104.0;
  m.width = (chart_width - 2.0 - m.margin - m.subject_width - gutter * m.generations) /
            static_cast<double>(m.generations);
  return m;
}

class ChartDrawing {
 public:
  ChartDrawing(HtmlWriter& html, const PedigreeReport& report, const PedigreeWords& words)
      : html_(html), report_(report), words_(words), m_(measure(report, words)) {}

  void draw() {
    const auto svg = html_.in("svg", {{"viewBox", {0, 0, chart_width, m_.height()}},
                                      {"width", chart_width},
                                      {"height", m_.height()},
                                      {"role", "img"},
                                      {"aria-labelledby", "chart-title chart-words"}});
    html_.element(
        "title", {{"id", "chart-title"}},
        fmt::format("Pedigree of {}, {} generations", words_.title, report_.chart_generations));
    html_.element("desc", {{"id", "chart-words"}}, described());
    weaves(html_);
    heads();
    threads();
    branches();
    subject();
    for (const PedigreeCell& cell : words_.cells) card(cell);
  }

 private:
  std::string described() const {
    std::string text = words_.closeness + ". ";
    for (const PedigreeMark& mark : words_.marks) {
      if (!mark.letter.empty()) {
        text += fmt::format("{}, mark {}: {}. ", mark.name, mark.letter, mark.where);
      }
    }
    return text + "The same facts stand in the table under the chart.";
  }

  void heads() {
    static constexpr const char* names[] = {
        "", "Parents", "Grandparents", "Great-grandparents", "Great-great-gr.", "Fifth generation"};
    for (int g = 1; g <= m_.generations; ++g) {
      html_.element("text",
                    {{"x", m_.left(static_cast<std::size_t>(g))},
                     {"y", 12.0},
                     {"class", "t-soft chart-small"}},
                    drawn_to_fit(names[g], m_.width + gutter, 12.5));
    }
  }

  void threads() {
    for (std::size_t mark = 0; mark < std::min(threads_most, words_.marks.size()); ++mark) {
      const double rail = chart_width - m_.margin + 8.0 + 11.0 * static_cast<double>(mark);
      std::vector<std::pair<double, double>> ends;  // y on the rail, x at the card
      for (const PedigreeCell& cell : words_.cells) {
        if (std::find(cell.marks.begin(), cell.marks.end(), mark) == cell.marks.end()) continue;
        ends.emplace_back(m_.middle(cell.place), m_.left(cell.place.size()) + m_.width);
      }
      if (ends.size() < 2) continue;
      std::sort(ends.begin(), ends.end());
      SvgPath way;
      way.move(ends.front().second, ends.front().first).across(rail).down(ends.back().first);
      for (const auto& [y, x] : ends) way.move(x, y).across(rail);
      html_.leaf("path", {{"d", way}, {"class", thread_class(mark)}});
    }
  }

  void branches() {
    branch("", m_.left(0) + m_.subject_width, m_.middle(""));
    for (const PedigreeCell& cell : words_.cells) {
      if (static_cast<int>(cell.place.size()) < m_.generations) {
        branch(cell.place, m_.left(cell.place.size()) + m_.width, m_.middle(cell.place));
      }
    }
  }

  void branch(const std::string& kid, double x, double y) {
    SvgPath way;
    const double next = m_.left(kid.size() + 1), bend = x + (next - x) / 2.0;
    for (const char* step : {"s", "d"}) {
      const double to = m_.middle(kid + step), round = to < y ? 5.0 : -5.0;
      way.move(x, y).across(bend - 5.0).bend(bend, y, bend, y - round).down(to + round);
      way.bend(bend, to, bend + 5.0, to).across(next);
    }
    html_.leaf("path", {{"d", way}, {"class", "s-soft branch"}});
  }

  void subject() {
    const double size = name_size;
    const auto lines = drawn_lines(words_.title, m_.subject_width - 10.0, size, 4);
    const double more = line_high * (static_cast<double>(lines.size()) - 1.0);
    const double y = m_.middle(""), high = 46.0 + more;
    html_.leaf("rect", {{"x", m_.left(0)},
                        {"y", y - high / 2},
                        {"width", m_.subject_width},
                        {"height", high},
                        {"rx", 4.0},
                        {"class", "g-wool s-ink card"}});
    for (std::size_t k = 0; k < lines.size(); ++k) {
      html_.element("text",
                    {{"x", m_.left(0) + m_.subject_width / 2},
                     {"y", y + 5.0 - more / 2 + line_high * static_cast<double>(k)},
                     {"text-anchor", "middle"},
                     {"class", "t-ink chart-name"}},
                    lines[k]);
    }
  }

  void card(const PedigreeCell& cell) {
    const auto group = html_.in("g");
    html_.element("title", fmt::format("{} {} {}", cell.name, cell.detail, cell.found));
    const std::size_t g = cell.place.size();
    const double from = m_.left(g) + (cell.marks.empty() ? 9.0 : 31.0);
    const double to = m_.left(g) + m_.width - 7.0;
    // Where there is room above and below, a long name has a second line.
    const bool roomy = static_cast<int>(g) + 2 <= m_.generations && cell.recorded;
    const auto lines = drawn_lines(cell.name, to - from, name_size, roomy ? 2 : 1);
    const double more = line_high * (static_cast<double>(lines.size()) - 1.0);
    const double high = m_.card_height(g) + more;
    const double x = m_.left(g), y = m_.middle(cell.place) - high / 2;
    const bool doe = cell.place.back() == 'd';
    const HtmlConst look =
        cell.recorded ? HtmlConst("g-paper s-ink card") : HtmlConst("g-paper s-soft card blank");
    html_.leaf("rect", {{"x", x},
                        {"y", y},
                        {"width", m_.width},
                        {"height", high},
                        {"rx", doe ? std::min(11.0, high / 2) : 0.0},
                        {"class", look}});
    if (!cell.marks.empty()) {
      draw_mark(html_, cell.marks.front(), words_.marks[cell.marks.front()].letter, x + 4.0,
                y + high / 2 - 10.0);
    }
    if (lines.size() > 1) {
      const double first = y + m_.card_height(g) / 2 - 4.0;
      html_.element("text", {{"x", from}, {"y", first}, {"class", "t-ink chart-name"}}, lines[0]);
    }
    words_of(cell, lines.back(), from, to, y + more, high - more);
  }

  void words_of(const PedigreeCell& cell, const std::string& name_line, double from, double to,
                double y, double high) {
    const double size = text_size;
    const bool two_lines = high >= 36.0;
    double room = to - from;
    if (!cell.found.empty() && !two_lines) {
      html_.leaf("rect", {{"x", to - 9.0},
                          {"y", y + high / 2 - 5.0},
                          {"width", 10.0},
                          {"height", 10.0},
                          {"class", "g-ink"}});
      room -= 16.0;
    }
    if (!cell.recorded) {
      html_.element("text",
                    {{"x", from}, {"y", y + high / 2 + 4.5}, {"class", "t-soft chart-text"}},
                    drawn_to_fit(cell.name, room, size));
      return;
    }
    if (two_lines) {
      html_.element("text", {{"x", from}, {"y", y + high / 2 - 4.0}, {"class", "t-ink chart-name"}},
                    name_line);
      const std::string second = cell.found.empty() ? cell.detail : cell.found;
      double at = from;
      if (!cell.found.empty()) {
        html_.leaf("rect", {{"x", from},
                            {"y", y + high / 2 + 5.0},
                            {"width", 10.0},
                            {"height", 10.0},
                            {"class", "g-ink"}});
        at += 15.0;
      }
      html_.element("text",
                    {{"x", at}, {"y", y + high / 2 + 14.0}, {"class", "t-soft chart-small"}},
                    drawn_to_fit(second, to - at, 12.5));
      return;
    }
    const std::string name = drawn_to_fit(cell.name, room, size);
    const auto text =
        html_.in("text", {{"x", from}, {"y", y + high / 2 + 4.5}, {"class", "t-ink chart-text"}});
    html_.element("tspan", {{"class", "bold"}}, name);
    const double left = room - drawn_width(name + " ", size);
    if (!cell.detail.empty() && drawn_width(cell.detail, 12.5) <= left) {
      html_.element("tspan", {{"class", "t-soft chart-small"}}, " " + cell.detail);
    }
  }

  HtmlWriter& html_;
  const PedigreeReport& report_;
  const PedigreeWords& words_;
  ChartMeasure m_;
};

}  // namespace

void draw_pedigree(HtmlWriter& html, const PedigreeReport& report, const PedigreeWords& words) {
  ChartDrawing(html, report, words).draw();
}

}  // namespace doewright
