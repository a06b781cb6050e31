// SPDX-License-Identifier: MIT
#include "locus_fit.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace doewright {

LocusFit::LocusFit(const Herd& herd, Locus locus, const EvidenceIndex& evidence, bool with_told,
                   const LocusWorldOptions& options)
    : herd_(&herd),
      locus_(std::move(locus)),
      options_(options),
      records_(locus_records(herd, locus_, evidence, with_told)),
      input_(locus_input(herd, locus_, records_, {})) {}

std::shared_ptr<const LocusWorld> LocusFit::world(std::span<const Animal> asked,
                                                  const Run& run) const {
  std::vector<Animal> sorted(asked.begin(), asked.end());
  std::sort(sorted.begin(), sorted.end());
  sorted.erase(std::unique(sorted.begin(), sorted.end()), sorted.end());
  const std::scoped_lock lock(last_lock_);
  if (!last_ || last_asked_ != sorted) {
    last_ = std::make_shared<const LocusWorld>(herd_->pedigree, input_, sorted, options_, run);
    last_asked_ = std::move(sorted);
  }
  return last_;
}

std::optional<CopiesBySex> LocusFit::sexes_of(Animal animal, const Run& run) const {
  LocusInput input = input_;
  const CopiesBySex likelihood = input.own[animal.position].likelihood;
  const std::array asked = {animal};
  std::array<double, 2> log_chance{};
  CopiesBySex result{};
  for (std::size_t sex = 0; sex < 2; ++sex) {
    // The sex stays unknown, so that the table of a living kid is divided by its sum over both.
    input.own[animal.position].likelihood[sex] = likelihood[sex];
    input.own[animal.position].likelihood[1 - sex] = Copies{0.0, 0.0, 0.0};
    const LocusWorld world(herd_->pedigree, input, asked, options_, run);
    if (world.drawn() != nullptr) return std::nullopt;
    log_chance[sex] = world.possible() ? world.log_total() : -INFINITY;
    if (world.possible()) result[sex] = world.marginal(animal);
  }
  const double largest = std::max(log_chance[0], log_chance[1]);
  if (!std::isfinite(largest)) return std::nullopt;
  double sum = 0.0;
  for (double& value : log_chance) sum += value = std::exp(value - largest);
  for (std::size_t sex = 0; sex < 2; ++sex) {
    for (double& p : result[sex]) p *= log_chance[sex] / sum;
  }
  return result;
}

bool LocusFit::possible_with(const std::vector<std::size_t>& some, const Run& run) const {
  std::vector<bool> left_out(records_.size(), true);
  for (const std::size_t r : some) left_out[r] = false;
  return can_be_true(herd_->pedigree, locus_input(*herd_, locus_, records_, left_out), options_, run);
}

/// Halving: which of `some` are needed beside `given` for a contradiction (Junker 2004, QuickXplain,
/// AAAI 19:167). \pre given and some together contradict.
std::vector<std::size_t> LocusFit::smallest_beside(const std::vector<std::size_t>& given,
                                                   bool given_grew,
                                                   const std::vector<std::size_t>& some,
                                                   const Run& run) const {
  if (given_grew && !possible_with(given, run)) return {};
  if (some.size() == 1) return some;
  const auto middle = some.begin() + static_cast<std::ptrdiff_t>(some.size() / 2);
  const std::vector<std::size_t> first(some.begin(), middle), second(middle, some.end());
  const auto both = [](std::vector<std::size_t> a, const std::vector<std::size_t>& b) {
    a.insert(a.end(), b.begin(), b.end());
    return a;
  };
  const auto of_second = smallest_beside(both(given, first), true, second, run);
  const auto of_first = smallest_beside(both(given, of_second), !of_second.empty(), first, run);
  return both(of_first, of_second);
}

std::vector<std::size_t> LocusFit::contradiction(const Run& run) const {
  std::vector<std::size_t> all(records_.size());
  for (std::size_t r = 0; r < all.size(); ++r) all[r] = r;
  if (all.empty() || possible_with(all, run)) return {};
  std::vector<std::size_t> result = smallest_beside({}, false, all, run);
  std::sort(result.begin(), result.end());
  return result;
}

}  // namespace doewright
