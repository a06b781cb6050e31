// SPDX-License-Identifier: MIT
// Pairings to beware of: what the records show of a fault on both sides, as counts. Simpler: 2_ranking.
//
//   > Tamarisk x Comfrey: both are polled: one doe kid in four may be intersex and barren, one in two if he carries polled twice; one parent must be horned as born
//   > Alder x Tansy: both carry beta-mannosidosis by gene test: one kid in four gets two copies and dies of it
//   > Tamarisk x Sorrel: both are polled: one doe kid in four may be intersex and barren, one in two if he carries polled twice; one parent must be horned as born
#include <cstdio>
#include <string>

#include <doewright/herdbook/read.hpp>
#include <doewright/pairing/pairing.hpp>
#include <doewright/pairing/reason_codes.hpp>
#include <doewright/report/words.hpp>

int main(int, char** argv) {
  namespace reason = doewright::reason;
  const auto book = doewright::read_herd_book(argv[1], {.as_of = {}, .today = {}});
  const doewright::Herd& herd = *book.herd;
  const doewright::Genetics genetics = doewright::genetics_of(herd);
  const doewright::PairingTable table = doewright::score(herd, genetics);
  for (const doewright::DoeAccount& doe : table.does) {
    for (const doewright::PairingAccount& pair : doe.sires) {
      for (const doewright::Reason& why : pair.reasons) {
        if (why.code != reason::fault_both_carry && why.code != reason::polled_pair) continue;
        std::printf("%s x %s: %s\n", std::string(herd.ids[pair.pairing.sire]).c_str(),
                    std::string(herd.ids[doe.doe.doe]).c_str(), sentence(herd, why).c_str());
      }
    }
  }
}
