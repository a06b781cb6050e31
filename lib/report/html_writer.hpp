// SPDX-License-Identifier: MIT
#pragma once
/// The one door through which markup leaves the library.
///
/// A text that came from a record can be added only as text: it is escaped by the function that
/// takes it, and no function takes it as markup. Names of elements and attributes, values that are
/// always the same and style sheets are types made from literals (html_names.hpp); anything else is
/// a number. No other file of the library may write an angle bracket
/// (tests/scripts/test_one_door.py).
///
///     HtmlWriter html;
///     {
///       const auto row = html.in("p", {{"class", "quiet"}});
///       html.text(herd.animals.name[doe]);   // "<b>" is shown as <b>, never obeyed
///     }
///     html.finish(out);
///
/// Everything is held in memory until finish(): pages are for people, not for millions of rows.
#include <cstddef>
#include <initializer_list>
#include <string>
#include <string_view>
#include <vector>

#include <doewright/report/sink.hpp>

#include "html_names.hpp"

namespace doewright {

/// The way of a line in a drawing: numbers only, two decimals.
class SvgPath {
 public:
  SvgPath& move(double x, double y) { return add('M', {x, y}); }
  SvgPath& line(double x, double y) { return add('L', {x, y}); }
  SvgPath& across(double x) { return add('H', {x}); }
  SvgPath& down(double y) { return add('V', {y}); }
  SvgPath& bend(double via_x, double via_y, double x, double y) {
    return add('Q', {via_x, via_y, x, y});
  }
  SvgPath& curve(double x1, double y1, double x2, double y2, double x, double y) {
    return add('C', {x1, y1, x2, y2, x, y});
  }
  SvgPath& close() { return add('Z', {}); }
  const std::string& view() const noexcept { return way_; }

 private:
  SvgPath& add(char step, std::initializer_list<double> numbers);
  std::string way_;
};

/// An attribute and its value, escaped.
class HtmlAttr {
 public:
  HtmlAttr(HtmlName name, HtmlConst value);
  HtmlAttr(HtmlName name, double number);
  HtmlAttr(HtmlName name, std::initializer_list<double> numbers);
  HtmlAttr(HtmlName name, const SvgPath& way);
  /// An id or a reference to one, made from a number: before + number + after.
  HtmlAttr(HtmlName name, HtmlConst before, std::size_t number, HtmlConst after);
  /// Words for people.
  HtmlAttr(HtmlSaid name, std::string_view text);
  const std::string& written() const noexcept { return written_; }

 private:
  std::string written_;  // ` name="value"`
};

using HtmlAttrs = std::initializer_list<HtmlAttr>;

/// A style sheet: literals, and colours that a palette adds as numbers.
class HtmlSheet {
 public:
  HtmlSheet& add(HtmlCss piece);
  /// `--name:#rrggbb;`
  HtmlSheet& colour(HtmlName name, unsigned red_green_blue);
  /// `.before-name{property:var(--name)}` of a colour named in the palette.
  HtmlSheet& rule(HtmlCss before, HtmlName name, HtmlCss between, HtmlCss after);
  /// A number between two pieces: a count of columns.
  HtmlSheet& count(HtmlCss before, std::size_t number, HtmlCss after);
  const std::string& text() const noexcept { return text_; }

 private:
  std::string text_;
};

class HtmlWriter {
 public:
  /// Closes its element when it goes out of scope.
  class Inside {
   public:
    explicit Inside(HtmlWriter& writer) : writer_(writer) {}
    ~Inside() { writer_.close(); }
    Inside(const Inside&) = delete;
    Inside& operator=(const Inside&) = delete;

   private:
    HtmlWriter& writer_;
  };

  /// Opens the document: doctype, language, character set, title, style sheet. `in_body` is then
  /// called inside of the body.
  HtmlWriter(std::string_view title, const HtmlSheet& sheet);

  [[nodiscard]] Inside in(HtmlTag tag, HtmlAttrs attributes = {});
  void leaf(HtmlTag tag, HtmlAttrs attributes = {});  ///< An element with nothing in it.
  /// An element with words in it.
  void element(HtmlTag tag, HtmlAttrs attributes, std::string_view words);
  void element(HtmlTag tag, std::string_view words) { element(tag, {}, words); }
  /// Words: control and direction-changing characters are made visible, line ends become blanks.
  void text(std::string_view words);

  /// Closes the document and hands it over. \pre every Inside has ended.
  void finish(Sink& out);

 private:
  void open(std::string_view tag, HtmlAttrs attributes);
  void close();

  std::string page_;
  std::vector<std::string_view> open_;
};

/// As HtmlWriter::text does it: safe inside an element and inside quotes.
std::string html_escaped(std::string_view words);

}  // namespace doewright
