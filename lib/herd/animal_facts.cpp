// SPDX-License-Identifier: MIT
#include <doewright/herd/animal_facts.hpp>

#include <algorithm>
#include <utility>

#include <doewright/core/errors.hpp>

namespace doewright {

std::string_view word(Sex sex) noexcept {
  switch (sex) {
    case Sex::unknown:
      return "";
    case Sex::doe:
      return "doe";
    case Sex::buck:
      return "buck";
    case Sex::wether:
      return "wether";
    case Sex::intersex:
      return "intersex";
  }
  return "";
}

std::string_view word(Horns horns) noexcept {
  switch (horns) {
    case Horns::unknown:
      return "";
    case Horns::horned:
      return "horned";
    case Horns::polled:
      return "polled";
  }
  return "";
}

std::string_view word(LeftWhy why) noexcept {
  switch (why) {
    case LeftWhy::unknown:
      return "";
    case LeftWhy::sold:
      return "sold";
    case LeftWhy::died:
      return "died";
    case LeftWhy::slaughtered:
      return "slaughtered";
    case LeftWhy::returned:
      return "returned";
  }
  return "";
}

void TextColumn::assign(std::vector<std::uint32_t> positions, std::vector<std::string_view> texts) {
  if (positions.size() != texts.size()) throw UsageError("text column: as many texts as positions");
  if (std::adjacent_find(positions.begin(), positions.end(), std::greater_equal<>()) !=
      positions.end()) {
    throw UsageError("text column: positions must ascend");
  }
  std::size_t bytes = 0;
  for (const std::string_view text : texts) bytes += text.size();
  // Built beside the old column: the texts may point into it.
  std::string all;
  all.reserve(bytes);
  std::vector<std::uint64_t> ends;
  ends.reserve(texts.size());
  for (const std::string_view text : texts) {
    all += text;
    ends.push_back(all.size());
  }
  positions_ = std::move(positions);
  ends_ = std::move(ends);
  bytes_ = std::move(all);
}

std::string_view TextColumn::operator[](Animal animal) const noexcept {
  const auto found = std::lower_bound(positions_.begin(), positions_.end(), animal.position);
  if (found == positions_.end() || *found != animal.position) return {};
  const auto k = static_cast<std::size_t>(found - positions_.begin());
  const std::uint64_t begin = k == 0 ? 0 : ends_[k - 1];
  return std::string_view(bytes_).substr(begin, ends_[k] - begin);
}

}  // namespace doewright
