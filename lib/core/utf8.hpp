// SPDX-License-Identifier: MIT
#pragma once
/// Walking through UTF-8, one character at a time.
#include <cstddef>
#include <string>
#include <string_view>

namespace doewright {

/// The character a text begins with. A byte that does not begin a well-formed character stands for
/// itself: size 1, valid false.
struct Character {
  char32_t code = 0;
  std::size_t size = 1;  ///< Bytes.
  bool valid = false;
};

/// \pre text is not empty.
Character first_character(std::string_view text) noexcept;

/// Calls `use(character, bytes)` for each.
template <class Use>
void for_each_character(std::string_view text, Use use) {
  while (!text.empty()) {
    const Character character = first_character(text);
    use(character, text.substr(0, character.size));
    text.remove_prefix(character.size);
  }
}

/// Columns on a terminal: 0, 1 or 2; a byte that is no UTF-8 takes 1.
std::size_t width_of(const Character& character) noexcept;

}  // namespace doewright
