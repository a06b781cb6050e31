// SPDX-License-Identifier: MIT
#include "html_writer.hpp"

#include <algorithm>
#include <array>
#include <cassert>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

namespace doewright {

namespace {

/// At most two decimals: a hundredth of a pixel is more than enough.
std::string svg_number(double value) {
  std::string text = fixed(value, 2);
  while (text.back() == '0') text.pop_back();
  if (text.back() == '.') text.pop_back();
  return text;
}

std::string svg_numbers(std::initializer_list<double> numbers) {
  std::string text;
  for (const double each : numbers) text += (text.empty() ? "" : " ") + svg_number(each);
  return text;
}

std::string written_attribute(std::string_view name, std::string_view value) {
  return fmt::format(" {}=\"{}\"", name, value);
}

std::string_view said_name(HtmlSaid name) {
  switch (name) {
    case HtmlSaid::aria_label:
      return "aria-label";
    case HtmlSaid::title:
      return "title";
    case HtmlSaid::content:
      return "content";
  }
  return "title";
}

template <std::size_t N>
bool is_one_of(std::string_view tag, const std::array<std::string_view, N>& tags) {
  return std::find(tags.begin(), tags.end(), tag) != tags.end();
}

/// A line end before these, so that a page can be read and compared; blanks mean nothing there.
bool begins_line(std::string_view tag) {
  static constexpr std::array<std::string_view, 34> tags = {
      "body", "main",  "header", "footer", "section", "div",    "p",      "h1",   "h2",
      "h3",   "ul",    "ol",     "li",     "table",   "thead",  "tbody",  "tr",   "th",
      "td",   "svg",   "g",      "rect",   "path",    "text",   "circle", "defs", "pattern",
      "meta", "title", "dl",     "dt",     "dd",      "figure", "details"};
  return is_one_of(tag, tags);
}

bool is_void(std::string_view tag) {
  static constexpr std::array<std::string_view, 5> tags = {"br", "hr", "meta", "col", "wbr"};
  return is_one_of(tag, tags);
}

}  // namespace

std::string html_escaped(std::string_view words) {
  std::string one_line(words);
  for (char& c : one_line) {
    if (c == '\n' || c == '\r' || c == '\t') c = ' ';
  }
  std::string result;
  for (const char c : printable(one_line)) {
    switch (c) {
      case '&':
        result += "&amp;";
        break;
      case '<':
        result += "&lt;";
        break;
      case '>':
        result += "&gt;";
        break;
      case '"':
        result += "&quot;";
        break;
      case '\'':
        result += "&#39;";
        break;
      default:
        result += c;
    }
  }
  return result;
}

SvgPath& SvgPath::add(char step, std::initializer_list<double> numbers) {
  way_ += step;
  way_ += svg_numbers(numbers);
  return *this;
}

HtmlAttr::HtmlAttr(HtmlName name, HtmlConst value)
    : written_(written_attribute(name.view(), value.view())) {}
HtmlAttr::HtmlAttr(HtmlName name, double number)
    : written_(written_attribute(name.view(), svg_number(number))) {}
HtmlAttr::HtmlAttr(HtmlName name, std::initializer_list<double> numbers)
    : written_(written_attribute(name.view(), svg_numbers(numbers))) {}
HtmlAttr::HtmlAttr(HtmlName name, const SvgPath& way)
    : written_(written_attribute(name.view(), way.view())) {}
HtmlAttr::HtmlAttr(HtmlName name, HtmlConst before, std::size_t number, HtmlConst after)
    : written_(written_attribute(name.view(),
                                 fmt::format("{}{}{}", before.view(), number, after.view()))) {}
HtmlAttr::HtmlAttr(HtmlSaid name, std::string_view text)
    : written_(written_attribute(said_name(name), html_escaped(text))) {}

HtmlSheet& HtmlSheet::add(HtmlCss piece) {
  text_ += piece.view();
  return *this;
}

HtmlSheet& HtmlSheet::colour(HtmlName name, unsigned red_green_blue) {
  text_ += fmt::format("--{}:#{:06x};", name.view(), red_green_blue & 0xFFFFFFu);
  return *this;
}

HtmlSheet& HtmlSheet::rule(HtmlCss before, HtmlName name, HtmlCss between, HtmlCss after) {
  text_ += fmt::format("{}{}{}{}{}\n", before.view(), name.view(), between.view(), name.view(),
                       after.view());
  return *this;
}

HtmlSheet& HtmlSheet::count(HtmlCss before, std::size_t number, HtmlCss after) {
  text_ += fmt::format("{}{}{}\n", before.view(), number, after.view());
  return *this;
}

HtmlWriter::HtmlWriter(std::string_view title, const HtmlSheet& sheet) {
  page_ = "<!doctype html>\n";
  open("html", {{"lang", "en"}});
  {
    const auto head = in("head");
    leaf("meta", {{"charset", "utf-8"}});
    // Belt and braces: even if a text got through, nothing could run and nothing be fetched.
    leaf("meta", {{"http-equiv", "Content-Security-Policy"},
                  {"content", "default-src 'none'; style-src 'unsafe-inline'"}});
    leaf("meta", {{"name", "viewport"}, {"content", "width=device-width, initial-scale=1"}});
    leaf("meta", {{"name", "color-scheme"}, {"content", "light dark"}});
    element("title", title);
    page_ += "\n<style>\n" + sheet.text() + "</style>\n";
  }
  open("body", {});
}

void HtmlWriter::open(std::string_view tag, HtmlAttrs attributes) {
  if (begins_line(tag)) page_ += '\n';
  page_ += '<';
  page_ += tag;
  for (const HtmlAttr& each : attributes) page_ += each.written();
  page_ += '>';
  open_.push_back(tag);
}

void HtmlWriter::close() {
  assert(!open_.empty());
  page_ += "</";
  page_ += open_.back();
  page_ += '>';
  open_.pop_back();
}

HtmlWriter::Inside HtmlWriter::in(HtmlTag tag, HtmlAttrs attributes) {
  open(tag.view(), attributes);
  return Inside(*this);
}

void HtmlWriter::leaf(HtmlTag tag, HtmlAttrs attributes) {
  open(tag.view(), attributes);
  if (is_void(tag.view())) {
    open_.pop_back();
  } else {
    close();
  }
}

void HtmlWriter::element(HtmlTag tag, HtmlAttrs attributes, std::string_view words) {
  open(tag.view(), attributes);
  text(words);
  close();
}

void HtmlWriter::text(std::string_view words) {
  page_ += html_escaped(words);
}

void HtmlWriter::finish(Sink& out) {
  assert(open_.size() == 2);  // html, body
  close();
  close();
  page_ += '\n';
  out.write(page_);
  page_.clear();
}

}  // namespace doewright
