// SPDX-License-Identifier: MIT
// Columns are taken in order. The leading ones of which no record has two (the levels of one
// classification) have a diagonal cross-product and are eliminated first; what is left of the
// others, a small table, is swept by Cholesky's rule, and a column of which nothing is left is
// dropped.
#include <algorithm>
#include <map>
#include <vector>

#include <doewright/core/errors.hpp>

#include "model_state.hpp"

namespace doewright {

namespace {

constexpr double nothing_left = 1e-9;  // of its own sum of squares
constexpr std::size_t most_beside = 5'000;

struct FixedEntry {
  std::uint32_t column;
  double coefficient;
};

/// What every node has from each group: Q. Without fixed groups: empty.
std::vector<std::vector<FixedEntry>> shares_of_groups(const MixedModel::State& model) {
  std::vector<std::vector<FixedEntry>> shares;
  if (model.group_columns() == 0) return shares;
  shares.resize(model.nodes.size());
  const std::uint32_t first = model.nodes.first_group();
  for (const std::uint32_t node : model.nodes.parents_first()) {
    if (node >= first) {
      shares[node] = {{node - first, 1.0}};
      continue;
    }
    model.nodes.for_parents(node, [&](std::uint32_t parent, double part) {
      for (const FixedEntry& from : shares[parent]) {
        auto& own = shares[node];
        const auto same = std::find_if(own.begin(), own.end(), [&](const FixedEntry& each) {
          return each.column == from.column;
        });
        if (same != own.end()) {
          same->coefficient += part * from.coefficient;
        } else {
          own.push_back({from.column, part * from.coefficient});
        }
      }
    });
  }
  return shares;
}

/// By ascending column, each once.
void fixed_entries(const MixedModel::State& model,
                   const std::vector<std::vector<FixedEntry>>& shares, std::size_t record,
                   std::vector<FixedEntry>& entries) {
  entries.clear();
  const auto add = [&](std::uint32_t column, double coefficient) {
    const auto same = std::find_if(entries.begin(), entries.end(),
                                   [&](const FixedEntry& each) { return each.column == column; });
    if (same != entries.end()) {
      same->coefficient += coefficient;
    } else {
      entries.push_back({column, coefficient});
    }
  };
  model.for_row(record, [&](std::uint32_t unknown, double coefficient) {
    if (model.is_fixed(unknown)) add(unknown - model.fixed_first, coefficient);
    if (shares.empty() || unknown >= model.fixed_first) return;
    for (const FixedEntry& share : shares[unknown / model.parts]) {
      add(model.fixed_columns + share.column * model.parts + unknown % model.parts,
          coefficient * share.coefficient);
    }
  });
  std::sort(entries.begin(), entries.end(),
            [](const FixedEntry& a, const FixedEntry& b) { return a.column < b.column; });
}

/// X'X as the diagonal of the leading columns, their products with the rest, and the rest.
struct CrossProducts {
  std::uint32_t leading = 0;
  std::vector<double> diagonal;
  std::vector<std::map<std::uint32_t, double>> across;
  Grid<double> rest;
};

CrossProducts cross_products(const MixedModel::State& model) {
  CrossProducts x;
  std::vector<FixedEntry> entries;
  const auto shares = shares_of_groups(model);
  const std::uint32_t columns = model.fixed_columns + model.group_columns();
  x.leading = columns;
  for (std::size_t r = 0; r < model.records(); ++r) {
    fixed_entries(model, shares, r, entries);
    if (entries.size() > 1) x.leading = std::min(x.leading, entries[1].column);
  }
  const std::size_t beside = columns - x.leading;
  if (beside > most_beside) {
    throw LimitError("merit: fixed effects beside the largest one have more than 5000 levels");
  }
  x.diagonal.assign(x.leading, 0.0);
  x.across.resize(x.leading);
  x.rest = Grid<double>(beside, beside, 0.0);
  for (std::size_t r = 0; r < model.records(); ++r) {
    fixed_entries(model, shares, r, entries);
    for (const FixedEntry& a : entries) {
      for (const FixedEntry& b : entries) {
        const double product = a.coefficient * b.coefficient;
        if (a.column >= x.leading) {
          if (b.column >= x.leading) x.rest(a.column - x.leading, b.column - x.leading) += product;
        } else if (b.column >= x.leading) {
          x.across[a.column][b.column - x.leading] += product;
        } else {
          x.diagonal[a.column] += product;  // a and b are one: no record has two leading columns
        }
      }
    }
  }
  return x;
}

}  // namespace

std::vector<bool> columns_to_drop(const MixedModel::State& model) {
  std::vector<bool> drop(model.fixed_columns + model.group_columns(), false);
  if (drop.empty()) return drop;
  CrossProducts x = cross_products(model);
  const std::size_t beside = x.rest.rows;
  std::vector<double> whole(beside);
  for (std::size_t i = 0; i < beside; ++i) whole[i] = x.rest(i, i);
  for (std::uint32_t c = 0; c < x.leading; ++c) {
    drop[c] = !(x.diagonal[c] > 0.0);
    if (drop[c]) continue;
    for (const auto& [i, left] : x.across[c]) {
      for (const auto& [j, right] : x.across[c]) x.rest(i, j) -= left * right / x.diagonal[c];
    }
  }
  for (std::size_t k = 0; k < beside; ++k) {
    const double pivot = x.rest(k, k);
    drop[x.leading + k] = !(pivot > nothing_left * whole[k]);
    if (drop[x.leading + k]) continue;
    for (std::size_t i = k + 1; i < beside; ++i) {
      const double factor = x.rest(i, k) / pivot;
      if (factor == 0.0) continue;
      for (std::size_t j = k + 1; j < beside; ++j) x.rest(i, j) -= factor * x.rest(k, j);
    }
  }
  return drop;
}

}  // namespace doewright
