// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <bit>
#include <cstdint>
#include <limits>
#include <locale>
#include <random>
#include <string>
#include <string_view>

#include <doewright/core/text.hpp>

using namespace doewright;

TEST_CASE("well-formed UTF-8 is what the Unicode Standard's table 3-7 says") {
  CHECK(is_utf8(""));
  CHECK(is_utf8("Brämbel 山羊 🐐"));
  CHECK(is_utf8("\xF4\x8F\xBF\xBF"));        // U+10FFFF, the last
  CHECK_FALSE(is_utf8("\xF4\x90\x80\x80"));  // one beyond it
  CHECK_FALSE(is_utf8("\xC0\xAF"));          // a slash in two bytes
  CHECK_FALSE(is_utf8("\xE0\x9F\xBF"));
  CHECK_FALSE(is_utf8("\xF0\x8F\xBF\xBF"));
  CHECK_FALSE(is_utf8("\xED\xA0\x80"));  // a surrogate
  CHECK_FALSE(is_utf8("Br\xE4mbel"));    // Latin-1
  CHECK_FALSE(is_utf8("\xE5\xB1"));      // cut off
  CHECK_FALSE(is_utf8("\x80"));
}

TEST_CASE("characters are code points; a stray byte counts as one") {
  CHECK(count_characters("Brämbel") == 7);
  CHECK(count_characters("山羊") == 2);
  CHECK(count_characters("e\xCC\x81") == 2);  // e and a combining accent
  CHECK(count_characters("a\xFF\xFE") == 3);
}

TEST_CASE("width on a terminal") {
  // Source: Unicode Standard Annex 11, East Asian Width: W and F take two columns, marks none.
  CHECK(display_width("goat") == 4);
  CHECK(display_width("Brämbel") == 7);
  CHECK(display_width("e\xCC\x81") == 1);
  CHECK(display_width("山羊") == 4);
  CHECK(display_width("ヤギ") == 4);
  CHECK(display_width("ﾔｷﾞ") == 3);  // half-width forms
  CHECK(display_width("Ａ") == 2);
  CHECK(display_width("염소") == 4);
  CHECK(display_width("🐐") == 2);
  CHECK(display_width("коза") == 4);
  CHECK(display_width("עֵז") == 2);  // a vowel point takes none
  CHECK(display_width("\xE2\x80\x8B") == 0);
  CHECK(display_width("\xFF") == 1);
  CHECK(display_width("…") == 1);
}

TEST_CASE("cutting and padding count columns, not bytes") {
  CHECK(cut_to_width("Juniper", 7) == "Juniper");
  CHECK(cut_to_width("Juniper", 6) == "Junip…");
  CHECK(cut_to_width("Juniper", 1) == "…");
  CHECK(cut_to_width("Juniper", 0).empty());
  CHECK(cut_to_width("山羊山羊", 6) == "山羊…");  // half a character is never printed
  CHECK(cut_to_width("山羊山羊", 8) == "山羊山羊");
  CHECK(pad_right("Ä", 3) == "Ä  ");
  CHECK(pad_left("山", 4) == "  山");
  CHECK(pad_left("long", 2) == "long");
  CHECK(pad_right("long", 2) == "long");
}

TEST_CASE("nothing that a terminal would obey is printed") {
  CHECK(printable("plain, Brämbel, 山羊") == "plain, Brämbel, 山羊");
  CHECK(printable("\x1B[2J") == "\\u{1B}[2J");
  CHECK(printable("a\tb\nc\r") == "a\\u{9}b\\u{A}c\\u{D}");
  CHECK(printable(std::string_view("\0\x7F", 2)) == "\\u{0}\\u{7F}");
  CHECK(printable("\xC2\x9B") == "\\u{9B}");  // the one-character form of ESC [
  CHECK(printable("\x9B") == "\\x{9B}");
  CHECK(printable("\xE2\x80\xA8\xE2\x81\xA6") == "\\u{2028}\\u{2066}");
  CHECK(printable("\xED\xA0\x80") == "\\x{ED}\\x{A0}\\x{80}");
  for (const std::string_view text : {"\x01", "\x7F", "\xC2\x85", "\xE2\x80\xA8", "\xE2\x80\xAE",
                                      "\xE2\x81\xA9", "\xE2\x80\x8E"}) {
    CHECK(has_control(text));
    CHECK_FALSE(has_control(printable(text)));
  }
  CHECK_FALSE(has_control("Brämbel 山羊 🐐"));
}

