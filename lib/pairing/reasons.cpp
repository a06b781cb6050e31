// SPDX-License-Identifier: MIT
// Which facts are said of a pair, and how much each weighs: what a rule says comes first (avoid before
// caution); then what moves the value, by the share of a healthy litter's worth that it costs or adds
// (ten times that share); then what is merely worth knowing.
#include "reasons.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <doewright/pairing/reason_codes.hpp>

namespace doewright {

namespace {

constexpr double weight_avoid = 100.0, weight_caution = 10.0, weight_record = 0.4;
constexpr double weight_money = 10.0, most_of_money = 9.0;

Verdict verdict_of(const PairingAccount& pair, std::string_view rule) {
  for (const RuleHit& hit : pair.rules) {
    if (hit.rule == rule) return hit.verdict;
  }
  return Verdict::go;
}

double weight_of(Verdict verdict) {
  return verdict == Verdict::avoid     ? weight_avoid
         : verdict == Verdict::caution ? weight_caution
                                       : 0.5;
}

class Reasons {
 public:
  explicit Reasons(std::vector<Reason>& list) : list_(list) {}
  Reason& add(std::string_view code, double effect, std::vector<Animal> animals,
              std::vector<double> numbers = {}, std::vector<Row> records = {}) {
    std::erase_if(records, [](Row row) { return row.line == 0; });
    return list_.emplace_back(
        Reason{code, effect, std::move(animals), std::move(numbers), std::move(records)});
  }
  void sort() {
    std::stable_sort(list_.begin(), list_.end(),
                     [](const Reason& a, const Reason& b) { return a.effect > b.effect; });
  }

 private:
  std::vector<Reason>& list_;
};

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
                 const PairingAccount& pair, Reasons& reasons) {
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
    reasons.add(reason::kin_blanks, decides ? weight : 0.2, {sire}, {him.known.share, blanks});
  }
  const ThreeLimits& limits = herd.season.inbreeding_limits(doe.doe.kids_for);
  for (int step = 2; step >= 0; --step) {
    const double limit = limits[static_cast<std::size_t>(step)];
    if (f.used < limit) continue;
    const bool is_note = step == 0;
    reasons.add(reason::kin_limit, is_note ? 0.25 : weight - 0.2, {sire, her},
                {f.used, limit, static_cast<double>(step)});
    break;
  }
}

void say_rules(const Herd& herd, const PairingTable& table, const DoeAccount& doe,
               const PairingAccount& pair, Reasons& reasons) {
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
      reasons.add(reason::horns_unknown, weight - 0.4, std::move(asked));
    } else if (hit.rule == "hold") {
      reasons.add(reason::on_hold, weight + 2, {her});
      Reason why = doe.fitness.reasons.front();
      why.effect = weight + 1.9;
      reasons.add(why.code, why.effect, why.animals, why.numbers, why.records);
    } else if (hit.rule == "not-sires") {
      reasons.add(reason::not_sires, weight + 1.5, {sire, her}, {}, {doe.doe.row});
    } else if (hit.rule == "papers") {
      const auto missing = std::count_if(him.papers.begin(), him.papers.end(), [](const Paper& p) {
        return p.state != PaperState::in_order;
      });
      reasons.add(reason::papers_missing, weight - 0.5, {sire},
                  {double(missing), double(him.papers.size())});
    } else if (hit.rule == "young-sire") {
      reasons.add(reason::young_sire, weight - 0.3, {sire}, {him.age_months.value_or(0.0)},
                  {animal_row(herd, sire)});
    } else if (hit.rule == "thin-papers") {
      reasons.add(reason::thin_papers, weight - 0.2, {sire}, {him.known.places[0]},
                  {animal_row(herd, sire)});
    }
  }
  if (doe.doe.sire == sire) reasons.add(reason::locked, 50.0, {her, sire}, {}, {doe.doe.row});
  if (!him.proven) reasons.add(reason::sire_unproven, 0.6, {sire});
}

void say_count(Reasons& reasons, std::string_view code, double weight, Animal side, double fault,
               const LookCount& count, bool with_animals) {
  if (count.found == 0) return;
  const double rate = static_cast<double>(count.found) / std::max(1u, count.examined);
  std::vector<double> numbers = {fault, double(count.found), double(count.examined)};
  if (with_animals) numbers.push_back(double(count.animals));
  reasons.add(code, weight * (0.5 + rate), {side}, std::move(numbers), count.rows);
}

