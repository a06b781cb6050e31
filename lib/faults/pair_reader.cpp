// SPDX-License-Identifier: MIT
#include "pair_reader.hpp"

#include <algorithm>
#include <tuple>
#include <utility>

#include "odometer.hpp"

namespace doewright {

namespace {

constexpr std::size_t most_bytes = std::size_t{256} << 20;  // of what is handed on in one batch

/// Asked variables in the order in which a walk down from the roots meets their cliques, so that those
/// below a clique stand together.
struct AskedOrder {
  std::vector<std::size_t> asked;          // sorted: index into the caller's list
  std::vector<std::uint32_t> first, last;  // by place: the part of `asked` below it, itself included
};

/// From a clique to a neighbour: where an assignment of the clique's variables stands among those of
/// the shared variables.
struct Direction {
  std::vector<std::size_t> strides;  // by variable of the clique's scope; 0: not shared
  std::size_t assignments = 0;
  std::vector<double> mass;  // by assignment: probability
};

/// Chances of a run of columns, row = assignment.
struct Handed {
  std::size_t begin = 0, end = 0;  // columns
  std::vector<double> rows;
  std::size_t width() const noexcept { return end - begin; }
};

class Batch {
 public:
  Batch(const FactorTree& tree, const AskedOrder& order,
        const std::vector<std::vector<std::uint32_t>>& children,
        std::span<const std::uint32_t> asked_places, std::uint32_t begin, std::uint32_t end)
      : tree_(tree), order_(order), children_(children), begin_(begin), end_(end) {
    for (std::uint32_t k = begin; k < end; ++k) {
      column_.push_back(columns_);
      place_.push_back(asked_places[order.asked[k]]);
      columns_ += tree.shape().states_at(place_.back());
    }
    column_.push_back(columns_);
    up_.resize(tree.shape().size());
    down_.resize(tree.shape().size());
  }

  std::pair<std::size_t, std::size_t> columns_below(std::uint32_t place) const {
    const std::uint32_t first = std::clamp(order_.first[place], begin_, end_);
    const std::uint32_t last = std::clamp(order_.last[place], begin_, end_);
    return {column_[first - begin_], column_[last - begin_]};
  }
  std::size_t column(std::uint32_t sorted) const { return column_[sorted - begin_]; }

  /// One clique, children before parents: what its side knows, for its parent.
  void send_up(std::uint32_t place) {
    Handed& up = up_[place];
    std::tie(up.begin, up.end) = columns_below(place);
    if (up.width() == 0) return;
    const Direction above = direction_up(place);
    up.rows.assign(above.assignments * up.width(), 0.0);
    add_own(place, above, up);
    for (const std::uint32_t child : children_[place]) {
      if (up_[child].rows.empty()) continue;
      add(place, direction_down(place, child), up_[child], above, up);
    }
    divide(above, up);
  }

  /// One clique, parents before children: the target's pairs, and what the children's far side knows.
  /// `wanted(child)`: targets lie below it.
  template <class Wanted>
  void send_down(std::uint32_t place, bool is_target, std::vector<double>& pairs, Wanted wanted) {
    std::vector<Direction> towards;
    for (const std::uint32_t child : children_[place]) {
      towards.push_back(direction_down(place, child));
    }
    const Direction above = direction_up(place);
    const auto add_all = [&](const Direction& to, std::size_t but, Handed& into) {
      add_own(place, to, into);
      for (std::size_t c = 0; c < towards.size(); ++c) {
        if (c != but) add(place, towards[c], up_[children_[place][c]], to, into);
      }
      for (const Handed& from : down_[place]) add(place, above, from, to, into);
    };
    if (is_target) {
      const std::array itself = {place};
      const Direction self = direction(place, itself);
      Handed all{0, columns_, std::vector<double>(self.assignments * columns_, 0.0)};
      add_all(self, towards.size(), all);
      pairs = std::move(all.rows);
    }
    for (std::size_t c = 0; c < towards.size(); ++c) {
      const std::uint32_t child = children_[place][c];
      if (!wanted(child)) continue;
      const auto [below_begin, below_end] = columns_below(child);
      for (const auto& [from, to] : {std::pair{std::size_t{0}, below_begin}, {below_end, columns_}}) {
        if (from == to) continue;
        Handed down{from, to, std::vector<double>(towards[c].assignments * (to - from), 0.0)};
        add_all(towards[c], c, down);
        divide(towards[c], down);
        down_[child].push_back(std::move(down));
      }
    }
    down_[place].clear();
  }
  std::size_t columns() const noexcept { return columns_; }

