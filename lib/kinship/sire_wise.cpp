// SPDX-License-Identifier: MIT
// Inbreeding, sire by sire: F of a kid is half the relationship of its parents, so one column of A
// a sire, A e = T D T' e (Colleau 2002, Genet. Sel. Evol. 34:409-421; sire-wise use: Sargolzaei,
// Iwaisaki and Colleau 2005, J. Anim. Breed. Genet. 122:325-331), gives F of all his kids.
//   paper   here           meaning
//   e       start          1 for the sire, 0 for everybody else
//   T' e    downward...    parts of the sire's genes by ancestor: youngest first ("A-pass")
//   D       own            what an animal does not get from known parents
//   T       upward         relationships with the ancestors of his mates: oldest first
// Differences from the papers: only parents are nodes; the ancestors are kept in one list a level
// (level = longest way up to a founder), so that nothing is sorted; a stand-in is a sire like any
// other, and its own column gives D(m) = 1 + F(m) - p'Ap on the way. Sires of two neighbouring
// levels form a wave: D of a node of level L needs F of parents up to level L - 1, which came from
// sires up to level L - 2. Since a stand-in's D comes from its own column, its kids stand two
// levels above it. All sires of a wave may run side by side; each is wholly one thread's work.
#include <algorithm>
#include <memory>
#include <mutex>
#include <utility>

#include "engines.hpp"
#include "groups.hpp"

namespace doewright {

namespace {

constexpr std::uint32_t stand_in_mark = Pedigree::stand_in_bit;

/// One parent, as a column sees it; 32 bytes, so that a visit costs one line of the cache.
struct Parent {
  std::uint32_t sire = 0, dam = 0;  ///< Numbers; 0: not known. Stand-in: list, stand_in_mark.
  std::uint32_t level = 0;
  std::uint32_t mark = 0;  ///< Number of the column that last listed it.
  double x = 0.0;
  double own = 1.0;
};

/// Parents alone, numbered 1, 2, ... in order; number 0 stands for "not known".
struct Parents {
  std::vector<std::uint32_t> number;  ///< By node; 0 if it has no kid.
  std::vector<std::uint32_t> node;    ///< By number.
  std::vector<Parent> at;             ///< By number: what every column starts with.
  std::vector<std::uint32_t> candidate_first = {0};
  std::vector<ParentPart> candidates;      ///< In numbers.
  std::vector<std::uint32_t> level_first;  ///< Place of a level's list: its parents and one spare.
  std::vector<std::uint32_t> by_level;     ///< Numbers sorted by level.
  std::vector<std::uint32_t> level_count;  ///< by_level[level_count[l] ...) is level l.
  std::vector<std::uint32_t> kid_first, kids;  ///< Nodes of the kids with a known dam, by sire.

