// SPDX-License-Identifier: MIT
#include <algorithm>
#include <set>
#include <string>

#include <doctest/doctest.h>

#include <doewright/report/report.hpp>

#include "herd/tiny_herd.hpp"
#include "report/palette.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

const char* const attack = "</title><script>alert(1)</script>\"'&";

std::string said(const Herd& herd, std::string_view id, Format format, int generations = 4) {
  const Kinship kinship(herd.pedigree, unknown_parents(herd));
  Preamble preamble;
  preamble.as_of = herd.as_of;
  preamble.herd = "herd";
  StringSink out;
  report_pedigree(out, format, preamble, herd,
                  pedigree_report(herd, kinship, animal(herd, id), generations));
  return out.text();
}

Herd family() {
  Herd herd = herd_of({{"Oak", "", "", Sex::buck},
                       {"Ivy", "", "", Sex::doe},
                       {"Rowan", "Oak", "Ivy", Sex::buck},
                       {"Fern", "Oak", "Ivy", Sex::doe},
                       {"Hazel", "Rowan", "Fern", Sex::doe, date("2024-03")}});
  write(herd.animals.name, herd, {{"Hazel", attack}, {"Oak", attack}});
  write(herd.animals.note, herd, {{"Hazel", attack}});
  write(herd.animals.tags, herd, {{"Hazel", attack}});
  owned_by(herd, "Hazel", attack);
  FaultModel teats;
  teats.key = "teats";
  teats.name = attack;
  herd.faults = {teats};
  herd.examinations.push_back({.animal = animal(herd, "Hazel"),
                               .fault = 0,
                               .found = Found::removed,
                               .grade = 0,
                               .date = date("2024-04"),
                               .age_days = 30,
                               .by = attack,
                               .note = attack,
                               .row = {Table::examinations, 2}});
  return herd;
}

}  // namespace

TEST_CASE("hostile names stand in the page as text only, at every place they can reach") {
  for (const int generations : {3, 4, 5}) {
    const std::string page = said(family(), "Hazel", Format::html, generations);
    CHECK(page.find("<script") == std::string::npos);
    CHECK(page.find("&lt;script&gt;alert(1)&lt;/script&gt;&quot;&#39;&amp;") != std::string::npos);
    std::size_t titles = 0;
    for (std::size_t at = page.find("</title>"); at != std::string::npos;
         at = page.find("</title>", at + 1)) {
      ++titles;
    }
    // One of the document, one of the chart, one a place.
    CHECK(titles == 2 + (std::size_t{2} << generations) - 2);
  }
}

TEST_CASE("every colour class of a page is one of the palette's") {
  const std::string page = said(family(), "Hazel", Format::html);
  std::set<std::string> names;
  for (const HueColours& each : palette) names.insert(std::string(each.name.view()));
  std::size_t seen = 0;
  for (std::size_t at = page.find(" class=\""); at != std::string::npos;
       at = page.find(" class=\"", at + 1)) {
    const std::size_t begin = at + 8;
    std::string list = page.substr(begin, page.find('"', begin) - begin) + " ";
    for (std::size_t blank = list.find(' '); blank != std::string::npos; blank = list.find(' ')) {
      const std::string one = list.substr(0, blank);
      list.erase(0, blank + 1);
      if (one.size() < 3 || one[1] != '-' || std::string("tgs").find(one[0]) == std::string::npos) {
        continue;
      }
      CAPTURE(one);
      CHECK(names.contains(one.substr(2)));
      ++seen;
    }
  }
  CHECK(seen > 50);
}

TEST_CASE("what is found, the F and what is not recorded are said in text and page alike") {
  for (const Format format : {Format::text, Format::html}) {
    const std::string text = said(family(), "Hazel", format);
    CHECK(text.find("25.00 %") != std::string::npos);  // kid of full sibs
    CHECK(text.find("removed") != std::string::npos);
    CHECK(text.find("not recorded") != std::string::npos);
    CHECK(text.find("March 2024 (day not recorded)") != std::string::npos);
  }
  const std::string founder = said(family(), "Oak", Format::text);
  CHECK(founder.find("inbreeding not known") != std::string::npos);
  CHECK(founder.find("Nobody looked") != std::string::npos);
}
