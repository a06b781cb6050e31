// SPDX-License-Identifier: MIT
#include "command_line.hpp"

#include <algorithm>
#include <charconv>
#include <cstdio>
#include <string_view>

#include <fmt/format.h>
#include <CLI/CLI.hpp>

#include <doewright/core/text.hpp>

namespace {

using Command = CommandLine::Command;

struct CommandText {
  Command command;
  const char* name;
  const char* does;
  const char* examples;
};

// The examples run on the demo herd that ships with the program; a test runs each of them.
constexpr CommandText commands[] = {
    {Command::check, "check", "every problem in the herd book, with its place and what to do",
     "  doewright check data-demo\n  doewright check data-demo --format json"},
    {Command::kin, "kin", "how two animals are related, what makes it and what it rests on",
     "  doewright kin data-demo Larch Willow\n  doewright kin data-demo Alder Comfrey --format "
     "json"},
    {Command::inbreeding, "inbreeding", "the inbreeding of every animal, with how much is known",
     "  doewright inbreeding data-demo\n  doewright inbreeding data-demo --format csv -o f.csv"},
    {Command::faults, "faults", "what each animal may show and carry, and the evidence behind it",
     "  doewright faults data-demo --sire Alder\n  doewright faults data-demo --prove Alder "
     "mannosidosis"},
    {Command::merit, "merit", "breeding values, how sure they are, and what they are worth",
     "  doewright merit data-demo\n  doewright merit data-demo --sire Alder --format json"},
    {Command::sire, "sire", "one sire before he is hired, against every doe put forward",
     "  doewright sire data-demo Alder\n  doewright sire data-demo Alder --format html -o "
     "alder.html"},
    {Command::pedigree, "pedigree", "the pedigree report for a buyer: text, JSON, CSV or a page",
     "  doewright pedigree data-demo Hazel\n  doewright pedigree data-demo Campion --format html "
     "-o campion.html"},
    {Command::keep, "keep", "doe kids ranked for keeping, the doors each closes; who may leave",
     "  doewright keep data-demo\n  doewright keep data-demo --format json"},
    {Command::owner, "owner", "what the owner of a hired buck is told: counts, and of how many",
     "  doewright owner data-demo Hornbeam\n  doewright owner data-demo Hornbeam --format html -o "
     "hornbeam.html"},
    {Command::rank, "rank", "every doe put forward with every sire on offer, in order",
     "  doewright rank data-demo\n  doewright rank data-demo --doe Tansy\n  doewright rank "
     "data-demo "
     "--format html -o season.html"},
    {Command::does, "does", "which does are fit to breed: go, wait or not this year, and why",
     "  doewright does data-demo"},
    {Command::plan, "plan", "whom to use, who goes to whom, who steps in, what it costs",
     "  doewright plan data-demo\n  doewright plan data-demo --format json -o plan.json\n"
     "  doewright plan data-demo --format html -o barn-door.html"},
    {Command::whose, "whose", "whose kid, by dates and not by DNA",
     "  doewright whose data-demo\n  doewright whose data-demo Campion --format json"},
    {Command::stay, "stay", "how long he must stay: settled, open, last due, cost",
     "  doewright stay data-demo Alder"},
    {Command::calendar, "calendar", "the season's dates, doe by doe",
     "  doewright calendar data-demo --week\n  doewright calendar data-demo --format ics -o "
     "goats.ics"},
    {Command::start, "start", "a starter herd book with every file, commented",
     "  doewright start my-herd"},
};

const std::string overview_text =
    "Which buck, for which doe, this season - and why.\n\n"
    "A herd book is a folder of plain tables: animals.csv and as many others as you\n"
    "keep. `doewright start DIR` makes one to begin with.\n";

std::size_t memory_of(const std::string& text) {
  std::string_view digits = text;
  double factor = 1.0;
  if (!digits.empty()) {
    switch (digits.back()) {
      case 'k':
      case 'K':
        factor = 1e3;
        break;
      case 'M':
        factor = 1e6;
        break;
      case 'G':
        factor = 1e9;
        break;
      case 'T':
        factor = 1e12;
        break;
      default:
        break;
    }
    if (factor > 1.0) digits.remove_suffix(1);
  }
  const auto number = doewright::read_number(digits);
  if (!number || *number <= 0.0 || *number * factor > 1e18) {
    throw Ending{status_wrong_command,
                 fmt::format("--max-memory {}: write a size such as 800M or 8G", text)};
  }
  return static_cast<std::size_t>(*number * factor);
}

doewright::Date day_of(const std::string& text) {
  const auto digits = [&](std::size_t at, std::size_t count) {
    int value = 0;
    for (std::size_t i = at; i < at + count; ++i) {
      if (text[i] < '0' || text[i] > '9') return -1;
      value = 10 * value + (text[i] - '0');
    }
    return value;
  };
  std::optional<doewright::Date> date;
  if (text.size() == 10 && text[4] == '-' && text[7] == '-') {
    const int year = digits(0, 4), month = digits(5, 2), day = digits(8, 2);
    if (year > 0 && month > 0 && day > 0) {
      date = doewright::date_of(year, static_cast<unsigned>(month), static_cast<unsigned>(day));
    }
  }
  if (!date) {
    throw Ending{status_wrong_command,
                 fmt::format("--as-of {}: write a day of the calendar as YYYY-MM-DD", text)};
  }
  return *date;
}

std::uint64_t whole(const std::string& option, const std::string& text, std::uint64_t least,
                    std::uint64_t most) {
  std::uint64_t value = 0;
  const auto* end = text.data() + text.size();
  const auto [stop, error] = std::from_chars(text.data(), end, value);
  if (text.empty() || error != std::errc() || stop != end || value < least || value > most) {
    throw Ending{status_wrong_command, fmt::format("{} {}: write a whole number from {} to {}",
                                                   option, text, least, most)};
  }
  return value;
}

template <class T>
T one_of(const std::string& option, const std::string& text,
         std::initializer_list<std::pair<std::string_view, T>> words) {
  std::vector<std::string_view> known;
  for (const auto& [word, value] : words) {
    if (word == text) return value;
    known.push_back(word);
  }
  std::string list;
  for (const auto word : known) list += (list.empty() ? "" : ", ") + std::string(word);
  throw Ending{status_wrong_command, fmt::format("{} {}: choose one of {}", option, text, list)};
}

/// The raw words, before they are judged.
struct Raw {
  std::string format = "text", generations, as_of, threads, seed, colour = "auto", memory;
  bool no_colour = false;
};

/// What a command writes beside text, JSON and CSV.
struct MoreFormats {
  bool page = false, calendar = false;
};

MoreFormats more_formats(Command command) {
  return {.page = command == Command::pedigree || command == Command::owner ||
                  command == Command::rank || command == Command::sire || command == Command::plan,
          .calendar = command == Command::calendar};
}

void add_common(CLI::App& app, CommonOptions& common, Raw& raw, MoreFormats more) {
  app.add_option("--format", raw.format,
                 more.page       ? "text (default), json, csv or html"
                 : more.calendar ? "text (default), json, csv or ics"
                                 : "text (default), json or csv");
  app.add_option("-o,--output", common.output, "write to FILE: whole or not at all")
      ->type_name("FILE");
  app.add_option("--as-of", raw.as_of, "work it out for this day (default: today)")
      ->type_name("DATE");
  app.add_flag("--strict", common.strict, "warnings count as errors");
  app.add_flag("--set-aside", common.set_aside, "read a record named in an error as not known");
  app.add_option("--threads", raw.threads, "threads (default: all cores)")->type_name("N");
  app.add_option("--seed", raw.seed, "seed of drawn numbers")->type_name("N");
  app.add_option("--max-memory", raw.memory, "such as 8G (default: 3/4 of the machine)")
      ->type_name("SIZE");
  app.add_option("--color", raw.colour, "auto (default), always or never");
  app.add_flag("--no-color", raw.no_colour, "no colour");
  app.add_flag("--quiet", common.quiet, "no warnings, no progress");
  app.add_flag("--verbose", common.verbose, "say on standard error what was read");
}

void judge_common(CommonOptions& common, const Raw& raw, MoreFormats more) {
  using doewright::Format;
  common.ics = more.calendar && raw.format == "ics";
  if (more.page && raw.format == "html") {
    common.format = Format::html;
  } else if (!common.ics) {
    common.format =
        one_of<Format>("--format", raw.format,
                       {{"text", Format::text}, {"json", Format::json}, {"csv", Format::csv}});
  }
  using Colour = CommonOptions::Colour;
  common.colour = one_of<Colour>(
      "--color", raw.colour,
      {{"auto", Colour::automatic}, {"always", Colour::always}, {"never", Colour::never}});
  if (raw.no_colour) common.colour = Colour::never;
  if (!raw.as_of.empty()) common.as_of = day_of(raw.as_of);
  if (!raw.threads.empty())
    common.threads = static_cast<unsigned>(whole("--threads", raw.threads, 1, 1024));
  if (!raw.seed.empty()) common.seed = whole("--seed", raw.seed, 0, UINT64_MAX);
  if (!raw.memory.empty()) common.max_memory = memory_of(raw.memory);
}

std::string hint(std::string_view word, const std::vector<std::string_view>& known) {
  const auto near = doewright::nearest(word, known);
  return near ? fmt::format("; did you mean {}?", *near) : std::string();
}

std::vector<std::string_view> command_names() {
  std::vector<std::string_view> names;
  for (const CommandText& text : commands) names.push_back(text.name);
  return names;
}

std::vector<std::string> option_names(const CLI::App& app) {
  std::vector<std::string> names;
  for (const CLI::Option* option : app.get_options()) {
    for (const std::string& name : option->get_lnames()) names.push_back("--" + name);
  }
  return names;
}

void print_help(const CLI::App& app, const CLI::App* command) {
  std::string text;
  if (command != nullptr) {
    text = command->help(app.get_name());
  } else {
    text = overview_text +
           "\nExamples:\n  doewright rank data-demo\n  doewright check data-demo\n\nCommands:\n";
    for (const CommandText& each : commands) {
      text += fmt::format("  {:<12}{}\n", each.name, each.does);
    }
    text +=
        "\n`doewright COMMAND --help` shows its options and examples.\n"
        "Exit status: 0 done, 1 the herd book needs repair, 2 wrong command line,\n"
        "3 a file or the machine failed, 4 our own mistake, 130 interrupted.\n";
  }
  std::fputs(text.c_str(), stdout);
}

void print_version(bool verbose) {
  std::string text =
      "doewright " DOEWRIGHT_VERSION "\nMIT licence; it advises, it never diagnoses.\n";
  if (verbose) text += fmt::format("compiler {}\nfmt {}\n", __VERSION__, FMT_VERSION);
  std::fputs(text.c_str(), stdout);
}

}  // namespace