  std::uint32_t levels() const { return static_cast<std::uint32_t>(level_first.size() - 1); }
};

void number_parents(const Family& family, Parents& parents) {
  parents.number.assign(family.size(), 0);
  for (std::uint32_t node = 0; node < family.size(); ++node) {
    family.for_parents(node, [&](std::uint32_t parent, double) { parents.number[parent] = 1; });
  }
  parents.node = {Family::none};
  for (std::uint32_t node = 0; node < family.size(); ++node) {
    if (parents.number[node] == 0) continue;
    parents.number[node] = static_cast<std::uint32_t>(parents.node.size());
    parents.node.push_back(node);
  }
}

void link_parents(const Family& family, Parents& parents) {
  parents.at.resize(parents.node.size());
  const auto number_of = [&](std::uint32_t node) {
    return node == Family::none ? 0u : parents.number[node];
  };
  for (std::uint32_t list = 0; list < family.stand_ins(); ++list) {
    for (const ParentPart& candidate : family.candidates(list)) {
      parents.candidates.push_back({number_of(candidate.node), candidate.part});
    }
    parents.candidate_first.push_back(static_cast<std::uint32_t>(parents.candidates.size()));
  }
  for (std::uint32_t i = 1; i < parents.at.size(); ++i) {
    Parent& parent = parents.at[i];
    const std::uint32_t node = parents.node[i];
    if (family.is_stand_in(node)) {
      parent.sire = family.list_of(node);
      parent.dam = stand_in_mark;
      for (const ParentPart& candidate : family.candidates(parent.sire)) {
        parent.level = std::max(parent.level, parents.at[number_of(candidate.node)].level + 1);
      }
      continue;
    }
    parent.sire = number_of(family.sire(node));
    parent.dam = number_of(family.dam(node));
    if (parent.sire != 0) {
      const Parent& sire = parents.at[parent.sire];
      parent.level = sire.level + (sire.dam == stand_in_mark ? 2 : 1);
    }
    if (parent.dam != 0) parent.level = std::max(parent.level, parents.at[parent.dam].level + 1);
  }
}

void sort_by_level(Parents& parents) {
  std::uint32_t levels = 1;
  for (const Parent& parent : parents.at) levels = std::max(levels, parent.level + 1);
  std::vector<std::uint32_t>& count = parents.level_count;
  count.assign(levels + 1, 0);
  for (std::size_t i = 1; i < parents.at.size(); ++i) ++count[parents.at[i].level + 1];
  for (std::uint32_t l = 0; l < levels; ++l) count[l + 1] += count[l];
  parents.level_first.resize(levels + 1);
  for (std::uint32_t l = 0; l <= levels; ++l) parents.level_first[l] = count[l] + l;
  parents.by_level.resize(parents.at.size() - 1);
  std::vector<std::uint32_t> next(count.begin(), count.end() - 1);
  for (std::uint32_t i = 1; i < parents.at.size(); ++i) {
    parents.by_level[next[parents.at[i].level]++] = i;
  }
}

void sort_kids(const Family& family, Parents& parents) {
  std::vector<std::uint32_t>& first = parents.kid_first;
  first.assign(parents.at.size() + 1, 0);
  const auto has_both = [&](std::uint32_t node) {
    return family.sire(node) != Family::none && family.dam(node) != Family::none;
  };
  for (std::uint32_t node = 0; node < family.size(); ++node) {
    if (has_both(node)) ++first[parents.number[family.sire(node)] + 1];
  }
  for (std::size_t i = 1; i < first.size(); ++i) first[i] += first[i - 1];
  parents.kids.resize(first.back());
  std::vector<std::uint32_t> next(first.begin(), first.end() - 1);
  for (std::uint32_t node = 0; node < family.size(); ++node) {
    if (has_both(node)) parents.kids[next[parents.number[family.sire(node)]]++] = node;
  }
}

/// Work room of one thread.
class Column {
 public:
  Column(const Family& family, const Parents& parents, NodeInbreeding& result,
         const GroupKinship* groups)
      : family_(family),
        parents_(parents),
        result_(result),
        groups_(groups),
        at_(parents.at),
        list_(parents.at.size() + parents.levels()),
        tail_(parents.level_first.begin(), parents.level_first.end() - 1),
        fresh_(parents.levels()) {}

  void set_own(std::uint32_t number, double own) { at_[number].own = own; }

  void run(std::uint32_t sire) {
    if (family_.stand_ins() > 0) {
      run_as<true>(sire);
    } else {
      run_as<false>(sire);
    }
  }

 private:
  /// Puts a parent into the list of its level, unless it is there. Without a branch: the place
  /// after the last is written and counts only if the parent is new. Number 0 always counts as
  /// listed.
  void list(std::uint32_t number) {
    Parent& parent = at_[number];
    std::uint32_t& tail = tail_[parent.level];
    list_[tail] = number;
    tail += parent.mark != column_ ? 1u : 0u;
    parent.mark = column_;
  }

  std::span<const ParentPart> candidates(const Parent& stand_in) const {
    const std::uint32_t first = parents_.candidate_first[stand_in.sire];
    return std::span(parents_.candidates)
        .subspan(first, parents_.candidate_first[stand_in.sire + 1] - first);
  }

  template <bool with_stand_ins>
  void list_parents(const Parent& parent) {
    if (with_stand_ins && parent.dam == stand_in_mark) {
      for (const ParentPart& candidate : candidates(parent)) list(candidate.node);
      return;
    }
    list(parent.sire);
    list(parent.dam);
  }

  void begin() {
    if (++column_ == 0) {  // the counter has gone round: no old mark may look like a new one
      for (Parent& parent : at_) parent.mark = 0;
      column_ = 1;
    }
    at_[0].mark = column_;
  }

  /// T' e, times D. Returns the sum of squares of T' e times D over the sire's proper ancestors.
  template <bool with_stand_ins>
  double downward(std::uint32_t sire) {
    at_[sire].x = 1.0;
    list(sire);
    double from_ancestors = 0.0;
    for (std::uint32_t level = at_[sire].level + 1; level-- > 0;) {
      const std::uint32_t first = parents_.level_first[level];
      for (std::uint32_t place = first; place < tail_[level]; ++place) {
        Parent& parent = at_[list_[place]];
        const double share = parent.x;
        if (with_stand_ins && parent.dam == stand_in_mark) {
          for (const ParentPart& buck : candidates(parent)) at_[buck.node].x += share * buck.part;
        } else {
          at_[parent.sire].x += 0.5 * share;
          at_[parent.dam].x += 0.5 * share;
        }
        list_parents<with_stand_ins>(parent);
        parent.x = share * parent.own;
        if (with_stand_ins && list_[place] != sire && !is_group(list_[place])) {
          from_ancestors += share * parent.x;
        }
      }
    }
    at_[0].x = 0.0;
    return from_ancestors;
  }

