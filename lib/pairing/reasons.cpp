// SPDX-License-Identifier: MIT
// Which facts are said of a pair, and how much each weighs: what a rule says comes first (avoid before
// caution); then what moves the value, by the share of a healthy litter's worth that it costs or adds
// (ten times that share); then what is merely worth knowing.
#include "reasons.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <doewright/pairing/reason_codes.hpp>
#include "reason_list.hpp"

namespace doewright {

namespace {

Row animal_row(const Herd& herd, Animal animal) {
  return {Table::animals, herd.animals.line[animal.position]};
}

bool is_parent(const Pedigree& pedigree, Animal parent, Animal kid) {
  return pedigree.sire(kid) == parent || pedigree.dam(kid) == parent;
}

double places_of_14(const Known& known) {
  return known.places[0] + known.places[1] + known.places[2];
}

void say_kinship(const Herd& herd, const PairingTable& table, const DoeAccount& doe,
                 const PairingAccount& pair, ReasonList& reasons) {
  const Animal sire = pair.pairing.sire, her = pair.pairing.doe;
  const KidInbreeding& f = pair.kid_inbreeding;
  const SireAccount& him = table.sires[pair.offer];
  const double weight = weight_of(verdict_of(pair, "inbreeding"));

  const bool his_kid = is_parent(herd.pedigree, sire, her);
  const bool her_kid = is_parent(herd.pedigree, her, sire);
  if (his_kid || her_kid) {
    const Animal parent = his_kid ? sire : her, kid = his_kid ? her : sire;
    reasons.add(reason::kin_parent, weight, {parent, kid}, {f.as_recorded},
                {animal_row(herd, kid)});
  }
  double less = 0.0;  // keeps the order of the shares among equals in weight
  for (const AncestorShare& share : pair.common_ancestors) {
    if (share.ancestor && (share.ancestor == sire || share.ancestor == her))
      continue;  // said above
    const double effect = weight * (0.5 + share.contribution) - 0.1 - less;
    less += 1e-6;
    if (share.ancestor) {
      reasons.add(reason::kin_ancestor, effect, {sire, her, *share.ancestor}, {share.contribution},
                  {animal_row(herd, *share.ancestor)});
    } else {
      reasons.add(reason::kin_unlisted, effect, {sire, her}, {share.contribution});
    }
  }
  if (pair.common_ancestors.empty()) {
    reasons.add(reason::kin_none, 0.3, {sire, her},
                {places_of_14(him.known), places_of_14(doe.known)});
  }
  const double blanks = f.used - f.as_recorded;
  if (blanks > 0.0) {
    const bool decides = weight > 1.0 && blanks > f.as_recorded;
    reasons.add(reason::kin_blanks, decides ? weight - 0.15 : 0.2, {sire}, {him.known.share, blanks});
  }
  const ThreeLimits& limits = herd.season.inbreeding_limits(doe.doe.kids_for);
  for (int step = 2; step >= 0; --step) {
    const double limit = limits[static_cast<std::size_t>(step)];
    if (f.used < limit) continue;
    const bool is_note = step == 0;
    reasons.add(reason::kin_limit, is_note ? 0.25 : weight - 0.1, {sire, her},
                {f.used, limit, static_cast<double>(step)});
    break;
  }
}

void say_rules(const Herd& herd, const PairingTable& table, const DoeAccount& doe,
               const PairingAccount& pair, ReasonList& reasons) {
  const Animal sire = pair.pairing.sire, her = pair.pairing.doe;
  const SireAccount& him = table.sires[pair.offer];
  for (const RuleHit& hit : pair.rules) {
    const double weight = weight_of(hit.verdict);
    if (hit.rule == "polled") {
      reasons.add(reason::polled_pair, weight + 1, {sire, her}, {},
                  {animal_row(herd, sire), animal_row(herd, her)});
    } else if (hit.rule == "horns-unknown") {
      std::vector<Animal> asked;
      for (const Animal animal : {sire, her}) {
        if (herd.animals.horns[animal.position] == Horns::unknown) asked.push_back(animal);
      }
      const bool other_polled = herd.animals.horns[sire.position] == Horns::polled ||
                                herd.animals.horns[her.position] == Horns::polled;
      reasons.add(reason::horns_unknown, weight + (other_polled ? 0.5 : -0.4), std::move(asked));
    } else if (hit.rule == "hold") {
      reasons.add(reason::on_hold, weight + 2, {her});
      Reason why = doe.fitness.reasons.front();
      why.effect = weight + 1.9;
      reasons.add(why.code, why.effect, why.animals, why.numbers, why.records);
    } else if (hit.rule == "not-sires") {
      if (him.gone) {
        reasons.add(reason::sire_gone, weight + 1.6, {sire});
      } else {
        reasons.add(reason::not_sires, weight + 1.5, {sire, her}, {}, {doe.doe.row});
      }
    } else if (hit.rule == "papers") {
      const auto missing = std::count_if(him.papers.begin(), him.papers.end(), [](const Paper& p) {
        return p.state != PaperState::in_order && p.state != PaperState::not_negative;
      });
      if (missing > 0) {
        reasons.add(reason::papers_missing, weight - 0.5, {sire},
                    {double(missing), double(him.papers.size())});
      }
    } else if (hit.rule == "young-sire") {
      reasons.add(reason::young_sire, weight - 0.3, {sire}, {him.age_months.value_or(0.0)},
                  {animal_row(herd, sire)});
    } else if (hit.rule == "thin-papers") {
      reasons.add(reason::thin_papers, weight - 0.2, {sire}, {him.known.places[0]},
                  {animal_row(herd, sire)});
    }
  }
  for (std::size_t k = 0; k < him.positives.size(); ++k) {  // one that stands is the rule `papers`
    reasons.add(reason::health_positive, him.positives[k].stands() ? weight_caution + 1.2 : 0.7, {sire},
                {double(k)}, {him.positives[k].row});
  }
  if (doe.doe.sire == sire) reasons.add(reason::locked, 50.0, {her, sire}, {}, {doe.doe.row});
  if (!him.proven) reasons.add(reason::sire_unproven, 0.6, {sire});
}

/// Merit: the trait that moves the value most; and what inbreeding costs.
void say_money(const Herd& herd, const PairingAccount& pair, ReasonList& reasons) {
  const Animal sire = pair.pairing.sire, her = pair.pairing.doe;
  const PairMerit* largest = nullptr;
  double money_of_largest = 0.0;
  for (const PairMerit& merit : pair.merit) {
    if (merit.sire_reliability + merit.dam_reliability <= 0.0) continue;
    const Trait& trait = herd.traits[merit.trait];
    // By the price in a kid to keep or, where it has none, in one for meat.
    const double price = trait.value_keep != 0.0 ? trait.value_keep : trait.value_meat;
    const double money = price * 0.5 * (merit.sire + merit.dam) * pair.settle_probability *
                         pair.kids_per_kidding;
    if (std::abs(money) <= std::abs(money_of_largest)) continue;
    largest = &merit;
    money_of_largest = money;
  }
  if (largest != nullptr) {
    reasons.add(reason::merit_gain, weight_of_money(money_of_largest, pair), {sire, her},
                {double(largest->trait), 0.5 * (largest->sire + largest->dam), money_of_largest});
  }
  if (pair.money->inbreeding < 0.0) {
    reasons.add(reason::inbreeding_costs, weight_of_money(pair.money->inbreeding, pair), {},
                {pair.kid_inbreeding.used, -pair.money->inbreeding});
  }
}

}  // namespace

void give_reasons(const Herd& herd, const PairingTable& table, const DoeAccount& doe,
                  PairingAccount& pair) {
  ReasonList reasons(pair.reasons);
  say_rules(herd, table, doe, pair, reasons);
  say_kinship(herd, table, doe, pair, reasons);
  say_faults_of_pair(herd, table, doe, pair, reasons);
  say_money(herd, pair, reasons);
  drop_what_risks_say(pair.reasons);
  reasons.sort();
  ask_of_pair(herd, table, pair);
}

}  // namespace doewright