/// What was found on one side: the animal itself, its parents, its kids, counts from elsewhere.
void say_faults(const Herd& herd, const std::vector<FaultIndex>& faults,
                const std::vector<FaultEvidence>& evidence, Animal side, bool keep,
                Reasons& reasons) {
  const double weight = keep ? weight_record : weight_record / 10;  // hardly matters in a meat kid
  for (std::size_t f = 0; f < faults.size(); ++f) {
    if (herd.faults[faults[f]].key == "polled") continue;  // being polled is no fault of its own
    const FaultEvidence& e = evidence[f];
    const auto fault = static_cast<double>(faults[f]);
    if (e.own.look == Look::found) {
      reasons.add(reason::fault_own, weight, {side}, {fault}, e.own.rows);
    }
    if (e.dam.look == Look::found) {
      reasons.add(reason::fault_dam, weight * 0.7, {side, *herd.pedigree.dam(side)}, {fault},
                  e.dam.rows);
    }
    if (e.sire.look == Look::found) {
      reasons.add(reason::fault_sire, weight * 0.7, {side, *herd.pedigree.sire(side)}, {fault},
                  e.sire.rows);
    }
    say_count(reasons, reason::fault_kids, weight, side, fault, e.kids, true);
    say_count(reasons, reason::fault_elsewhere, weight, side, fault, e.elsewhere_seen, false);
    say_count(reasons, reason::fault_told, weight * 0.8, side, fault, e.elsewhere_told, false);
  }
}

/// Gene tests: a carrier on one side is said, on both sides loudly.
void say_carriers(const Herd& herd, const PairingTable& table, const DoeAccount& doe,
                  const PairingAccount& pair, bool keep, Reasons& reasons) {
  const Animal sire = pair.pairing.sire, her = pair.pairing.doe;
  for (std::size_t f = 0; f < table.faults.size(); ++f) {
    const auto& his = table.sires[pair.offer].faults[f].test;
    const auto& hers = doe.faults[f].test;
    const auto fault = static_cast<double>(table.faults[f]);
    const FaultModel& model = herd.faults[table.faults[f]];
    const bool he = his.copies.value_or(0) > 0, she = hers.copies.value_or(0) > 0;
    if (he && she && model.inheritance == Inheritance::autosomal) {
      std::vector<Row> rows = his.rows;
      rows.insert(rows.end(), hers.rows.begin(), hers.rows.end());
      const double weight = model.lethal_by_days ? weight_avoid + 1.2 : weight_caution - 0.5;
      reasons.add(
          reason::fault_both_carry, weight, {sire, her},
          {fault, double(*his.copies), double(*hers.copies), model.lethal_by_days ? 1.0 : 0.0},
          std::move(rows));
      continue;
    }
    const double weight = keep ? 1.5 : 0.15;
    if (he)
      reasons.add(reason::fault_carrier, weight, {sire}, {fault, double(*his.copies)}, his.rows);
    if (she)
      reasons.add(reason::fault_carrier, weight - 0.1, {her}, {fault, double(*hers.copies)},
                  hers.rows);
  }
}

bool nobody_looked(const FaultEvidence& e) {
  return !e.test.copies && e.own.look == Look::not_looked && e.sire.look == Look::not_looked &&
         e.dam.look == Look::not_looked && e.kids.examined == 0 && e.elsewhere_seen.examined == 0 &&
         e.elsewhere_told.examined == 0;
}

/// Weight of money moved: ten times its share of what the kids are worth.
double weight_of_money(double money, const PairingAccount& pair) {
  const double kids = std::max(std::abs(pair.money->kids), 1.0);
  return std::min(most_of_money, weight_money * std::abs(money) / kids);
}

std::vector<Row> rows_of(const FaultEvidence& e) {
  std::vector<Row> rows = e.own.rows;
  for (const auto* more : {&e.kids.rows, &e.elsewhere_seen.rows, &e.dam.rows, &e.sire.rows}) {
    rows.insert(rows.end(), more->begin(), more->end());
  }
  return rows;
}

double one_if(bool is_so) {
  return is_so ? 1.0 : 0.0;
}

