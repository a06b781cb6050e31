// SPDX-License-Identifier: MIT
#include "json_writer.hpp"

#include <cmath>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

namespace doewright {

namespace {

constexpr std::size_t deepest_broken_line = 4;  // below this depth a value stays on one line

}  // namespace

void JsonWriter::line() {
  if (has_items_.size() > deepest_broken_line) return;
  out_.write("\n");
  out_.write(std::string(2 * has_items_.size(), ' '));
}

void JsonWriter::before_value() {
  if (after_key_) {
    after_key_ = false;
    return;
  }
  if (has_items_.empty()) return;
  if (has_items_.back()) out_.write(has_items_.size() > deepest_broken_line ? ", " : ",");
  has_items_.back() = true;
  line();
}

void JsonWriter::open(char bracket) {
  before_value();
  out_.write(std::string_view(&bracket, 1));
  has_items_.push_back(false);
}

void JsonWriter::close(char bracket) {
  const bool had_items = has_items_.back();
  const bool broken = has_items_.size() <= deepest_broken_line;
  has_items_.pop_back();
  if (had_items && broken) {
    out_.write("\n");
    out_.write(std::string(2 * has_items_.size(), ' '));
  }
  out_.write(std::string_view(&bracket, 1));
}

void JsonWriter::key(std::string_view name) {
  before_value();
  quoted(name);
  out_.write(": ");
  after_key_ = true;
}

void JsonWriter::value(double number) {
  if (!std::isfinite(number)) return null();
  before_value();
  out_.write(shortest(number));
}

void JsonWriter::count(std::uint64_t number) {
  before_value();
  out_.write(fmt::format("{}", number));
}

void JsonWriter::whole(std::int64_t number) {
  before_value();
  out_.write(fmt::format("{}", number));
}

void JsonWriter::value(std::string_view text) {
  before_value();
  quoted(text);
}

void JsonWriter::value(bool truth) {
  before_value();
  out_.write(truth ? "true" : "false");
}

void JsonWriter::null() {
  before_value();
  out_.write("null");
}

void JsonWriter::quoted(std::string_view text) {
  std::string result = "\"";
  for (const char c : text) {
    switch (c) {
      case '"':
        result += "\\\"";
        break;
      case '\\':
        result += "\\\\";
        break;
      case '\n':
        result += "\\n";
        break;
      case '\r':
        result += "\\r";
        break;
      case '\t':
        result += "\\t";
        break;
      default:
        if (static_cast<unsigned char>(c) < 0x20) {
          result += fmt::format("\\u{:04x}", static_cast<unsigned>(c));
        } else {
          result += c;
        }
    }
  }
  result += '"';
  out_.write(result);
}

}  // namespace doewright
