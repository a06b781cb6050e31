// SPDX-License-Identifier: MIT
#pragma once
#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>

#include <doewright/core/text.hpp>
#include <doewright/report/sink.hpp>

namespace doewright {

/// One row of CSV, field by field. Text goes through csv_text, so that no spreadsheet runs it.
class CsvRow {
 public:
  CsvRow& text(std::string_view value) { return raw(csv_text(value)); }
  CsvRow& number(double value) { return raw(shortest(value)); }
  CsvRow& number(const std::optional<double>& value) { return value ? number(*value) : blank(); }
  CsvRow& blank() { return raw({}); }
  void write(Sink& out) {
    out.write(line_ + "\n");
    line_.clear();
    first_ = true;
  }

 private:
  CsvRow& raw(std::string_view cell) {
    if (!first_) line_ += ',';
    line_ += cell;
    first_ = false;
    return *this;
  }
  std::string line_;
  bool first_ = true;
};

}  // namespace doewright
