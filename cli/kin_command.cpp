// SPDX-License-Identifier: MIT
#include <array>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/herdbook/lists.hpp>
#include <doewright/kinship/kinship.hpp>

#include "session.hpp"

using namespace doewright;

namespace {

std::vector<Animal> animals_of(const Session& session, const Herd& herd, const std::string& file) {
  std::vector<Animal> result;
  for (const ListedId& listed : read_id_list(file)) {
    const auto animal = herd.ids.find(listed.id);
    if (!animal) {
      throw Ending{status_wrong_command,
                   fmt::format("{}:{}: no animal '{}' in the herd book", printable(file),
                               listed.line, printable(listed.id))};
    }
    result.push_back(*animal);
  }
  (void)session;
  return result;
}

std::vector<KinPair> pairs_of(const Herd& herd, const std::string& file) {
  std::vector<KinPair> result;
  for (const ListedPair& listed : read_pair_list(file)) {
    KinPair pair;
    for (const auto& [id, animal] :
         {std::pair{&listed.a, &pair.a}, std::pair{&listed.b, &pair.b}}) {
      const auto found = herd.ids.find(*id);
      if (!found) {
        throw Ending{status_wrong_command,
                     fmt::format("{}:{}: no animal '{}' in the herd book", printable(file),
                                 listed.line, printable(*id))};
      }
      *animal = *found;
    }
    result.push_back(pair);
  }
  return result;
}

Status many(Session& session, const Herd& herd) {
  const CommandLine& line = session.line();
  std::vector<KinPair> pairs;
  const Kinship kinship(herd.pedigree, {}, session.run());
  if (!line.pairs_file.empty()) {
    pairs = pairs_of(herd, line.pairs_file);
    for (KinPair& pair : pairs) {
      throw_if_stopped(session.run());
      pair.kinship = kinship.of(pair.a, pair.b);
    }
  } else {
    const auto sires = animals_of(session, herd, line.sires_file);
    const auto does = animals_of(session, herd, line.does_file);
    throw_if_too_big(session.run(), sires.size() * does.size() * (sizeof(double) + sizeof(KinPair)),
                     "the table of kinships");
    const Grid<double> block = kinship.block(sires, does, session.run());
    for (std::size_t s = 0; s < sires.size(); ++s) {
      for (std::size_t d = 0; d < does.size(); ++d)
        pairs.push_back({sires[s], does[d], block(s, d)});
    }
  }
  const Preamble preamble = session.preamble(herd, InputsOf::none);
  session.answer(
      [&](Sink& out) { report_kin_pairs(out, line.common.format, preamble, herd, pairs); });
  return status_done;
}

}  // namespace

/// `doewright kin HERD A B`, or many pairs at once.
Status run_kin(Session& session) {
  const CommandLine& line = session.line();
  const bool by_pairs = !line.pairs_file.empty();
  const bool by_lists = !line.sires_file.empty() || !line.does_file.empty();
  const bool by_names = !line.animal_a.empty() || !line.animal_b.empty();
  if (by_lists && (line.sires_file.empty() || line.does_file.empty())) {
    throw Ending{status_wrong_command, "kin: --sires FILE needs --does FILE, and the reverse"};
  }
  if (int(by_pairs) + int(by_lists) + int(by_names) != 1) {
    throw Ending{status_wrong_command,
                 "kin: name two animals, or give --pairs FILE, or --sires FILE and --does FILE"};
  }
  if (by_names && (line.animal_a.empty() || line.animal_b.empty())) {
    throw Ending{status_wrong_command, "kin: name two animals"};
  }
  const auto herd = session.read_herd();
  if (!by_names) return many(session, *herd);

  const Animal a = session.find(*herd, line.animal_a), b = session.find(*herd, line.animal_b);
  const std::array both = {a, b};
  const Kinship kinship =
      Kinship::of_some(herd->pedigree, unknown_parents(*herd), both, session.run());
  KinResult result;
  result.a = a;
  result.b = b;
  result.kinship = kinship.of(a, b);
  result.inbreeding_a = kinship.inbreeding_of(a);
  result.inbreeding_b = kinship.inbreeding_of(b);
  result.kid = kinship.kid_of(a, b);
  result.unknown_kinship = kinship.unknowns().unknown_kinship;
  result.known_a = kinship.known(a);
  result.known_b = kinship.known(b);
  result.known_pair = known_of_pair(result.known_a.share, result.known_b.share);
  result.why = kinship.why(a, b);
  Preamble preamble = session.preamble(*herd, InputsOf::kin);
  const bool blanks_matter = result.kid.used > result.kid.as_recorded;
  if (blanks_matter && !herd->season.set.contains("unknown_kinship")) {
    preamble.assumed.push_back("unknown_kinship");
  }
  session.answer([&](Sink& out) { report_kin(out, line.common.format, preamble, *herd, result); });
  return status_done;
}
