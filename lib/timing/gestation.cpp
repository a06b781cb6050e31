// SPDX-License-Identifier: MIT
#include <doewright/timing/gestation.hpp>

#include <algorithm>
#include <cmath>
#include <limits>

#include <doewright/core/errors.hpp>
#include <doewright/core/normal.hpp>
#include <doewright/core/text.hpp>

namespace doewright {

namespace {

/// Integral over one day of service of the chance that she has kidded `after` days from its start.
double kidded_by(double after, const GestationClass& gestation) {
  const auto integral = [&](double a) {
    const double z = a / gestation.sd;
    return a * normal_below(z) + gestation.sd * normal_density(z);
  };
  const double a = after - gestation.mean;
  return integral(a) - integral(a - 1.0);
}

double chance_by(std::span<const DueFrom> parts, double point) {
  double sum = 0.0;
  for (const DueFrom& part : parts) {
    const double begins = part.first - parts.front().first;
    for (std::size_t t = 0; t < part.weight.size(); ++t) {
      if (part.weight[t] == 0.0) continue;
      sum += part.weight[t] * kidded_by(point - begins - static_cast<double>(t), part.gestation);
    }
  }
  return sum;
}

Date days_after(Date first, double days) {
  return first + static_cast<std::int32_t>(days);
}

}  // namespace

GestationClass gestation_of(const Season& season, std::span<const BreedShare> shares,
                            const std::vector<std::string>& breed_names) {
  std::string breed;
  double largest = 0.0;
  for (const BreedShare& share : shares) {
    const std::string name = lower_ascii(breed_names.at(share.breed));
    const bool larger = share.share > largest + 1e-12;
    const bool tied = !larger && share.share > largest - 1e-12;
    if (larger || (tied && largest > 0.0 && name < breed)) breed = name;
    largest = std::max(largest, share.share);
  }
  const auto named = season.gestation_class_of_breed.find(breed);
  const auto find = [&](const std::string& word) { return season.gestation.find(word); };
  auto found =
      named == season.gestation_class_of_breed.end() ? season.gestation.end() : find(named->second);
  if (found == season.gestation.end()) found = find("unknown");
  return found == season.gestation.end() ? GestationClass{} : found->second;
}

double gestation_chance(const GestationClass& gestation, int days) {
  const double low = (days - 0.5 - gestation.mean) / gestation.sd;
  const double high = (days + 0.5 - gestation.mean) / gestation.sd;
  return low > 0.0 ? normal_above(low) - normal_above(high)
                   : normal_below(high) - normal_below(low);
}

double gestation_point(const GestationClass& gestation, double p) {
  return gestation.mean + gestation.sd * normal_quantile(p);
}

double due_point(std::span<const DueFrom> parts, double p) {
  double weight = 0.0, low = 0.0, high = 0.0;
  bool any = false;
  for (const DueFrom& part : parts) {
    const double begins = part.first - parts.front().first;
    const double days = static_cast<double>(part.weight.size());
    for (const double w : part.weight) weight += w;
    const double least = begins + part.gestation.mean - 40.0 * part.gestation.sd;
    const double most = begins + days + part.gestation.mean + 40.0 * part.gestation.sd;
    low = any ? std::min(low, least) : least;
    high = any ? std::max(high, most) : most;
    any = true;
  }
  if (!(weight > 0.0)) return std::numeric_limits<double>::quiet_NaN();
  while (high - low > 1e-10) {
    const double middle = 0.5 * (low + high);
    if (middle <= low || middle >= high) break;
    (chance_by(parts, middle) < p * weight ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

DueWindow due_after_service(Date service, const GestationClass& gestation) {
  return {days_after(service, std::floor(gestation_point(gestation, 0.05))),
          days_after(service, std::round(gestation.mean)),
          days_after(service, std::ceil(gestation_point(gestation, 0.95)))};
}

DueWindow due_after_days(std::span<const DueFrom> parts) {
  const double low = due_point(parts, 0.05);
  if (std::isnan(low)) throw UsageError("due_after_days: no day of conception has a weight");
  const Date first = parts.front().first;
  return {days_after(first, std::floor(low - 0.5)),
          days_after(first, std::round(due_point(parts, 0.5) - 0.5)),
          days_after(first, std::ceil(due_point(parts, 0.95) - 0.5))};
}

}  // namespace doewright
