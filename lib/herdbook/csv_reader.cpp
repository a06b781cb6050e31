// SPDX-License-Identifier: MIT
#include "csv_reader.hpp"

#include <algorithm>
#include <cstring>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

namespace doewright {

namespace {

constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

bool is_line_end(char c) noexcept {
  return c == '\n' || c == '\r';
}

/// UTF-16 without a mark: every other byte of plain text is NUL.
bool is_full_of_nul(std::string_view text) {
  const std::string_view begin = text.substr(0, 256);
  const auto nuls = std::count(begin.begin(), begin.end(), '\0');
  return nuls > 0 && static_cast<std::size_t>(nuls) >= begin.size() / 4;
}

/// What a file that is no table of text seems to be, by its first bytes (their published
/// signatures).
std::string_view looks_like(std::string_view text) {
  using namespace std::string_view_literals;
  if (text.starts_with("PK\x03\x04") || text.starts_with("\xD0\xCF\x11\xE0")) {
    return "a spreadsheet workbook";
  }
  if (text.starts_with("%PDF")) return "a PDF";
  if (text.starts_with("{\\rtf")) return "a text processor's document";
  for (const std::string_view sign : {"\x89PNG"sv, "\xFF\xD8\xFF"sv, "GIF8"sv, "BM"sv, "RIFF"sv}) {
    // A table may begin with these letters; a picture soon holds a byte that no table has.
    const bool letters_only = sign == "GIF8" || sign == "BM" || sign == "RIFF";
    if (!text.starts_with(sign)) continue;
    if (!letters_only || text.substr(0, 64).find('\0') != std::string_view::npos)
      return "a picture";
  }
  if (text.starts_with("\xFF\xFE") || text.starts_with("\xFE\xFF")) return "text in UTF-16";
  if (is_full_of_nul(text)) return "text in UTF-16, or no text at all";
  const std::size_t first = text.find_first_not_of(" \t\r\n");
  if (first == std::string_view::npos) return {};
  const std::string begin = lower_ascii(text.substr(first, 14));
  for (const std::string_view sign : {"<!doctype"sv, "<html"sv, "<head"sv, "<?xml"sv, "<table"sv}) {
    if (begin.starts_with(sign)) return "a web page";
  }
  return {};
}

/// Nearly every table is plain ASCII: eight bytes at a time.
bool is_ascii(std::string_view text) noexcept {
  std::uint64_t bits = 0;
  std::size_t at = 0;
  for (; at + sizeof bits <= text.size(); at += sizeof bits) {
    std::uint64_t eight = 0;
    std::memcpy(&eight, text.data() + at, sizeof eight);
    bits |= eight;
  }
  bool high = (bits & 0x8080808080808080u) != 0;
  for (; at < text.size(); ++at) high = high || static_cast<unsigned char>(text[at]) >= 0x80;
  return !high;
}

/// Bytes of the character at the front; 0 if it is not UTF-8.
std::size_t size_of_character(std::string_view text) noexcept {
  for (std::size_t size = 1; size <= std::min<std::size_t>(4, text.size()); ++size) {
    if (is_utf8(text.substr(0, size))) return size;
  }
  return 0;
}

}  // namespace

std::string column_key(std::string_view name) {
  std::string key;
  for (const char c : lower_ascii(trimmed(name))) {
    if (c != '_' && c != ' ') key += c;
  }
  return key;
}

CsvReader::CsvReader(std::string_view text, std::string_view file, Complaints* complaints)
    : text_(text), file_(file), complaints_(complaints) {
  if (text_.starts_with(byte_order_mark)) text_.remove_prefix(byte_order_mark.size());
  usable_ = check_encoding() && read_header();
  if (!usable_ && complaints_ != nullptr) complaints_->whole_file_lost();
}

void CsvReader::complain(std::string_view code, Place place, std::string message,
                         std::string remedy) {
  if (complaints_ == nullptr) return;
  complaints_->error(code, file_, place.line, place.column, {}, std::move(message),
                     std::move(remedy));
}

bool CsvReader::check_encoding() {
  const std::string_view kind = looks_like(text_);
  if (!kind.empty()) {
    complain("encoding", {}, fmt::format("this is {}, not a table of text", kind),
             "save it from the spreadsheet as CSV, UTF-8");
    return false;
  }
  if (is_ascii(text_) || is_utf8(text_)) return true;
  complain("encoding", first_bad_character(), "the text is not UTF-8 here",
           "save the file again from the spreadsheet as CSV, UTF-8");
  return false;
}

Place CsvReader::first_bad_character() const noexcept {
  Place place{1, 1};
  for (std::size_t at = 0; at < text_.size();) {
    const std::size_t size = size_of_character(text_.substr(at));
    if (size == 0) break;
    const bool crlf = text_[at] == '\r' && at + 1 < text_.size() && text_[at + 1] == '\n';
    if (is_line_end(text_[at]) && !crlf) {
      ++place.line;
      place.column = 1;
    } else {
      ++place.column;
    }
    at += size;
  }
  return place;
}

void CsvReader::set_separator(char separator) noexcept {
  separator_ = separator;
  ends_field_.fill(false);
  for (const char c : {separator, '\n', '\r', '"'})
    ends_field_[static_cast<unsigned char>(c)] = true;
}

/// The separator is what stands most often in the header, outside quotes.
void CsvReader::find_separator() noexcept {
  std::size_t commas = 0, semicolons = 0, tabs = 0;
  bool quoted = false;
  for (std::size_t i = at_; i < text_.size(); ++i) {
    const char c = text_[i];
    if (c == '"') quoted = !quoted;
    if (quoted) continue;
    if (is_line_end(c)) break;
    commas += c == ',';
    semicolons += c == ';';
    tabs += c == '\t';
  }
  if (tabs > commas && tabs > semicolons) {
    set_separator('\t');
  } else {
    set_separator(semicolons > commas ? ';' : ',');
  }
}

/// False if nothing else is left.
bool CsvReader::skip_blank_lines() noexcept {
  while (at_ < text_.size()) {
    std::size_t end = at_;
    while (end < text_.size() && !is_line_end(text_[end])) ++end;
    if (!trimmed(text_.substr(at_, end - at_)).empty()) return true;
    at_ = end;
    if (at_ < text_.size()) line_end();
  }
  return false;
}

bool CsvReader::read_header() {
  set_separator(',');
  if (!skip_blank_lines()) {
    complain("empty-file", {}, "the file is empty", "write the names of the columns on line 1");
    return false;
  }
  find_separator();
  read_row();
  if (bad_row_) return false;
  header_width_ = fields_.size();
  // Place by place from the left: a header may have very many columns.
  Place at;
  std::size_t counted = 0;
  for (const Field& field : fields_) {
    if (field.line != at.line) at = {field.line, 1}, counted = field.line_begin;
    at.column +=
        static_cast<std::uint32_t>(count_characters(text_.substr(counted, field.begin - counted)));
    counted = field.begin;
    header_.emplace_back(field.text);
    header_places_.push_back(at);
  }
  const bool all_blank = std::all_of(header_.begin(), header_.end(),
                                     [](const std::string& name) { return name.empty(); });
  if (all_blank) {
    complain("header-missing", {header_places_.front().line, 0},
             "the names of the columns are missing", "write the names of the columns on line 1");
    return false;
  }
  while (header_.back().empty()) {  // empty columns at the right edge of a spreadsheet
    header_.pop_back();
    header_places_.pop_back();
  }
  return true;
}

void CsvReader::line_end() noexcept {
  if (text_[at_] == '\r' && at_ + 1 < text_.size() && text_[at_ + 1] == '\n') ++at_;
  ++at_;
  ++line_;
  line_begin_ = at_;
}

bool CsvReader::at_field_end() const noexcept {
  return at_ >= text_.size() || text_[at_] == separator_ || is_line_end(text_[at_]);
}

/// `at_` stands behind the opening quote; afterwards behind the closing one. False if there is
/// none.
bool CsvReader::read_quoted(Field& field) {
  const std::size_t begin = at_;
  bool doubled = false;
  while (at_ < text_.size()) {
    if (is_line_end(text_[at_])) {
      line_end();
    } else if (text_[at_] != '"') {
      ++at_;
    } else if (at_ + 1 < text_.size() && text_[at_ + 1] == '"') {
      doubled = true;
      at_ += 2;
    } else {
      field.text = text_.substr(begin, at_ - begin);
      ++at_;
      if (doubled) unquote(field);
      return true;
    }
  }
  return false;
}

void CsvReader::unquote(Field& field) {
  if (scratch_used_ == scratch_.size()) scratch_.emplace_back();
  std::string& plain = scratch_[scratch_used_++];
  plain.clear();
  for (std::size_t i = 0; i < field.text.size(); ++i) {
    plain += field.text[i];
    if (field.text[i] == '"') ++i;
  }
  field.text = plain;
  field.unquoted = true;
}

/// RFC 4180, rule 5: a field that is not quoted holds no quotes.
void CsvReader::read_unquoted(Field& field) {
  bool quote = false;
  while (true) {
    while (at_ < text_.size() && !ends_field_[static_cast<unsigned char>(text_[at_])]) ++at_;
    if (at_field_end()) break;
    quote = true;
    ++at_;
  }
  field.text = text_.substr(field.begin, at_ - field.begin);
  if (quote && !bad_row_) {
    bad_quote(field, "a quotation mark stands inside a field that does not begin with one",
              "put the whole field into quotation marks and double those inside");
  }
}

void CsvReader::bad_quote(const Field& field, std::string_view what, std::string_view remedy) {
  bad_row_ = true;
  complain("quote", {field.line, column_of(field.line_begin, field.begin)}, std::string(what),
           std::string(remedy));
  if (complaints_ != nullptr) complaints_->whole_file_lost();
}

/// A lost quotation mark can make one cell of many rows, and nothing would be wrong with its form.
/// Tables of two columns are spared: there any sentence with one comma would look like a row.
void CsvReader::look_for_rows_in(const Field& field) {
  if (complaints_ == nullptr || header_width_ < 3) return;
  const auto separators_of_row = static_cast<std::ptrdiff_t>(header_width_) - 1;
  std::size_t rows = 0;
  std::size_t begin = text_.find_first_of("\r\n", field.begin);
  while (begin < at_) {
    const std::size_t end = text_.find_first_of("\r\n", ++begin);
    if (end >= at_) break;  // the line that holds the closing mark
    const std::string_view line = text_.substr(begin, end - begin);
    rows += std::count(line.begin(), line.end(), separator_) == separators_of_row;
    begin = end;
  }
  if (rows == 0) return;
  complaints_->warning(
      "rows-in-cell", file_, field.line, column_of(field.line_begin, field.begin), {},
      fmt::format("this cell goes on to line {} and holds {} {} as wide as a row: they are read as "
                  "text, not as rows",
                  line_, rows, rows == 1 ? "line" : "lines"),
      "look for a quotation mark too many or too few on both lines");
}

/// A field whose quotes are wrong is said and taken as it stands up to the end of its line, so that
/// one slip does not swallow the rows behind it.
void CsvReader::read_field() {
  Field field{
      .text = {}, .begin = at_, .line_begin = line_begin_, .line = line_, .unquoted = false};
  std::size_t quote = at_;  // a blank before an opening quote is common in files made by hand
  while (quote < text_.size() && text_[quote] == ' ') ++quote;
  if (quote < text_.size() && text_[quote] == '"') {
    at_ = quote + 1;
    const bool closed = read_quoted(field);
    while (at_ < text_.size() && text_[at_] == ' ') ++at_;
    if (!closed) {
      bad_quote(field, "a quotation mark is opened and never closed",
                "close it, or double it inside a text");
    } else if (!at_field_end()) {
      bad_quote(field, "text follows a closing quotation mark",
                "double a quotation mark that belongs to the text");
    }
    if (closed && at_field_end()) {
      if (line_ > field.line) look_for_rows_in(field);
    } else {
      at_ = field.begin;
      line_ = field.line;
      line_begin_ = field.line_begin;
      field.unquoted = false;
      read_unquoted(field);
    }
  } else {
    read_unquoted(field);
  }
  field.text = trimmed(field.text);
  fields_.push_back(field);
}

void CsvReader::read_row() {
  fields_.clear();
  scratch_used_ = 0;
  bad_row_ = false;
  row_begin_ = at_;
  while (true) {
    read_field();
    if (at_ >= text_.size()) return;
    if (text_[at_] != separator_) return line_end();
    ++at_;
  }
}

bool CsvReader::next() {
  while (usable_ && at_ < text_.size()) {
    read_row();
    const auto is_blank = [](const Field& field) { return field.text.empty(); };
    if (std::all_of(fields_.begin(), fields_.end(), is_blank)) continue;
    any_row_ = true;
    // Without the nameless columns at the right edge; what stands in them is not lost silently.
    if (fields_.size() <= header_width_) {
      while (fields_.size() > header_.size()) {
        if (!is_blank(fields_.back()) && !nameless_said_ && complaints_ != nullptr) {
          nameless_said_ = true;
          const Place at = place(fields_.size() - 1);
          complaints_->warning("column-unknown", file_, at.line, at.column, {},
                               "this column has no name and is not read",
                               "give it a name in the header, or empty it");
        }
        fields_.pop_back();
      }
    }
    if (fields_.size() == header_.size()) return true;
    if (bad_row_) continue;  // said already
    const bool is_short = fields_.size() < header_.size();
    complain(is_short ? "row-short" : "row-long", {line(), 0},
             fmt::format("{} {} where the header has {}", fields_.size(),
                         fields_.size() == 1 ? "field" : "fields", header_width_),
             is_short ? "add the missing fields, blank where nothing is known"
                      : "quote a text that holds the separator, or take the extra fields out");
  }
  fields_.clear();
  return false;
}

bool CsvReader::same_cells_as(std::size_t row_begin) const {
  CsvReader other;
  other.text_ = text_;
  other.set_separator(separator_);
  other.at_ = row_begin;
  other.read_row();
  if (other.fields_.size() < fields_.size()) return false;
  for (std::size_t i = 0; i < fields_.size(); ++i) {
    if (other.fields_[i].text != fields_[i].text) return false;
  }
  return true;
}

std::uint32_t CsvReader::column_of(std::size_t line_begin, std::size_t at) const noexcept {
  return static_cast<std::uint32_t>(count_characters(text_.substr(line_begin, at - line_begin)) +
                                    1);
}

Place CsvReader::place(std::size_t index) const noexcept {
  return {fields_[index].line, column_of(fields_[index].line_begin, fields_[index].begin)};
}

}  // namespace doewright
