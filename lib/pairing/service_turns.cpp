// SPDX-License-Identifier: MIT
#include "service_turns.hpp"

#include <algorithm>
#include <tuple>

namespace doewright {

namespace {

// Days; assumed. Gestation of goats is 150 with a deviation of 3 (facts of the trade).
constexpr std::int32_t shortest_pregnancy = 130;
constexpr std::int32_t longest_pregnancy = 170;
constexpr std::int32_t turn_gap = 120;
constexpr std::int32_t check_after = 20;
constexpr std::int32_t litter_width = 2;

/// Can the two be one event, give or take the width of a litter.
bool meet(PartialDate a, PartialDate b) {
  if (!a.known() || !b.known()) return false;
  return a.earliest() <= b.latest() + litter_width && b.earliest() <= a.latest() + litter_width;
}

std::int32_t days_apart(PartialDate a, PartialDate b) {
  if (a.earliest() > b.latest()) return a.earliest() - b.latest();
  if (b.earliest() > a.latest()) return b.earliest() - a.latest();
  return 0;
}

std::optional<double> as_number(const std::optional<std::int32_t>& written) {
  if (!written) return std::nullopt;
  return static_cast<double>(*written);
}

/// A kidding that the services of a turn can have led to.
bool can_follow(const ServiceTurn& turn, const DoeLitter& litter) {
  return litter.date.known() && litter.date.latest() >= turn.first + shortest_pregnancy &&
         litter.date.earliest() <= turn.last + longest_pregnancy;
}

}  // namespace

std::optional<double> DoeLitter::born() const {
  const double rows = static_cast<double>(kids.size());
  if (row != nullptr && row->kids_born) return std::max(rows, static_cast<double>(*row->kids_born));
  if (kids.empty()) return std::nullopt;
  return rows;
}

std::optional<double> DoeLitter::alive() const {
  return row != nullptr ? as_number(row->kids_alive) : std::nullopt;
}

std::optional<double> DoeLitter::raised() const {
  return row != nullptr ? as_number(row->kids_raised) : std::nullopt;
}

Date service_begins(const Service& service) {
  return service.from.earliest();
}

Date service_ends(const Herd& herd, const Service& service) {
  if (service.to.known()) return service.to.latest();
  if (service.how == ServiceHow::pen) return std::max(herd.as_of, service.from.earliest());
  return service.from.latest();
}

DoeHistories::DoeHistories(const Herd& herd)
    : herd_(&herd),
      offspring_(herd.pedigree),
      services_(herd.pedigree.size()),
      checks_(herd.pedigree.size()),
      kiddings_(herd.pedigree.size()) {
  for (const Service& each : herd.services) services_[each.doe.position].push_back(&each);
  for (const PregnancyCheck& each : herd.pregnancy_checks) {
    checks_[each.doe.position].push_back(&each);
  }
  for (const Kidding& each : herd.kiddings) kiddings_[each.doe.position].push_back(&each);
}

std::vector<DoeLitter> DoeHistories::litters(Animal doe) const {
  std::vector<DoeLitter> result;
  for (const Kidding* row : kiddings_[doe.position]) {
    result.push_back({.row = row, .date = row->date, .kids = {}});
  }
  for (const Animal kid : offspring_.of(doe)) {
    if (herd_->pedigree.dam(kid) != doe) continue;
    const PartialDate born = herd_->animals.born[kid.position];
    DoeLitter* nearest = nullptr;
    for (DoeLitter& litter : result) {
      if (!meet(litter.date, born)) continue;
      if (nearest == nullptr || days_apart(litter.date, born) < days_apart(nearest->date, born)) {
        nearest = &litter;
      }
    }
    if (nearest == nullptr) {
      result.push_back({.row = nullptr, .date = born, .kids = {}});
      nearest = &result.back();
    }
    nearest->kids.push_back(kid);
  }
  std::stable_sort(result.begin(), result.end(), [](const DoeLitter& a, const DoeLitter& b) {
    if (a.date.known() != b.date.known()) return a.date.known();
    return a.date.known() && a.date.earliest() < b.date.earliest();
  });
  return result;
}

std::vector<ServiceTurn> DoeHistories::turns(Animal doe, std::optional<Animal> sire,
                                             std::span<const DoeLitter> litters) const {
  std::vector<const Service*> his;
  for (const Service* each : services_[doe.position]) {
    if (each->from.known() && (!sire || each->sire == *sire)) his.push_back(each);
  }
  std::stable_sort(his.begin(), his.end(), [](const Service* a, const Service* b) {
    return service_begins(*a) < service_begins(*b);
  });
  std::vector<ServiceTurn> result;
  for (const Service* each : his) {
    const Date first = service_begins(*each), last = service_ends(*herd_, *each);
    const bool kidded_since =
        !result.empty() &&
        std::any_of(litters.begin(), litters.end(), [&](const DoeLitter& litter) {
          return litter.date.known() && litter.date.earliest() > result.back().first &&
                 litter.date.earliest() <= first;
        });
    if (result.empty() || kidded_since || first - result.back().last > turn_gap) {
      result.push_back({.services = {}, .first = first, .last = last, .checks = {}});
    }
    ServiceTurn& turn = result.back();
    turn.services.push_back(each);
    turn.last = std::max(turn.last, last);
    turn.running = turn.running || (!each->to.known() && each->how == ServiceHow::pen);
  }
  std::size_t next = 0;  // a kidding belongs to one turn
  for (ServiceTurn& turn : result) {
    for (std::size_t l = next; l < litters.size() && turn.litter == nullptr; ++l) {
      if (!can_follow(turn, litters[l])) continue;
      turn.litter = &litters[l];
      next = l + 1;
    }
    const Date end =
        turn.litter != nullptr ? turn.litter->date.latest() : turn.last + longest_pregnancy;
    for (const PregnancyCheck* check : checks_[doe.position]) {
      if (!check->date.known()) continue;
      const Date day = check->date.latest();
      if (day >= turn.first + check_after && day <= end) turn.checks.push_back(check);
    }
    std::stable_sort(turn.checks.begin(), turn.checks.end(),
                     [](const PregnancyCheck* a, const PregnancyCheck* b) {
                       return a->date.latest() < b->date.latest();
                     });
  }
  return result;
}

bool last_found_empty(const ServiceTurn& turn) {
  for (auto check = turn.checks.rbegin(); check != turn.checks.rend(); ++check) {
    if ((*check)->result == PregnancyResult::unclear) continue;
    return (*check)->result == PregnancyResult::empty;
  }
  return false;
}

bool once_found_in_kid(const ServiceTurn& turn) {
  return std::any_of(turn.checks.begin(), turn.checks.end(), [](const PregnancyCheck* check) {
    return check->result == PregnancyResult::in_kid;
  });
}

bool is_over(const Herd& herd, const ServiceTurn& turn) {
  return herd.as_of > turn.last + longest_pregnancy;
}

}  // namespace doewright
