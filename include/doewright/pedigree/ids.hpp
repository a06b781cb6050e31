// SPDX-License-Identifier: MIT
#pragma once
/// The names of animals, apart from the pedigree.
#include <cstdint>
#include <memory>
#include <optional>
#include <string_view>

#include <doewright/core/animal.hpp>
#include <doewright/export.hpp>

namespace doewright {

/// Ids by position and back: arbitrary UTF-8 text, compared byte for byte ("007" is not "7").
/// Immutable; a copy shares the storage; const calls are safe from any number of threads.
/// Cost: the bytes of the ids and about 24 bytes an animal.
class DOEWRIGHT_EXPORT Ids {
 public:
  Ids();
  std::size_t size() const noexcept;
  /// \throws UsageError if there is no such animal. The text lives as long as a copy of these Ids.
  std::string_view operator[](Animal animal) const;
  std::optional<Animal> find(std::string_view id) const noexcept;

 private:
  friend class PedigreeBuilder;
  struct Store;
  std::shared_ptr<const Store> store_;
};

}  // namespace doewright
