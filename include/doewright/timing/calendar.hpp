// SPDX-License-Identifier: MIT
#pragma once
/// The season's dates, doe by doe. Days of the trade, no orders: what disease, drugs and handling
/// need, a veterinarian and local law say.
#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

#include <doewright/core/animal.hpp>
#include <doewright/core/date.hpp>
#include <doewright/export.hpp>
#include <doewright/herd/herd.hpp>
#include <doewright/pedigree/offspring.hpp>

namespace doewright {

enum class CalendarWhat : std::uint8_t {
  isolation,       ///< Hired buck arrives: isolation_days before he meets the does.
  buck_in,         ///< First day of a stay, or of an offer.
  buck_out,        ///< Last day.
  service_window,  ///< Served from..to she kids between kid_from and kid_to.
  heat,            ///< Next heat of a doe not served since.
  return_heat,     ///< Watch for a return: cycles 1 and 2 after a service seen.
  blood_test,      ///< From day 30 (milk: 35); before, it says little.
  scan,            ///< Day 60; after a stay 45 days after its last day.
  dry_off,         ///< Day 90; after a stay 60 days before the 5 % point.
  feed_up,         ///< Day 100; after a stay 50 days before the 5 % point.
  booster,     ///< Day 120; after a stay 30 days before the median. The label and the vet win.
  watch_from,  ///< 5 % point of kidding.
  due,         ///< 5 % to 95 %, the median between.
  query,       ///< Mean + 7 days: if she has not kidded, ask.
  found_empty  ///< As of today; `since` is the check: test her again or put her back.
};

/// Stable word: "return-heat", "dry-off".
DOEWRIGHT_EXPORT std::string_view word(CalendarWhat what) noexcept;

/// One row of the calendar; low <= date <= high.
struct CalendarEvent {
  std::optional<Animal> doe;   ///< Empty: of a sire, not of a doe.
  std::optional<Animal> sire;  ///< Where one is meant.
  Date date, low, high;        ///< low..high: 5-95 % points, or the days that do.
  CalendarWhat what = CalendarWhat::due;
  Date since;               ///< Service, last heat or first day of the stay it is counted from.
  bool after_stay = false;  ///< No service was seen: counted from a stay.
  std::optional<double> in_kid;  ///< Chance that she is in kid as of today, 0..1, of a served doe.
  /// Not seen back, but under four in five does cycle then: StandsInKid::quiet_on.
  std::optional<Date> quiet_on;
};

/// Everything from as-of on: rows whose last day is before as-of are left out. By date, then doe
/// id, then what.
///
/// Does with a service in the last 200 days and no kidding since are counted from their last
/// service seen, or from the stays after it, a pen without a last day up to as-of. Other does put
/// forward get heats (three cycles on from a heat seen in the last 63 days, 5-95 % points of
/// N(21k, 1.5 sqrt k)) and the service window. in_kid: stands_in_kid(). A doe found empty
/// (StandsInKid::found_empty(): her last clear check says so, and she is in kid with a chance under
/// .5) has one row, found_empty, and nothing is due of her. One of which the services have failed
/// (failed_below) counts as not served. One found in kid is not watched for returns and not tested again; she is scanned where the check was no scan. Sires on offer with
/// terms own or hired: buck in, buck out, isolation counted back. Source of the days: facts of the
/// trade as named at CalendarWhat; common practice where not.
DOEWRIGHT_EXPORT std::vector<CalendarEvent> calendar(const Herd& herd, const Offspring& offspring);

}  // namespace doewright
