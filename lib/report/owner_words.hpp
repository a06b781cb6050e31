// SPDX-License-Identifier: MIT
#pragma once
/// The words of the report for the owner of a buck: text and page say the same facts.
#include <string>
#include <vector>

#include <doewright/pairing/owner_report.hpp>
#include <doewright/report/report.hpp>

namespace doewright {

struct OwnerTable {
  std::vector<std::string> titles;
  std::vector<std::vector<std::string>> rows;
};

struct OwnerWords {
  std::string title;                   ///< His name.
  std::string dates;                   ///< When he was with the does.
  std::string headline;                ///< One sentence: served, kidded, born.
  std::string worst;                   ///< What was found, of how many looked at.
  OwnerTable counts;                   ///< What, how many, of what.
  OwnerTable looks;                    ///< By fault: found, looked at, not looked at.
  OwnerTable does;                     ///< One row a doe and season.
  std::vector<std::string> notes;      ///< What the counts rest on.
  std::vector<std::string> not_known;  ///< Blanks, shown as blanks.
};

OwnerWords owner_words(const Herd& herd, const OwnerReport& report);

/// "7", "6.5": a number of kids of which some count by chance.
std::string number_of_kids(double kids);
/// "minor", "yes", "removed".
std::string grade_found(const Herd& herd, const OwnerFinding& finding);

void owner_as_page(Sink& out, const Preamble& preamble, const OwnerReport& report,
                   const OwnerWords& words);

}  // namespace doewright