 private:
  /// Towards some variables, the first of them fastest.
  Direction direction(std::uint32_t place, std::span<const std::uint32_t> shared) const {
    const TreeShape& shape = tree_.shape();
    Direction result;
    for (const std::uint32_t variable : shape.scope(place)) {
      std::size_t stride = 1;
      bool is_shared = false;
      for (const std::uint32_t other : shared) {
        is_shared = other == variable;
        if (is_shared) break;
        stride *= shape.states_at(other);
      }
      result.strides.push_back(is_shared ? stride : 0);
    }
    result.assignments = 1;
    for (const std::uint32_t other : shared) result.assignments *= shape.states_at(other);
    result.mass.assign(result.assignments, 0.0);
    const auto table = tree_.table(place);
    walk(place, {}, result, [&](std::size_t entry, std::size_t, std::size_t to) {
      result.mass[to] += table[entry];
    });
    return result;
  }
  Direction direction_up(std::uint32_t place) const {
    return direction(place, tree_.shape().scope(place).subspan(1));
  }
  Direction direction_down(std::uint32_t place, std::uint32_t child) const {
    return direction(place, tree_.shape().scope(child).subspan(1));
  }

  /// use(entry, assignment towards one, towards another) for every entry; {}: always 0.
  template <class Use>
  void walk(std::uint32_t place, const Direction& from, const Direction& to, Use use) const {
    const TreeShape& shape = tree_.shape();
    Odometer odometer;
    const auto scope = shape.scope(place);
    for (std::size_t v = 0; v < scope.size(); ++v) {
      odometer.dimension(shape.states_at(scope[v]), from.strides.empty() ? 0 : from.strides[v],
                         to.strides[v]);
    }
    odometer.run(use);
  }

  /// Asked variables of this very clique: known from the entry.
  void add_own(std::uint32_t place, const Direction& to, Handed& into) const {
    const auto table = tree_.table(place);
    const std::uint32_t own = tree_.shape().states_at(place);
    const auto first = std::clamp(order_.first[place], begin_, end_);
    for (std::uint32_t k = first; k < end_ && place_[k - begin_] == place; ++k) {
      const std::size_t column = column_[k - begin_];
      if (column < into.begin || column >= into.end) continue;
      walk(place, {}, to, [&](std::size_t entry, std::size_t, std::size_t y) {
        into.rows[y * into.width() + column - into.begin + entry % own] += table[entry];
      });
    }
  }

  /// Those columns of `from` that `into` holds.
  void add(std::uint32_t place, const Direction& from_side, const Handed& from, const Direction& to,
           Handed& into) const {
    const std::size_t begin = std::max(from.begin, into.begin);
    const std::size_t end = std::min(from.end, into.end);
    if (from.rows.empty() || begin >= end) return;
    const auto table = tree_.table(place);
    const std::size_t count = end - begin;
    const std::size_t from_width = from.width(), to_width = into.width();
    const double* const source = from.rows.data() + (begin - from.begin);
    double* const target = into.rows.data() + (begin - into.begin);
    walk(place, from_side, to, [&](std::size_t entry, std::size_t z, std::size_t y) {
      const double p = table[entry];
      if (p == 0.0) return;
      const double* const chances = source + z * from_width;
      double* const sums = target + y * to_width;
      for (std::size_t c = 0; c < count; ++c) sums[c] += p * chances[c];
    });
  }

  static void divide(const Direction& to, Handed& handed) {
    for (std::size_t y = 0; y < to.assignments; ++y) {
      if (to.mass[y] <= 0.0) continue;
      double* const row = handed.rows.data() + y * handed.width();
      for (std::size_t c = 0; c < handed.width(); ++c) row[c] /= to.mass[y];
    }
  }

