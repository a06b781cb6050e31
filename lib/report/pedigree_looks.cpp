// SPDX-License-Identifier: MIT
#include "pedigree_looks.hpp"

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/report/words.hpp>

#include "preamble.hpp"

namespace doewright {

namespace {

/// "at birth", "at 40 days", "at 14 months".
std::string age_in_words(std::optional<std::int32_t> days) {
  if (!days) return "age not recorded";
  if (*days == 0) return "at birth";
  if (*days < 120) return fmt::format("at {} day{}", *days, *days == 1 ? "" : "s");
  return fmt::format("at {} months", static_cast<int>(*days / 30.4375));
}

std::string one_look(const FaultModel& fault, const Examination& look) {
  std::string text = found_in_words(fault, look) + ", " + age_in_words(look.age_days);
  text += look.date.known() ? ", " + date_in_words(look.date) : ", day not recorded";
  if (!look.by.empty()) text += ", by " + printable(look.by);
  if (!look.note.empty()) text += " (" + printable(look.note) + ")";
  return text;
}

/// The newest gene test of this fault, or nothing.
std::string gene_in_words(const PedigreeReport& report, FaultIndex fault) {
  const PedigreeTest* newest = nullptr;
  for (const PedigreeTest& test : report.tests) {
    if (test.fault == fault && (newest == nullptr || test.date >= newest->date)) newest = &test;
  }
  return newest == nullptr
             ? std::string()
             : fmt::format("; gene test: {}, {}", newest->result, date_in_words(newest->date));
}

std::string own_in_words(const FaultModel& fault, const PedigreeFault& entry) {
  std::string looks;
  for (const Examination& look : entry.looks) {
    looks += (looks.empty() ? "" : "; ") + one_look(fault, look);
  }
  if (entry.own.look == Look::not_looked) {
    return looks.empty() ? "not looked at" : "looked at, but it could not be seen then: " + looks;
  }
  const std::string state(word(entry.own.look));
  if (looks.empty()) return state + ", by what else the book says";
  return state + ": " + looks;
}

std::string kin_look(const LookedAt& look, bool known) {
  if (!known) return "parent not certain";
  std::string text(look.look == Look::not_looked ? "not looked at" : word(look.look));
  if (look.removed) text += " (removed)";
  if (look.look != Look::not_looked && look.age_days) text += ", " + age_in_words(look.age_days);
  return text;
}

/// "1 found of 6 examined, 2 not".
std::string count_in_words(const LookCount& count) {
  if (count.animals == 0) return "none in the book";
  const std::uint32_t rest = count.animals - count.examined;
  if (count.examined == 0) return fmt::format("none of {} examined", rest);
  if (rest == 0) return fmt::format("{} found of {} examined", count.found, count.examined);
  return fmt::format("{} found of {} examined, {} not", count.found, count.examined, rest);
}

/// Kids in the book, and those elsewhere that are known as a count; an owner's word is named as
/// one.
std::string kids_in_words(const PedigreeFault& entry) {
  std::string text = count_in_words(entry.kids);
  const auto add = [&](const LookCount& count, const char* where) {
    if (count.examined == 0) return;
    text += fmt::format("; {}: {} found of {} examined", where, count.found, count.examined);
  };
  add(entry.elsewhere_seen, "elsewhere");
  add(entry.elsewhere_told, "elsewhere, as told");
  return text;
}

std::string mates_in_words(const PedigreeRecord& record, const std::string& unit) {
  if (record.mates == 0) return "no herd mate recorded beside it";
  return fmt::format("mean of {} herd mate{}: {}{}", record.mates, record.mates == 1 ? "" : "s",
                     fixed(record.mates_mean, 1), unit);
}

std::string count_or_not(std::optional<std::int32_t> count) {
  return count ? std::to_string(*count) : "not recorded";
}

void say_services(const Herd& herd, const PedigreeReport& report, PedigreeWords& words) {
  for (const Service& service : report.services) {
    std::string text =
        fmt::format("Served by {}, {}", long_name(herd, service.sire), date_in_words(service.from));
    if (service.to.known() && service.to != service.from) {
      text += " to " + date_in_words(service.to);
    }
    const std::string_view how = word(service.how);
    if (!how.empty()) text += fmt::format(" ({})", how);
    words.now.push_back(text + ".");
  }
  for (const PregnancyCheck& check : report.checks) {
    const std::string_view how = word(check.how);
    words.now.push_back(fmt::format("Pregnancy check on {}: {}{}.", date_in_words(check.date),
                                    word(check.result),
                                    how.empty() ? "" : fmt::format(" ({})", how)));
  }
  if (report.kids + report.possible_kids > 0) {
    std::string text = fmt::format("Kids in the book: {}", report.kids);
    if (report.possible_kids > 0) text += fmt::format(", and {} possibly", report.possible_kids);
    words.now.push_back(text + ".");
  }
}

/// The worst first: what was found, in this animal and in its near kin.
std::string worst_in_words(const Herd& herd, const PedigreeReport& report) {
  std::string own, kin;
  std::size_t kin_examined = 0;
  const auto add = [](std::string& list, const std::string& part) {
    list += (list.empty() ? "" : "; ") + part;
  };
  for (const PedigreeFault& entry : report.faults) {
    const std::string name = printable(herd.faults[entry.fault].name);
    if (entry.own.look == Look::found) add(own, name);
    if (entry.sire.look == Look::found) add(kin, name + " in the sire");
    if (entry.dam.look == Look::found) add(kin, name + " in the dam");
    if (entry.sire.look != Look::not_looked) ++kin_examined;
    if (entry.dam.look != Look::not_looked) ++kin_examined;
    const auto count = [&](const LookCount& kind, const char* who) {
      kin_examined += kind.examined;
      if (kind.found == 0) return;
      add(kin, fmt::format("{} in {} of {} {} examined", name, kind.found, kind.examined, who));
    };
    count(entry.full_sibs, "full sibs");
    count(entry.half_sibs, "half sibs");
    count(entry.kids, "own kids");
    count(entry.elsewhere_seen, "kids elsewhere");
    count(entry.elsewhere_told, "kids elsewhere, as told,");
  }
  std::string text;
  if (!own.empty()) text += "Found in this animal: " + own + ". ";
  if (!kin.empty()) return text + "Found in near kin: " + kin + ".";
  return text + (kin_examined > 0
                     ? "In parents, sibs and kids none was found where somebody looked."
                     : "Nobody looked at parents, sibs or kids.");
}

}  // namespace

std::string_view word(Look look) noexcept {
  switch (look) {
    case Look::found:
      return "found";
    case Look::clear:
      return "looked and clear";
    case Look::not_looked:
      return "not looked";
  }
  return "";
}

std::string found_in_words(const FaultModel& fault, const Examination& look) {
  switch (look.found) {
    case Found::grade:
      return printable(fault.grades.at(look.grade));
    case Found::unwanted:
      return "yes";
    case Found::removed:
      return "removed";
  }
  return "";
}

void say_looks(const Herd& herd, const PedigreeReport& report, PedigreeWords& words) {
  words.faults.titles = {"looked for", "in this animal"};
  words.kin.titles = {"looked for", "sire", "dam", "full sibs", "half sibs", "own kids"};
  std::size_t found = 0, looked = 0;
  for (const PedigreeFault& entry : report.faults) {
    const FaultModel& fault = herd.faults[entry.fault];
    if (entry.own.look != Look::not_looked) ++looked;
    if (entry.own.look == Look::found) ++found;
    words.faults.rows.push_back(
        {printable(fault.name), own_in_words(fault, entry) + gene_in_words(report, entry.fault)});
    words.kin.rows.push_back({printable(fault.name), kin_look(entry.sire, entry.sire_certain),
                              kin_look(entry.dam, entry.dam_known), count_in_words(entry.full_sibs),
                              count_in_words(entry.half_sibs), kids_in_words(entry)});
  }
  const std::size_t rest = report.faults.size() - looked;
  if (looked == 0) {
    // "0 found" would sound like good news where nobody looked.
    words.looks_figure = "Nobody looked";
    words.looks =
        fmt::format("for any of the {} faults that this herd records, in this animal", rest);
  } else {
    words.looks_figure = fmt::format("{} of {}", found, looked);
    words.looks = fmt::format("{} looked for in this animal {} found",
                              looked == 1 ? "fault" : "faults", looked == 1 ? "was" : "were");
    if (rest > 0) {
      words.looks += fmt::format("; {} more that this herd records {} not looked for", rest,
                                 rest == 1 ? "was" : "were");
    }
  }
  words.looks += ". " + worst_in_words(herd, report);
}

void say_tests(const Herd& herd, const PedigreeReport& report, PedigreeWords& words) {
  words.tests.titles = {"test", "result", "sample", "age", "laboratory"};
  for (const PedigreeTest& test : report.tests) {
    const std::string name = test.fault ? "gene: " + printable(herd.faults[*test.fault].name)
                                        : "health: " + printable(test.what);
    std::string age = test.months ? fmt::format("{} months", *test.months) : "age not known";
    if (!test.fault && test.age != SampleAge::told) age += ": " + std::string(word(test.age));
    if (!test.months && test.age == SampleAge::not_known) age = word(SampleAge::not_known);
    words.tests.rows.push_back(
        {name, printable(test.result), date_in_words(test.date), age,
         test.laboratory.empty() ? "not recorded" : printable(test.laboratory)});
  }
}

void say_records(const Herd& herd, const PedigreeReport& report, PedigreeWords& words) {
  words.records.titles = {"record", "value", "day", "beside herd mates"};
  for (const PedigreeRecord& each : report.records) {
    const Trait& trait = herd.traits[each.record.trait];
    const std::string unit = trait.unit.empty() ? "" : " " + printable(trait.unit);
    const std::string whose = each.animal == report.animal ? "" : "dam: ";
    words.records.rows.push_back({whose + printable(trait.name), shortest(each.record.value) + unit,
                                  date_in_words(each.record.date), mates_in_words(each, unit)});
  }
  words.kiddings.titles = {"kidding", "born", "alive", "raised", "help"};
  const auto add = [&](const std::vector<Kidding>& kiddings, const char* whose) {
    for (const Kidding& kidding : kiddings) {
      const std::string_view help = word(kidding.help);
      words.kiddings.rows.push_back(
          {whose + date_in_words(kidding.date), count_or_not(kidding.kids_born),
           count_or_not(kidding.kids_alive), count_or_not(kidding.kids_raised),
           help.empty() ? "not recorded" : std::string(help)});
    }
  };
  add(report.kiddings, "");
  add(report.dam_kiddings, "dam: ");
  say_services(herd, report, words);
}

}  // namespace doewright
