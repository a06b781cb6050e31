// SPDX-License-Identifier: MIT
/// Dates as people write them, marks for "not known", lists.
#include <doctest/doctest.h>

#include "herdbook/cells.hpp"

using namespace doewright;

namespace {

std::string read(std::string_view text) {
  DateSlip slip;
  const auto date = read_date(text, slip);
  return date ? to_text(*date) : slip.code;
}

}  // namespace

TEST_CASE("ISO 8601 dates, with the day or the month left out") {
  for (const std::string_view date :
       {"2024", "2024-03", "2024-03-07", "2024-02-29", "0001-01-01"}) {
    CHECK(read(date) == date);
  }
}

TEST_CASE("days that are not in the calendar are impossible") {
  for (const std::string_view date :
       {"2023-02-29", "1900-02-29", "2024-02-30", "2024-13", "2024-00", "2024-04-31", "2024-01-00",
        "0000", "0000-01-01"}) {
    CAPTURE(date);
    CHECK(read(date) == "date-impossible");
  }
}

TEST_CASE("other ways to write a date are refused") {
  for (const std::string_view date :
       {"03/04/21", "3.4.2021", "2024-3-7", "20240307", "2024/03/07", "24", "March 2024",
        "yesterday", "2024-03-07T10:00", "2024-03-07 00:00:00", "13/14/2021", "-2024", "２０２４",
        "2024-", "0,5"}) {
    CAPTURE(date);
    CHECK(read(date) == "date-form");
  }
}

TEST_CASE("both readings of an ambiguous date are said, and no other remedy is offered") {
  DateSlip slip;
  CHECK_FALSE(read_date("03/04/21", slip));
  CHECK(slip.message == "'03/04/21' may be 3 April 2021 or 4 March 2021");
  CHECK(slip.remedy == "write 2021-04-03 or 2021-03-04");
  CHECK_FALSE(read_date("25.12.2023", slip));  // only one day can be meant, and it is still refused
  CHECK(slip.remedy == "write 2023-12-25 if that is the day");
  CHECK_FALSE(read_date("2024/3/7", slip));
  CHECK(slip.remedy == "write 2024-03-07 if that is the day");
}

TEST_CASE("marks for not known, in any case; words that begin like them are ids") {
  for (const std::string_view mark : {"?", "-", ".", "NA", "na", "N/A", "unknown", "UNKNOWN"}) {
    CHECK(is_unknown_mark(mark));
  }
  for (const std::string_view id : {"", "0", "--", "NAN", "unknown1", "n.a.", "??"}) {
    CHECK_FALSE(is_unknown_mark(id));
  }
}

TEST_CASE("lists leave out what is blank") {
  CHECK(parts_of_list(" A; B b ;;C;") == std::vector<std::string_view>{"A", "B b", "C"});
  CHECK(parts_of_list("").empty());
}
