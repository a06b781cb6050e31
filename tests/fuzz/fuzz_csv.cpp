// SPDX-License-Identifier: MIT
#include <cstddef>
#include <cstdint>
#include <string_view>
#include <utility>

#include "demand.hpp"
#include "herdbook/csv_reader.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  const std::size_t lines = lines_of(text);
  doewright::Complaints complaints;
  doewright::CsvReader reader(text, "animals.csv", &complaints);
  if (reader.usable()) {
    std::uint32_t last = 0;
    while (reader.next()) {
      demand(reader.line() > last && reader.line() <= lines);  // rows go down the page
      last = reader.line();
      for (std::size_t i = 0; i < reader.header().size(); ++i) {
        demand(reader.text(i).size() <= size);
        demand(reader.place(i).line >= reader.line() && reader.place(i).column >= 1);
      }
    }
  }
  demand(reader.usable() || complaints.errors() > 0);  // never refused without a word
  for (const doewright::Problem& problem : std::move(complaints).sorted())
    demand_sound(problem, lines);
  return 0;
}
