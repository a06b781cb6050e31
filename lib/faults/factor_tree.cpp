// SPDX-License-Identifier: MIT
#include "factor_tree.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace doewright {

namespace {

constexpr std::uint32_t no_place = 0xFFFFFFFFu;

/// Walks through all entries of a table over some variables (the first fastest) and keeps the index
/// of the same assignment in another table, given that table's strides.
class Odometer {
 public:
  void dimension(std::uint32_t states, std::size_t stride) {
    states_[dimensions_] = states;
    stride_[dimensions_] = stride;
    ++dimensions_;
  }
  /// Calls use(entry, index) for each entry in order.
  template <class Use>
  void run(Use use) {
    std::size_t entry = 0;
    std::size_t index = 0;
    const std::uint32_t inner = states_[0];
    const std::size_t inner_stride = stride_[0];
    std::array<std::uint32_t, most> at{};
    while (true) {
      for (std::uint32_t k = 0; k < inner; ++k) use(entry++, index + k * inner_stride);
      std::size_t d = 1;
      for (; d < dimensions_; ++d) {
        index += stride_[d];
        if (++at[d] < states_[d]) break;
        index -= stride_[d] * states_[d];
        at[d] = 0;
      }
      if (d >= dimensions_) return;
    }
  }

 private:
  static constexpr std::size_t most = 64;
  std::array<std::uint32_t, most> states_{};
  std::array<std::size_t, most> stride_{};
  std::size_t dimensions_ = 0;
};

}  // namespace

TreeShape::TreeShape(std::vector<std::uint32_t> states, const std::vector<TreeFactor>& factors,
                     std::span<const std::uint32_t> order) {
  const std::size_t n = states.size();
  states_.resize(n);
  place_of_.resize(n);
  for (std::size_t i = 0; i < n; ++i) {
    place_of_[order[i]] = static_cast<std::uint32_t>(i);
    states_[i] = states[order[i]];
  }
  home_of_factor_.resize(factors.size());
  std::vector<std::vector<std::uint32_t>> scopes(n);
  for (std::size_t f = 0; f < factors.size(); ++f) {
    std::uint32_t home = no_place;
    for (const std::uint32_t v : factors[f].scope) home = std::min(home, place_of_[v]);
    home_of_factor_[f] = home;
    if (home == no_place) continue;
    for (const std::uint32_t v : factors[f].scope) scopes[home].push_back(place_of_[v]);
  }
  parent_.assign(n, no_place);
  scope_begin_.assign(1, 0);
  table_begin_.assign(1, 0);
  for (std::uint32_t i = 0; i < n; ++i) {
    std::vector<std::uint32_t>& scope = scopes[i];
    scope.push_back(i);
    std::sort(scope.begin(), scope.end());
    scope.erase(std::unique(scope.begin(), scope.end()), scope.end());
    std::size_t entries = 1;
    for (const std::uint32_t place : scope) entries *= states_[place];
    width_ = std::max(width_, scope.size() - 1);
    if (scope.size() > 1) {
      parent_[i] = scope[1];
      scopes[scope[1]].insert(scopes[scope[1]].end(), scope.begin() + 1, scope.end());
    }
    scope_.insert(scope_.end(), scope.begin(), scope.end());
    scope_begin_.push_back(scope_.size());
    table_begin_.push_back(table_begin_.back() + entries);
    std::vector<std::uint32_t>().swap(scope);
  }
}

FactorTree::FactorTree(std::shared_ptr<const TreeShape> shape,
                       const std::vector<TreeFactor>& factors, const Run& run)
    : shape_(std::move(shape)) {
  gather(factors, run);
  if (possible_) spread();
}

