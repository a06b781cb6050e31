// SPDX-License-Identifier: MIT
#pragma once
/// The pages of `rank` and `sire`: every doe with every sire in cells that open to their account.
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <doewright/report/report.hpp>

#include "html_writer.hpp"

namespace doewright {

void rank_as_page(Sink& out, const Preamble& preamble, const Herd& herd, const PairingTable& table);
/// \pre table.sires.size() == 1.
void sire_as_page(Sink& out, const Preamble& preamble, const Herd& herd, const PairingTable& table);

/// "Alder: go for 3 of 16 does, caution for 10, avoid for 3."
std::string sire_headline(const Herd& herd, const PairingTable& table);

/// Papers, age, faults of his own side: the same for every doe.
bool is_of_him_alone(const Reason& reason, Animal sire);

/// What all cells of one page share: the scale of money and the weaves of the sires.
struct CellsLook {
  const Herd& herd;
  const PairingTable& table;
  double lowest = 0.0, highest = 1.0;           ///< Money; 0 lies between them.
  std::vector<std::size_t> weave;               ///< By offer; threads_most or more: none.
  std::vector<std::vector<std::size_t>> heads;  ///< By doe: offers level at the head of her list.
  bool all_drawn = true;  ///< Small enough that every account has its pictures.

  bool at_head(std::size_t doe, std::size_t offer) const;
  bool drawn(const PairingAccount& pair) const;
};

/// At most so many cells have all their pictures; in larger tables only those at the head of a
/// list.
inline constexpr std::size_t cells_drawn_most = 320;

CellsLook cells_look(const Herd& herd, const PairingTable& table);

// Words.
std::string cell_money(const Herd& herd, double amount);  ///< "232 EUR"
/// The strictest rules, two at most, in two words each: "deadly fault, close kin"; empty for go.
std::string short_reason(const PairingAccount& pair);
/// Says a sire's terms and price in few words: "hired, 358 EUR once".
std::string short_terms(const Herd& herd, const SireAccount& sire);
std::string_view hold_words(
    const DoeFitness& fitness);  ///< "must wait", "not this year", or nothing.

// Pictures. Those without words of their own stand beside the same facts as text.
void draw_swatch(HtmlWriter& html, const CellsLook& look, std::size_t offer);
/// The swatch of a weave; threads_most or more: plain.
void draw_weave(HtmlWriter& html, std::size_t weave);
void draw_value(HtmlWriter& html, const CellsLook& look, double value);
/// The lengths that draw_value() uses, in hundredths of the scale: short, for pages of many cells.
void add_value_sheet(HtmlSheet& sheet, const CellsLook& look);
/// Parts of the value as steps from 0 to the sum, each with its money.
void draw_parts(HtmlWriter& html, const CellsLook& look, const PairingAccount& pair);
/// Chances of what may show in a kid, 0 to 100 %: interval and mean, each with its figures.
void draw_risks(HtmlWriter& html, const CellsLook& look, const PairingAccount& pair);
/// Readings of a kid's inbreeding on a scale from 0 to 50 %.
void draw_readings(HtmlWriter& html, const PairingAccount& pair, std::string_view whose);
/// The chance that he is best, 0 to 100 %.
void draw_chance(HtmlWriter& html, double chance);
/// Paths from the sire over the common ancestors to the doe.
void draw_paths(HtmlWriter& html, const Herd& herd, const PairingAccount& pair);

/// What a cell opens to.
void pair_account(HtmlWriter& html, const CellsLook& look, std::size_t doe,
                  const PairingAccount& pair);

/// The does with all sires, with its key.
void cells_table(HtmlWriter& html, const CellsLook& look);
/// The does with one sire: verdict and worth, inbreeding, what is known.
void one_sire_table(HtmlWriter& html, const CellsLook& look);
void cells_key(HtmlWriter& html, const CellsLook& look, bool one_sire);
void add_cells_sheet(HtmlSheet& sheet, const CellsLook& look, std::size_t columns);

/// Questions to the owner, papers, what was looked at; one sire on offer.
void sire_card(HtmlWriter& html, const CellsLook& look, std::size_t offer);
/// What was looked at and found on the side of one animal; `offer`: of a sire, which one.
void evidence_list(HtmlWriter& html, const CellsLook& look,
                   const std::vector<FaultEvidence>& evidence,
                   std::optional<std::size_t> offer);
/// Cautions, assumed values, defaults.
void cells_foot(HtmlWriter& html, const Preamble& preamble, std::string_view caution);

}  // namespace doewright
