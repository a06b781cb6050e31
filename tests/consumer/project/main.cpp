// SPDX-License-Identifier: MIT
#include <cstdio>

#include <doewright/kinship/kinship.hpp>
#include <doewright/pedigree/pedigree_builder.hpp>

int main() {
  doewright::PedigreeBuilder builder;
  builder.add("Rowan", "", "");
  builder.add("Hazel", "Rowan", "");
  builder.add("Alder", "Rowan", "");
  const doewright::BuiltPedigree built = std::move(builder).build();
  const doewright::Kinship kinship(built.pedigree);
  const double f = kinship.of(*built.ids.find("Hazel"), *built.ids.find("Alder"));
  std::printf("%.3f\n", f);
  return f == 0.125 ? 0 : 1;
}