std::optional<CommandLine> parse_command_line(int argc, char** argv) {
  CommandLine result;
  Raw raw;
  CLI::App app("", "doewright");
  app.require_subcommand(0, 1);
  app.set_help_flag();
  bool help = false, version = false;
  app.add_flag("-h,--help", help, "this help");
  app.add_flag("--version", version, "version and licence");
  bool version_verbose = false;
  app.add_flag("--verbose", version_verbose, "with --version: compiler and libraries");
  std::vector<std::pair<Command, CLI::App*>> subcommands;
  for (const CommandText& text : commands) {
    CLI::App* sub = app.add_subcommand(text.name, text.does);
    sub->set_help_flag();
    sub->add_flag("-h,--help", help, "this help");
    sub->footer(std::string("\nExamples:\n") + text.examples + "\n");
    add_common(*sub, result.common, raw, more_formats(text.command));
    if (text.command == Command::rank || text.command == Command::sire ||
        text.command == Command::calendar || text.command == Command::merit ||
        text.command == Command::faults || text.command == Command::does ||
        text.command == Command::plan) {
      sub->add_option("--doe", result.common.does, "only this doe (may be repeated)")
          ->type_name("ID")
          ->allow_extra_args(false);
    }
    if (text.command == Command::rank || text.command == Command::merit ||
        text.command == Command::faults || text.command == Command::plan) {
      sub->add_option("--sire", result.common.sires, "only this sire (may be repeated)")
          ->type_name("ID")
          ->allow_extra_args(false);
    }
    sub->add_option(text.command == Command::start ? "DIR" : "HERD", result.herd,
                    text.command == Command::start ? "the folder to make"
                                                   : "a folder, a lone animals.csv, or - ");
    if (text.command == Command::kin) {
      sub->add_option("A", result.animal_a, "an animal");
      sub->add_option("B", result.animal_b, "another");
      sub->add_option("--pairs", result.pairs_file, "CSV with the columns a,b")->type_name("FILE");
      sub->add_option("--sires", result.sires_file, "one id a line")->type_name("FILE");
      sub->add_option("--does", result.does_file, "one id a line")->type_name("FILE");
    }
    if (text.command == Command::sire || text.command == Command::stay ||
        text.command == Command::owner) {
      sub->add_option("SIRE", result.animal_a, "the buck");
    }
    if (text.command == Command::faults) {
      sub->add_option("--prove", result.prove, "how many clear kids would prove this sire")
          ->type_name("SIRE FAULT")
          ->expected(2);
    }
    if (text.command == Command::whose) sub->add_option("KID", result.animal_a, "one kid");
    if (text.command == Command::calendar) {
      sub->add_flag("--week", result.week, "only what falls into the seven days from today on");
    }
    if (text.command == Command::plan) {
      sub->add_option("--since", result.since_file, "an earlier plan as JSON: only what changed")
          ->type_name("FILE");
    }
    if (text.command == Command::pedigree) {
      sub->add_option("ANIMAL", result.animal_a, "whose pedigree");
      sub->add_option("--generations", raw.generations, "of the chart: 3, 4 (default) or 5")
          ->type_name("N");
    }
    subcommands.emplace_back(text.command, sub);
  }
  CLI::App* help_command = app.add_subcommand("help", "help on a command");
  std::string help_on;
  help_command->add_option("COMMAND", help_on);

  const CLI::App* used = nullptr;
  const auto find_used = [&] {
    for (const auto& [command, sub] : subcommands) {
      if (sub->parsed()) used = sub, result.command = command;
    }
  };
  try {
    app.parse(argc, argv);
    find_used();
  } catch (const CLI::ExtrasError&) {
    find_used();
    std::vector<std::string> left = app.remaining(true);
    const std::string word = left.empty() ? "" : left.back();
    // CLI11 gives leftovers in reversed order; name the first that stands on the line
    std::string first = word;
    for (int i = 1; i < argc; ++i) {
      const auto at = std::find(left.begin(), left.end(), argv[i]);
      if (at != left.end()) {
        first = argv[i];
        break;
      }
    }
    std::vector<std::string> options = option_names(used != nullptr ? *used : app);
    std::vector<std::string_view> known(options.begin(), options.end());
    if (used == nullptr) known = command_names();
    throw Ending{
        status_wrong_command,
        fmt::format("{}: {}{}; see doewright {}--help", doewright::printable(first),
                    used == nullptr ? "there is no such command" : "not expected here",
                    hint(first, known), used == nullptr ? std::string() : used->get_name() + " ")};
  } catch (const CLI::ParseError& error) {
    throw Ending{status_wrong_command, doewright::printable(error.what())};
  }

  if (version) return print_version(version_verbose), std::nullopt;
  if (help_command->parsed()) {
    for (const auto& [command, sub] : subcommands) {
      if (sub->get_name() == help_on) used = sub;
    }
    if (!help_on.empty() && used == nullptr) {
      throw Ending{status_wrong_command,
                   fmt::format("{}: there is no such command{}", doewright::printable(help_on),
                               hint(help_on, command_names()))};
    }
    return print_help(app, used), std::nullopt;
  }
  if (help || result.command == Command::none) return print_help(app, used), std::nullopt;
  if (result.herd.empty()) {
    throw Ending{status_wrong_command,
                 fmt::format("{}: say which {}; see doewright {} --help", used->get_name(),
                             result.command == Command::start ? "folder to make" : "herd book",
                             used->get_name())};
  }
  if (used->get_option_no_throw("--output") != nullptr && used->count("--output") > 0 &&
      result.common.output.empty()) {
    throw Ending{status_wrong_command, "-o: name the file to write"};
  }
  judge_common(result.common, raw, more_formats(result.command));
  if (!raw.generations.empty()) {
    result.generations =
        static_cast<int>(whole("--generations", raw.generations, doewright::chart_generations_least,
                               doewright::chart_generations_most));
  }
  return result;
}