void FactorTree::gather(const std::vector<TreeFactor>& factors, const Run& run) {
  const TreeShape& shape = *shape_;
  const std::size_t n = shape.size();
  tables_.assign(shape.entries(), 1.0);
  message_begin_.assign(n + 1, 0);
  for (std::uint32_t i = 0; i < n; ++i) {
    message_begin_[i + 1] = message_begin_[i] + shape.table_size(i) / shape.states_[i];
  }
  messages_.resize(message_begin_[n]);

  std::vector<std::vector<std::uint32_t>> factors_at(n), children(n);
  for (std::uint32_t f = 0; f < factors.size(); ++f) {
    const std::uint32_t home = shape.home_of_factor_[f];
    if (home != no_place) {
      factors_at[home].push_back(f);
      continue;
    }
    if (factors[f].table[0] <= 0.0) {
      possible_ = false;
      return;
    }
    log_total_ += std::log(factors[f].table[0]);
  }
  std::vector<std::size_t> stride_at(n, 0);  // scratch: by place
  for (std::uint32_t i = 0; i < n; ++i) {
    if (i % 256 == 0) throw_if_stopped(run);
    const auto scope = shape.scope(i);
    double* const table = tables_.data() + shape.table_begin_[i];
    const auto multiply = [&](const double* by) {
      Odometer odometer;
      for (const std::uint32_t place : scope) {
        odometer.dimension(shape.states_[place], stride_at[place]);
      }
      odometer.run([&](std::size_t entry, std::size_t index) { table[entry] *= by[index]; });
    };
    for (const std::uint32_t f : factors_at[i]) {
      std::size_t stride = 1;
      for (const std::uint32_t v : factors[f].scope) {
        const std::uint32_t place = shape.place_of_[v];
        stride_at[place] = stride;
        stride *= shape.states_[place];
      }
      multiply(factors[f].table.data());
      for (const std::uint32_t v : factors[f].scope) stride_at[shape.place_of_[v]] = 0;
    }
    for (const std::uint32_t child : children[i]) {
      std::size_t stride = 1;
      for (const std::uint32_t place : shape.scope(child).subspan(1)) {
        stride_at[place] = stride;
        stride *= shape.states_[place];
      }
      multiply(messages_.data() + message_begin_[child]);
      for (const std::uint32_t place : shape.scope(child).subspan(1)) stride_at[place] = 0;
    }
    // Scaled by its largest entry: nothing underflows in a long pedigree.
    const std::size_t entries = shape.table_size(i);
    const double largest = *std::max_element(table, table + entries);
    if (!(largest > 0.0)) {
      possible_ = false;
      return;
    }
    for (std::size_t x = 0; x < entries; ++x) table[x] /= largest;
    log_total_ += std::log(largest);
    const std::uint32_t own = shape.states_[i];
    double* const message = messages_.data() + message_begin_[i];
    for (std::size_t x = 0; x < entries; x += own) {
      double sum = 0.0;
      for (std::uint32_t k = 0; k < own; ++k) sum += table[x + k];
      message[x / own] = sum;
    }
    if (shape.parent_[i] != no_place) {
      children[shape.parent_[i]].push_back(i);
    } else {
      log_total_ += std::log(message[0]);
    }
  }
}

void FactorTree::spread() {
  const TreeShape& shape = *shape_;
  std::vector<std::size_t> stride_at(shape.size(), 0);
  std::vector<double> ratio;
  for (std::uint32_t i = static_cast<std::uint32_t>(shape.size()); i-- > 0;) {
    double* const table = tables_.data() + shape.table_begin_[i];
    const std::size_t entries = shape.table_size(i);
    const std::uint32_t own = shape.states_[i];
    const double* const message = messages_.data() + message_begin_[i];
    ratio.assign(entries / own, 0.0);
    if (shape.parent_[i] == no_place) {
      ratio[0] = 1.0;
    } else {
      const std::uint32_t parent = shape.parent_[i];
      std::size_t stride = 1;
      for (const std::uint32_t place : shape.scope(i).subspan(1)) {
        stride_at[place] = stride;
        stride *= shape.states_[place];
      }
      Odometer odometer;
      for (const std::uint32_t place : shape.scope(parent)) {
        odometer.dimension(shape.states_[place], stride_at[place]);
      }
      const double* const from = tables_.data() + shape.table_begin_[parent];
      odometer.run([&](std::size_t entry, std::size_t index) { ratio[index] += from[entry]; });
      for (const std::uint32_t place : shape.scope(i).subspan(1)) stride_at[place] = 0;
    }
    for (std::size_t y = 0; y < ratio.size(); ++y) {
      const double scale = message[y] > 0.0 ? ratio[y] / message[y] : 0.0;
      for (std::uint32_t k = 0; k < own; ++k) table[y * own + k] *= scale;
    }
  }
}