  bool is_group(std::uint32_t number) const {
    return groups_ != nullptr && parents_.node[number] < groups_->groups;
  }

  /// Notes what of the sire's genes was drawn from each group. Returns the sum of squares of that,
  /// times Gamma.
  double note_groups() {
    drawn_.clear();
    if (groups_ == nullptr) return 0.0;
    for (std::uint32_t place = parents_.level_first[0]; place < tail_[0]; ++place) {
      const std::uint32_t number = list_[place];
      if (is_group(number)) drawn_.push_back({parents_.node[number], at_[number].x});
    }
    double sum = 0.0;
    for (const ParentPart& each : drawn_) sum += each.part * from_groups(each.node);
    return sum;
  }

  /// Row `group` of Gamma, times what was drawn.
  double from_groups(std::uint32_t group) const {
    double sum = 0.0;
    for (const ParentPart& each : drawn_) {
      sum += 2.0 * groups_->between(group, each.node) * each.part;
    }
    return sum;
  }

  /// Gamma instead of D for the groups listed, those of the mates as well.
  void cross_groups() {
    if (groups_ == nullptr) return;
    for (std::uint32_t place = parents_.level_first[0]; place < tail_[0]; ++place) {
      const std::uint32_t number = list_[place];
      if (is_group(number)) at_[number].x = from_groups(parents_.node[number]);
    }
  }

  /// D(m) = 1 + F(m) - p'Ap of the stand-in whose column this is.
  void settle_stand_in(std::uint32_t number, double from_bucks) {
    const std::uint32_t node = parents_.node[number];
    double f = 0.0;
    for (const ParentPart& buck : family_.candidates(family_.list_of(node))) {
      f += buck.part * result_.f[buck.node];
    }
    const double own = 1.0 + f - from_bucks;
    result_.f[node] = f;
    result_.stand_in_own[family_.list_of(node)] = own;
    at_[number].x = own;
  }

  /// Lists the mates and their ancestors as well; returns the highest level in use.
  template <bool with_stand_ins>
  std::uint32_t list_mates(std::uint32_t sire, std::span<const std::uint32_t> kids) {
    std::uint32_t top = at_[sire].level;
    for (const std::uint32_t kid : kids) {
      top = std::max(top, at_[parents_.number[family_.dam(kid)]].level);
    }
    std::copy_n(tail_.begin(), top + 1, fresh_.begin());
    for (const std::uint32_t kid : kids) list(parents_.number[family_.dam(kid)]);
    for (std::uint32_t level = top + 1; level-- > 0;) {
      for (std::uint32_t place = fresh_[level]; place < tail_[level]; ++place) {
        list_parents<with_stand_ins>(at_[list_[place]]);
      }
    }
    return top;
  }

  template <bool with_stand_ins>
  void upward(std::uint32_t top) {
    for (std::uint32_t level = 0; level <= top; ++level) {
      const std::uint32_t first = parents_.level_first[level];
      for (std::uint32_t place = first; place < tail_[level]; ++place) {
        Parent& parent = at_[list_[place]];
        if (with_stand_ins && parent.dam == stand_in_mark) {
          for (const ParentPart& buck : candidates(parent))
            parent.x += buck.part * at_[buck.node].x;
        } else {
          parent.x += 0.5 * (at_[parent.sire].x + at_[parent.dam].x);
        }
      }
    }
  }

  template <bool with_stand_ins>
  void run_as(std::uint32_t sire) {
    begin();
    double from_ancestors = downward<with_stand_ins>(sire);
    from_ancestors += note_groups();
    if (with_stand_ins && at_[sire].dam == stand_in_mark) settle_stand_in(sire, from_ancestors);
    const auto kids = std::span(parents_.kids)
                          .subspan(parents_.kid_first[sire],
                                   parents_.kid_first[sire + 1] - parents_.kid_first[sire]);
    const std::uint32_t top = list_mates<with_stand_ins>(sire, kids);
    cross_groups();
    upward<with_stand_ins>(top);
    for (const std::uint32_t kid : kids) {
      result_.f[kid] = 0.5 * at_[parents_.number[family_.dam(kid)]].x;
    }
    for (std::uint32_t level = 0; level <= top; ++level) {
      const std::uint32_t first = parents_.level_first[level];
      for (std::uint32_t place = first; place < tail_[level]; ++place) at_[list_[place]].x = 0.0;
      tail_[level] = first;
    }
  }

