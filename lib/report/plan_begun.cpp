// SPDX-License-Identifier: MIT
#include "plan_begun.hpp"

#include <algorithm>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

#include "doe_now.hpp"
#include "plan_words.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

std::string joined(const std::vector<std::string>& parts) {
  std::string text;
  for (const std::string& part : parts) text += (text.empty() ? "" : "; ") + part;
  return text;
}

class BegunWords {
 public:
  explicit BegunWords(const PlanView& p) : p_(p) {
    const Offspring offspring(p.herd.pedigree);
    for (const DoeAccount& doe : p.table.does) {
      now_.push_back(doe_now(p.herd, offspring, doe.doe.doe));
    }
  }

  std::string first() const {
    std::vector<std::string> todo;
    bucks_to_doubt(todo);
    still_to_serve(todo);
    to_serve_again(todo);
    nobody_left(todo);
    return (todo.empty() ? "No doe is left to be put to a buck" : "Left to do: " + joined(todo)) +
           ".";
  }

  std::string rest() const { return to_test() + pens_without_end() + done(); }

 private:
  const DoeNow& now(std::size_t d) const { return now_[d]; }

  /// "Juno (found empty on 2026-11-20)", or the name alone.
  std::string named(std::size_t d) const {
    std::string why;
    if (now(d).is == DoeNowIs::found_empty) why = check_words(now(d).stands);
    if (now(d).is == DoeNowIs::back) why = "back in heat on " + to_text(*now(d).back_on);
    if (now(d).is == DoeNowIs::served) why = service_words(p_.herd, now(d));
    return p_.doe(d) + (why.empty() ? "" : " (" + why + ")");
  }

  void bucks_to_doubt(std::vector<std::string>& todo) const {
    for (const PlannedSire& sire : p_.plan.hired) {
      const InfertileOdds& odds = p_.table.sires[sire.sire].infertile;
      if (!odds.call_fallback) continue;
      todo.push_back(
          fmt::format("call the fallback buck, for {} of {} does that {} served came back",
                      odds.returned, odds.served, p_.sire(sire.sire)));
    }
  }

  void still_to_serve(std::vector<std::string>& todo) const {
    for (const PlannedSire& sire : p_.plan.hired) {
      std::vector<std::string> does;
      for (const PlannedPair& pair : p_.plan.pairings) {
        if (pair.sire == sire.sire && !pair.in_kid) does.push_back(named(pair.doe));
      }
      if (does.empty()) continue;
      todo.push_back(fmt::format("put {} to {}{}", listed_words(does), p_.sire(sire.sire),
                                 days_words(p_.table.sires[sire.sire])));
    }
  }

  std::string days_words(const SireAccount& sire) const {
    if (sire.to < sire.from) return {};
    if (sire.from > p_.herd.as_of) return ", with the does from " + to_text(sire.from);
    return ", until " + to_text(sire.to);
  }

  /// Of the does that stay with the sire who served them: back in heat, or found empty.
  void to_serve_again(std::vector<std::string>& todo) const {
    for (const PlannedPair& pair : p_.plan.pairings) {
      if (!pair.in_kid || left_alone(now(pair.doe))) continue;
      const SireAccount& sire = p_.table.sires[pair.sire];
      const bool test = now(pair.doe).is == DoeNowIs::found_empty;
      std::string text =
          fmt::format("{}{}: ", test ? "test again or put back " : "put back ", named(pair.doe));
      if (!days_over(p_.herd, sire)) {
        text += p_.sire(pair.sire) + " is to be had until " + to_text(sire.to);
      } else if (pair.fallback) {
        text += fmt::format("the days of {} are over, call {}", p_.sire(pair.sire),
                            p_.sire(*pair.fallback));
      } else {
        text += fmt::format("the days of {} are over, and nobody else on offer is left for her",
                            p_.sire(pair.sire));
      }
      todo.push_back(text);
    }
  }

