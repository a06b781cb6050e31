// SPDX-License-Identifier: MIT
// Wright's paths of a pair as threads: the sire at the left, the doe at the right, each common
// ancestor at the crest of a path of its own. One ancestor has one letter and one kind of line.
#include <algorithm>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

#include "cells_forms.hpp"
#include "chart_names.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

constexpr double paths_wide = 720.0, end_wide = 112.0, row_high = 62.0, card_high = 24.0;
constexpr std::size_t between_most = 5;  // more animals between the two are counted, not named

std::string cell_path_name(const Herd& herd, const std::optional<Animal>& animal) {
  return animal ? short_name(herd, *animal) : "a sire not on the list";
}

HtmlConst line_of(std::size_t letter) {
  switch (letter % 4) {
    case 0:
      return "s-ink thread";
    case 1:
      return "s-ink thread dashed";
    case 2:
      return "s-ink thread dotted";
    default:
      return "s-ink thread longdash";
  }
}

class PathDrawing {
 public:
  PathDrawing(HtmlWriter& html, const Herd& herd, const PairingAccount& pair)
      : html_(html), herd_(herd), pair_(pair) {
    for (const Path& path : pair.paths) {
      const std::string name = cell_path_name(herd, path.ancestor);
      if (std::find(ancestors_.begin(), ancestors_.end(), name) == ancestors_.end()) {
        ancestors_.push_back(name);
      }
    }
  }

  void draw() {
    const double high = 10.0 + row_high * static_cast<double>(pair_.paths.size());
    const std::string him = short_name(herd_, pair_.pairing.sire);
    const std::string her = short_name(herd_, pair_.pairing.doe);
    const auto scroll =
        html_.in("div", {{"class", "scroll"},
                         {"tabindex", "0"},
                         {"role", "region"},
                         {HtmlSaid::aria_label, fmt::format("Paths between {} and {}", him, her)}});
    const auto svg = html_.in("svg", {{"viewBox", {0, 0, paths_wide, high}},
                                      {"class", "paths"},
                                      {"role", "img"},
                                      {HtmlSaid::aria_label, described(him, her)}});
    for (std::size_t p = 0; p < pair_.paths.size(); ++p) thread(p, high / 2.0);
    card(0.0, high / 2.0 - 15.0, end_wide, 30.0, 0.0, him, "g-paper s-ink card",
         "t-ink chart-name");
    card(paths_wide - end_wide, high / 2.0 - 15.0, end_wide, 30.0, 11.0, her, "g-paper s-ink card",
         "t-ink chart-name");
  }

 private:
  std::string described(const std::string& him, const std::string& her) const {
    std::string text = fmt::format("How {} and {} are related. ", him, her);
    for (const Path& path : pair_.paths) {
      std::string chain;
      for (const Animal each : path.animals) {
        chain += (chain.empty() ? "" : ", ") + short_name(herd_, each);
      }
      text += fmt::format("Through {}: {}; adds {}. ", cell_path_name(herd_, path.ancestor), chain,
                          percent(path.contribution, 2));
    }
    return text;
  }

  std::size_t letter_of(const Path& path) const {
    const auto found =
        std::find(ancestors_.begin(), ancestors_.end(), cell_path_name(herd_, path.ancestor));
    return static_cast<std::size_t>(found - ancestors_.begin());
  }

  double round_of(std::optional<Animal> animal) const {
    if (!animal) return 4.0;
    const Sex sex = herd_.animals.sex[animal->position];
    return sex == Sex::doe ? 11.0 : sex == Sex::buck ? 0.0 : 4.0;
  }

  /// Places between the two: names where they fit, else the ancestor and a count on each side.
  struct Place {
    std::string said;
    double round = 0.0;
    bool crest = false, counted = false;
  };
  std::vector<Place> places_of(const Path& path) const {
    std::vector<Place> places;
    const std::size_t inner = path.animals.size() < 2 ? 0 : path.animals.size() - 2;
    const auto found = std::find_if(path.animals.begin(), path.animals.end(), [&](Animal each) {
      return path.ancestor && each == *path.ancestor;
    });
    const auto at = static_cast<std::size_t>(found - path.animals.begin());
    if (inner <= between_most) {
      for (std::size_t k = 1; k + 1 < path.animals.size(); ++k) {
        places.push_back({short_name(herd_, path.animals[k]), round_of(path.animals[k]), k == at});
      }
      return places;
    }
    const auto count = [&](std::size_t many) {
      if (many > 0) places.push_back({fmt::format("{} between", many), 0.0, false, true});
    };
    if (found == path.animals.end()) {
      count(inner);
      return places;
    }
    count(at > 1 ? at - 1 : 0);
    if (at > 0 && at + 1 < path.animals.size()) {
      places.push_back({short_name(herd_, path.animals[at]), round_of(path.animals[at]), true});
    }
    count(path.animals.size() - at > 2 ? path.animals.size() - at - 2 : 0);
    return places;
  }