TEST_CASE("shortest numbers read back to the same bits") {
  CHECK(shortest(2.0) == "2");
  CHECK(shortest(0.25) == "0.25");
  CHECK(shortest(0.1) == "0.1");
  CHECK(shortest(-0.0) == "0");
  CHECK(shortest(-3.5) == "-3.5");
  CHECK(shortest(1e-12) == "1e-12");
  CHECK(shortest(1234567.0) == "1234567");
  CHECK(shortest(5e-324) == "5e-324");  // the smallest number above 0
  CHECK(shortest(1.7976931348623157e308) == "1.7976931348623157e+308");
  CHECK(shortest(0.1 + 0.2) == "0.30000000000000004");

  constexpr std::uint64_t seed = 20240307;
  CAPTURE(seed);
  std::mt19937_64 random(seed);
  for (int i = 0; i < 20000; ++i) {
    const auto value = std::bit_cast<double>(random());
    if (!(value > -std::numeric_limits<double>::infinity() &&
          value < std::numeric_limits<double>::infinity())) {
      continue;
    }
    const auto back = read_number(shortest(value));
    REQUIRE(back.has_value());
    REQUIRE(*back == value);
  }
}

TEST_CASE("fixed decimals never show a negative zero") {
  CHECK(fixed(0.125, 2) == "0.12");  // exactly half: to the even digit
  CHECK(fixed(0.375, 2) == "0.38");
  CHECK(fixed(2.0, 0) == "2");
  CHECK(fixed(-0.004, 2) == "0.00");
  CHECK(fixed(-0.006, 2) == "-0.01");
  CHECK(fixed(-0.0, 1) == "0.0");
  CHECK(fixed(1e15, 1) == "1000000000000000.0");
  CHECK(percent(0.0625, 2) == "6.25 %");
  CHECK(percent(0.125, 1) == "12.5 %");
  CHECK(percent(-0.00001, 1) == "0.0 %");
}

namespace {

/// As in a German locale, but always there.
class CommaPoint : public std::numpunct<char> {
  char do_decimal_point() const override { return ','; }
  char do_thousands_sep() const override { return '.'; }
  std::string do_grouping() const override { return "\3"; }
};

}  // namespace

TEST_CASE("numbers do not follow the locale") {
  const std::locale before = std::locale::global(std::locale(std::locale(), new CommaPoint));
  const std::string shortest_text = shortest(1234.5);
  const std::string fixed_text = fixed(1234.5, 2);
  const auto read = read_number("1234.5");
  const auto comma = read_number("1234,5");
  std::locale::global(before);
  CHECK(shortest_text == "1234.5");
  CHECK(fixed_text == "1234.50");
  CHECK(read == 1234.5);
  CHECK_FALSE(comma);
}

TEST_CASE("a number is read whole or not at all") {
  CHECK(read_number("12") == 12.0);
  CHECK(read_number("-0.5") == -0.5);
  CHECK(read_number("1e3") == 1000.0);
  CHECK(read_number(".5") == 0.5);
  CHECK(read_number("007") == 7.0);
  for (const std::string_view text :
       {"",    "-",    ".",   "abc",      "12a",  "1 2", " 1",    "1 ",  "0,5", "1.000,5", "nan",
        "inf", "-inf", "NaN", "infinity", "0x10", "1e",  "1e999", "--1", "+1",  "1_000",   "١٢"}) {
    CAPTURE(text);
    CHECK_FALSE(read_number(text));
  }
}

TEST_CASE("blanks at the ends are taken off, no-break spaces too") {
  CHECK(trimmed("  a b\t") == "a b");
  CHECK(trimmed("\xC2\xA0 a\xC2\xA0") == "a");
  CHECK(trimmed(" \t\xC2\xA0").empty());
  CHECK(trimmed("").empty());
  CHECK(trimmed("à") == "à");  // its last byte is that of a no-break space
}