  const Family& family_;
  const Parents& parents_;
  NodeInbreeding& result_;
  const GroupKinship* groups_;     // nullptr: unknown parents are unrelated
  std::vector<ParentPart> drawn_;  // groups, and what of the sire's genes was drawn from each
  std::vector<Parent> at_;
  std::vector<std::uint32_t> list_;
  std::vector<std::uint32_t> tail_;   // one past the last of each level's list
  std::vector<std::uint32_t> fresh_;  // where the mates' part of each level's list begins
  std::uint32_t column_ = 0;
};

class SireWise {
 public:
  SireWise(const Family& family, const Run& run, const GroupKinship* groups)
      : family_(family), run_(run), groups_(groups) {
    result_.f.assign(family.size(), 0.0);
    for (std::uint32_t g = 0; groups != nullptr && g < groups->groups; ++g) {
      result_.f[g] = 2.0 * groups->between(g, g) - 1.0;
    }
    result_.stand_in_own.assign(family.stand_ins(), 0.0);
    number_parents(family, parents_);
    link_parents(family, parents_);
    sort_by_level(parents_);
    sort_kids(family, parents_);
    columns_.push_back(std::make_unique<Column>(family_, parents_, result_, groups_));
  }

  NodeInbreeding result() && {
    for (std::uint32_t level = 0; level < parents_.levels(); level += 2) {
      const std::uint32_t end = std::min(level + 2, parents_.levels());
      const auto wave = std::span(parents_.by_level)
                            .subspan(parents_.level_count[level],
                                     parents_.level_count[end] - parents_.level_count[level]);
      settle_own(wave);
      run_wave(wave);
      for (const std::uint32_t number : wave) {
        if (is_stand_in(number)) {
          set_own(number, result_.stand_in_own[parents_.at[number].sire]);
        }
      }
    }
    settle_lone_stand_ins();
    return std::move(result_);
  }

 private:
  bool is_stand_in(std::uint32_t number) const { return parents_.at[number].dam == stand_in_mark; }

  void set_own(std::uint32_t number, double own) {
    for (const auto& column : columns_) column->set_own(number, own);
    parents_.at[number].own = own;  // for the work room of a thread that joins later
  }

  /// D of the wave's animals: F of their parents is known by now.
  void settle_own(std::span<const std::uint32_t> wave) {
    const auto f_of = [&](std::uint32_t node) {
      return node == Family::none ? -1.0 : result_.f[node];
    };
    for (const std::uint32_t number : wave) {
      if (is_stand_in(number)) continue;
      const std::uint32_t node = parents_.node[number];
      set_own(number, 0.5 - 0.25 * (f_of(family_.sire(node)) + f_of(family_.dam(node))));
    }
  }

  void run_wave(std::span<const std::uint32_t> wave) {
    std::vector<std::uint32_t> sires;
    for (const std::uint32_t number : wave) {
      const bool has_kids = parents_.kid_first[number + 1] > parents_.kid_first[number];
      if (has_kids || is_stand_in(number)) sires.push_back(number);
    }
    Run here = run_;
    if (sires.size() < 64) here.threads = 1;  // not worth starting threads
    parallel_blocks(sires.size(), 8, here, [&](std::size_t begin, std::size_t end) {
      std::unique_ptr<Column> column = take_column();
      for (std::size_t i = begin; i < end; ++i) column->run(sires[i]);
      const std::lock_guard lock(mutex_);
      columns_.push_back(std::move(column));
    });
  }

  std::unique_ptr<Column> take_column() {
    const std::lock_guard lock(mutex_);
    if (columns_.empty()) return std::make_unique<Column>(family_, parents_, result_, groups_);
    std::unique_ptr<Column> column = std::move(columns_.back());
    columns_.pop_back();
    return column;
  }

  /// Stand-ins without a kid are no parents; they get their numbers from their candidates' columns.
  void settle_lone_stand_ins();

  const Family& family_;
  const Run& run_;
  const GroupKinship* groups_;
  NodeInbreeding result_;
  Parents parents_;
  std::vector<std::unique_ptr<Column>> columns_;  // those not at work
  std::mutex mutex_;
};

void SireWise::settle_lone_stand_ins() {
  for (std::uint32_t list = 0; list < family_.stand_ins(); ++list) {
    const std::uint32_t node = family_.node_of_stand_in(list);
    if (parents_.number[node] != 0) continue;
    const std::uint32_t alone[] = {node};
    const Ancestry part = ancestry(family_, alone);  // too few to be worth a way of their own
    GroupKinship near;
    if (groups_ != nullptr) near = groups_among(*groups_, part.original);
    const std::uint32_t active = most_active(part.family, part.family.size(), near.groups);
    const NodeInbreeding there = active_set_inbreeding(part.family, active, run_, &near);
    result_.f[node] = there.f[part.asked[0]];
    result_.stand_in_own[list] = there.stand_in_own[part.family.list_of(part.asked[0])];
  }
}

}  // namespace

NodeInbreeding sire_wise_inbreeding(const Family& family, const Run& run,
                                    const GroupKinship* groups) {
  return SireWise(family, run, groups).result();
}

}  // namespace doewright
