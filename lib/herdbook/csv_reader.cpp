// SPDX-License-Identifier: MIT
#include "csv_reader.hpp"

#include <algorithm>
#include <cstring>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

namespace doewright {

namespace {

constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

/// What a file that is no table of text seems to be, by its first bytes (their published signatures).
std::string_view looks_like(std::string_view text) {
  const auto starts = [&](std::string_view with) { return text.substr(0, with.size()) == with; };
  if (starts("PK\x03\x04") || starts("\xD0\xCF\x11\xE0")) return "a spreadsheet workbook";
  if (starts("%PDF")) return "a PDF";
  if (starts("\x89PNG") || starts("\xFF\xD8\xFF") || starts("GIF8")) return "a picture";
  if (starts("\xFF\xFE") || starts("\xFE\xFF")) return "text in UTF-16";
  std::size_t first = text.find_first_not_of(" \t\r\n");
  if (first == std::string_view::npos) return {};
  const std::string begin = lower_ascii(text.substr(first, 14));
  if (begin.starts_with("<!doctype") || begin.starts_with("<html") || begin.starts_with("<?xml")) {
    return "a web page";
  }
  return {};
}

bool is_blank(std::string_view text) { return trimmed(text).empty(); }

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

void CsvReader::complain(std::string_view code, std::uint32_t line, std::uint32_t column,
                         std::string message, std::string remedy) {
  if (complaints_ == nullptr) return;
  complaints_->error(code, file_, line, column, {}, std::move(message), std::move(remedy));
}

bool CsvReader::check_encoding() {
  const std::string_view kind = looks_like(text_);
  if (!kind.empty()) {
    complain("encoding", 0, 0, fmt::format("this is {}, not a table of text", kind),
             "save it from the spreadsheet as CSV, UTF-8");
    return false;
  }
  if (is_utf8(text_)) return true;
  std::uint32_t line = 1;
  for (std::size_t at = 0; at < text_.size();) {
    const std::size_t end = std::min(text_.find('\n', at), text_.size() - 1) + 1;
    if (!is_utf8(text_.substr(at, end - at))) break;
    at = end;
    ++line;
  }
  complain("encoding", line, 0, "the text is not UTF-8 here",
           "save the file again from the spreadsheet as CSV, UTF-8");
  return false;
}

void CsvReader::find_separator() {
  std::size_t commas = 0, semicolons = 0, tabs = 0;
  bool quoted = false;
  for (std::size_t i = at_; i < text_.size(); ++i) {
    const char c = text_[i];
    if (c == '"') quoted = !quoted;
    if (quoted) continue;
    if (c == '\n' || c == '\r') break;
    commas += c == ',';
    semicolons += c == ';';
    tabs += c == '\t';
  }
  if (semicolons > commas && semicolons >= tabs) separator_ = ';';
  if (tabs > commas && tabs > semicolons) separator_ = '\t';
}

bool CsvReader::read_header() {
  while (at_ < text_.size() && (text_[at_] == '\n' || text_[at_] == '\r')) line_end();
  if (is_blank(text_.substr(at_))) {
    complain("empty-file", 0, 0, "the file is empty", "write the names of the columns on line 1");
    return false;
  }
  find_separator();
  if (read_row() == RowEnd::broken) return false;
  for (std::size_t i = 0; i < fields_.size(); ++i) {
    header_.emplace_back(fields_[i].text);
    header_places_.push_back(place(i));
  }
  const bool all_blank = std::all_of(header_.begin(), header_.end(),
                                     [](const std::string& name) { return name.empty(); });
  if (all_blank) {
    complain("header-missing", header_places_.front().line, 0, "the names of the columns are missing",
             "write the names of the columns on line 1");
    return false;
  }
  while (header_.size() > 1 && header_.back().empty()) {  // empty columns at the right edge
    header_.pop_back();
    header_places_.pop_back();
  }
  return true;
}

void CsvReader::line_end() {
  if (text_[at_] == '\r' && at_ + 1 < text_.size() && text_[at_ + 1] == '\n') ++at_;
  ++at_;
  ++line_;
  line_begin_ = at_;
}

/// `at_` stands behind the opening quote. Returns false if the quote is not closed properly.
bool CsvReader::read_quoted(Field& field) {
  if (scratch_used_ == scratch_.size()) scratch_.emplace_back();
  const std::size_t begin = at_;
  bool doubled = false;
  while (at_ < text_.size()) {
    const char c = text_[at_];
    if (c == '\n' || c == '\r') {
      line_end();
      continue;
    }
    if (c != '"') {
      ++at_;
      continue;
    }
    if (at_ + 1 < text_.size() && text_[at_ + 1] == '"') {
      doubled = true;
      at_ += 2;
      continue;
    }
    field.text = text_.substr(begin, at_ - begin);
    ++at_;
    if (doubled) {
      std::string& plain = scratch_[scratch_used_++];
      plain.clear();
      for (std::size_t i = 0; i < field.text.size(); ++i) {
        plain += field.text[i];
        if (field.text[i] == '"') ++i;
      }
      field.text = plain;
      field.unquoted = true;
    }
    return true;
  }
  return false;
}

CsvReader::RowEnd CsvReader::read_row() {
  fields_.clear();
  scratch_used_ = 0;
  while (true) {
    Field field{.text = {}, .begin = at_, .line_begin = line_begin_, .line = line_, .unquoted = false};
    // A blank before an opening quote is common in hand-made files.
    std::size_t quote = at_;
    while (quote < text_.size() && text_[quote] == ' ') ++quote;
    if (quote < text_.size() && text_[quote] == '"') {
      at_ = quote + 1;
      if (!read_quoted(field)) {
        complain("quote", field.line, column_of(field),
                 "a quotation mark is opened and never closed", "close it, or double it inside a text");
        if (complaints_ != nullptr) complaints_->whole_file_lost();
        return RowEnd::broken;
      }
      while (at_ < text_.size() && text_[at_] == ' ') ++at_;
      const bool proper = at_ >= text_.size() || text_[at_] == separator_ || text_[at_] == '\n' ||
                          text_[at_] == '\r';
      if (!proper) {
        complain("quote", field.line, column_of(field),
                 "text follows a closing quotation mark",
                 "double a quotation mark that belongs to the text");
        while (at_ < text_.size() && text_[at_] != '\n' && text_[at_] != '\r') ++at_;
        if (at_ < text_.size()) line_end();
        return RowEnd::broken;
      }
    } else {
      while (at_ < text_.size() && text_[at_] != separator_ && text_[at_] != '\n' &&
             text_[at_] != '\r') {
        ++at_;
      }
      field.text = text_.substr(field.begin, at_ - field.begin);
    }
    field.text = trimmed(field.text);
    fields_.push_back(field);
    if (at_ >= text_.size()) return RowEnd::end_of_text;
    if (text_[at_] != separator_) {
      line_end();
      return RowEnd::row;
    }
    ++at_;
  }
}

bool CsvReader::next() {
  while (usable_ && at_ < text_.size()) {
    if (read_row() == RowEnd::broken) continue;
    const bool blank = std::all_of(fields_.begin(), fields_.end(),
                                   [](const Field& field) { return field.text.empty(); });
    if (blank) continue;
    while (fields_.size() > header_.size() && fields_.back().text.empty()) fields_.pop_back();
    if (fields_.size() == header_.size()) return true;
    const bool is_short = fields_.size() < header_.size();
    complain(is_short ? "row-short" : "row-long", line(), 0,
             fmt::format("{} fields where the header has {}", fields_.size(), header_.size()),
             is_short ? "add the missing fields, blank where nothing is known"
                      : "quote a text that holds the separator, or take the extra fields out");
  }
  fields_.clear();
  return false;
}

std::uint32_t CsvReader::column_of(const Field& field) const noexcept {
  const std::string_view before = text_.substr(field.line_begin, field.begin - field.line_begin);
  return static_cast<std::uint32_t>(count_characters(before) + 1);
}

Place CsvReader::place(std::size_t index) const noexcept {
  return {fields_[index].line, column_of(fields_[index])};
}

}  // namespace doewright
