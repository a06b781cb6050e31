// SPDX-License-Identifier: MIT
#pragma once
/// Words of our own source that may stand in a page as they are. Each is made from a literal while
/// compiling, so that a text that came from a record cannot become one: it does not compile.
#include <cstddef>
#include <cstdint>
#include <string_view>

namespace doewright {

constexpr bool is_html_letter(char c) noexcept {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

constexpr bool is_html_name(std::string_view name) noexcept {
  if (name.empty() || !is_html_letter(name.front())) return false;
  for (const char c : name) {
    if (!is_html_letter(c) && !(c >= '0' && c <= '9') && c != '-') return false;
  }
  return true;
}

/// A value that is always the same: a class, a role, a unit.
class HtmlConst {
 public:
  template <std::size_t N>
  consteval HtmlConst(const char (&text)[N]) : text_(text, N - 1) {
    for (const char c : text_) {
      if (c == '"' || c == '&' || c == '<' || c == '>') throw "not a plain value";
    }
  }
  constexpr std::string_view view() const noexcept { return text_; }

 private:
  std::string_view text_;
};

/// An attribute. Those that could run something or fetch something are refused.
class HtmlName {
 public:
  template <std::size_t N>
  consteval HtmlName(const char (&name)[N]) : name_(name, N - 1) {
    if (!is_html_name(name_)) throw "not the name of an attribute";
    if (name_.starts_with("on")) throw "pages run nothing";
    for (const std::string_view no : {"href", "src", "srcset", "style", "srcdoc", "action"}) {
      if (name_ == no) throw "pages fetch nothing and have one style sheet";
    }
  }
  constexpr std::string_view view() const noexcept { return name_; }

 private:
  std::string_view name_;
};

/// An element. Those that could run something, fetch something or ask for something are refused.
class HtmlTag {
 public:
  template <std::size_t N>
  consteval HtmlTag(const char (&name)[N]) : name_(name, N - 1) {
    if (!is_html_name(name_)) throw "not the name of an element";
    for (const std::string_view no :
         {"script", "style", "iframe", "object", "embed", "link", "base", "form", "img", "image",
          "use", "foreignObject", "animate"}) {
      if (name_ == no) throw "this element has no place in a page of ours";
    }
  }
  constexpr std::string_view view() const noexcept { return name_; }

 private:
  std::string_view name_;
};

/// A piece of the style sheet. No request can hide in it.
class HtmlCss {
 public:
  template <std::size_t N>
  consteval HtmlCss(const char (&text)[N]) : text_(text, N - 1) {
    for (const std::string_view no : {"<", "@import", "http", "expression"}) {
      if (text_.find(no) != std::string_view::npos) throw "not allowed in a style sheet";
    }
    // url(#...) names a pattern of the page itself; any other url would be a request.
    for (std::size_t at = text_.find("url("); at != std::string_view::npos;
         at = text_.find("url(", at + 1)) {
      if (text_.substr(at + 4, 1) != "#") throw "a page of ours asks for nothing";
    }
  }
  constexpr std::string_view view() const noexcept { return text_; }

 private:
  std::string_view text_;
};

/// The attributes that carry words for people: only these take a text from a record, escaped.
enum class HtmlSaid : std::uint8_t { aria_label, title, content };

}  // namespace doewright