std::vector<double> FactorTree::marginal(std::uint32_t variable) const {
  const TreeShape& shape = *shape_;
  const std::uint32_t place = shape.place_of_[variable];
  const std::uint32_t own = shape.states_[place];
  std::vector<double> result(own, 0.0);
  const double* const table = tables_.data() + shape.table_begin_[place];
  for (std::size_t x = 0; x < shape.table_size(place); ++x) result[x % own] += table[x];
  double sum = 0.0;
  for (const double p : result) sum += p;
  for (double& p : result) p /= sum;
  return result;
}

std::uint8_t FactorTree::draw_one(std::uint32_t place, const std::vector<std::uint8_t>& by_place,
                                  double uniform) const {
  const TreeShape& shape = *shape_;
  const std::uint32_t own = shape.states_[place];
  std::size_t base = 0;
  std::size_t stride = own;
  for (const std::uint32_t other : shape.scope(place).subspan(1)) {
    base += by_place[other] * stride;
    stride *= shape.states_[other];
  }
  const double* const table = tables_.data() + shape.table_begin_[place] + base;
  double sum = 0.0;
  for (std::uint32_t k = 0; k < own; ++k) sum += table[k];
  double left = uniform * sum;
  std::uint32_t last = 0;
  for (std::uint32_t k = 0; k < own; ++k) {
    if (table[k] <= 0.0) continue;
    last = k;
    if (left < table[k]) break;
    left -= table[k];
  }
  return static_cast<std::uint8_t>(last);
}

PairReader::PairReader(const FactorTree& tree, std::span<const std::uint32_t> targets)
    : tree_(tree), targets_(targets.begin(), targets.end()) {
  const TreeShape& shape = tree.shape();
  const std::size_t n = shape.size();
  root_of_.resize(n);
  targets_below_.assign(n, 0);
  children_.resize(n);
  for (const std::uint32_t target : targets_) ++targets_below_[shape.place_of_[target]];
  for (std::uint32_t i = 0; i < n; ++i) {
    if (shape.parent_[i] == no_place || targets_below_[i] == 0) continue;
    targets_below_[shape.parent_[i]] += targets_below_[i];
    children_[shape.parent_[i]].push_back(i);
  }
  for (std::uint32_t i = static_cast<std::uint32_t>(n); i-- > 0;) {
    root_of_[i] = shape.parent_[i] == no_place ? i : root_of_[shape.parent_[i]];
  }
}

/// One walk outward from the clique of the asked variable. `given` is P(asked = k | y) for each
/// assignment y of the variables shared with the clique the walk came from.
struct PairReader::Walk {
  const PairReader& reader;
  const TreeShape& shape;
  const std::vector<double>& tables;
  std::uint32_t asked_states;
  std::vector<std::vector<double>> pair_at;  // by place; only of targets
  std::vector<std::size_t> stride_at, out_stride_at;

  struct Step {
    std::uint32_t clique = 0, came_from = no_place;
    std::vector<std::uint32_t> shared;  // places
    std::vector<double> given;
  };

  /// P(asked = k, z) for every assignment z of `onto` (places, first fastest), from one clique.
  std::vector<double> joint_on(const Step& step, std::span<const std::uint32_t> onto) {
    const auto set_strides = [&](std::vector<std::size_t>& at,
                                 std::span<const std::uint32_t> places) {
      std::size_t stride = 1;
      for (const std::uint32_t place : places) {
        at[place] = stride;
        stride *= shape.states_[place];
      }
      return stride;
    };
    set_strides(stride_at, step.shared);
    const std::size_t size = set_strides(out_stride_at, onto);
    std::vector<double> result(size * asked_states, 0.0);
    const double* const table = tables.data() + shape.table_begin_[step.clique];
    Odometer in, out;
    for (const std::uint32_t place : shape.scope(step.clique)) {
      in.dimension(shape.states_[place], stride_at[place]);
      out.dimension(shape.states_[place], out_stride_at[place]);
    }
    in_index.resize(shape.table_size(step.clique));
    in.run([&](std::size_t entry, std::size_t index) {
      in_index[entry] = static_cast<std::uint32_t>(index);
    });
    out.run([&](std::size_t entry, std::size_t index) {
      const double p = table[entry];
      if (p == 0.0) return;
      const double* const given = step.given.data() + in_index[entry] * asked_states;
      double* const into = result.data() + index * asked_states;
      for (std::uint32_t k = 0; k < asked_states; ++k) into[k] += p * given[k];
    });
    for (const std::uint32_t place : step.shared) stride_at[place] = 0;
    for (const std::uint32_t place : onto) out_stride_at[place] = 0;
    return result;
  }

