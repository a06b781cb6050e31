// SPDX-License-Identifier: MIT
#pragma once
/// RFC 4180 over a text in memory, with the place of every field.
///
/// A byte-order mark, CRLF, CR and LF line ends, and `;` or tab as separator (found from the
/// header) are understood; quoted fields may hold separators, line ends and doubled quotes. Lines
/// that are blank are passed over. Views stay valid until the next call of next(), and as long as
/// the text if nothing had to be unquoted (`is_plain`).
#include <array>
#include <cstddef>
#include <cstdint>
#include <deque>
#include <string>
#include <string_view>
#include <vector>

#include "complaints.hpp"

namespace doewright {

/// Where a field begins: physical line and character, both from 1.
struct Place {
  std::uint32_t line = 0;
  std::uint32_t column = 0;
};

class CsvReader {
 public:
  /// Reads the header. `complaints` may be null: then nothing is said (a second reading).
  CsvReader(std::string_view text, std::string_view file, Complaints* complaints);

  /// False if the file as a whole cannot be read; said already.
  bool usable() const noexcept { return usable_; }
  const std::vector<std::string>& header() const noexcept { return header_; }
  const std::vector<Place>& header_places() const noexcept { return header_places_; }

  /// Goes to the next row that is not blank and has as many fields as the header. Rows that have
  /// not are said and passed over. False at the end.
  bool next();

  std::uint32_t line() const noexcept { return fields_.empty() ? 0 : fields_.front().line; }
  /// Trimmed text of a field of the row. \pre index < header().size()
  std::string_view text(std::size_t index) const noexcept { return fields_[index].text; }
  bool is_plain(std::size_t index) const noexcept { return !fields_[index].unquoted; }
  Place place(std::size_t index) const noexcept;

  /// Was there a row that is not blank, good or bad?
  bool any_row() const noexcept { return any_row_; }
  /// Where the row begins in the text; for same_cells_as.
  std::size_t row_begin() const noexcept { return row_begin_; }
  /// Does the row that begins there hold the same cells as this row?
  bool same_cells_as(std::size_t row_begin) const;

 private:
  struct Field {
    std::string_view text;
    std::size_t begin = 0;       // offset of its first byte
    std::size_t line_begin = 0;  // offset of the first byte of its line
    std::uint32_t line = 0;
    bool unquoted = false;  // text lies in scratch_
  };

  CsvReader() = default;
  bool check_encoding();
  Place first_bad_character() const noexcept;
  void set_separator(char separator) noexcept;
  void find_separator() noexcept;
  bool skip_blank_lines() noexcept;
  bool read_header();
  void read_row();
  void read_field();
  bool read_quoted(Field& field);
  void unquote(Field& field);
  void look_for_rows_in(const Field& field);
  void read_unquoted(Field& field);
  void bad_quote(const Field& field, std::string_view what, std::string_view remedy);
  bool at_field_end() const noexcept;
  void line_end() noexcept;
  std::uint32_t column_of(std::size_t line_begin, std::size_t at) const noexcept;
  void complain(std::string_view code, Place place, std::string message, std::string remedy);

  std::string_view text_;
  std::string file_;
  Complaints* complaints_ = nullptr;
  char separator_ = ',';
  std::array<bool, 256> ends_field_ =
      {};  // separator, line ends, and the quote that must not stand there
  bool usable_ = false, any_row_ = false, bad_row_ = false;
  std::size_t at_ = 0, line_begin_ = 0, row_begin_ = 0;
  std::uint32_t line_ = 1;
  std::size_t header_width_ = 0;  // fields of the header, nameless ones at its end included
  bool nameless_said_ = false;
  std::vector<Field> fields_;
  std::deque<std::string> scratch_;  // unquoted texts of the row: they never move
  std::size_t scratch_used_ = 0;
  std::vector<std::string> header_;
  std::vector<Place> header_places_;
};

/// The name of a column as it is compared: without case, blanks and `_`.
std::string column_key(std::string_view name);

}  // namespace doewright
