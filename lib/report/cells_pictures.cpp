// SPDX-License-Identifier: MIT
// Small drawings on one of three scales: money from 0, chances from 0 to 100 %, inbreeding from 0
// to 50 %.
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

#include "cells_forms.hpp"
#include "pairing_text.hpp"
#include "pedigree_forms.hpp"

namespace doewright {

namespace {

constexpr double chance_wide = 200.0, chance_high = 14.0, chance_edge = 6.0;

/// Where on a drawing of `wide` the share of a scale lies.
double on_scale(double share, double wide) {
  return chance_edge + std::clamp(share, 0.0, 1.0) * (wide - 2.0 * chance_edge);
}

void track(HtmlWriter& html, double wide) {
  html.leaf("rect", {{"x", chance_edge},
                     {"y", 5.0},
                     {"width", wide - 2.0 * chance_edge},
                     {"height", 4.0},
                     {"class", "g-wool-dark"}});
}

void mean_at(HtmlWriter& html, double x) {
  html.leaf("circle", {{"cx", x}, {"cy", 7.0}, {"r", 4.0}, {"class", "g-paper s-ink mean"}});
}

/// Where on the scale of money an amount lies, 0 to 100.
std::size_t hundredth(const CellsLook& look, double amount) {
  const double share = (amount - look.lowest) / (look.highest - look.lowest);
  return static_cast<std::size_t>(std::lround(100.0 * std::clamp(share, 0.0, 1.0)));
}

void interval(HtmlWriter& html, double low, double mean, double high) {
  const auto svg = html.in("svg", {{"viewBox", {0, 0, chance_wide, chance_high}},
                                   {"class", "chance"},
                                   {"aria-hidden", "true"}});
  const double from = on_scale(low, chance_wide), to = on_scale(high, chance_wide);
  html.leaf("rect", {{"x", from},
                     {"y", 3.0},
                     {"width", std::max(1.0, to - from)},
                     {"height", 8.0},
                     {"class", "g-woad"}});
  mean_at(html, on_scale(mean, chance_wide));
}

void chance_axis(HtmlWriter& html) {
  const auto svg = html.in(
      "svg", {{"viewBox", {0, 0, chance_wide, 18}}, {"class", "chance"}, {"aria-hidden", "true"}});
  const auto tick = [&](double share, HtmlConst anchor, std::string_view said) {
    const double x = on_scale(share, chance_wide);
    html.leaf("path", {{"d", SvgPath().move(x, 13).down(18)}, {"class", "s-soft"}});
    html.element("text", {{"x", x}, {"y", 11.0}, {"text-anchor", anchor}, {"class", "t-soft tiny"}},
                 said);
  };
  tick(0.0, "start", "0");
  tick(0.5, "middle", "50");
  tick(1.0, "end", "100 %");
}

}  // namespace

void draw_weave(HtmlWriter& html, std::size_t weave) {
  const auto svg =
      html.in("svg", {{"viewBox", {0, 0, 26, 12}}, {"class", "swatch"}, {"aria-hidden", "true"}});
  if (weave < threads_most) {
    html.leaf("rect", {{"width", 26.0}, {"height", 12.0}, {"fill", "url(#weave", weave, ")"}});
  } else {
    html.leaf(
        "rect",
        {{"x", 0.5}, {"y", 0.5}, {"width", 25.0}, {"height", 11.0}, {"class", "g-wool s-soft"}});
  }
}

void draw_swatch(HtmlWriter& html, const CellsLook& look, std::size_t offer) {
  draw_weave(html, look.weave[offer]);
}

void draw_value(HtmlWriter& html, const CellsLook& look, double value) {
  html.element("span", {{"class", "bar v", hundredth(look, value), ""}}, "");
}

void add_value_sheet(HtmlSheet& sheet, const CellsLook& look) {
  sheet.count(".cells{--zero:", hundredth(look, 0.0), "%}");
  if (look.lowest < 0.0) {
    sheet.add(
        ".bar::after{content:\"\";position:absolute;top:-1px;bottom:-1px;left:var(--zero);"
        "border-left:1px solid var(--ink)}\n");
  }
  for (std::size_t k = 0; k <= 100; ++k) {
    sheet.count(".v", k, "{");
    sheet.count("--to:", k, "%}");
  }
}

void draw_parts(HtmlWriter& html, const CellsLook& look, const PairingAccount& pair) {
  const PairingMoney& m = *pair.money;
  struct Step {
    const char* name;
    double amount;
  };
  const Step steps[] = {{"kids", m.kids},
                        {"merit", m.merit},
                        {"inbreeding", m.inbreeding},
                        {"faults", m.faults},
                        {"if she stays open", m.open},
                        {"her cost", m.cost}};
  double at = 0.0, low = std::min(0.0, m.value), high = std::max(0.0, m.value);
  for (const Step& step : steps) {
    at += step.amount;
    low = std::min(low, at), high = std::max(high, at);
  }
  const double span = high > low ? high - low : 1.0, wide = 200.0;
  const auto x = [&](double amount) { return (amount - low) / span * wide; };
  const auto list = html.in("ul", {{"class", "parts"}});
  const auto line = [&](std::string_view name, double from, double to, std::string_view said,
                        HtmlConst look_of) {
    const auto item = html.in("li");
    html.element("span", name);
    {
      const auto svg = html.in("svg", {{"viewBox", {0, 0, wide, 10}},
                                       {"preserveAspectRatio", "none"},
                                       {"class", "step"},
                                       {"aria-hidden", "true"}});
      html.leaf("rect", {{"x", std::min(x(from), x(to))},
                         {"y", 1.0},
                         {"width", std::max(1.0, std::abs(x(to) - x(from)))},
                         {"height", 8.0},
                         {"class", look_of}});
    }
    html.element("span", {{"class", "amount"}}, said);
  };
  at = 0.0;
  for (const Step& step : steps) {
    if (std::abs(step.amount) < 0.5) continue;
    line(step.name, at, at + step.amount, (step.amount > 0 ? "+" : "") + fixed(step.amount, 0),
         step.amount > 0 ? HtmlConst("g-woad") : HtmlConst("g-soft"));
    at += step.amount;
  }
  line("worth", 0.0, m.value, cell_money(look.herd, m.value), "g-ink");
}

void draw_risks(HtmlWriter& html, const CellsLook& look, const PairingAccount& pair) {
  constexpr double too_small = 5e-4;  // as in the text
  const auto worth_saying = [&](const PairFault& fault) {
    return fault.risk.affected_high >= too_small || fault.risk.carrier.value_or(0.0) >= too_small;
  };
  if (std::none_of(pair.faults.begin(), pair.faults.end(), worth_saying)) {
    html.element("p", {{"class", "small"}}, "No fault reaches 1 in 2,000 kids.");
    return;
  }
  const auto list = html.in("ul", {{"class", "risks"}});
  {
    const auto axis = html.in("li", {{"class", "axis"}, {"aria-hidden", "true"}});
    html.element("span", "");
    chance_axis(html);
    html.element("span", {{"class", "t-soft"}}, "mean, and what it could be");
  }
  for (std::size_t f = 0; f < pair.faults.size(); ++f) {
    const PairFault& fault = pair.faults[f];
    if (!worth_saying(fault)) continue;
    const KidRisk& risk = fault.risk;
    const auto item = html.in("li");
    html.element("span", look.herd.faults[look.table.faults[f]].name);
    interval(html, risk.affected_low, risk.affected, risk.affected_high);
    std::string said = in_hundred(risk.affected) + " in 100";
    const std::string low = in_hundred(risk.affected_low), high = in_hundred(risk.affected_high);
    if (low != high) said += fmt::format(", could be {} to {}", low, high);
    if (std::abs(risk.affected_doe - risk.affected_buck) > 0.005) {
      said += fmt::format("; doe kids {}, buck kids {}", in_hundred(risk.affected_doe),
                          in_hundred(risk.affected_buck));
    }
    if (risk.any_in_litter >= too_small) {
      said += fmt::format("; one at least of her litter {}", in_hundred(risk.any_in_litter));
    }
    if (risk.carrier) said += fmt::format("; {} carry it unseen", in_hundred(*risk.carrier));
    if (fault.cost > 0.5) said += "; costs " + cell_money(look.herd, fault.cost);
    html.element("span", {{"class", "t-soft"}}, said);
  }
}

void draw_chance(HtmlWriter& html, double chance) {
  interval(html, 0.0, chance, chance);
}

void draw_readings(HtmlWriter& html, const PairingAccount& pair, std::string_view whose) {
  constexpr double wide = 240.0, most = 0.5;
  const KidInbreeding& f = pair.kid_inbreeding;
  const auto x = [&](double share) { return on_scale(share / most, wide); };
  const auto svg = html.in(
      "svg",
      {{"viewBox", {0, 0, wide, 31}},
       {"class", "readings"},
       {"role", "img"},
       {HtmlSaid::aria_label,
        fmt::format(
            "{}: inbreeding of a kid {} as recorded, {} to count on, {} at worst, on a scale "
            "from 0 to 50 per cent",
            whose, percent(f.as_recorded, 2), percent(f.used, 2), percent(f.worst, 2))}});
  track(html, wide);
  const double low = std::min({f.as_recorded, f.used, f.worst});
  const double high = std::max({f.as_recorded, f.used, f.worst});
  html.leaf("rect", {{"x", x(low)},
                     {"y", 3.0},
                     {"width", std::max(1.0, x(high) - x(low))},
                     {"height", 8.0},
                     {"class", "g-woad"}});
  mean_at(html, x(f.used));
  SvgPath ticks;
  for (const double share : {0.0, 0.125, 0.25, 0.5}) ticks.move(x(share), 12).down(17);
  html.leaf("path", {{"d", ticks}, {"class", "s-soft"}});
  const auto landmark = [&](double share, HtmlConst anchor, std::string_view name) {
    html.element("text",
                 {{"x", x(share)}, {"y", 28.0}, {"text-anchor", anchor}, {"class", "t-soft tiny"}},
                 name);
  };
  landmark(0.0, "start", "0");
  landmark(0.125, "middle", "half sibs");
  landmark(0.25, "middle", "full sibs");
  landmark(0.5, "end", "50 %");
}

}  // namespace doewright
