// SPDX-License-Identifier: MIT
#pragma once
/// Text for people and for files: display width, safe printing, numbers that do not depend on the
/// locale, likeness of names.
#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include <doewright/export.hpp>

namespace doewright {

/// Is it well-formed UTF-8 (no overlong forms, no surrogates)?
DOEWRIGHT_EXPORT bool is_utf8(std::string_view text) noexcept;

/// Characters (code points) of UTF-8 text.
DOEWRIGHT_EXPORT std::size_t count_characters(std::string_view text) noexcept;

/// Columns that UTF-8 text takes on a terminal: 2 for wide characters, 0 for combining marks and
/// control characters.
DOEWRIGHT_EXPORT std::size_t display_width(std::string_view text) noexcept;

/// The text cut to at most `width` columns, with "…" if something was cut, never inside a
/// character.
DOEWRIGHT_EXPORT std::string cut_to_width(std::string_view text, std::size_t width);

/// The text padded with blanks on the right (left) to `width` columns; longer text is left whole.
DOEWRIGHT_EXPORT std::string pad_right(std::string_view text, std::size_t width);
DOEWRIGHT_EXPORT std::string pad_left(std::string_view text, std::size_t width);

/// Does it hold a control character (C0, DEL, C1), a line or paragraph separator, or a character
/// that changes the direction of text (U+061C, U+200E, U+200F, U+202A-202E, U+2066-2069)?
DOEWRIGHT_EXPORT bool has_control(std::string_view text) noexcept;

/// Safe to print on a terminal: each such character, and each byte that is not UTF-8, as `\u{1B}` or
/// `\x{FF}`. Other text is unchanged.
DOEWRIGHT_EXPORT std::string printable(std::string_view text);

/// Shortest decimal text that reads back to the same double, with a point; negative zero is "0".
/// \pre value is finite.
DOEWRIGHT_EXPORT std::string shortest(double value);

/// Fixed decimals with a point, in any locale; a value that rounds to zero has no minus sign.
/// \pre decimals >= 0.
DOEWRIGHT_EXPORT std::string fixed(double value, int decimals);

/// A share as percent: percent(0.0625, 2) is "6.25 %".
DOEWRIGHT_EXPORT std::string percent(double share, int decimals);

/// Reads a whole number or decimal written with a point ("12", "-0.5", "1e3"), the whole text or
/// nothing. Not a number, infinity, hexadecimal and decimal commas are refused.
DOEWRIGHT_EXPORT std::optional<double> read_number(std::string_view text) noexcept;

/// Without blanks (space, tab, no-break space) at both ends.
DOEWRIGHT_EXPORT std::string_view trimmed(std::string_view text) noexcept;

/// ASCII letters in lower case; other bytes unchanged.
DOEWRIGHT_EXPORT std::string lower_ascii(std::string_view text);

/// What is left of a name when case, blanks, punctuation and the accents of Latin letters are put
/// aside: "Brämbel  2" and "brambel-2" fold to the same. For questions only: nothing is ever merged
/// on a likeness. Empty where nothing is left ("--").
DOEWRIGHT_EXPORT std::string folded(std::string_view text);

/// Edits (insert, drop, replace, swap of neighbours) that turn one text into the other, in
/// characters; the fewest with which no place is edited twice.
DOEWRIGHT_EXPORT std::size_t edit_distance(std::string_view a, std::string_view b);

/// The candidate nearest to `word`, if it is near enough to be a slip: at most max(1, length / 3)
/// edits. Ties: the first candidate.
DOEWRIGHT_EXPORT std::optional<std::string_view> nearest(
    std::string_view word, std::span<const std::string_view> candidates);

/// A CSV field: quoted if it must be; text that a spreadsheet would run as a formula (begins with
/// = + - @ or a tab) is quoted and preceded by an apostrophe.
DOEWRIGHT_EXPORT std::string csv_text(std::string_view text);

}  // namespace doewright