TEST_CASE("lower case of ASCII only") {
  CHECK(lower_ascii("ÄBc-1") == "Äbc-1");
}

TEST_CASE("names that look alike fold to the same") {
  CHECK(folded("Brämbel  2") == folded("brambel-2"));
  CHECK(folded("Brämbel  2") == "brambel2");
  CHECK(folded("Ce\xCC\x81leste") == folded("CÉLESTE"));  // composed or not
  CHECK(folded("Łódź") == "lodz");
  CHECK(folded("Großer Ærø") == "grosseraero");
  CHECK(folded("Nguyễn Ệ") == "nguyene");
  CHECK(folded("D-07/a (b)") == "d07ab");
  CHECK(folded("ΚΑΤΣΙΚΑΣ") == folded("κατσικας"));
  CHECK(folded("КОЗА Ё") == "козаё");
  CHECK(folded("山羊") == "山羊");
  CHECK(folded("--").empty());
  CHECK(folded("\xFFx") == "\xFFx");
  CHECK(folded("007") != folded("7"));
}

namespace {

/// The definition, slow and obvious.
std::size_t distance_by_definition(std::string_view a, std::string_view b) {
  if (a.empty() || b.empty()) return a.size() + b.size();
  std::size_t best = std::min(
      {distance_by_definition(a.substr(1), b) + 1, distance_by_definition(a, b.substr(1)) + 1,
       distance_by_definition(a.substr(1), b.substr(1)) + (a[0] == b[0] ? 0 : 1)});
  if (a.size() > 1 && b.size() > 1 && a[0] == b[1] && a[1] == b[0]) {
    best = std::min(best, distance_by_definition(a.substr(2), b.substr(2)) + 1);
  }
  return best;
}

}  // namespace

TEST_CASE("edit distance") {
  // Levenshtein's classic pair; the swap of neighbours is Damerau's (1964).
  CHECK(edit_distance("kitten", "sitting") == 3);
  CHECK(edit_distance("dma", "dam") == 1);
  CHECK(edit_distance("", "dam") == 3);
  CHECK(edit_distance("Bräm", "Bram") == 1);
  constexpr unsigned seed = 7;
  CAPTURE(seed);
  std::mt19937 random(seed);
  for (int i = 0; i < 300; ++i) {
    std::array<std::string, 2> words;
    for (std::string& word : words) {
      for (auto n = random() % 6; n > 0; --n) word += static_cast<char>('a' + random() % 3);
    }
    CAPTURE(words[0]);
    CAPTURE(words[1]);
    CHECK(edit_distance(words[0], words[1]) == distance_by_definition(words[0], words[1]));
  }
}

TEST_CASE("the nearest word is offered if it can be a slip") {
  constexpr std::array<std::string_view, 4> columns = {"sire", "dam", "sex", "registration"};
  CHECK(nearest("sier", columns) == "sire");
  CHECK(nearest("dan", columns) == "dam");
  CHECK(nearest("regstratoin", columns) == "registration");
  CHECK_FALSE(nearest("weight", columns));
  CHECK_FALSE(nearest("colour", columns));
  constexpr std::array<std::string_view, 2> tie = {"bat", "cat"};
  CHECK(nearest("rat", tie) == "bat");
  CHECK_FALSE(nearest("x", {}));
}

TEST_CASE("a CSV field is quoted if it must be, and never runs as a formula") {
  CHECK(csv_text("plain") == "plain");
  CHECK(csv_text("").empty());
  CHECK(csv_text("a,b") == "\"a,b\"");
  CHECK(csv_text("say \"hi\"") == "\"say \"\"hi\"\"\"");
  CHECK(csv_text("two\nlines") == "\"two\nlines\"");
  CHECK(csv_text("=1+1") == "\"'=1+1\"");
  CHECK(csv_text("+1") == "\"'+1\"");
  CHECK(csv_text("-1") == "\"'-1\"");
  CHECK(csv_text("@sum") == "\"'@sum\"");
  CHECK(csv_text("\tx") == "\"'\tx\"");
  CHECK(csv_text(" x") == "\" x\"");
  CHECK(csv_text("a=b") == "a=b");
}
