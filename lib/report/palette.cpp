// SPDX-License-Identifier: MIT
#include "palette.hpp"

namespace doewright {

HtmlSheet& palette_sheet(HtmlSheet& sheet) {
  sheet.add(":root{color-scheme:light;");
  for (const HueColours& each : palette) sheet.colour(each.name, each.light);
  sheet.add("}\n@media screen and (prefers-color-scheme:dark){:root{color-scheme:dark;");
  for (const HueColours& each : palette) sheet.colour(each.name, each.dark);
  sheet.add("}}\n");
  for (const HueColours& each : palette) {
    sheet.rule(".t-", each.name, "{color:var(--", ")}");
    sheet.rule("svg .t-", each.name, "{fill:var(--", ")}");
    sheet.rule(".g-", each.name, "{background:var(--", ")}");
    sheet.rule("svg .g-", each.name, "{fill:var(--", ")}");
    sheet.rule("svg .s-", each.name, "{stroke:var(--", ")}");
  }
  return sheet;
}

}  // namespace doewright