  const FactorTree& tree_;
  const AskedOrder& order_;
  const std::vector<std::vector<std::uint32_t>>& children_;
  std::uint32_t begin_, end_;
  std::vector<std::size_t> column_;   // by asked of the batch; one more at the end
  std::vector<std::uint32_t> place_;  // by asked of the batch
  std::size_t columns_ = 0;
  std::vector<Handed> up_;                 // by place
  std::vector<std::vector<Handed>> down_;  // by place: before and after the columns below it
};

}  // namespace

Grid<PairStates> read_pairs(const FactorTree& tree, std::span<const std::uint32_t> asked,
                            std::span<const std::uint32_t> targets, const Run& run) {
  const TreeShape& shape = tree.shape();
  const auto n = static_cast<std::uint32_t>(shape.size());
  std::vector<std::uint32_t> asked_places, root_of(n), asked_below(n, 0), targets_below(n, 0);
  std::vector<std::vector<std::uint32_t>> children(n), asked_at(n);
  for (const std::uint32_t variable : asked) asked_places.push_back(shape.place(variable));
  for (std::size_t k = 0; k < asked.size(); ++k) {
    asked_at[asked_places[k]].push_back(static_cast<std::uint32_t>(k));
    ++asked_below[asked_places[k]];
  }
  for (const std::uint32_t variable : targets) ++targets_below[shape.place(variable)];
  for (std::uint32_t i = 0; i < n; ++i) {  // children before parents
    const auto parent = shape.parent(i);
    if (!parent || asked_below[i] + targets_below[i] == 0) continue;
    asked_below[*parent] += asked_below[i];
    targets_below[*parent] += targets_below[i];
    children[*parent].push_back(i);
  }
  for (std::uint32_t i = n; i-- > 0;) root_of[i] = shape.parent(i) ? root_of[*shape.parent(i)] : i;

  // A clique's own asked variables first, then its children's: the columns below it stand together.
  AskedOrder order;
  order.first.assign(n, 0);
  order.last.assign(n, 0);
  std::uint32_t next = 0;
  for (std::uint32_t i = n; i-- > 0;) {  // parents before children
    if (!shape.parent(i)) {
      order.first[i] = next;
      next += asked_below[i];
    }
    order.last[i] = order.first[i] + asked_below[i];
    std::uint32_t at = order.first[i] + static_cast<std::uint32_t>(asked_at[i].size());
    for (const std::uint32_t child : children[i]) {
      order.first[child] = at;
      at += asked_below[child];
    }
  }
  order.asked.resize(asked.size());
  for (std::uint32_t i = 0; i < n; ++i) {
    for (std::size_t k = 0; k < asked_at[i].size(); ++k) {
      order.asked[order.first[i] + k] = asked_at[i][k];
    }
  }

  std::vector<std::size_t> target_at(n, targets.size());
  for (std::size_t t = 0; t < targets.size(); ++t) target_at[shape.place(targets[t])] = t;
  const std::size_t a_column = std::max<std::size_t>(1, shape.entries() * sizeof(double));
  const std::size_t a_batch = std::clamp<std::size_t>(most_bytes / a_column, 1, 20);
  Grid<PairStates> result(asked.size(), targets.size());
  parallel_blocks(asked.size(), a_batch, run, [&](std::size_t begin, std::size_t end) {
    Batch batch(tree, order, children, asked_places, static_cast<std::uint32_t>(begin),
                static_cast<std::uint32_t>(end));
    for (std::uint32_t i = 0; i < n; ++i) {
      if (asked_below[i] == 0 || targets_below[i] == targets_below[root_of[i]]) continue;
      throw_if_stopped(run);
      batch.send_up(i);
    }
    for (std::uint32_t i = n; i-- > 0;) {
      if (targets_below[i] == 0 || asked_below[root_of[i]] == 0) continue;
      throw_if_stopped(run);
      std::vector<double> pairs;
      const std::size_t t = target_at[i];
      batch.send_down(i, t < targets.size(), pairs,
                      [&](std::uint32_t child) { return targets_below[child] > 0; });
      if (t == targets.size()) continue;
      const std::uint32_t own = shape.states_at(i);
      for (auto k = static_cast<std::uint32_t>(begin); k < end; ++k) {
        const std::size_t who = order.asked[k];
        if (root_of[asked_places[who]] != root_of[i]) continue;
        PairStates& cell = result(who, t);
        cell.fill(0.0);
        double sum = 0.0;
        const std::uint32_t states = shape.states_at(asked_places[who]);
        for (std::uint32_t s = 0; s < states; ++s) {
          for (std::uint32_t j = 0; j < own; ++j) {
            cell[3 * s + j] = pairs[j * batch.columns() + batch.column(k) + s];
            sum += cell[3 * s + j];
          }
        }
        for (double& p : cell) p /= sum;
      }
    }
  });
  for (std::size_t a = 0; a < asked.size(); ++a) {  // in another tree: independent
    const std::vector<double> of_asked = tree.marginal(asked[a]);
    for (std::size_t t = 0; t < targets.size(); ++t) {
      if (root_of[asked_places[a]] == root_of[shape.place(targets[t])]) continue;
      const std::vector<double> of_target = tree.marginal(targets[t]);
      PairStates& cell = result(a, t);
      cell.fill(0.0);
      for (std::size_t i = 0; i < of_asked.size(); ++i) {
        for (std::size_t j = 0; j < of_target.size(); ++j) cell[3 * i + j] = of_asked[i] * of_target[j];
      }
    }
  }
  return result;
}

}  // namespace doewright
