// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <doewright/core/errors.hpp>
#include <doewright/core/text.hpp>
#include <doewright/herdbook/lists.hpp>
#include <doewright/herdbook/read.hpp>
#include <doewright/report/season_reports.hpp>
#include <doewright/season/plan.hpp>

#include "narrowed.hpp"
#include "session.hpp"

using namespace doewright;

namespace {

std::optional<EarlierPlan> earlier_plan(const std::string& file) {
  if (file.empty()) return std::nullopt;
  try {
    return read_earlier_plan(read_text_file(file));
  } catch (const NotFound& error) {
    throw Ending{status_wrong_command, error.what()};
  } catch (const UsageError& error) {
    throw Ending{status_outside_failed, fmt::format("{}: {}", printable(file), error.what())};
  }
}

SeasonPlan planned(const Herd& herd, const PairingTable& table, const Run& run) {
  try {
    return make_plan(herd, table, {}, run);
  } catch (const UsageError& error) {
    throw Ending{status_book_needs_repair,
                 fmt::format("{}; write prices and costs in a larger unit", error.what())};
  }
}

}  // namespace

/// `doewright plan HERD`.
Status run_plan(Session& session) {
  const std::optional<EarlierPlan> since = earlier_plan(session.line().since_file);
  const auto book = session.read_herd({.questions = false, .season_lists = true});
  Herd herd = *book;  // columns are shared or small beside the reading
  ScoreOptions narrow = narrowed(session, herd);
  narrow.days_left_only = true;
  narrow.other_prices = true;
  const Genetics genetics = session.genetics(herd);
  const PairingTable table = score(herd, genetics, narrow, session.run());
  session.tell("scored the pairs");
  const SeasonPlan plan = planned(herd, table, session.run());
  session.tell("made the plan");
  const PlanDates dates = plan_dates(herd, table, plan);
  std::vector<WorthOfKnowing> worth;
  if (!since && session.line().common.format != Format::csv) {
    worth = worth_of_knowing(herd, genetics, table, plan, {.seed = session.seed(), .effort = {}},
                             session.run());
    session.tell("asked what is worth finding out");
  }
  Preamble preamble = session.preamble(herd, InputsOf::rank);
  preamble.assumed = assumed_in(herd, table);
  session.answer([&](Sink& out) {
    report_plan(out, session.line().common.format, preamble, herd, table, plan, dates,
                since ? &*since : nullptr, worth);
  });
  return status_done;
}
