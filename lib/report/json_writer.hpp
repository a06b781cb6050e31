// SPDX-License-Identifier: MIT
#pragma once
/// JSON as a stream: keys in the order written, numbers in the shortest form that reads back,
/// unknown as null. Long lists need no memory, which a document tree would.
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <doewright/report/sink.hpp>

namespace doewright {

class JsonWriter {
 public:
  explicit JsonWriter(Sink& out) : out_(out) {}

  void begin_object() { open('{'); }
  void end_object() { close('}'); }
  void begin_list() { open('['); }
  void end_list() { close(']'); }
  void key(std::string_view name);

  void value(double number);  ///< Not finite: null.
  void value(std::string_view text);
  void value(const std::string& text) { value(std::string_view(text)); }
  void value(const char* text) { value(std::string_view(text)); }
  void value(bool truth);
  void null();
  template <class T>
  void value(const std::optional<T>& maybe) {
    if (maybe) {
      value(*maybe);
    } else {
      null();
    }
  }
  void count(std::uint64_t number);
  void whole(std::int64_t number);  ///< All digits, never an exponent.

  template <class T>
  void field(std::string_view name, const T& what) {
    key(name);
    value(what);
  }
  void field_null(std::string_view name) {
    key(name);
    null();
  }
  void field_count(std::string_view name, std::uint64_t number) {
    key(name);
    count(number);
  }
  /// Ends the document with a line end.
  void finish() { out_.write("\n"); }

 private:
  void open(char bracket);
  void close(char bracket);
  void before_value();
  void quoted(std::string_view text);
  void line();

  Sink& out_;
  std::vector<bool> has_items_;
  bool after_key_ = false;
};

}  // namespace doewright
