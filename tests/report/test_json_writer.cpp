// SPDX-License-Identifier: MIT
// Read back by an independent JSON library (nlohmann-json), RFC 8259.
#include <doctest/doctest.h>

#include <limits>
#include <nlohmann/json.hpp>

#include "report/json_writer.hpp"

using namespace doewright;

TEST_CASE("what is written is JSON and reads back equal") {
  StringSink out;
  JsonWriter json(out);
  json.begin_object();
  json.field("text", std::string("quote \" back \\ line \n tab \t bell \x07 é 山羊"));
  json.field("third", 1.0 / 3.0);
  json.field("minus_zero", -0.0);
  json.field("whole", 2.0);
  json.field("nan", std::numeric_limits<double>::quiet_NaN());
  json.field("unknown", std::optional<double>());
  json.field_count("big", 18446744073709551615ull);
  json.key("list");
  json.begin_list();
  for (int i = 0; i < 3; ++i) {
    json.begin_object();
    json.field("i", double(i));
    json.key("deep");
    json.begin_list();
    json.begin_object();
    json.field("yes", true);
    json.end_object();
    json.end_list();
    json.end_object();
  }
  json.end_list();
  json.key("empty");
  json.begin_list();
  json.end_list();
  json.end_object();
  json.finish();

  const auto read = nlohmann::json::parse(out.text());
  CHECK(read["text"] == "quote \" back \\ line \n tab \t bell \x07 é 山羊");
  CHECK(read["third"].get<double>() == 1.0 / 3.0);
  CHECK(out.text().find("\"minus_zero\": 0") != std::string::npos);
  CHECK(out.text().find("\"whole\": 2,") != std::string::npos);
  CHECK(read["nan"].is_null());
  CHECK(read["unknown"].is_null());
  CHECK(read["big"].get<std::uint64_t>() == 18446744073709551615ull);
  CHECK(read["list"].size() == 3);
  CHECK(read["list"][2]["deep"][0]["yes"] == true);
  CHECK(read["empty"].empty());
}
