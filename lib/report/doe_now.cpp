// SPDX-License-Identifier: MIT
#include "doe_now.hpp"

#include <algorithm>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

#include "preamble.hpp"

namespace doewright {

namespace {

constexpr int season_days = 200, return_from = 5;

Date last_day(const Herd& herd, const Service& service) {
  if (service.to.known()) return service.to.latest();
  return service.how == ServiceHow::pen ? herd.as_of : service.from.latest();
}

bool is_pen(const Service& service) {
  return service.how == ServiceHow::pen ||
         (service.to.known() && service.to.latest() > service.from.latest());
}

std::optional<Service> last_service(const Herd& herd, Animal doe) {
  std::optional<Service> last;
  for (const Service& service : herd.services) {
    if (service.doe != doe || !service.from.known()) continue;
    if (service.from.earliest() > herd.as_of) continue;
    if (last_day(herd, service) < herd.as_of - season_days) continue;
    if (!last || service.from.earliest() >= last->from.earliest()) last = service;
  }
  return last;
}

/// A heat seen after her last service, or after the last day of her pen.
std::optional<Date> seen_back(const Herd& herd, Animal doe, const Service& service) {
  const Date from =
      is_pen(service) ? last_day(herd, service) + 1 : service.from.latest() + return_from;
  std::optional<Date> back;
  for (const Heat& heat : herd.heats) {
    if (heat.doe != doe || !heat.date.to_the_day()) continue;
    const Date day = heat.date.earliest();
    if (day >= from && day <= herd.as_of) back = back ? std::max(*back, day) : day;
  }
  return back;
}

/// A service seen before her last one, in another heat of this season.
std::optional<Date> seen_before(const Herd& herd, const Service& last) {
  constexpr int cycles_looked_back = 63;
  std::optional<Date> before;
  for (const Service& service : herd.services) {
    if (service.doe != last.doe || !service.from.to_the_day() || is_pen(service)) continue;
    const int days = last.from.earliest() - service.from.earliest();
    if (days < return_from || days > cycles_looked_back) continue;
    before = before ? std::max(*before, service.from.earliest()) : service.from.earliest();
  }
  return before;
}

std::string_view by_what(PregnancyHow how) {
  switch (how) {
    case PregnancyHow::scan:
      return " by a scan";
    case PregnancyHow::blood:
      return " by a blood test";
    case PregnancyHow::milk:
      return " by a milk test";
    case PregnancyHow::hand:
      return " by hand";
    case PregnancyHow::unknown:
      break;
  }
  return "";
}

std::string chance_words(const DoeNow& now) {
  return fmt::format("{} in 100", fixed(100.0 * now.stands.probability, 0));
}

}  // namespace

DoeNow doe_now(const Herd& herd, const Offspring& offspring, Animal doe) {
  DoeNow now;
  const auto stands = stands_in_kid(herd, offspring, doe);
  if (!stands) return now;
  now.service = last_service(herd, doe);
  if (!now.service) return now;
  now.stands = *stands;
  now.is = DoeNowIs::served;
  if (stands->found_in_kid()) now.is = DoeNowIs::found_in_kid;
  if (stands->found_empty()) now.is = DoeNowIs::found_empty;
  now.back_on = seen_back(herd, doe, *now.service);
  const bool checked_since =
      now.back_on && stands->check && stands->check->date.latest() >= *now.back_on;
  if (checked_since) now.back_on.reset();
  // Some does in kid stand to be served all the same: one found in kid is not put back for a heat.
  if (now.back_on && now.is != DoeNowIs::found_in_kid) now.is = DoeNowIs::back;
  return now;
}

bool left_alone(const DoeNow& now) {
  return now.is == DoeNowIs::served || now.is == DoeNowIs::found_in_kid;
}

std::string check_words(const StandsInKid& stands) {
  const auto& check = stands.check;
  if (!check) return {};
  const bool in_kid = check->result == PregnancyResult::in_kid;
  std::string text = fmt::format("found {} on {}{}", in_kid ? "in kid" : "empty",
                                 to_text(check->date), by_what(check->how));
  if (in_kid && check->kids) {
    text += fmt::format(" ({} {})", *check->kids, *check->kids == 1 ? "kid" : "kids");
  }
  return text;
}

std::string service_words(const Herd& herd, const DoeNow& now) {
  if (!now.service) return {};
  const Service& service = *now.service;
  const std::string sire = short_name(herd, service.sire);
  if (!is_pen(service)) {
    const auto before = seen_before(herd, service);
    return fmt::format("served by {} on {}{}", sire, to_text(service.from),
                       before ? ", back in heat after " + to_text(*before) : "");
  }
  return fmt::format(
      "with {} from {} {}", sire, to_text(service.from),
      service.to.known() ? "to " + to_text(service.to) : std::string("on, no last day written"));
}

std::string now_words(const Herd& herd, const DoeNow& now) {
  const std::string service = service_words(herd, now);
  switch (now.is) {
    case DoeNowIs::unserved:
      return {};
    case DoeNowIs::found_in_kid:
      return check_words(now.stands) + "; " + service +
             (now.back_on ? fmt::format("; in heat on {} all the same: test her again",
                                        to_text(*now.back_on))
                          : std::string());
    case DoeNowIs::found_empty:
      return fmt::format("{}; {}; {} in kid all the same", check_words(now.stands), service,
                         chance_words(now));
    case DoeNowIs::back:
      return fmt::format("{}; back in heat on {}; {} in kid all the same", service,
                         to_text(*now.back_on), chance_words(now));
    case DoeNowIs::served: {
      std::string text = service;
      if (now.stands.check) text += "; " + check_words(now.stands);
      return fmt::format("{}; {} in kid as of today", text, chance_words(now));
    }
  }
  return {};
}

}  // namespace doewright
