// SPDX-License-Identifier: MIT
#include <doewright/pedigree/offspring.hpp>

#include <doewright/core/errors.hpp>

namespace doewright {

namespace {

/// Calls `use(parent, kid)` for every known parent in pedigree order of the kids; stand-in s of n
/// animals counts as parent n + s. Sire and dam in one give one call.
template <class Use>
void for_each_parent(const Pedigree& pedigree, Use use) {
  const auto sires = pedigree.sire_slots();
  const auto dams = pedigree.dam_slots();
  const std::size_t n = pedigree.size();
  for (std::uint32_t kid = 0; kid < n; ++kid) {
    const std::uint32_t sire = sires[kid];
    if (Pedigree::is_stand_in(sire)) {
      use(n + Pedigree::stand_in_of(sire), kid);
    } else if (sire != Pedigree::none) {
      use(std::size_t{sire}, kid);
    }
    if (dams[kid] != Pedigree::none && dams[kid] != sire) use(std::size_t{dams[kid]}, kid);
  }
}

/// Turns counts, kept one place to the right, into the first index of each.
void counts_to_first(std::vector<std::uint32_t>& first) {
  for (std::size_t i = 1; i < first.size(); ++i) first[i] += first[i - 1];
}

/// Filling moved every first index to the end of its group, which is where the next begins.
void shift_back(std::vector<std::uint32_t>& first) {
  for (std::size_t i = first.size() - 1; i > 0; --i) first[i] = first[i - 1];
  first[0] = 0;
}

template <class T>
std::span<const T> group(const std::vector<T>& all, const std::vector<std::uint32_t>& first,
                         std::size_t i) {
  return std::span(all).subspan(first[i], first[i + 1] - first[i]);
}

}  // namespace

Offspring::Offspring(const Pedigree& pedigree)
    : animals_(pedigree.size()), first_(pedigree.size() + pedigree.stand_ins() + 1) {
  for_each_parent(pedigree, [&](std::size_t parent, std::uint32_t) { ++first_[parent + 1]; });
  counts_to_first(first_);
  kids_.resize(first_.back());
  for_each_parent(pedigree, [&](std::size_t parent, std::uint32_t kid) {
    kids_[first_[parent]++] = Animal{kid};
  });
  shift_back(first_);

  if (pedigree.stand_ins() == 0) return;
  candidate_first_.resize(animals_ + 1);
  const auto stand_ins = static_cast<std::uint32_t>(pedigree.stand_ins());
  for (std::uint32_t s = 0; s < stand_ins; ++s) {
    for (const SireChance& chance : pedigree.stand_in(s))
      ++candidate_first_[chance.sire.position + 1];
  }
  counts_to_first(candidate_first_);
  candidate_of_.resize(candidate_first_.back());
  for (std::uint32_t s = 0; s < stand_ins; ++s) {
    for (const SireChance& chance : pedigree.stand_in(s)) {
      candidate_of_[candidate_first_[chance.sire.position]++] = s;
    }
  }
  shift_back(candidate_first_);
}

std::span<const Animal> Offspring::of(Animal parent) const {
  if (parent.position >= animals_) throw UsageError("offspring: an animal that is not there");
  return group(kids_, first_, parent.position);
}

std::span<const Animal> Offspring::of_stand_in(std::uint32_t s) const {
  if (s >= first_.size() - 1 - animals_)
    throw UsageError("offspring: a stand-in that is not there");
  return group(kids_, first_, animals_ + s);
}

std::span<const std::uint32_t> Offspring::stand_ins_of(Animal sire) const {
  if (sire.position >= animals_) throw UsageError("offspring: an animal that is not there");
  if (candidate_first_.empty()) return {};
  return group(candidate_of_, candidate_first_, sire.position);
}

}  // namespace doewright
