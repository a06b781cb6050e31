// SPDX-License-Identifier: MIT
#pragma once
/// One locus of a herd: its evidence, and the worlds of genotypes it leaves possible.
#include <memory>
#include <mutex>
#include <optional>
#include <span>
#include <vector>

#include <doewright/herd/evidence.hpp>
#include <doewright/herd/herd.hpp>

#include "locus_records.hpp"
#include "locus_world.hpp"

namespace doewright {

class LocusFit {
 public:
  /// The herd must outlive the fit.
  LocusFit(const Herd& herd, Locus locus, const EvidenceIndex& evidence, bool with_told,
           const LocusWorldOptions& options);

  const Locus& locus() const noexcept { return locus_; }
  const std::vector<LocusRecord>& records() const noexcept { return records_; }
  const LocusInput& input() const noexcept { return input_; }
  const LocusWorldOptions& options() const noexcept { return options_; }
  bool x_linked() const noexcept { return input_.transmission.x_linked; }
  double frequency(Animal animal) const { return input_.frequency[animal.position]; }
  Sex sex(Animal animal) const { return input_.sex[animal.position]; }

  /// All evidence. The last one asked for is kept: signs of one locus ask the same.
  std::shared_ptr<const LocusWorld> world(std::span<const Animal> asked, const Run& run) const;
  /// X-linked, of an animal of unknown sex: chance of each sex with each number of copies, given
  /// everything: both sexes are tried. Empty: beyond the tables. Cost: two eliminations.
  std::optional<CopiesBySex> sexes_of(Animal animal, const Run& run) const;

  /// Records that cannot all be true together and of which none can be left out; empty: all can be.
  /// Cost: the smaller the set, the fewer eliminations: about its size times log2 of the records.
  std::vector<std::size_t> contradiction(const Run& run) const;

 private:
  bool possible_with(const std::vector<std::size_t>& some, const Run& run) const;
  std::vector<std::size_t> smallest_beside(const std::vector<std::size_t>& given, bool given_grew,
                                           const std::vector<std::size_t>& some,
                                           const Run& run) const;

  const Herd* herd_;
  Locus locus_;
  LocusWorldOptions options_;
  std::vector<LocusRecord> records_;
  LocusInput input_;
  mutable std::mutex last_lock_;
  mutable std::vector<Animal> last_asked_;
  mutable std::shared_ptr<const LocusWorld> last_;
};

}  // namespace doewright
