// SPDX-License-Identifier: MIT
// A program of somebody else: builds a pedigree, asks for a kinship, and is told what it did wrong.
#include <cstdio>
#include <utility>

#include <doewright/herdbook/read.hpp>
#include <doewright/kinship/kinship.hpp>
#include <doewright/pedigree/pedigree_builder.hpp>

namespace {

double kinship_of_half_sibs() {
  doewright::PedigreeBuilder builder;
  builder.add("Rowan", "", "");
  builder.add("Hazel", "Rowan", "");
  builder.add("Alder", "Rowan", "");
  const doewright::BuiltPedigree built = std::move(builder).build();
  const doewright::Kinship kinship(built.pedigree);
  return kinship.of(*built.ids.find("Hazel"), *built.ids.find("Alder"));
}

/// Exceptions must keep their type on the way out of the library, shared or not.
bool is_told_that_there_is_no_book() {
  try {
    doewright::read_herd_book("no-such-herd-book", {.as_of = {}, .today = {}});
  } catch (const doewright::NotFound&) {
    return true;
  }
  return false;
}

}  // namespace

int main() {
  const double kinship = kinship_of_half_sibs();
  const bool told = is_told_that_there_is_no_book();
  std::printf("%.3f, %s\n", kinship, told ? "no such book" : "nothing said");
  return kinship == 0.125 && told ? 0 : 1;
}
