// SPDX-License-Identifier: MIT
#include <doewright/pairing/doe_review.hpp>

#include <algorithm>

#include <doewright/herd/evidence.hpp>
#include <doewright/timing/in_kid.hpp>
#include <doewright/timing/offer.hpp>

namespace doewright {

namespace {

constexpr int season_days = 200;         // longer ago than any gestation: another season
constexpr int raising_days = 90;         // kids are weaned by then (common practice, no source)
constexpr double herd_counts_for = 5.0;  // kiddings
constexpr int kidding_follows = 120;     // days after a service at the least

Date last_day(const Herd& herd, const Service& service) {
  if (service.to.known()) return service.to.latest();
  if (service.how == ServiceHow::pen) {
    return std::max(service.from.latest(), day_he_left(herd, service.sire).value_or(herd.as_of));
  }
  return service.from.latest();
}

bool found_empty(const Herd& herd, const Service& service) {
  const Date telling = last_day(herd, service) + check_tells_after;
  return std::any_of(
      herd.pregnancy_checks.begin(), herd.pregnancy_checks.end(), [&](const PregnancyCheck& check) {
        return check.doe == service.doe && check.date.known() &&
               check.result == PregnancyResult::empty && check.date.earliest() >= telling;
      });
}

/// Back in heat since, and next to no chance left that she is in kid of it.
bool has_failed(const Herd& herd, const Offspring& offspring, const Service& service) {
  const Date last = last_day(herd, service);
  const bool back = std::any_of(herd.heats.begin(), herd.heats.end(), [&](const Heat& heat) {
    return heat.doe == service.doe && heat.date.to_the_day() && heat.date.earliest() > last &&
           heat.date.earliest() <= herd.as_of;
  });
  if (!back) return false;
  const std::optional<StandsInKid> stands = stands_in_kid(herd, offspring, service.doe);
  return stands && stands->probability < failed_below;
}

DoeRecord record_of(const Herd& herd, Animal doe, std::optional<double> herd_mean) {
  DoeRecord record;
  for (const Kidding& kidding : herd.kiddings) {
    if (kidding.doe != doe) continue;
    ++record.kiddings;
    if (kidding.kids_raised) {
      ++record.raised_known;
      record.raised += *kidding.kids_raised;
    }
    if (kidding.help == KiddingHelp::unknown) continue;
    ++record.help_known;
    if (kidding.help != KiddingHelp::none) ++record.helped;
    if (kidding.help == KiddingHelp::hard) ++record.hard;
  }
  if (herd_mean) {
    record.raised_expected = (record.raised + herd_counts_for * *herd_mean) /
                             (static_cast<double>(record.raised_known) + herd_counts_for);
  }
  return record;
}

/// Kids of her last kidding lived, as far as is recorded.
bool kids_lived(const Herd& herd, Animal doe, Date kidded) {
  for (const Kidding& kidding : herd.kiddings) {
    if (kidding.doe != doe || !kidding.date.known()) continue;
    if (std::min(kidding.date.latest(), herd.as_of) != kidded) continue;
    if (kidding.kids_raised) return *kidding.kids_raised > 0;
    if (kidding.kids_alive) return *kidding.kids_alive > 0;
  }
  return true;
}

/// The last day of the latest service of an earlier season, if no kidding followed its first day.
std::optional<Date> left_open(const Herd& herd, std::optional<Date> kidded, Animal doe) {
  const Service* last = nullptr;
  for (const Service& service : herd.services) {
    if (service.doe != doe || !service.from.known()) continue;
    if (last_day(herd, service) >= herd.as_of - season_days) continue;
    if (last == nullptr || service.from.earliest() >= last->from.earliest()) last = &service;
  }
  if (last == nullptr) return std::nullopt;
  if (kidded && *kidded >= last->from.earliest() + kidding_follows) return std::nullopt;
  return last_day(herd, *last);
}

std::vector<FaultIndex> faults_shown(const Herd& herd, const EvidenceIndex& evidence, Animal doe) {
  std::vector<FaultIndex> shown;
  for (std::size_t f = 0; f < herd.faults.size(); ++f) {
    const FaultModel& model = herd.faults[f];
    if (!model.use || model.key == "polled") continue;  // no fault by itself
    const auto fault = static_cast<FaultIndex>(f);
    if (evidence.looked_at(doe, fault).look == Look::found) shown.push_back(fault);
  }
  return shown;
}

}  // namespace

std::optional<Service> served_this_season(const Herd& herd, const Offspring& offspring,
                                          Animal doe) {
  const std::optional<Date> kidded = last_kidding(herd, offspring, doe);
  const Service* latest = nullptr;
  for (const Service& service : herd.services) {
    if (service.doe != doe || !service.from.known()) continue;
    const bool begun = service.from.earliest() <= herd.as_of;
    const bool this_season = last_day(herd, service) >= herd.as_of - season_days &&
                             (!kidded || service.from.latest() > *kidded);
    if (!begun || !this_season || found_empty(herd, service)) continue;
    if (latest == nullptr || service.from.earliest() >= latest->from.earliest()) latest = &service;
  }
  if (latest == nullptr || has_failed(herd, offspring, *latest)) return std::nullopt;
  return *latest;
}

DoesReview review_does(const Herd& herd, const Offspring& offspring) {
  DoesReview result;
  double raised = 0.0;
  for (const Kidding& kidding : herd.kiddings) {
    if (!kidding.kids_raised) continue;
    raised += *kidding.kids_raised;
    ++result.herd_kiddings;
  }
  if (result.herd_kiddings > 0) {
    result.herd_raised = raised / static_cast<double>(result.herd_kiddings);
  }
  const EvidenceIndex evidence(herd);
  for (const DoeForward& doe : herd.does) {
    DoeReview review;
    review.doe = doe;
    review.first_day = first_day_of_service(herd, doe);
    review.fitness = fitness(herd, offspring, doe, review.first_day);
    review.record = record_of(herd, doe.doe, result.herd_raised);
    const std::optional<Date> kidded = last_kidding(herd, offspring, doe.doe);
    if (kidded && review.first_day - *kidded < raising_days && kids_lived(herd, doe.doe, *kidded)) {
      review.raising_since = kidded;
    }
    review.served = served_this_season(herd, offspring, doe.doe);
    review.left_open = left_open(herd, kidded, doe.doe);
    review.shows = faults_shown(herd, evidence, doe.doe);
    result.does.push_back(std::move(review));
  }
  return result;
}

}  // namespace doewright
