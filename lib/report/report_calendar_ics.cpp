// SPDX-License-Identifier: MIT
// RFC 5545: text escaped as in section 3.3.11, lines folded as in 3.1, all-day events as in 3.6.1.
#include <cstdint>

#include <fmt/format.h>

#include <doewright/report/timing_reports.hpp>

#include "calendar_words.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

constexpr std::size_t octets_of_line = 75;

std::string escaped(std::string_view text) {
  std::string result;
  for (const char c : text) {
    if (c == '\\' || c == ';' || c == ',') result += '\\';
    if (c == '\n') {
      result += "\\n";
    } else if (static_cast<unsigned char>(c) >= 0x20) {
      result += c;
    }
  }
  return result;
}

/// Folds between characters of UTF-8; a continued line begins with one blank.
void write_line(Sink& out, std::string_view line) {
  std::size_t room = octets_of_line;
  while (line.size() > room) {
    std::size_t end = room;
    while (end > 0 && (static_cast<unsigned char>(line[end]) & 0xC0) == 0x80) --end;
    out.write(std::string(line.substr(0, end)) + "\r\n ");
    line.remove_prefix(end);
    room = octets_of_line - 1;
  }
  out.write(std::string(line) + "\r\n");
}

std::string basic_day(Date day) {
  const CalendarDay parts = calendar_day(day);
  return fmt::format("{:04}{:02}{:02}", parts.year, parts.month, parts.day);
}

/// FNV-1a of what makes the event the same event: no id of the book is spelled out.
std::string uid_of(const Herd& herd, const CalendarEvent& event, int nth) {
  std::string text(word(event.what));
  const auto add = [&](std::string_view part) {
    text += '\x1f';
    text += part;
  };
  add(event.doe ? herd.ids[*event.doe] : std::string_view());
  add(event.sire ? herd.ids[*event.sire] : std::string_view());
  add(to_text(event.since));
  add(std::to_string(nth));
  std::uint64_t hash = 0xCBF29CE484222325u;
  for (const char c : text) hash = (hash ^ static_cast<unsigned char>(c)) * 0x100000001B3u;
  return fmt::format("{}-{:016x}@doewright", word(event.what), hash);
}

}  // namespace

void report_calendar_ics(Sink& out, const Herd& herd, std::span<const CalendarEvent> events) {
  for (const char* line : {"BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Doewright//Calendar//EN",
                           "CALSCALE:GREGORIAN"}) {
    write_line(out, line);
  }
  for (const CalendarEvent& event : events) {
    std::string title = calendar_title(herd, event);
    if (event.doe || event.sire) {
      title = short_name(herd, event.doe ? *event.doe : *event.sire) + ": " + title;
    }
    std::string why = calendar_why(herd, event) + ".";
    if (event.low != event.high) why += " Most likely " + to_text(event.date) + ".";
    // Several heats are counted from one: the number of cycles tells them apart.
    const int nth = (event.date - event.since + 10) / 21;
    write_line(out, "BEGIN:VEVENT");
    write_line(out, "UID:" + uid_of(herd, event, nth));
    write_line(out, "DTSTAMP:" + basic_day(herd.as_of) + "T000000Z");
    write_line(out, "DTSTART;VALUE=DATE:" + basic_day(event.low));
    write_line(out, "DTEND;VALUE=DATE:" + basic_day(event.high + 1));
    write_line(out, "SUMMARY:" + escaped(title));
    write_line(out, "DESCRIPTION:" + escaped(why));
    write_line(out, "TRANSP:TRANSPARENT");
    write_line(out, "END:VEVENT");
  }
  write_line(out, "END:VCALENDAR");
}

}  // namespace doewright
