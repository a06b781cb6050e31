// SPDX-License-Identifier: MIT
// RFC 5545: section 3.1 (lines of at most 75 octets, folded by CRLF and a blank), 3.3.11 (escaped
// text), 3.6.1 (DTEND of an all-day event is the day after), 3.8.4.7 (UID persistent and unique).
#include <set>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include <doewright/core/text.hpp>
#include <doewright/report/timing_reports.hpp>

#include "herd/tiny_herd.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

/// Ids of every kind of character, over 75 octets long, so that each place is folded somewhere.
Herd herd_with_names() {
  Herd herd =
      herd_of({{"Bär, der; \\große"}, {"Ζαφειρία-Ζαφειρία-Ζαφειρία-Ζαφειρία-Ζαφειρία-Ζαφειρία"}});
  for (std::uint32_t doe = 0; doe < 2; ++doe) {
    Service service;
    service.doe = Animal{doe};
    service.sire = Animal{1 - doe};
    service.from = date("2026-09-01");
    service.how = ServiceHow::seen;
    herd.services.push_back(service);
  }
  return herd;
}

std::string ics_of(const Herd& herd) {
  StringSink sink;
  report_calendar_ics(sink, herd, calendar(herd, Offspring(herd.pedigree)));
  return sink.text();
}

std::vector<std::string> lines_of(std::string text) {
  std::vector<std::string> lines;
  for (std::size_t end; (end = text.find("\r\n")) != std::string::npos;) {
    lines.push_back(text.substr(0, end));
    text.erase(0, end + 2);
  }
  REQUIRE(text.empty());
  return lines;
}

std::vector<std::string> unfolded(const std::vector<std::string>& lines) {
  std::vector<std::string> whole;
  for (const std::string& line : lines) {
    if (!line.empty() && line[0] == ' ') {
      whole.back() += line.substr(1);
    } else {
      whole.push_back(line);
    }
  }
  return whole;
}

std::set<std::string> uids_of(const Herd& herd) {
  std::set<std::string> uids;
  for (const std::string& line : unfolded(lines_of(ics_of(herd)))) {
    if (line.starts_with("UID:")) CHECK(uids.insert(line).second);
  }
  return uids;
}

}  // namespace

TEST_CASE("no line is longer than 75 octets, none is cut within a character") {
  const std::vector<std::string> lines = lines_of(ics_of(herd_with_names()));
  bool folded = false;
  for (const std::string& line : lines) {
    CHECK(line.size() <= 75);
    CHECK(is_utf8(line));
    CHECK(line.find_first_of("\r\n") == std::string::npos);
    folded = folded || line.starts_with(" ");
  }
  CHECK(folded);
}

TEST_CASE("commas, semicolons and backslashes are escaped; a folded name reads back whole") {
  bool escaped = false, whole = false;
  for (const std::string& line : unfolded(lines_of(ics_of(herd_with_names())))) {
    escaped = escaped || line.starts_with("SUMMARY:Bär\\, der\\; \\\\große: due");
    whole =
        whole || line == "SUMMARY:Ζαφειρία-Ζαφειρία-Ζαφειρία-Ζαφειρία-Ζαφειρία-Ζαφειρία: dry off";
  }
  CHECK(escaped);
  CHECK(whole);
}

TEST_CASE("an event keeps its name on another day; days end on the day after") {
  Herd herd = herd_with_names();
  const std::set<std::string> before = uids_of(herd);
  CHECK(before.size() > 15);
  herd.as_of = herd.as_of + 20;
  const std::set<std::string> after = uids_of(herd);
  CHECK(after.size() < before.size());  // what is over is gone
  for (const std::string& uid : after) CHECK(before.contains(uid));
  const std::string text = ics_of(herd);
  // dry off 90 days after 1 September: 30 November, until 1 December
  CHECK(text.find("DTSTART;VALUE=DATE:20261130\r\nDTEND;VALUE=DATE:20261201\r\n") !=
        std::string::npos);
}