/// A chance that a kid dies of it at or above a limit.
bool say_lethal(const Herd& herd, const PairingAccount& pair, const FaultModel& model,
                double index, double chance, const FaultEvidence& his, Reasons& reasons) {
  if (!model.lethal_by_days) return false;
  const auto& limits = herd.season.limits.lethal;
  const int step = chance >= limits[1] ? 2 : chance >= limits[0] ? 1 : 0;
  if (step == 0) return false;
  reasons.add(reason::fault_lethal, weight_of(step == 2 ? Verdict::avoid : Verdict::caution) + 1,
              {pair.pairing.sire, pair.pairing.doe},
              {index, chance, limits[step == 2 ? 1 : 0], double(step)}, rows_of(his));
  return true;
}

/// What each fault may cost, with what it rests on; of a buck nobody knows anything of, that.
void say_risks(const Herd& herd, const PairingTable& table, const DoeAccount& doe,
               const PairingAccount& pair, Reasons& reasons) {
  const Animal sire = pair.pairing.sire, her = pair.pairing.doe;
  for (std::size_t f = 0; f < table.faults.size(); ++f) {
    const FaultModel& model = herd.faults[table.faults[f]];
    const PairFault& fault = pair.faults[f];
    const FaultEvidence& his = table.sires[pair.offer].faults[f];
    const FaultEvidence& hers = doe.faults[f];
    const auto index = static_cast<double>(table.faults[f]);
    const double weight = weight_of_money(fault.cost, pair);
    const KidRisk& risk = fault.risk;
    if (fault.told_counts && model.key != "polled") {  // being polled is no fault of its own
      reasons.add(reason::told_heard, weight_of(verdict_of(pair, "told")) - 0.3, {sire},
                  {index, fault.affected, *fault.affected_told}, his.elsewhere_told.rows);
    }
    if (say_lethal(herd, pair, model, index, risk.affected, his, reasons)) continue;
    if (fault.cost <= 0.0) continue;
    if (nobody_looked(his) && nobody_looked(hers)) {
      reasons.add(reason::fault_any_buck, weight, {sire},
                  {index, risk.affected, risk.affected_low, risk.affected_high});
      continue;
    }
    const std::uint32_t found = his.kids.found + his.elsewhere_seen.found;
    const std::uint32_t looked_at = his.kids.examined + his.elsewhere_seen.examined;
    std::vector<Row> rows = rows_of(his);
    const std::vector<Row> her_rows = rows_of(hers);
    rows.insert(rows.end(), her_rows.begin(), her_rows.end());
    reasons.add(reason::fault_risk, weight, {sire, her},
                {index, risk.affected, risk.affected_low, risk.affected_high,
                 one_if(model.lethal_by_days.has_value()), double(found), double(looked_at),
                 one_if(his.own.look == Look::found), one_if(hers.own.look == Look::found),
                 one_if(hers.dam.look == Look::found), one_if(his.dam.look == Look::found)},
                std::move(rows));
  }
}

/// What a risk's sentence says already: his kids, himself and his dam, her and her dam.
void drop_what_risks_say(std::vector<Reason>& reasons) {
  const std::vector<Reason> risks = [&] {
    std::vector<Reason> found;
    for (const Reason& reason : reasons) {
      if (reason.code == reason::fault_risk) found.push_back(reason);
    }
    return found;
  }();
  std::erase_if(reasons, [&](const Reason& one) {
    return std::any_of(risks.begin(), risks.end(), [&](const Reason& risk) {
      if (one.numbers.empty() || one.numbers[0] != risk.numbers[0]) return false;
      const bool own = one.code == reason::fault_own || one.code == reason::fault_dam;
      const bool kids = one.code == reason::fault_kids || one.code == reason::fault_elsewhere;
      return (own && (one.animals[0] == risk.animals[0] || one.animals[0] == risk.animals[1])) ||
             (kids && one.animals[0] == risk.animals[0]);
    });
  });
}

