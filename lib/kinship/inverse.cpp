// SPDX-License-Identifier: MIT
// A = T D T'. Row i of T^-1 is 1 for i and minus the part of each parent, so that A^-1 is the sum
// over i of its outer product divided by D(i): Henderson (1976), Biometrics 32:69-83, with
// inbreeding as Quaas (1976), Biometrics 32:949-953. A stand-in has a row of its own with the
// chances of its bucks: Henderson (1988), J. Anim. Sci. 66:1614-1621.
#include <doewright/kinship/inverse.hpp>

#include <algorithm>
#include <array>
#include <utility>

#include <doewright/core/errors.hpp>

#include "family.hpp"
#include "local.hpp"

namespace doewright {

namespace {

void check_length(const Pedigree& pedigree, std::size_t length, const char* what) {
  if (length != pedigree.size()) {
    throw UsageError(std::string("kinship: ") + what + " needs one entry an animal");
  }
}

/// Rows of results: animals by position, then stand-ins by number.
std::uint32_t row_of(const Family& family, std::uint32_t node, std::size_t animals) {
  return family.is_stand_in(node) ? static_cast<std::uint32_t>(animals) + family.list_of(node)
                                  : family.position_of(node);
}

/// F and D of every node, from F of the animals.
NodeInbreeding by_node(const Pedigree& pedigree, const Family& family, std::span<const double> f) {
  NodeInbreeding result;
  result.f.assign(family.size(), 0.0);
  result.stand_in_own.assign(family.stand_ins(), 0.0);
  for (std::uint32_t i = 0; i < pedigree.size(); ++i) result.f[family.node_of(Animal{i})] = f[i];
  for (std::uint32_t node = 0; node < family.size(); ++node) {  // parents first
    if (!family.is_stand_in(node)) continue;
    const std::uint32_t list = family.list_of(node);
    std::vector<std::uint32_t> bucks;
    for (const ParentPart& buck : family.candidates(list)) {
      result.f[node] += buck.part * result.f[buck.node];
      bucks.push_back(buck.node);
    }
    const Ancestry near = ancestry(family, bucks);
    NodeInbreeding near_f;
    for (std::uint32_t i = 0; i < near.original.size(); ++i) {
      near_f.f.push_back(result.f[near.original[i]]);
      if (!near.family.is_stand_in(i)) continue;
      near_f.stand_in_own.resize(near.family.stand_ins());
      near_f.stand_in_own[near.family.list_of(i)] =
          result.stand_in_own[family.list_of(near.original[i])];
    }
    const std::vector<double> own = own_parts(near.family, near_f);
    double from_bucks = 0.0;  // p'Ap
    const auto candidates = family.candidates(list);
    for (std::size_t j = 0; j < bucks.size(); ++j) {
      const std::vector<double> column = kinship_column(near.family, own, near.asked[j]);
      for (std::size_t k = 0; k < bucks.size(); ++k) {
        from_bucks += 2.0 * candidates[j].part * candidates[k].part * column[near.asked[k]];
      }
    }
    result.stand_in_own[list] = 1.0 + result.f[node] - from_bucks;
  }
  return result;
}

struct Entry {
  std::uint32_t column;
  double value;
};

/// Rows of entries in any order, some of one place: sorted and joined.
SparseMatrix joined(std::vector<std::vector<Entry>> rows) {
  SparseMatrix matrix;
  matrix.first.push_back(0);
  for (std::vector<Entry>& row : rows) {
    std::stable_sort(row.begin(), row.end(),
                     [](const Entry& a, const Entry& b) { return a.column < b.column; });
    for (std::size_t i = 0; i < row.size();) {
      double sum = 0.0;
      const std::uint32_t column = row[i].column;
      for (; i < row.size() && row[i].column == column; ++i) sum += row[i].value;
      matrix.columns.push_back(column);
      matrix.values.push_back(sum);
    }
    matrix.first.push_back(matrix.columns.size());
    std::vector<Entry>().swap(row);
  }
  return matrix;
}

}  // namespace

std::vector<double> sampling_variances(const Pedigree& pedigree, std::span<const double> f) {
  check_length(pedigree, f.size(), "f");
  const Family family(pedigree);
  const std::vector<double> own = own_parts(family, by_node(pedigree, family, f));
  std::vector<double> result(pedigree.size() + pedigree.stand_ins());
  for (std::uint32_t node = 0; node < family.size(); ++node) {
    result[row_of(family, node, pedigree.size())] = own[node];
  }
  return result;
}

SparseMatrix relationship_inverse(const Pedigree& pedigree, std::span<const double> f) {
  check_length(pedigree, f.size(), "f");
  const Family family(pedigree);
  const std::vector<double> own = own_parts(family, by_node(pedigree, family, f));
  std::vector<std::vector<Entry>> rows(pedigree.size() + pedigree.stand_ins());
  std::vector<Entry> links;
  for (std::uint32_t node = 0; node < family.size(); ++node) {
    links.assign(1, {row_of(family, node, pedigree.size()), 1.0});
    family.for_parents(node, [&](std::uint32_t parent, double part) {
      links.push_back({row_of(family, parent, pedigree.size()), -part});
    });
    for (const Entry& a : links) {
      for (const Entry& b : links)
        rows[a.column].push_back({b.column, a.value * b.value / own[node]});
    }
  }
  return joined(std::move(rows));
}

SparseMatrix gene_flow(const Pedigree& pedigree, std::uint64_t most_entries) {
  const Family family(pedigree);
  std::vector<std::vector<Entry>> rows(pedigree.size() + pedigree.stand_ins());
  std::uint64_t entries = 0;
  for (std::uint32_t node = 0; node < family.size(); ++node) {
    const std::uint32_t own_row = row_of(family, node, pedigree.size());
    std::vector<Entry> row = {{own_row, 1.0}};
    family.for_parents(node, [&](std::uint32_t parent, double part) {
      for (const Entry& each : rows[row_of(family, parent, pedigree.size())]) {
        row.push_back({each.column, part * each.value});
      }
    });
    std::vector<std::vector<Entry>> one(1, std::move(row));
    const SparseMatrix sum = joined(std::move(one));
    entries += sum.columns.size();
    if (entries > most_entries)
      throw LimitError("gene flow: more entries than allowed; ask for fewer animals");
    rows[own_row].reserve(sum.columns.size());
    for (std::size_t i = 0; i < sum.columns.size(); ++i)
      rows[own_row].push_back({sum.columns[i], sum.values[i]});
  }
  return joined(std::move(rows));
}

std::vector<double> relationship_times(const Pedigree& pedigree, std::span<const double> f,
                                       std::span<const double> v) {
  check_length(pedigree, f.size(), "f");
  check_length(pedigree, v.size(), "v");
  const Family family(pedigree);
  const std::vector<double> own = own_parts(family, by_node(pedigree, family, f));
  std::vector<double> x(family.size(), 0.0);
  for (std::uint32_t i = 0; i < pedigree.size(); ++i) x[family.node_of(Animal{i})] = v[i];
  for (std::uint32_t node = family.size(); node-- > 0;) {  // T'v
    family.for_parents(node,
                       [&](std::uint32_t parent, double part) { x[parent] += part * x[node]; });
  }
  for (std::uint32_t node = 0; node < family.size(); ++node) {  // T D T'v
    double sum = own[node] * x[node];
    family.for_parents(node, [&](std::uint32_t parent, double part) { sum += part * x[parent]; });
    x[node] = sum;
  }
  std::vector<double> result(pedigree.size());
  for (std::uint32_t i = 0; i < result.size(); ++i) result[i] = x[family.node_of(Animal{i})];
  return result;
}

}  // namespace doewright
