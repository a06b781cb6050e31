// SPDX-License-Identifier: MIT
#pragma once
/// A doe's services, checks, kiddings and kids put in order: what came of which service.
#include <optional>
#include <span>
#include <vector>

#include <doewright/herd/herd.hpp>
#include <doewright/pedigree/offspring.hpp>

namespace doewright {

/// One kidding: its row, its kids in the book, or both.
struct DoeLitter {
  const Kidding* row = nullptr;
  PartialDate date;  ///< Of the row, else of the first kid.
  std::vector<Animal> kids;

  /// As written, at least the kids in the book; else these; empty if there are none.
  std::optional<double> born() const;
  std::optional<double> alive() const;
  std::optional<double> raised() const;
};

/// One doe put to some bucks in one season.
struct ServiceTurn {
  std::vector<const Service*> services;  ///< By day.
  Date first, last;                      ///< A running pen: as-of.
  bool running = false;
  std::vector<const PregnancyCheck*> checks;  ///< By day, 20 days after `first` or later.
  const DoeLitter* litter = nullptr;          ///< What came of it.
};

/// Facts by doe, looked up once for the whole book.
class DoeHistories {
 public:
  explicit DoeHistories(const Herd& herd);  ///< The herd must outlive it.

  /// Every kidding, oldest first, undated last.
  std::vector<DoeLitter> litters(Animal doe) const;
  /// Services by `sire`, or by anybody, in turns: a kidding of hers or 120 days part two turns.
  /// Services without a date are left out. `litters` must outlive the result.
  std::vector<ServiceTurn> turns(Animal doe, std::optional<Animal> sire,
                                 std::span<const DoeLitter> litters) const;
  std::span<const Service* const> services(Animal doe) const { return services_[doe.position]; }

 private:
  const Herd* herd_;
  Offspring offspring_;
  std::vector<std::vector<const Service*>> services_;
  std::vector<std::vector<const PregnancyCheck*>> checks_;
  std::vector<std::vector<const Kidding*>> kiddings_;
};

/// First and last day of a service. \pre service.from.known()
Date service_begins(const Service& service);
Date service_ends(const Herd& herd, const Service& service);

/// The last check that told found her empty.
bool last_found_empty(const ServiceTurn& turn);
bool once_found_in_kid(const ServiceTurn& turn);
/// No kid can come of it any more: 170 days are over.
bool is_over(const Herd& herd, const ServiceTurn& turn);

}  // namespace doewright