  void nobody_left(std::vector<std::string>& todo) const {
    std::vector<std::string> nobody, others;
    for (const OpenDoe& open : p_.plan.open) {
      if (open.why == OpenWhy::on_hold) continue;
      if (left_alone(now(open.doe))) continue;
      (open.why == OpenWhy::nobody ? nobody : others).push_back(named(open.doe));
    }
    if (!nobody.empty()) {
      todo.push_back(fmt::format("find a buck for {}, or leave {} open: nobody on offer is left",
                                 listed_words(nobody), nobody.size() == 1 ? "her" : "them"));
    }
    if (!others.empty()) {
      todo.push_back(
          fmt::format("see to {}, left open for the reasons below", listed_words(others)));
    }
  }

  std::string to_test() const {
    std::vector<std::string> does;
    for (std::size_t d = 0; d < now_.size(); ++d) {
      if (now(d).is == DoeNowIs::served) does.push_back(p_.doe(d));
    }
    if (does.empty()) return {};
    return fmt::format("{} {} served and not checked yet: watch for a return, and test. ",
                       listed_words(does), does.size() == 1 ? "is" : "are");
  }

  /// A pen that goes on in the book after the last day of the buck.
  std::string pens_without_end() const {
    std::vector<std::string> does;
    for (const PlannedPair& pair : p_.plan.pairings) {
      const bool runs = pair.in_kid && pair.in_kid->with_buck && now(pair.doe).service &&
                        !now(pair.doe).service->to.known();
      if (runs && days_over(p_.herd, p_.table.sires[pair.sire])) does.push_back(p_.doe(pair.doe));
    }
    if (does.empty()) return {};
    return fmt::format(
        "The pen of {} has no last day in services.csv, though his days are over: write it down. ",
        listed_words(does));
  }

  std::string done() const {
    std::size_t served = 0, in_kid = 0;
    for (const DoeNow& each : now_) {
      served += each.is != DoeNowIs::unserved ? 1u : 0u;
      in_kid += each.is == DoeNowIs::found_in_kid ? 1u : 0u;
    }
    return fmt::format(
        "Done: {} served, {} of them found in kid. All costs {}, and the season is worth {}, each "
        "stay counted as written, whatever was seen since.",
        count_words(served), in_kid == 0 ? std::string("none") : std::to_string(in_kid),
        p_.money(p_.plan.cost), p_.money(money_of(p_.plan.choice.objective)));
  }

  const PlanView& p_;
  std::vector<DoeNow> now_;
};

}  // namespace

bool season_begun(const PlanView& p) {
  const Offspring offspring(p.herd.pedigree);
  const auto has_begun = [&](Animal sire) {
    return std::any_of(p.table.sires.begin(), p.table.sires.end(), [&](const SireAccount& his) {
      return his.offer.sire == sire && his.from <= p.herd.as_of;
    });
  };
  return std::any_of(p.table.does.begin(), p.table.does.end(), [&](const DoeAccount& doe) {
    const DoeNow now = doe_now(p.herd, offspring, doe.doe.doe);
    return now.service && has_begun(now.service->sire);
  });
}

std::string begun_first(const PlanView& p) {
  return BegunWords(p).first();
}

std::string begun_rest(const PlanView& p) {
  return BegunWords(p).rest();
}

std::string late_words(const PlanView& p) {
  const auto apart = static_cast<std::int32_t>(p.herd.season.papers.isolation_days);
  const Date earliest = p.herd.as_of + apart;
  std::string text;
  for (const PlannedSire& planned : p.plan.hired) {
    const SireAccount& sire = p.table.sires[planned.sire];
    if (sire.offer.terms != Terms::hired || sire.to < sire.from || sire.from >= earliest) continue;
    if (has_served(p, sire.offer.sire)) continue;
    text += fmt::format(
        " The worth counts {}'s stay as written, and that can no longer be had in full: {} days "
        "apart from today end on {}{}.",
        p.sire(planned.sire), apart, to_text(earliest),
        earliest > sire.to ? ", after his last day" : "");
  }
  return text;
}

}  // namespace doewright