/// Merit: the trait that moves the value most; and what inbreeding costs.
void say_money(const Herd& herd, const PairingAccount& pair, Reasons& reasons) {
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

void ask_of_pair(const PairingTable& table, const DoeAccount& doe, PairingAccount& pair,
                 const Herd& herd) {
  Reasons questions(pair.questions);
  const Animal sire = pair.pairing.sire, her = pair.pairing.doe;
  const KidInbreeding& f = pair.kid_inbreeding;
  if (verdict_of(pair, "horns-unknown") != Verdict::go) {
    for (const Animal animal : {sire, her}) {
      if (herd.animals.horns[animal.position] == Horns::unknown) {
        questions.add(reason::ask_horns, 0.3, {animal});
      }
    }
  }
  for (const Assumption& a : f.worst_assumes) {
    questions.add(reason::ask_worst, f.worst - f.as_recorded, {a.animal, a.taken_as},
                  {a.parent == ParentRole::dam ? 1.0 : 0.0, f.worst});
  }
  const Known& known = table.sires[pair.offer].known;
  if (known.places[0] < 2.0 - 1e-9) {
    const bool sire_known = !herd.pedigree.possible_sires(sire).empty();
    const bool dam_known = herd.pedigree.dam(sire).has_value();
    questions.add(reason::ask_parents, f.used - f.as_recorded, {sire},
                  {double((sire_known ? 0 : 1) | (dam_known ? 0 : 2))});
  }
  questions.add(reason::ask_complete, 0.0, {sire});
  questions.sort();
  (void)doe;
}

}  // namespace

void give_reasons(const Herd& herd, const PairingTable& table, const DoeAccount& doe,
                  PairingAccount& pair) {
  Reasons reasons(pair.reasons);
  const bool keep = doe.doe.kids_for != KidsFor::meat;
  say_rules(herd, table, doe, pair, reasons);
  say_kinship(herd, table, doe, pair, reasons);
  say_faults(herd, table.faults, table.sires[pair.offer].faults, pair.pairing.sire, keep, reasons);
  say_faults(herd, table.faults, doe.faults, pair.pairing.doe, keep, reasons);
  say_carriers(herd, table, doe, pair, keep, reasons);
  say_risks(herd, table, doe, pair, reasons);
  say_money(herd, pair, reasons);
  drop_what_risks_say(pair.reasons);
  reasons.sort();
  ask_of_pair(table, doe, pair, herd);
}

void ask_of_sire(const Herd& herd, PairingTable& table, std::size_t s) {
  SireAccount& sire = table.sires[s];
  const Animal animal = sire.offer.sire;
  Reasons questions(sire.questions);

  // A parent not recorded: what blanks add to every pair. A named suspect: what he would add at
  // worst.
  if (sire.known.places[0] < 2.0 - 1e-9) {
    const bool sire_known = !herd.pedigree.possible_sires(animal).empty();
    const bool dam_known = herd.pedigree.dam(animal).has_value();
    questions.add(reason::ask_parents, 0.0625 * (1.0 - sire.known.share) + 0.05, {animal},
                  {double((sire_known ? 0 : 1) | (dam_known ? 0 : 2))});
  }
  const Reason* suspect = nullptr;
  std::size_t horns_asked = 0;
  for (const DoeAccount& doe : table.does) {
    for (const PairingAccount& pair : doe.sires) {
      if (pair.offer != s) continue;
      if (verdict_of(pair, "horns-unknown") != Verdict::go) ++horns_asked;
      for (const Reason& question : pair.questions) {
        if (question.code != reason::ask_worst) continue;
        if (question.animals.front() != animal) continue;  // only what his owner can answer
        if (suspect == nullptr || question.effect > suspect->effect) suspect = &question;
      }
    }
  }
  if (suspect != nullptr && sire.known.places[0] >= 1.0) {
    questions.add(suspect->code, suspect->effect, suspect->animals, suspect->numbers);
  }
  if (horns_asked > 0 && herd.animals.horns[animal.position] == Horns::unknown) {
    questions.add(reason::ask_horns,
                  0.2 * static_cast<double>(horns_asked) / static_cast<double>(table.does.size()),
                  {animal});
  }
  for (std::size_t f = 0; f < table.faults.size(); ++f) {
    const FaultModel& model = herd.faults[table.faults[f]];
    const bool of_many_genes = model.kind == FaultKind::threshold;
    if (of_many_genes && nobody_looked(sire.faults[f])) {
      questions.add(reason::ask_kids_fault, sire.proven ? 0.06 : 0.04, {animal},
                    {double(table.faults[f])});
      break;  // one question on faults is enough; the table shows the rest
    }
  }
  for (std::size_t p = 0; p < sire.papers.size(); ++p) {
    if (sire.papers[p].state == PaperState::in_order) continue;
    questions.add(reason::ask_paper, 0.045, {animal}, {double(p)});
    break;
  }
  questions.sort();
  if (sire.questions.size() > 2) sire.questions.resize(2);
  if (sire.questions.empty()) questions.add(reason::ask_complete, 0.0, {animal});
}

}  // namespace doewright
