// SPDX-License-Identifier: MIT
// Inbreeding by the columns of A that belong to sires: F of a kid is half the entry of its dam in its
// sire's column. A column is one sweep up the sire's ancestors and one down the ancestors of his mates
// (the decomposition A = T D T' used as in Colleau 2002, Genet. Sel. Evol. 34:409-421, one unit vector a
// sire). Differences: only ancestors are visited, kept in lists by level; stand-ins are sires too, and
// the candidates of a stand-in are mates of each other, since D of a stand-in needs their kinship.
#include <algorithm>

#include "engines.hpp"

namespace doewright {

namespace {

/// What a sire's column has to answer: the kinship with `mate`, for node or candidate pair `asks`.
struct Question {
  std::uint32_t mate = 0;
  std::uint32_t asks = 0;  ///< A node; from family.size() on a candidate pair.
};

std::vector<std::uint32_t> levels_of(const Family& family) {
  std::vector<std::uint32_t> level(family.size(), 0);
  for (std::uint32_t node = 0; node < family.size(); ++node) {
    family.for_parents(node, [&](std::uint32_t parent, double) {
      level[node] = std::max(level[node], level[parent] + 1);
    });
  }
  return level;
}

/// Questions by the node that answers them (counting sort).
struct Questions {
  std::vector<std::uint32_t> first;
  std::vector<Question> all;
  std::vector<std::uint32_t> first_pair;  ///< Of each stand-in's list, in answers beyond the nodes.

  explicit Questions(const Family& family) : first(family.size() + 2, 0) {
    each(family, [&](std::uint32_t sire, Question) { ++first[sire + 2]; });
    for (std::size_t i = 2; i < first.size(); ++i) first[i] += first[i - 1];
    all.resize(first.back());
    each(family, [&](std::uint32_t sire, Question question) { all[first[sire + 1]++] = question; });
  }

 private:
  template <class Visit>
  void each(const Family& family, Visit&& visit) {
    first_pair.assign(1, family.size());
    for (std::uint32_t node = 0; node < family.size(); ++node) {
      const std::uint32_t sire = family.sire(node), dam = family.dam(node);
      if (sire != Family::none && dam != Family::none) visit(sire, {dam, node});
    }
    for (std::uint32_t list = 0; list < family.stand_ins(); ++list) {
      const auto bucks = family.candidates(list);
      std::uint32_t pair = first_pair.back();
      for (std::size_t j = 0; j < bucks.size(); ++j) {
        for (std::size_t k = j + 1; k < bucks.size(); ++k) visit(bucks[j].node, {bucks[k].node, pair++});
      }
      first_pair.push_back(pair);
    }
  }
};

class Columns {
 public:
  Columns(const Family& family, const Questions& questions, const std::vector<std::uint32_t>& level,
          NodeInbreeding& result)
      : family_(family), questions_(questions), level_(level), result_(result),
        x_(family.size(), 0.0), up_mark_(family.size(), 0), down_mark_(family.size(), 0) {
    const std::uint32_t deepest =
        level.empty() ? 0 : *std::max_element(level.begin(), level.end());
    up_.resize(deepest + 1);
    down_.resize(deepest + 1);
  }

  /// The column of `sire`; answer(asks, kinship) for each of his questions.
  template <class Answer>
  void column(std::uint32_t sire, Answer&& answer) {
    ++stamp_;
    sweep_up(sire);
    std::uint32_t highest = 0;
    const auto* begin = questions_.all.data() + questions_.first[sire];
    const auto* end = questions_.all.data() + questions_.first[sire + 1];
    for (const auto* q = begin; q != end; ++q) {
      mark_down(q->mate);
      highest = std::max(highest, level_[q->mate]);
    }
    sweep_down(highest);
    for (const auto* q = begin; q != end; ++q) answer(q->asks, 0.5 * x_[q->mate]);
  }

 private:
  /// D(j): what is not explained by known parents.
  double own(std::uint32_t node) const {
    if (family_.is_stand_in(node)) return result_.stand_in_own[family_.list_of(node)];
    const auto part = [&](std::uint32_t parent) {
      return parent == Family::none ? 0.0 : 0.25 * (1.0 + result_.f[parent]);
    };
    return 1.0 - part(family_.sire(node)) - part(family_.dam(node));
  }

