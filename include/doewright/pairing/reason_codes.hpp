// SPDX-License-Identifier: MIT
#pragma once
/// Every reason that pairing/ gives, and what it carries. report/words has one sentence for each; a
/// test fails if one has none.
#include <array>
#include <string_view>

namespace doewright::reason {

// Kinship. animals: {sire, doe, ...}
inline constexpr std::string_view kin_ancestor =
    "kin.ancestor";  ///< + {ancestor}; numbers {contribution to F}
inline constexpr std::string_view kin_unlisted =
    "kin.unlisted";  ///< a sire not on the list; numbers {contribution}
inline constexpr std::string_view kin_parent =
    "kin.parent";  ///< one is the other's parent; animals {parent, kid}; numbers {F}
inline constexpr std::string_view kin_none =
    "kin.none";  ///< numbers {places known of 14 of him, of her}
inline constexpr std::string_view kin_blanks =
    "kin.blanks";  ///< numbers {C of him, part of `used` that blanks make}
inline constexpr std::string_view kin_limit =
    "kin.limit";  ///< numbers {used, limit, 0 note / 1 caution / 2 avoid}
inline constexpr std::string_view kin_worst =
    "kin.worst";  ///< numbers {worst}; animals then triples as assumed

// Rules.
inline constexpr std::string_view polled_pair =
    "rule.polled";  ///< animals {sire, doe}; numbers {1: buck may be pure}
inline constexpr std::string_view horns_unknown =
    "rule.horns-unknown";  ///< animals: those whose horns are not recorded
inline constexpr std::string_view not_sires =
    "rule.not-sires";                                     ///< animals {sire, doe}; records does.csv
inline constexpr std::string_view sire_gone =
    "rule.sire-gone";  ///< animals {sire}: dead, or no longer the herd's own
inline constexpr std::string_view on_hold = "rule.hold";  ///< animals {doe}; its own reasons follow
inline constexpr std::string_view papers_missing =
    "rule.papers";  ///< animals {sire}; numbers {papers to ask for, asked in all}
inline constexpr std::string_view health_positive =
    "health.positive";  ///< animals {whose}; numbers {index into positives()}; records health_tests.csv
inline constexpr std::string_view young_sire =
    "rule.young-sire";  ///< animals {sire}; numbers {months}
inline constexpr std::string_view thin_papers =
    "rule.thin-papers";  ///< animals {sire}; numbers {parents known, 0..2}

// Recorded faults. animals {whose side}; numbers {fault index, ...}; records: the rows behind it.
inline constexpr std::string_view fault_own = "fault.own";  ///< it showed it itself
inline constexpr std::string_view fault_sire =
    "fault.sire";  ///< its sire showed it; animals + {sire}
inline constexpr std::string_view fault_dam = "fault.dam";  ///< its dam showed it; animals + {dam}
inline constexpr std::string_view fault_kids = "fault.kids";  ///< + {found, examined, kids}
inline constexpr std::string_view fault_elsewhere =
    "fault.elsewhere";  ///< + {found, examined}: counts, seen
inline constexpr std::string_view fault_told =
    "fault.told";  ///< + {found, examined}: an owner's word
inline constexpr std::string_view fault_carrier = "fault.carrier";  ///< gene test: + {copies}
inline constexpr std::string_view fault_risk =
    "fault.risk";  ///< animals {sire, doe}; + {chance, low, high, 1 lethal, his kids found, looked at,
                   ///< 1 he has it, 1 she has it, 1 her dam has it, 1 his dam has it, 1 nothing is known
                   ///< of him, chance that he carries it where that is no founder's and not tested, standard error}
inline constexpr std::string_view fault_any_buck =
    "fault.any-buck";  ///< nothing known of him: + {chance, low, high}
inline constexpr std::string_view fault_lethal =
    "rule.lethal";  ///< animals {sire, doe}; + {chance, limit, 1 caution / 2 avoid, standard error}
inline constexpr std::string_view told_heard =
    "rule.told";  ///< animals {sire}; + {chance without the word, with it}
inline constexpr std::string_view merit_gain =
    "merit.gain";  ///< animals {sire, doe}; numbers {trait, kid against the founders' mean, money a doe}
inline constexpr std::string_view inbreeding_costs =
    "value.inbreeding";  ///< numbers {F, money a doe}
inline constexpr std::string_view fault_both_carry =
    "fault.both-carry";  ///< animals {sire, doe}; + {copies of him, of her, 1 if lethal}
inline constexpr std::string_view fault_not_looked =
    "fault.not-looked";  ///< nobody looked at it, its parents or its kids

// The sire himself.
inline constexpr std::string_view sire_unproven =
    "sire.unproven";  ///< animals {sire}: no kid in the book, none settled
inline constexpr std::string_view locked =
    "doe.locked";  ///< animals {doe, sire}: the keeper's choice

// Is she fit. animals {doe}
inline constexpr std::string_view doe_fit = "doe.fit";
inline constexpr std::string_view doe_decided =
    "doe.decided";  ///< numbers {0 go, 1 wait, 2 no}: the keeper's word
inline constexpr std::string_view doe_gone = "doe.gone";    ///< she has left
inline constexpr std::string_view doe_young = "doe.young";  ///< numbers {months, months needed}
inline constexpr std::string_view doe_light =
    "doe.light";  ///< numbers {share of grown weight, share needed, kg needed}
inline constexpr std::string_view doe_weigh = "doe.weigh";  ///< weight not known
inline constexpr std::string_view doe_grown_unknown =
    "doe.grown-unknown";  ///< grown weight not known
inline constexpr std::string_view doe_age_unknown = "doe.age-unknown";
inline constexpr std::string_view doe_thin = "doe.thin";  ///< numbers {condition, limit}
inline constexpr std::string_view doe_fat = "doe.fat";    ///< numbers {condition, limit}
inline constexpr std::string_view doe_rest =
    "doe.rest";  ///< numbers {days since kidding, days needed, day number it ends}
inline constexpr std::string_view doe_hard_help =
    "doe.hard-help";  ///< numbers {kiddings with hard help, kiddings with help recorded}

// Questions that would change the answer. animals {of whom}
inline constexpr std::string_view ask_parents =
    "ask.parents";  ///< numbers {bit 0 sire, bit 1 dam: not recorded}
inline constexpr std::string_view ask_complete =
    "ask.complete";  ///< is the pedigree complete, is nobody left out
inline constexpr std::string_view ask_horns = "ask.horns";
inline constexpr std::string_view ask_worst =
    "ask.worst";  ///< animals {animal, taken as}; numbers {0 sire 1 dam, F}
inline constexpr std::string_view ask_kids_fault =
    "ask.kids-fault";  ///< numbers {fault}: were his kids looked at
inline constexpr std::string_view ask_gene_test =
    "ask.gene-test";  ///< animals {sire, doe}; numbers {fault, 1 lethal}: she carries it, he was not tested
inline constexpr std::string_view ask_would_lead =
    "ask.would-lead";  ///< animals {sire, doe}; numbers {fault, clear kids; 0: a clear gene test}
inline constexpr std::string_view ask_one_animal =
    "ask.one-animal";  ///< animals {one, other}; numbers {F of a kid if they are one, under 0: not worked
                       ///< out; 1: the largest of several pairs}
inline constexpr std::string_view ask_paper = "ask.paper";  ///< numbers {index of the paper}

inline constexpr std::array all = {
    kin_ancestor,   kin_unlisted,      kin_parent,       kin_none,        kin_blanks,
    kin_limit,      kin_worst,         polled_pair,      horns_unknown,   not_sires,
    on_hold,        papers_missing,    young_sire,       thin_papers,     fault_own,
    fault_sire,     fault_dam,         fault_kids,       fault_elsewhere, fault_told,
    fault_carrier,  fault_both_carry,  fault_not_looked, sire_unproven,   locked,
    fault_risk,     fault_any_buck,    fault_lethal,     told_heard,      merit_gain,
    inbreeding_costs,
    doe_fit,        doe_decided,       doe_gone,         doe_young,       doe_light,
    doe_weigh,      doe_grown_unknown, doe_age_unknown,  doe_thin,        doe_fat,
    doe_rest,       ask_parents,       ask_complete,     ask_horns,       ask_worst,
    ask_kids_fault, ask_would_lead,    ask_paper,        sire_gone,       ask_gene_test,
    health_positive, doe_hard_help, ask_one_animal,
};

}  // namespace doewright::reason
