// SPDX-License-Identifier: MIT
#include "factor_tree.hpp"

#include <algorithm>
#include <cmath>

#include "odometer.hpp"

namespace doewright {

namespace {

constexpr std::uint32_t no_place = 0xFFFFFFFFu;

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
  std::vector<std::vector<std::uint32_t>> scopes(n), factors_at(n), children(n);
  for (std::size_t f = 0; f < factors.size(); ++f) {
    std::uint32_t home = no_place;
    for (const std::uint32_t v : factors[f].scope) home = std::min(home, place_of_[v]);
    if (home == no_place) {
      constants_.push_back(static_cast<std::uint32_t>(f));
      continue;
    }
    factors_at[home].push_back(static_cast<std::uint32_t>(f));
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
      children[scope[1]].push_back(i);
      scopes[scope[1]].insert(scopes[scope[1]].end(), scope.begin() + 1, scope.end());
    }
    scope_.insert(scope_.end(), scope.begin(), scope.end());
    scope_begin_.push_back(scope_.size());
    table_begin_.push_back(table_begin_.back() + entries);
    std::vector<std::uint32_t>().swap(scope);
  }
  const auto in_one = [](const std::vector<std::vector<std::uint32_t>>& lists,
                         std::vector<std::size_t>& begin, std::vector<std::uint32_t>& all) {
    begin.assign(1, 0);
    for (const auto& list : lists) {
      all.insert(all.end(), list.begin(), list.end());
      begin.push_back(all.size());
    }
  };
  in_one(factors_at, factor_begin_, factors_);
  in_one(children, child_begin_, children_);
}

std::optional<std::uint32_t> TreeShape::parent(std::uint32_t place) const {
  if (parent_[place] == no_place) return std::nullopt;
  return parent_[place];
}

FactorTree::FactorTree(std::shared_ptr<const TreeShape> shape)
    : shape_(std::move(shape)), message_begin_(shape_->size() + 1, 0), stride_at_(shape_->size(), 0) {
  for (std::uint32_t i = 0; i < shape_->size(); ++i) {
    message_begin_[i + 1] = message_begin_[i] + shape_->table_size(i) / shape_->states_[i];
  }
  messages_.resize(message_begin_.back());
}

FactorTree::FactorTree(std::shared_ptr<const TreeShape> shape,
                       const std::vector<TreeFactor>& factors, const Run& run)
    : FactorTree(std::move(shape)) {
  gather(factors, run);
  if (possible_) spread();
}

void FactorTree::fill_for_draws(const std::vector<TreeFactor>& factors, const Run& run) {
  possible_ = true;
  log_total_ = 0.0;
  gather(factors, run);
}

void FactorTree::gather(const std::vector<TreeFactor>& factors, const Run& run) {
  const TreeShape& shape = *shape_;
  const std::size_t n = shape.size();
  tables_.assign(shape.entries(), 1.0);
  for (const std::uint32_t f : shape.constants_) {
    if (factors[f].table[0] <= 0.0) {
      possible_ = false;
      return;
    }
    log_total_ += std::log(factors[f].table[0]);
  }
  for (std::uint32_t i = 0; i < n; ++i) {
    if (i % 256 == 0) throw_if_stopped(run);
    const auto scope = shape.scope(i);
    double* const table = tables_.data() + shape.table_begin_[i];
    const auto multiply = [&](const double* by) {
      Odometer odometer;
      for (const std::uint32_t place : scope) {
        odometer.dimension(shape.states_[place], stride_at_[place]);
      }
      odometer.run([&](std::size_t entry, std::size_t index) { table[entry] *= by[index]; });
    };
    for (std::size_t k = shape.factor_begin_[i]; k < shape.factor_begin_[i + 1]; ++k) {
      const TreeFactor& factor = factors[shape.factors_[k]];
      std::size_t stride = 1;
      for (const std::uint32_t v : factor.scope) {
        const std::uint32_t place = shape.place_of_[v];
        stride_at_[place] = stride;
        stride *= shape.states_[place];
      }
      multiply(factor.table.data());
      for (const std::uint32_t v : factor.scope) stride_at_[shape.place_of_[v]] = 0;
    }
    for (std::size_t k = shape.child_begin_[i]; k < shape.child_begin_[i + 1]; ++k) {
      const auto shared = shape.scope(shape.children_[k]).subspan(1);
      std::size_t stride = 1;
      for (const std::uint32_t place : shared) {
        stride_at_[place] = stride;
        stride *= shape.states_[place];
      }
      multiply(messages_.data() + message_begin_[shape.children_[k]]);
      for (const std::uint32_t place : shared) stride_at_[place] = 0;
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
    if (shape.parent_[i] == no_place) log_total_ += std::log(message[0]);
  }
}

void FactorTree::spread() {
  const TreeShape& shape = *shape_;
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
        stride_at_[place] = stride;
        stride *= shape.states_[place];
      }
      Odometer odometer;
      for (const std::uint32_t place : shape.scope(parent)) {
        odometer.dimension(shape.states_[place], stride_at_[place]);
      }
      const double* const from = tables_.data() + shape.table_begin_[parent];
      odometer.run([&](std::size_t entry, std::size_t index) { ratio[index] += from[entry]; });
      for (const std::uint32_t place : shape.scope(i).subspan(1)) stride_at_[place] = 0;
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

}  // namespace doewright