  void thread(std::size_t p, double ends) {
    const Path& path = pair_.paths[p];
    const std::vector<Place> places = places_of(path);
    const double from = end_wide + 34.0, to = paths_wide - end_wide - 34.0;
    const double foot = 10.0 + row_high * (static_cast<double>(p) + 1.0) - 16.0;
    const double share = (to - from) / static_cast<double>(std::max<std::size_t>(1, places.size()));
    const double wide = std::min(118.0, share - 14.0);
    const auto crest = static_cast<std::size_t>(
        std::find_if(places.begin(), places.end(), [](const Place& each) { return each.crest; }) -
        places.begin());
    const auto level = [&](std::size_t k) {  // nearer to the ancestor is higher
      const std::size_t steps = crest == places.size() ? 0 : crest > k ? crest - k : k - crest;
      return foot - 22.0 + std::min(16.0, 8.0 * static_cast<double>(steps));
    };
    const auto middle = [&](std::size_t k) {
      return from + share * (static_cast<double>(k) + 0.5);
    };
    SvgPath way;
    way.move(end_wide, ends);
    double x = end_wide, y = ends;
    const auto go = [&](double next_x, double next_y) {
      const double half = (next_x - x) / 2.0;
      way.curve(x + half, y, next_x - half, next_y, next_x, next_y);
      x = next_x, y = next_y;
    };
    for (std::size_t k = 0; k < places.size(); ++k) {
      go(middle(k) - wide / 2.0, level(k));
      way.line(middle(k) + wide / 2.0, level(k));
      x = middle(k) + wide / 2.0;
    }
    if (places.empty()) go(paths_wide / 2.0, foot - 22.0);
    go(paths_wide - end_wide, ends);
    html_.leaf("path", {{"d", way}, {"class", line_of(letter_of(path))}});
    for (std::size_t k = 0; k < places.size(); ++k) {
      const Place& place = places[k];
      const HtmlConst look = place.crest     ? HtmlConst("g-wool s-ink card crest")
                             : place.counted ? HtmlConst("g-paper s-soft card blank")
                                             : HtmlConst("g-paper s-soft card");
      card(middle(k) - wide / 2.0, level(k) - card_high / 2.0, wide, card_high, place.round,
           place.said, look,
           place.crest ? HtmlConst("t-ink chart-text bold") : HtmlConst("t-ink chart-text"));
    }
    adds(path, places.empty() ? paths_wide / 2.0 : middle(std::min(crest, places.size() - 1)),
         places.empty() ? foot - 6.0
                        : level(std::min(crest, places.size() - 1)) + card_high / 2.0 + 13.0);
  }

  void adds(const Path& path, double x, double y) {
    std::string text = fmt::format("adds {}", percent(path.contribution, 2));
    const std::size_t letter = letter_of(path);
    const bool an_end = path.ancestor && (*path.ancestor == pair_.pairing.sire ||
                                          *path.ancestor == pair_.pairing.doe);
    if (an_end) {
      text = fmt::format("from {}: {}", short_name(herd_, *path.ancestor), text);
    } else if (ancestors_.size() > 1 && letter < 26) {
      text = fmt::format("{}: {}", static_cast<char>('A' + letter), text);
    }
    html_.element(
        "text",
        {{"x", x}, {"y", y}, {"text-anchor", "middle"}, {"class", "t-soft chart-small halo"}},
        text);
  }

  void card(double x, double y, double wide, double high, double round, const std::string& said,
            HtmlConst look, HtmlConst words) {
    html_.leaf("rect", {{"x", x + 1.0},
                        {"y", y},
                        {"width", wide - 2.0},
                        {"height", high},
                        {"rx", round},
                        {"class", look}});
    html_.element("text",
                  {{"x", x + wide / 2.0},
                   {"y", y + high / 2.0 + 4.7},
                   {"text-anchor", "middle"},
                   {"class", words}},
                  drawn_to_fit(said, wide - 12.0, 13.5));
  }

  HtmlWriter& html_;
  const Herd& herd_;
  const PairingAccount& pair_;
  std::vector<std::string> ancestors_;
};

}  // namespace

void draw_paths(HtmlWriter& html, const Herd& herd, const PairingAccount& pair) {
  if (!pair.paths.empty()) PathDrawing(html, herd, pair).draw();
}

}  // namespace doewright
