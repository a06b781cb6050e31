// SPDX-License-Identifier: MIT
// Sex against use. The table of INTERFACE section 5: a doe as sire, a buck or wether as dam, an
// intersex as either is an error; a wether as sire is a warning, for he may have been cut later.
#include <cstddef>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <utility>

#include <fmt/format.h>

#include "checks.hpp"

namespace doewright {

namespace {

enum class Role : std::uint8_t { sire, dam };

/// What a row says. A kid or a kidding proves the role. A service, a heat or a check of a doe does
/// not: an intersex animal may well have been served, for that is how she is found out.
enum class Proof : std::uint8_t { parent, tried };

bool contradicts(Sex sex, Role role, Proof proof) {
  switch (sex) {
    case Sex::unknown:
      return false;
    case Sex::doe:
      return role == Role::sire;
    case Sex::buck:
      return role == Role::dam;
    case Sex::wether:
      return true;
    case Sex::intersex:
      return role == Role::sire || proof == Proof::parent;
  }
  return false;
}

/// One complaint an animal and role, on the first row: a buck with forty kids is one mistake, not
/// forty.
class SexUses {
 public:
  explicit SexUses(const Herd& herd) : herd_(herd) {}

  void note(Animal animal, Role role, Row row, std::optional<Animal> kid = {},
            Proof proof = Proof::parent) {
    if (!contradicts(herd_.animals.sex[animal.position], role, proof)) return;
    auto [entry, is_new] = found_.try_emplace({animal.position, role}, First{row, kid, 0});
    First& first = entry->second;
    ++first.times;
    if (!is_new && row < first.row) {
      first.row = row;
      first.kid = kid;
    }
  }

  void tell(const SayProblem& say) const {
    for (const auto& [use, first] : found_) say(problem(Animal{use.first}, use.second, first));
  }

 private:
  struct First {
    Row row;
    std::optional<Animal> kid;
    std::size_t times = 0;
  };

  Problem problem(Animal animal, Role role, const First& first) const {
    const Sex sex = herd_.animals.sex[animal.position];
    const std::string_view id = herd_.ids[animal];
    const std::string_view as = role == Role::sire ? "sire" : "dam";
    std::string message =
        fmt::format("{}{} is recorded as {} and used as {}", id, line_text(herd_, animal),
                    sex == Sex::intersex ? "intersex" : fmt::format("a {}", word(sex)),
                    role == Role::sire ? "a sire" : "a doe");
    if (first.kid) message += fmt::format(", {} of {}", as, herd_.ids[*first.kid]);
    if (first.times > 1) message += fmt::format(", in {} rows", first.times);
    if (sex == Sex::wether && role == Role::sire) {
      return problem_at(Severity::warning, "wether-sire", first.row, id, std::move(message),
                        "if he was cut later, nothing is wrong; else correct the sire or the sex");
    }
    return problem_at(Severity::error, "sex-use", first.row, id, std::move(message),
                      fmt::format("correct the {} here, or the sex of {}",
                                  first.kid ? as : std::string_view("id"), id));
  }

  const Herd& herd_;
  std::map<std::pair<std::uint32_t, Role>, First> found_;
};

void note_pedigree(const Herd& herd, SexUses& uses) {
  const auto sires = herd.pedigree.sire_slots();
  const auto dams = herd.pedigree.dam_slots();
  const std::vector<bool> listed = listed_kids(herd);
  for (std::uint32_t i = 0; i < herd.pedigree.size(); ++i) {
    const Animal kid{i};
    const bool sire_is_here = sires[i] != Pedigree::none && !Pedigree::is_stand_in(sires[i]) &&
                              (listed.empty() || !listed[i]);
    if (sire_is_here) uses.note(Animal{sires[i]}, Role::sire, row_of(herd, kid), kid);
    if (dams[i] != Pedigree::none) uses.note(Animal{dams[i]}, Role::dam, row_of(herd, kid), kid);
  }
  for (const PossibleSire& entry : herd.possible_sires) {
    if (entry.probability > 0.0) uses.note(entry.sire, Role::sire, entry.row, entry.kid);
  }
}

void note_tables(const Herd& herd, SexUses& uses) {
  for (const Kidding& kidding : herd.kiddings) {
    uses.note(kidding.doe, Role::dam, kidding.row);
    if (kidding.sire) uses.note(*kidding.sire, Role::sire, kidding.row);
  }
  for (const KidCount& count : herd.kid_counts) {
    uses.note(count.sire, Role::sire, count.row);
    if (count.dam) uses.note(*count.dam, Role::dam, count.row);
  }
  for (const Service& service : herd.services) {
    uses.note(service.doe, Role::dam, service.row, {}, Proof::tried);
    uses.note(service.sire, Role::sire, service.row);
  }
  for (const Heat& heat : herd.heats) uses.note(heat.doe, Role::dam, heat.row, {}, Proof::tried);
  for (const PregnancyCheck& check : herd.pregnancy_checks) {
    uses.note(check.doe, Role::dam, check.row, {}, Proof::tried);
  }
  // Lists that the program made itself have no row and only animals of the right sex.
  for (const DoeForward& forward : herd.does) {
    uses.note(forward.doe, Role::dam, forward.row);
    if (forward.sire) uses.note(*forward.sire, Role::sire, forward.row);
  }
  for (const SireOffer& offer : herd.sires) uses.note(offer.sire, Role::sire, offer.row);
}

}  // namespace

void check_sexes(const Herd& herd, const SayProblem& say) {
  SexUses uses(herd);
  note_pedigree(herd, uses);
  note_tables(herd, uses);
  uses.tell(say);
}

}  // namespace doewright
