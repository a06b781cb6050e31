// SPDX-License-Identifier: MIT
#include "owner_words.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/report/words.hpp>

#include "preamble.hpp"

namespace doewright {

namespace {

std::string plural(double number, std::string_view one, std::string_view many) {
  return std::string(std::abs(number - 1.0) < 1e-9 ? one : many);
}

std::string of_kiddings(const KidTally& tally, std::uint32_t kiddings) {
  if (kiddings == 0) return "no kidding";
  if (tally.not_recorded == 0) {
    return fmt::format("{} kidding{}", kiddings, kiddings == 1 ? "" : "s");
  }
  return fmt::format("{} of {} kiddings; {} not recorded", kiddings - tally.not_recorded, kiddings,
                     tally.not_recorded);
}

std::string tally_words(const KidTally& tally, std::uint32_t kiddings) {
  if (kiddings > 0 && tally.not_recorded == kiddings) return "not recorded";
  return number_of_kids(tally.kids);
}

/// "4: 2 in kid, 1 empty, 1 unclear" of the does tested.
std::string tests_in_words(const OwnerReport& report) {
  std::uint32_t in_kid = 0, empty = 0;
  for (const PutToHim& put : report.put) {
    if (!put.tested) continue;
    if (put.found_in_kid) {
      ++in_kid;
    } else if (put.found_empty) {
      ++empty;
    }
  }
  const std::uint32_t unclear = report.tested - in_kid - empty;
  std::string words = fmt::format("{} in kid, {} empty", in_kid, empty);
  if (unclear > 0) words += fmt::format(", {} unclear", unclear);
  return words;
}

OwnerTable counts_of(const OwnerReport& r) {
  OwnerTable table{{"what", "number", "of what"}, {}};
  const auto add = [&](std::string what, std::string number, std::string of) {
    table.rows.push_back({std::move(what), std::move(number), std::move(of)});
  };
  const std::string of_served = fmt::format("{} served", r.served);
  add("does served", std::to_string(r.served),
      r.not_written == 0 ? "every service written down"
                         : fmt::format("{} without a service written down", r.not_written));
  add("tested for kids", std::to_string(r.tested),
      r.tested == 0 ? of_served : of_served + ": " + tests_in_words(r));
  add("settled", std::to_string(r.settled),
      of_served + (r.too_early == 0 ? "" : fmt::format("; {} too early to tell", r.too_early)));
  add("kidded", std::to_string(r.kidded), of_served);
  add("kids born", tally_words(r.born, r.kidded), of_kiddings(r.born, r.kidded));
  add("born alive", tally_words(r.alive, r.kidded), of_kiddings(r.alive, r.kidded));
  add("raised", tally_words(r.raised, r.kidded), of_kiddings(r.raised, r.kidded));
  const std::string of_kids = fmt::format("{} in the book", number_of_kids(r.kids));
  add("kids looked at", number_of_kids(r.examined), of_kids + ", for one fault at least");
  add("kids not looked at", number_of_kids(r.not_examined), of_kids);
  if (r.kids > 0.0) {
    const double not_known = r.kids - r.doe_kids - r.buck_kids - r.intersex_kids;
    std::string sexes = fmt::format("{} in the book", number_of_kids(r.kids));
    if (r.intersex_kids > 0.0) {
      sexes += fmt::format("; intersex {}", number_of_kids(r.intersex_kids));
    }
    if (not_known > 1e-9) sexes += fmt::format("; sex not recorded {}", number_of_kids(not_known));
    add("doe kids / buck kids", number_of_kids(r.doe_kids) + " / " + number_of_kids(r.buck_kids),
        sexes);
    add("still here / sold", number_of_kids(r.here) + " / " + number_of_kids(r.sold),
        fmt::format("slaughtered {}, died {}, other {}", number_of_kids(r.slaughtered),
                    number_of_kids(r.died), number_of_kids(r.left_otherwise)));
  }
  return table;
}

OwnerTable looks_of(const Herd& herd, const OwnerReport& report) {
  OwnerTable table{{"fault", "found", "looked at", "not looked at"}, {}};
  for (const OwnerLook& look : report.looks) {
    std::string grades;
    for (const OwnerFinding& finding : report.findings) {
      if (finding.fault != look.fault) continue;
      grades += fmt::format("{}{} {}", grades.empty() ? "" : ", ", number_of_kids(finding.count),
                            grade_found(herd, finding));
    }
    table.rows.push_back({printable(herd.faults[look.fault].name), grades.empty() ? "0" : grades,
                          number_of_kids(look.examined),
                          number_of_kids(std::max(0.0, report.kids - look.examined))});
  }
  return table;
}

std::string outcome(const PutToHim& put) {
  if (put.kidded) {
    std::string text = "kidded " + (put.kidding.known() ? to_text(put.kidding) : "(no date)");
    if (put.by == HisBy::served_alone) return text + ", sire not written down";
    if (put.share < 1.0) text += fmt::format(", his by {}", percent(put.share, 0));
    return text;
  }
  if (put.settled) return "in kid by a check";
  if (put.found_in_kid) return "kidded to another";
  if (put.found_empty) return "found empty";
  return put.too_early ? "too early to tell" : "no kidding of his";
}

std::string days_with(const PutToHim& put) {
  if (!put.from.known()) return "not written down";
  if (put.running) return to_text(put.from) + " on";
  return put.from == put.to ? to_text(put.from) : to_text(put.from) + " to " + to_text(put.to);
}

std::string kids_of_kidding(const PutToHim& put) {
  if (!put.kidded) return "-";
  const auto one = [](const std::optional<double>& number) {
    return number ? number_of_kids(*number) : std::string("?");
  };
  return one(put.born) + "/" + one(put.alive) + "/" + one(put.raised);
}

OwnerTable does_of(const Herd& herd, const OwnerReport& report) {
  OwnerTable table{{"doe", "with him", "what came of it", "born/alive/raised"}, {}};
  for (const PutToHim& put : report.put) {
    std::string result = outcome(put);
    if (!put.other_bucks.empty()) {
      result += "; also ";
      for (std::size_t i = 0; i < put.other_bucks.size(); ++i) {
        result += (i == 0 ? "" : ", ") + short_name(herd, put.other_bucks[i]);
      }
    }
    table.rows.push_back(
        {short_name(herd, put.doe), days_with(put), std::move(result), kids_of_kidding(put)});
  }
  return table;
}

std::vector<std::string> notes_of(const OwnerReport& report) {
  std::vector<std::string> notes = {
      "Settled: in kid by a check, or kidded. A doe counts once each season she was put to him."};
  std::set<Animal> does;
  for (const PutToHim& put : report.put) does.insert(put.doe);
  if (does.size() != report.served) {
    notes.front() += fmt::format(" The {} are {} different does.", report.served, does.size());
  }
  if (report.two_bucks > 0) {
    notes.push_back(fmt::format(
        "{} doe{} {} served by another buck in the same weeks too, and {} counted all the same.",
        report.two_bucks, report.two_bucks == 1 ? "" : "s", report.two_bucks == 1 ? "was" : "were",
        report.two_bucks == 1 ? "is" : "are"));
  }
  if (report.possible_kids > 0.0) {
    notes.push_back(
        "A kid whose sire is not certain counts by the chance that he is it, so that numbers of "
        "kids may be broken. A chance is no proof.");
  }
  bool alone = false, shared = false;
  for (const PutToHim& put : report.put) {
    alone = alone || (put.kidded && put.by == HisBy::served_alone);
    shared = shared || (put.kidded && put.by == HisBy::shared);
  }
  if (alone) {
    notes.push_back(
        "Where no sire is written down and he alone served her, the kids are counted as his.");
  }
  if (shared) {
    notes.push_back(
        "Where no sire is written down and several bucks served her, each counts alike.");
  }
  notes.push_back(
      "Looked at: a row of examinations.csv that tells something, or a fault found. A kid that "
      "nobody looked at is neither clear nor faulty.");
  return notes;
}

std::string worst_of(const Herd& herd, const OwnerReport& report) {
  if (report.examined <= 0.0) {
    return "No kid of his was looked at for faults: nothing can be said of them.";
  }
  const std::string rest =
      fmt::format(" {} of {} kids {} looked at, {} not.", number_of_kids(report.examined),
                  number_of_kids(report.kids), plural(report.examined, "was", "were"),
                  number_of_kids(report.not_examined));
  if (report.findings.empty()) return "No fault was found in the kids looked at." + rest;
  std::string found = "Found: ";
  for (std::size_t i = 0; i < report.findings.size(); ++i) {
    const OwnerFinding& finding = report.findings[i];
    double looked = 0.0;
    for (const OwnerLook& look : report.looks) {
      if (look.fault == finding.fault) looked = look.examined;
    }
    found += fmt::format("{}{} ({}) in {} of {} looked at", i == 0 ? "" : "; ",
                         printable(herd.faults[finding.fault].name), grade_found(herd, finding),
                         number_of_kids(finding.count), number_of_kids(looked));
  }
  return found + "." + rest;
}

std::string dates_of(const OwnerReport& report) {
  PartialDate first, last;
  bool running = false;
  for (const PutToHim& put : report.put) {
    if (!put.from.known()) continue;
    if (!first.known() || put.from < first) first = put.from;
    if (put.to.known() && (!last.known() || put.to > last)) last = put.to;
    running = running || put.running;
  }
  if (!first.known()) return "No service of his is written down.";
  return fmt::format("With the does between {} and {}, as far as services are written down.",
                     to_text(first), running || !last.known() ? "today" : to_text(last));
}

}  // namespace

std::string number_of_kids(double kids) {
  const double whole = std::round(kids);
  return std::abs(kids - whole) < 1e-9 ? fixed(whole, 0) : fixed(kids, 1);
}

std::string grade_found(const Herd& herd, const OwnerFinding& finding) {
  if (finding.removed) return "removed";
  return finding.grade ? printable(herd.faults[finding.fault].grades[*finding.grade]) : "yes";
}

OwnerWords owner_words(const Herd& herd, const OwnerReport& report) {
  OwnerWords words;
  words.title = long_name(herd, report.sire);
  words.dates = dates_of(report);
  const std::string does = plural(report.served, "doe", "does");
  words.headline = fmt::format("{} {} served, {} settled, {} kidded", report.served, does,
                               report.settled, report.kidded);
  if (report.kidded > 0) {
    words.headline += ": " + tally_words(report.born, report.kidded) + " kids born, " +
                      tally_words(report.raised, report.kidded) + " raised";
  }
  words.headline += ".";
  words.worst = worst_of(herd, report);
  words.counts = counts_of(report);
  words.looks = looks_of(herd, report);
  words.does = does_of(herd, report);
  words.notes = notes_of(report);
  words.not_known = {"his condition and health when he left:", "injuries, shyness, temper:"};
  return words;
}

}  // namespace doewright