  Step next(const Step& step, std::uint32_t clique, std::span<const std::uint32_t> shared) {
    Step result{clique, step.clique, {shared.begin(), shared.end()}, joint_on(step, shared)};
    for (std::size_t z = 0; z < result.given.size(); z += asked_states) {
      double sum = 0.0;
      for (std::uint32_t k = 0; k < asked_states; ++k) sum += result.given[z + k];
      if (sum <= 0.0) continue;
      for (std::uint32_t k = 0; k < asked_states; ++k) result.given[z + k] /= sum;
    }
    return result;
  }

  void run(std::uint32_t asked) {
    const std::uint32_t start = shape.place_of_[asked];
    Step first{start, no_place, {start}, std::vector<double>(asked_states * asked_states, 0.0)};
    for (std::uint32_t k = 0; k < asked_states; ++k) first.given[k * asked_states + k] = 1.0;
    std::vector<Step> todo;
    todo.push_back(std::move(first));
    const std::uint32_t targets_in_tree = reader.targets_below_[reader.root_of_[start]];
    while (!todo.empty()) {
      const Step step = std::move(todo.back());
      todo.pop_back();
      const std::uint32_t c = step.clique;
      if (is_target[c] && pair_at[c].empty()) {
        const std::array<std::uint32_t, 1> own = {c};
        pair_at[c] = joint_on(step, own);
      }
      for (const std::uint32_t child : reader.children_[c]) {
        if (child != step.came_from) todo.push_back(next(step, child, shape.scope(child).subspan(1)));
      }
      const std::uint32_t parent = shape.parent_[c];
      if (parent != no_place && parent != step.came_from &&
          reader.targets_below_[c] < targets_in_tree) {
        todo.push_back(next(step, parent, shape.scope(c).subspan(1)));
      }
    }
  }

  std::vector<bool> is_target;
  std::vector<std::uint32_t> in_index;
};

std::vector<std::vector<double>> PairReader::with(std::uint32_t asked) const {
  const TreeShape& shape = tree_.shape();
  const std::uint32_t asked_place = shape.place_of_[asked];
  Walk walk{*this, shape, tree_.tables_, shape.states_[asked_place], {}, {}, {}, {}, {}};
  walk.pair_at.resize(shape.size());
  walk.stride_at.assign(shape.size(), 0);
  walk.out_stride_at.assign(shape.size(), 0);
  walk.is_target.assign(shape.size(), false);
  for (const std::uint32_t target : targets_) walk.is_target[shape.place_of_[target]] = true;
  walk.run(asked);

  std::vector<std::vector<double>> result;
  const std::vector<double> of_asked = tree_.marginal(asked);
  for (const std::uint32_t target : targets_) {
    const std::uint32_t place = shape.place_of_[target];
    const std::uint32_t own = shape.states_[place];
    std::vector<double> pair(of_asked.size() * own, 0.0);
    if (walk.pair_at[place].empty()) {  // another tree: independent
      const std::vector<double> of_target = tree_.marginal(target);
      for (std::size_t i = 0; i < of_asked.size(); ++i) {
        for (std::uint32_t j = 0; j < own; ++j) pair[i * own + j] = of_asked[i] * of_target[j];
      }
    } else {
      double sum = 0.0;
      for (const double p : walk.pair_at[place]) sum += p;
      for (std::size_t i = 0; i < of_asked.size(); ++i) {
        for (std::uint32_t j = 0; j < own; ++j) {
          pair[i * own + j] = walk.pair_at[place][j * of_asked.size() + i] / sum;
        }
      }
    }
    result.push_back(std::move(pair));
  }
  return result;
}

}  // namespace doewright
