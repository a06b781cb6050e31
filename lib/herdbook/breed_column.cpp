// SPDX-License-Identifier: MIT
#include "breed_column.hpp"

#include <cmath>
#include <utility>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

namespace doewright {

namespace {

constexpr double rounding_of_shares = 0.02;  // thirds and sevenths are written with few digits
constexpr std::size_t most_breeds = 0xFFFF;  // BreedShare holds 16 bits

/// "3/4" or "0.75"; nothing if it is neither, or not above zero.
std::optional<double> share_of(std::string_view text) {
  const std::size_t bar = text.find('/');
  const auto top = read_number(text.substr(0, bar));
  const auto bottom =
      bar == std::string_view::npos ? std::optional(1.0) : read_number(text.substr(bar + 1));
  if (!top || !bottom || *top <= 0.0 || *bottom <= 0.0) return std::nullopt;
  const double share = *top / *bottom;
  return share > 0.0 && std::isfinite(share) ? std::optional(share) : std::nullopt;
}

}  // namespace

/// "nigerian dwarf:1/2 boer:1/2": a name goes up to its colon, a share up to the next blank.
std::optional<std::vector<BreedColumn::Part>> BreedColumn::parts_of(std::string_view cell) {
  std::vector<Part> parts;
  while (!cell.empty()) {
    const std::size_t colon = cell.find(':');
    if (colon == std::string_view::npos) return std::nullopt;
    const std::string_view name = trimmed(cell.substr(0, colon));
    cell = trimmed(cell.substr(colon + 1));
    const std::size_t end = std::min(cell.find(' '), cell.size());
    const auto share = share_of(cell.substr(0, end));
    if (name.empty() || !share) return std::nullopt;
    parts.push_back({name, *share});
    cell = trimmed(cell.substr(end));
  }
  return parts;
}

std::optional<std::vector<BreedShare>> BreedColumn::mix_of(const std::vector<Part>& parts) {
  double sum = 0.0;
  for (const Part& part : parts) sum += part.share;
  std::vector<BreedShare> mix;
  for (const Part& part : parts) {
    const auto number = static_cast<std::uint32_t>(names_.size());
    const auto [entry, is_new] = name_numbers_.try_emplace(lower_ascii(part.name), number);
    if (is_new) names_.emplace_back(part.name);
    if (entry->second >= most_breeds) return std::nullopt;
    mix.push_back({static_cast<std::uint16_t>(entry->second), part.share / sum});
  }
  return mix;
}

std::uint32_t BreedColumn::read(TableReader& table, std::size_t column) {
  const std::string_view cell = table.words_of(column);
  if (cell.empty()) return 0;
  if (const auto known = mix_numbers_.find(std::string(cell)); known != mix_numbers_.end()) {
    return known->second;
  }
  const auto slip = [&](std::string message) {
    table.error("number-form", table.place(column), "breed: " + std::move(message),
                "write a breed, or shares such as boer:3/4 nubian:1/4");
    return 0u;
  };
  const bool is_name = cell.find(':') == std::string_view::npos;
  const auto parts = is_name ? std::vector<Part>{{cell, 1.0}} : parts_of(cell);
  if (!parts) return slip(fmt::format("{} cannot be read as shares", quoted(cell)));
  double sum = 0.0;
  for (const Part& part : *parts) sum += part.share;
  if (std::abs(sum - 1.0) > rounding_of_shares) {
    return slip(fmt::format("the shares sum to {}, not 1", shortest(sum)));
  }
  auto mix = mix_of(*parts);
  if (!mix) return slip("there are more than 65535 different breeds");
  mixes_.push_back(std::move(*mix));
  const auto number = static_cast<std::uint32_t>(mixes_.size() - 1);
  mix_numbers_.emplace(cell, number);
  return number;
}

void BreedColumn::give(AnimalFacts& facts) && {
  facts.breed_names = std::move(names_);
  facts.breed_mixes = std::move(mixes_);
}

}  // namespace doewright
