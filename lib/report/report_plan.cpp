// SPDX-License-Identifier: MIT
#include <doewright/report/season_reports.hpp>

#include "csv.hpp"
#include "plan_page.hpp"
#include "plan_words.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

void as_csv(Sink& out, const Herd& herd, const PairingTable& table, const SeasonPlan& plan) {
  out.write("doe,sire,value,fallback,settle_probability,reason\n");
  CsvRow row;
  auto pair = plan.pairings.begin();
  auto open = plan.open.begin();
  for (std::size_t d = 0; d < table.does.size(); ++d) {
    row.text(herd.ids[table.does[d].doe.doe]);
    if (pair != plan.pairings.end() && pair->doe == d) {
      const PairingAccount& account = account_of(table, *pair);
      row.text(herd.ids[account.pairing.sire]).number(account.money->value);
      pair->fallback ? row.text(herd.ids[table.sires[*pair->fallback].offer.sire]) : row.blank();
      row.number(account.settle_probability).text(pair_words(herd, table, plan, *pair));
      ++pair;
    } else {
      row.blank().blank().blank().blank().text(open_words(herd, table, plan, *open));
      ++open;
    }
    row.write(out);
  }
}

}  // namespace

void report_plan(Sink& out, Format format, const Preamble& preamble, const Herd& herd,
                 const PairingTable& table, const SeasonPlan& plan, const PlanDates& dates,
                 const EarlierPlan* since, std::span<const WorthOfKnowing> worth) {
  if (format == Format::html) {
    return plan_as_page(out, preamble, {herd, table, plan}, dates, since, worth);
  }
  if (format == Format::csv) return as_csv(out, herd, table, plan);
  if (format == Format::json) {
    return plan_as_json(out, preamble, herd, table, plan, dates, since, worth);
  }
  plan_as_text(out, preamble, herd, table, plan, dates, since, worth);
}

}  // namespace doewright
