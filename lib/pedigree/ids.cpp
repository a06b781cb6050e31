// SPDX-License-Identifier: MIT
#include <doewright/pedigree/ids.hpp>

#include <algorithm>

#include <doewright/core/errors.hpp>

#include "id_table.hpp"

namespace doewright {

namespace {

/// FNV-1a over the bytes, then the last step of MurmurHash3, which spreads the high bits into the
/// low ones: ids that differ in their last digit alone must not crowd together.
std::uint64_t hash_of(std::string_view text) noexcept {
  std::uint64_t hash = 0xCBF29CE484222325u;
  for (const char c : text) hash = (hash ^ static_cast<unsigned char>(c)) * 0x100000001B3u;
  hash = (hash ^ (hash >> 33)) * 0xFF51AFD7ED558CCDu;
  hash = (hash ^ (hash >> 33)) * 0xC4CEB9FE1A85EC53u;
  return hash ^ (hash >> 33);
}

bool is_crowded(std::size_t texts, std::size_t slots) noexcept {
  return texts * 10 > slots * 6;
}

}  // namespace

std::string_view IdTable::text_of(std::uint32_t number) const noexcept {
  std::size_t at = start_[number];
  std::size_t length = 0;
  for (unsigned shift = 0;; shift += 7) {
    const auto byte = static_cast<unsigned char>(bytes_[at++]);
    length |= static_cast<std::size_t>(byte & 0x7F) << shift;
    if (byte < 0x80) return {bytes_.data() + at, length};
  }
}

/// Where the text stands, or the free slot where it would.
std::size_t IdTable::slot_of(std::string_view text) const noexcept {
  const std::size_t mask = slots_.size() - 1;
  std::size_t slot = hash_of(text) & mask;
  while (slots_[slot] != none && text_of(slots_[slot]) != text) slot = (slot + 1) & mask;
  return slot;
}

std::uint32_t IdTable::find(std::string_view text) const noexcept {
  return slots_.empty() ? none : slots_[slot_of(text)];
}

std::uint32_t IdTable::number_of(std::string_view text) {
  if (is_crowded(size() + 1, slots_.size())) grow(std::max<std::size_t>(16, slots_.size() * 2));
  const std::size_t slot = slot_of(text);
  if (slots_[slot] != none) return slots_[slot];
  const auto number = static_cast<std::uint32_t>(size());
  start_.push_back(bytes_.size());
  std::size_t length = text.size();
  for (; length >= 0x80; length >>= 7) bytes_.push_back(static_cast<char>(length | 0x80));
  bytes_.push_back(static_cast<char>(length));
  bytes_.insert(bytes_.end(), text.begin(), text.end());
  slots_[slot] = number;
  return number;
}

void IdTable::grow(std::size_t slots) {
  slots_ = {};  // the old ones are not needed: give them back first
  slots_.assign(slots, none);
  const std::size_t mask = slots - 1;
  for (std::uint32_t number = 0; number < size(); ++number) {
    std::size_t slot = hash_of(text_of(number)) & mask;  // all texts differ: no comparing
    while (slots_[slot] != none) slot = (slot + 1) & mask;
    slots_[slot] = number;
  }
}

void IdTable::reserve(std::size_t texts, std::size_t bytes) {
  start_.reserve(texts);
  bytes_.reserve(bytes + texts);
  std::size_t slots = std::max<std::size_t>(16, slots_.size());
  while (is_crowded(texts, slots)) slots *= 2;
  if (slots > slots_.size()) grow(slots);
}

void IdTable::renumber(std::span<const std::uint32_t> new_number) {
  std::vector<std::uint64_t> start(start_.size());
  for (std::size_t i = 0; i < start.size(); ++i) start[new_number[i]] = start_[i];
  start_ = std::move(start);
  for (std::uint32_t& number : slots_) {
    if (number != none) number = new_number[number];
  }
}

Ids::Ids() : store_(std::make_shared<const Store>()) {}

std::size_t Ids::size() const noexcept {
  return store_->table.size();
}

std::string_view Ids::operator[](Animal animal) const {
  if (animal.position >= size()) throw UsageError("ids: an animal that is not there");
  return store_->table.text_of(animal.position);
}

std::optional<Animal> Ids::find(std::string_view id) const noexcept {
  const std::uint32_t number = store_->table.find(id);
  if (number == IdTable::none) return std::nullopt;
  return Animal{number};
}

}  // namespace doewright