  void sweep_up(std::uint32_t sire) {
    up_mark_[sire] = stamp_;
    x_[sire] = 1.0;
    up_[level_[sire]].push_back(sire);
    for (std::uint32_t l = level_[sire] + 1; l-- > 0;) {
      for (const std::uint32_t node : up_[l]) {
        const double share = x_[node];
        family_.for_parents(node, [&](std::uint32_t parent, double part) {
          if (up_mark_[parent] != stamp_) {
            up_mark_[parent] = stamp_;
            x_[parent] = 0.0;
            up_[level_[parent]].push_back(parent);
          }
          x_[parent] += part * share;
        });
        x_[node] = share * own(node);
      }
      up_[l].clear();
    }
  }

  void mark_down(std::uint32_t node) {
    if (down_mark_[node] == stamp_) return;
    down_mark_[node] = stamp_;
    if (up_mark_[node] != stamp_) x_[node] = 0.0;
    down_[level_[node]].push_back(node);
  }

  void sweep_down(std::uint32_t highest) {
    for (std::uint32_t l = highest + 1; l-- > 0;) {
      for (std::size_t i = 0; i < down_[l].size(); ++i) {
        family_.for_parents(down_[l][i], [&](std::uint32_t parent, double) { mark_down(parent); });
      }
    }
    for (std::uint32_t l = 0; l <= highest; ++l) {
      for (const std::uint32_t node : down_[l]) {
        double sum = x_[node];
        family_.for_parents(node, [&](std::uint32_t parent, double part) { sum += part * x_[parent]; });
        x_[node] = sum;
      }
      down_[l].clear();
    }
  }

  const Family& family_;
  const Questions& questions_;
  const std::vector<std::uint32_t>& level_;
  NodeInbreeding& result_;
  std::vector<double> x_;
  std::vector<std::uint32_t> up_mark_, down_mark_;
  std::vector<std::vector<std::uint32_t>> up_, down_;
  std::uint32_t stamp_ = 0;
};

}  // namespace

NodeInbreeding sire_wise_inbreeding(const Family& family, const Run& run) {
  NodeInbreeding result;
  result.f.assign(family.size(), 0.0);
  result.stand_in_own.assign(family.stand_ins(), 0.0);
  const std::vector<std::uint32_t> level = levels_of(family);
  const Questions questions(family);
  std::vector<double> pair_kinship(questions.first_pair.back() - family.size(), 0.0);

  // A column reads F of the sire's proper ancestors and D of stand-ins among them: all of lower level.
  std::vector<std::uint32_t> order;
  for (std::uint32_t node = 0; node < family.size(); ++node) {
    const bool asked = questions.first[node + 1] > questions.first[node];
    if (asked || family.is_stand_in(node)) order.push_back(node);
  }
  std::stable_sort(order.begin(), order.end(), [&](std::uint32_t a, std::uint32_t b) {
    if (level[a] != level[b]) return level[a] < level[b];
    return family.is_stand_in(a) && !family.is_stand_in(b);
  });

  const auto settle_stand_in = [&](std::uint32_t node) {
    const std::uint32_t list = family.list_of(node);
    const auto bucks = family.candidates(list);
    double f = 0.0, from_bucks = 0.0;  // F(m) and p'Ap
    std::uint32_t pair = questions.first_pair[list] - family.size();
    for (std::size_t j = 0; j < bucks.size(); ++j) {
      f += bucks[j].part * result.f[bucks[j].node];
      from_bucks += bucks[j].part * bucks[j].part * (1.0 + result.f[bucks[j].node]);
      for (std::size_t k = j + 1; k < bucks.size(); ++k) {
        from_bucks += 4.0 * bucks[j].part * bucks[k].part * pair_kinship[pair++];
      }
    }
    result.f[node] = f;
    result.stand_in_own[list] = 1.0 + f - from_bucks;
  };

  Columns columns(family, questions, level, result);
  std::size_t done = 0;
  for (const std::uint32_t node : order) {
    if ((++done & 0xFFF) == 0) {
      throw_if_stopped(run);
      if (run.progress) {
        run.progress("inbreeding", static_cast<double>(done) / static_cast<double>(order.size()));
      }
    }
    if (family.is_stand_in(node)) settle_stand_in(node);
    if (questions.first[node + 1] == questions.first[node]) continue;
    columns.column(node, [&](std::uint32_t asks, double kinship) {
      if (asks < family.size()) {
        result.f[asks] = kinship;
      } else {
        pair_kinship[asks - family.size()] = kinship;
      }
    });
  }
  return result;
}

}  // namespace doewright
