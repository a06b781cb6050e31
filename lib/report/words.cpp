// SPDX-License-Identifier: MIT
#include <doewright/report/words.hpp>

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/herd/alike_names.hpp>
#include <doewright/pairing/fitness.hpp>
#include <doewright/pairing/papers.hpp>
#include <doewright/pairing/reason_codes.hpp>
#include <doewright/pedigree/lineage.hpp>

#include "health_words.hpp"
#include "keep_sentences.hpp"

namespace doewright {

namespace {

using Words = std::string (*)(const Herd&, const Reason&);

std::string name(const Herd& herd, const Reason& r, std::size_t i) {
  return display_name(herd, r.animals.at(i));
}

double number(const Reason& r, std::size_t i) {
  return r.numbers.at(i);
}

/// Counts and places are whole but for uncertain sires: "2" or "2.5".
std::string count(double value) {
  return std::abs(value - std::round(value)) < 1e-9 ? fixed(value, 0) : fixed(value, 1);
}

std::string percent_of(double share) {
  return percent(share, 2);
}

std::string whose(const Herd& herd, Animal animal) {
  switch (sex_or_use(herd, animal)) {
    case Sex::doe:
      return "her";
    case Sex::buck:
    case Sex::wether:
      return "his";
    default:
      return "its";
  }
}

std::string fault_name(const Herd& herd, const Reason& r) {
  return herd.faults.at(static_cast<std::size_t>(number(r, 0))).name;
}

std::string kin_ancestor(const Herd& herd, const Reason& r) {
  const auto his = place_of(herd.pedigree, r.animals.at(0), r.animals.at(2));
  const auto hers = place_of(herd.pedigree, r.animals.at(1), r.animals.at(2));
  return fmt::format("both go back to {}, his {} and her {}: {} of the kid's inbreeding",
                     name(herd, r, 2), place_in_words(his.value_or("")),
                     place_in_words(hers.value_or("")), percent_of(number(r, 0)));
}

std::string kin_unlisted(const Herd&, const Reason& r) {
  return fmt::format("both go back to an uncertain sire who is not on the list: {}",
                     percent_of(number(r, 0)));
}

std::string kin_parent(const Herd& herd, const Reason& r) {
  const bool father = sex_or_use(herd, r.animals.at(0)) != Sex::doe;
  return fmt::format("{} is {} own {}: a kid would be inbred {}", name(herd, r, 0),
                     whose(herd, r.animals.at(1)), father ? "sire" : "dam",
                     percent_of(number(r, 0)));
}

std::string kin_none(const Herd&, const Reason& r) {
  return fmt::format(
      "no common ancestor found; of 14 ancestors to three generations {} of his and {} "
      "of hers are known",
      count(number(r, 0)), count(number(r, 1)));
}

std::string kin_blanks(const Herd&, const Reason& r) {
  return fmt::format("{} of his pedigree to five generations is known; the blanks count for {}",
                     percent(number(r, 0), 0), percent_of(number(r, 1)));
}

std::string kin_limit(const Herd&, const Reason& r) {
  static constexpr std::array<const char*, 3> step = {"a note", "caution", "avoid"};
  return fmt::format("count on {} inbreeding: at or above the limit for {} of {}",
                     percent_of(number(r, 0)), step.at(static_cast<std::size_t>(number(r, 2))),
                     percent_of(number(r, 1)));
}

std::string kin_worst(const Herd&, const Reason& r) {
  return fmt::format("if what is not recorded turned out worst: {}", percent_of(number(r, 0)));
}

std::string polled_pair(const Herd&, const Reason&) {
  return "both are polled: one doe kid in four may be intersex and barren, one in two if he "
         "carries "
         "polled twice; one parent must be horned as born";
}

std::string horns_unknown(const Herd& herd, const Reason& r) {
  std::string who = name(herd, r, 0);
  if (r.animals.size() > 1) who += " and of " + name(herd, r, 1);
  return fmt::format("horns as born of {} not recorded: polled to polled risks intersex doe kids",
                     who);
}

std::string not_sires(const Herd& herd, const Reason& r) {
  return fmt::format("your own list keeps {} from {}", name(herd, r, 1), name(herd, r, 0));
}

std::string sire_gone(const Herd& herd, const Reason& r) {
  return fmt::format("{} has left the herd: only semen of his could be used (terms semen)",
                     name(herd, r, 0));
}

std::string on_hold(const Herd& herd, const Reason& r) {
  return fmt::format("{} is on hold this season", name(herd, r, 0));
}

std::string papers_missing(const Herd&, const Reason& r) {
  return fmt::format("{} of {} health papers not in order: ask for them before he comes",
                     count(number(r, 0)), count(number(r, 1)));
}

/// "Johne's of Alder: positive, 2026-07-01: ask your veterinarian".
std::string health_positive(const Herd& herd, const Reason& r) {
  const auto found = positives(herd, r.animals.at(0));
  const auto index = static_cast<std::size_t>(number(r, 0));
  if (index >= found.size()) {
    return fmt::format("a health test of {} is not plainly negative: ask your veterinarian", name(herd, r, 0));
  }
  return fmt::format("{}: ask your veterinarian", positive_words(found[index]));
}

std::string young_sire(const Herd& herd, const Reason& r) {
  return fmt::format("{} is only {} months old when he starts: a buck kid, few does, watch him",
                     name(herd, r, 0), count(number(r, 0)));
}

std::string thin_papers(const Herd& herd, const Reason& r) {
  return fmt::format("{} of the two parents of {} is known: ask for his papers",
                     number(r, 0) < 0.5 ? "neither" : count(number(r, 0)), name(herd, r, 0));
}

std::string fault_own(const Herd& herd, const Reason& r) {
  return fmt::format("{} shows it: {}", name(herd, r, 0), fault_name(herd, r));
}

std::string fault_sire(const Herd& herd, const Reason& r) {
  return fmt::format("{} sire {} showed it: {}", whose(herd, r.animals.at(0)), name(herd, r, 1),
                     fault_name(herd, r));
}

std::string fault_dam(const Herd& herd, const Reason& r) {
  return fmt::format("{} dam {} showed it: {}", whose(herd, r.animals.at(0)), name(herd, r, 1),
                     fault_name(herd, r));
}

std::string fault_kids(const Herd& herd, const Reason& r) {
  const double not_looked = number(r, 3) - number(r, 2);
  std::string text =
      fmt::format("{}: found in {} of {} {} examined kids", fault_name(herd, r),
                  count(number(r, 1)), whose(herd, r.animals.at(0)), count(number(r, 2)));
  if (not_looked > 0.5) text += fmt::format(" ({} more not looked at)", count(not_looked));
  return text;
}

std::string fault_elsewhere(const Herd& herd, const Reason& r) {
  return fmt::format("{}: found in {} of {} of {} kids elsewhere", fault_name(herd, r),
                     count(number(r, 1)), count(number(r, 2)), whose(herd, r.animals.at(0)));
}

std::string fault_told(const Herd& herd, const Reason& r) {
  return fmt::format("{}: {} of {} of {} kids elsewhere, by the owner's word only",
                     fault_name(herd, r), count(number(r, 1)), count(number(r, 2)),
                     whose(herd, r.animals.at(0)));
}

std::string fault_carrier(const Herd& herd, const Reason& r) {
  return fmt::format("{} {} {} by gene test", name(herd, r, 0),
                     number(r, 1) > 1.5 ? "has two copies of" : "carries", fault_name(herd, r));
}

/// "1 in 5"; under one in a hundred "4 in 1,000"; from one in two on "2 in 3", "9 in 10".
std::string chance_words(double p) {
  if (p <= 0.0) return "0";
  if (p >= 0.995) return "nearly all";
  if (p < 0.0005) return "under 1 in 2,000";
  if (p < 0.01) return fmt::format("{} in 1,000", std::max(1, static_cast<int>(std::lround(1000 * p))));
  if (p <= 0.4) return fmt::format("1 in {}", static_cast<int>(std::lround(1.0 / p)));
  return fmt::format("{} in 10", static_cast<int>(std::lround(10 * p)));
}

std::string hundred(double p) {
  return p > 0.0 && p < 0.01 ? "under 1" : fixed(100.0 * p, 0);
}

/// Of a chance that was drawn: two standard errors, never less than they are.
std::string drawn_words(double standard_error) {
  if (standard_error < 0.0025) return {};
  return fmt::format(" (sampled: give or take {:.0f} in 100)", std::ceil(200.0 * standard_error));
}

std::string fault_risk(const Herd& herd, const Reason& r) {
  std::string known;
  const auto add = [&](const std::string& text) { known += (known.empty() ? "" : "; ") + text; };
  if (number(r, 6) > 0.5) {
    add(fmt::format("{} of his {} examined kids had it", count(number(r, 5)), count(number(r, 6))));
  }
  if (number(r, 7) > 0.5) add("he has it himself");
  if (number(r, 10) > 0.5) add("his dam has it");
  if (number(r, 11) > 0.5) add("nothing known of him");
  if (number(r, 12) >= 0.05 && number(r, 7) <= 0.5) {  // less says no more than the chance itself
    add(fmt::format("{} in 100 that he carries it, by the records of his kin", hundred(number(r, 12))));
  }
  if (number(r, 8) > 0.5) add("she has it herself");
  if (number(r, 9) > 0.5) add("her dam has it");
  const std::string low = chance_words(number(r, 2)), high = chance_words(number(r, 3));
  std::string text = fault_name(herd, r) + ": " + known + (known.empty() ? "" : ": ");
  const std::string chance = chance_words(number(r, 1));
  text += fmt::format("{}{} of their kids", chance.starts_with("under") ? "" : "about ", chance);
  if (low != high) text += fmt::format(", between {} and {}", low, high);
  return text + drawn_words(number(r, 13));
}

std::string fault_any_buck(const Herd& herd, const Reason& r) {
  if (number(r, 3) <= 0.0) {  // 19 of 20 such pairs give none: a range of 0 to 0 would read as good news
    return fmt::format("{}: nothing known of him: {} in 100, as any buck; more if both carry it",
                       fault_name(herd, r), hundred(number(r, 1)));
  }
  return fmt::format("{}: nothing known of him: {} in 100, as any buck; could be {} to {}",
                     fault_name(herd, r), hundred(number(r, 1)), hundred(number(r, 2)),
                     hundred(number(r, 3)));
}

std::string fault_lethal(const Herd& herd, const Reason& r) {
  return fmt::format("{}: {} in 100 of their kids would die of it{}; the limit for {} is {} in 100",
                     fault_name(herd, r), fixed(100.0 * number(r, 1), number(r, 1) < 0.1 ? 1 : 0),
                     drawn_words(number(r, 4)), number(r, 3) > 1.5 ? "avoid" : "caution",
                     fixed(100.0 * number(r, 2), 0));
}

std::string told_heard(const Herd& herd, const Reason& r) {
  return fmt::format("{}: {} in 100 without the owner's word, {} in 100 with it: the worse counts",
                     fault_name(herd, r), fixed(100.0 * number(r, 1), 1),
                     fixed(100.0 * number(r, 2), 1));
}

std::string merit_gain(const Herd& herd, const Reason& r) {
  const Trait& trait = herd.traits.at(static_cast<std::size_t>(number(r, 0)));
  return fmt::format("{}: their kids {}{} {} of the founders' mean: {}{} {} a doe", trait.name,
                     fixed(std::abs(number(r, 1)), 2), trait.unit.empty() ? "" : " " + trait.unit,
                     number(r, 1) < 0.0 ? "short" : "ahead", number(r, 2) < 0.0 ? "-" : "+",
                     fixed(std::abs(number(r, 2)), 0), herd.season.currency);
}

std::string inbreeding_costs(const Herd& herd, const Reason& r) {
  return fmt::format("inbreeding of {} costs about {} {} a doe in growth and milk",
                     percent_of(number(r, 0)), fixed(number(r, 1), 1), herd.season.currency);
}

std::string fault_both_carry(const Herd& herd, const Reason& r) {
  // Mendel: two carriers give one kid in four with two copies, a carrier and a double one in two,
  // two doubles all.
  const double copies = number(r, 1) + number(r, 2);
  const char* share = copies < 2.5   ? "one kid in four"
                      : copies < 3.5 ? "one kid in two"
                                     : "every kid";
  return fmt::format("both carry {} by gene test: {} gets two copies{}", fault_name(herd, r), share,
                     number(r, 3) > 0.5 ? " and dies of it" : "");
}

std::string fault_not_looked(const Herd& herd, const Reason& r) {
  return fmt::format("{}: nobody has looked at {}, {} parents or {} kids", fault_name(herd, r),
                     name(herd, r, 0), whose(herd, r.animals.at(0)), whose(herd, r.animals.at(0)));
}

std::string sire_unproven(const Herd& herd, const Reason& r) {
  return fmt::format("{} is unproven: no kid in the book and none settled elsewhere",
                     name(herd, r, 0));
}

std::string locked(const Herd& herd, const Reason& r) {
  return fmt::format("you have set {} for {} yourself", name(herd, r, 1), name(herd, r, 0));
}

std::string doe_fit(const Herd&, const Reason&) {
  return "nothing recorded speaks against it";
}

std::string doe_decided(const Herd&, const Reason& r) {
  static constexpr std::array<const char*, 3> words = {"go", "wait", "no"};
  return fmt::format("your own decision: {}", words.at(static_cast<std::size_t>(number(r, 0))));
}

std::string doe_gone(const Herd&, const Reason&) {
  return "she has left the herd";
}

std::string doe_young(const Herd&, const Reason& r) {
  return fmt::format("{} months old at the youngest when she could be served; {} are wanted",
                     count(std::max(0.0, number(r, 0))), count(number(r, 1)));
}

std::string doe_light(const Herd&, const Reason& r) {
  return fmt::format("{} of her grown weight; {} is wanted, that is {} kg",
                     percent(number(r, 0), 0), percent(number(r, 1), 0), fixed(number(r, 2), 1));
}

std::string doe_weigh(const Herd&, const Reason&) {
  return "young, and her weight is not recorded: weigh her";
}

std::string doe_grown_unknown(const Herd&, const Reason&) {
  return "young, and what she will weigh grown is not recorded: set grown_weight_kg";
}

std::string doe_age_unknown(const Herd&, const Reason&) {
  return "never kidded, and her age is not recorded";
}

std::string doe_thin(const Herd&, const Reason& r) {
  return fmt::format("thin: condition {}, {} is wanted", fixed(number(r, 0), 1),
                     fixed(number(r, 1), 1));
}

std::string doe_fat(const Herd&, const Reason& r) {
  return fmt::format("fat: condition {}, at most {} is wanted", fixed(number(r, 0), 1),
                     fixed(number(r, 1), 1));
}

std::string doe_rest(const Herd&, const Reason& r) {
  return fmt::format("only {} of {} days of rest since she kidded: until {}", count(number(r, 0)),
                     count(number(r, 1)),
                     day_in_words(Date{static_cast<std::int32_t>(number(r, 2))}));
}

std::string doe_hard_help(const Herd&, const Reason& r) {
  return fmt::format("needed hard help at {} of {} kiddings: ask a veterinarian before she is bred",
                     count(number(r, 0)), count(number(r, 1)));
}

std::string ask_parents(const Herd& herd, const Reason& r) {
  static constexpr std::array<const char*, 4> who = {"are the parents", "is the sire", "is the dam",
                                                     "are the sire and dam"};
  return fmt::format("who {} of {}?", who.at(static_cast<std::size_t>(number(r, 0)) & 3u),
                     name(herd, r, 0));
}

std::string ask_complete(const Herd& herd, const Reason& r) {
  return fmt::format("is the pedigree of {} complete, with nobody left out?", name(herd, r, 0));
}

std::string ask_horns(const Herd& herd, const Reason& r) {
  return fmt::format("was {} born with horns?", name(herd, r, 0));
}

std::string ask_worst(const Herd& herd, const Reason& r) {
  return fmt::format("is {} the {} of {}? Then a kid would be inbred {}", name(herd, r, 1),
                     number(r, 0) > 0.5 ? "dam" : "sire", name(herd, r, 0),
                     percent_of(number(r, 1)));
}

std::string ask_kids_fault(const Herd& herd, const Reason& r) {
  return fmt::format(
      "has anybody looked at {}, {} dam or {} kids for {}: how many, and how many had "
      "it?",
      name(herd, r, 0), whose(herd, r.animals.at(0)), whose(herd, r.animals.at(0)),
      fault_name(herd, r));
}

std::string ask_gene_test(const Herd& herd, const Reason& r) {
  return fmt::format("was {} tested for {}? {} very likely carries it: if he does too, one kid in four {}",
                     name(herd, r, 0), fault_name(herd, r), name(herd, r, 1),
                     number(r, 1) > 0.5 ? "dies of it" : "gets two copies");
}

std::string ask_would_lead(const Herd& herd, const Reason& r) {
  const double kids = number(r, 1);
  if (kids < 1.0) {
    return fmt::format("if a gene test of {} for {} read clear, he would come first for {}",
                       name(herd, r, 0), fault_name(herd, r), name(herd, r, 1));
  }
  const bool one = kids < 2.0;
  return fmt::format(
      "if {:.0f} more kid{} of {} {} looked at for {} and {}, he would come first for {}", kids,
      one ? "" : "s", name(herd, r, 0), one ? "was" : "were", fault_name(herd, r),
      one ? "did not have it" : "none had it", name(herd, r, 1));
}

std::string ask_one_animal(const Herd& herd, const Reason& r) {
  const std::string shared = name_in_common(herd, r.animals.at(0), r.animals.at(1));
  std::string text = fmt::format("{} and {} {}: one animal?", name(herd, r, 0), name(herd, r, 1),
                                 shared.empty() ? "are written alike" : "share " + shared);
  if (number(r, 0) < 0.0) return text;
  return text + fmt::format(" Then kids would be inbred {}{}", number(r, 1) > 0.5 ? "up to " : "",
                            percent(number(r, 0), 1));
}

std::string ask_paper(const Herd& herd, const Reason& r) {
  const auto paper = static_cast<std::size_t>(number(r, 0));
  const auto& required = herd.season.papers.required;
  return fmt::format("is there a dated {} test of {}, taken at six months of age or later?",
                     paper < required.size() ? required[paper] : "health", name(herd, r, 0));
}

struct Entry {
  std::string_view code;
  Words words;
};

constexpr std::array entries = {
    Entry{reason::kin_ancestor, kin_ancestor},
    Entry{reason::kin_unlisted, kin_unlisted},
    Entry{reason::kin_parent, kin_parent},
    Entry{reason::kin_none, kin_none},
    Entry{reason::kin_blanks, kin_blanks},
    Entry{reason::kin_limit, kin_limit},
    Entry{reason::kin_worst, kin_worst},
    Entry{reason::polled_pair, polled_pair},
    Entry{reason::horns_unknown, horns_unknown},
    Entry{reason::not_sires, not_sires},
    Entry{reason::sire_gone, sire_gone},
    Entry{reason::on_hold, on_hold},
    Entry{reason::papers_missing, papers_missing},
    Entry{reason::health_positive, health_positive},
    Entry{reason::young_sire, young_sire},
    Entry{reason::thin_papers, thin_papers},
    Entry{reason::fault_risk, fault_risk},
    Entry{reason::fault_any_buck, fault_any_buck},
    Entry{reason::fault_lethal, fault_lethal},
    Entry{reason::told_heard, told_heard},
    Entry{reason::merit_gain, merit_gain},
    Entry{reason::inbreeding_costs, inbreeding_costs},
    Entry{reason::fault_own, fault_own},
    Entry{reason::fault_sire, fault_sire},
    Entry{reason::fault_dam, fault_dam},
    Entry{reason::fault_kids, fault_kids},
    Entry{reason::fault_elsewhere, fault_elsewhere},
    Entry{reason::fault_told, fault_told},
    Entry{reason::fault_carrier, fault_carrier},
    Entry{reason::fault_both_carry, fault_both_carry},
    Entry{reason::fault_not_looked, fault_not_looked},
    Entry{reason::sire_unproven, sire_unproven},
    Entry{reason::locked, locked},
    Entry{reason::doe_fit, doe_fit},
    Entry{reason::doe_decided, doe_decided},
    Entry{reason::doe_gone, doe_gone},
    Entry{reason::doe_young, doe_young},
    Entry{reason::doe_light, doe_light},
    Entry{reason::doe_weigh, doe_weigh},
    Entry{reason::doe_grown_unknown, doe_grown_unknown},
    Entry{reason::doe_age_unknown, doe_age_unknown},
    Entry{reason::doe_thin, doe_thin},
    Entry{reason::doe_fat, doe_fat},
    Entry{reason::doe_rest, doe_rest},
    Entry{reason::doe_hard_help, doe_hard_help},
    Entry{reason::ask_parents, ask_parents},
    Entry{reason::ask_complete, ask_complete},
    Entry{reason::ask_horns, ask_horns},
    Entry{reason::ask_worst, ask_worst},
    Entry{reason::ask_kids_fault, ask_kids_fault},
    Entry{reason::ask_gene_test, ask_gene_test},
    Entry{reason::ask_would_lead, ask_would_lead},
    Entry{reason::ask_one_animal, ask_one_animal},
    Entry{reason::ask_paper, ask_paper},
};

}  // namespace

std::string sentence(const Herd& herd, const Reason& reason) {
  for (const Entry& entry : entries) {
    if (entry.code == reason.code) return entry.words(herd, reason);
  }
  return keep_sentence(herd, reason);
}

std::string place_in_words(std::string_view place) {
  if (place.empty()) return "self";
  const bool buck = place.back() == 's';
  if (place.size() == 1) return buck ? "sire" : "dam";
  if (place.size() <= 4) {
    std::string words;
    for (std::size_t i = 2; i < place.size(); ++i) words += "great-";
    return words + (buck ? "grandsire" : "granddam");
  }
  return fmt::format("{} {} generations back", buck ? "forefather" : "foremother", place.size());
}

std::string day_in_words(Date date) {
  static constexpr std::array<const char*, 12> months = {
      "January", "February", "March",     "April",   "May",      "June",
      "July",    "August",   "September", "October", "November", "December"};
  const CalendarDay day = calendar_day(date);
  return fmt::format("{} {} {}", day.day, months.at(day.month - 1), day.year);
}

}  // namespace doewright
