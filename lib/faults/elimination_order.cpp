// SPDX-License-Identifier: MIT
#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/minimum_degree_ordering.hpp>
#include <boost/property_map/property_map.hpp>
#include <set>
#include <utility>

#include "factor_tree.hpp"

namespace doewright {

namespace {

using Edge = std::pair<std::uint32_t, std::uint32_t>;

/// Every two variables of one factor are neighbours. Both directions, each once.
std::vector<Edge> neighbours(const std::vector<TreeFactor>& factors) {
  std::vector<Edge> edges;
  for (const TreeFactor& factor : factors) {
    for (const std::uint32_t a : factor.scope) {
      for (const std::uint32_t b : factor.scope) {
        if (a != b) edges.emplace_back(a, b);
      }
    }
  }
  std::sort(edges.begin(), edges.end());
  edges.erase(std::unique(edges.begin(), edges.end()), edges.end());
  return edges;
}

}  // namespace

std::vector<std::uint32_t> minimum_degree_order(std::size_t variables,
                                                const std::vector<TreeFactor>& factors) {
  using Graph = boost::adjacency_list<boost::vecS, boost::vecS, boost::directedS>;
  // One vertex more, without neighbours: on a complete graph Boost 1.74's ordering looks for a degree
  // beyond the last otherwise (an assertion, or memory past the end; 20,000 random graphs tried).
  const std::size_t n = variables + 1;
  Graph graph(n);
  for (const Edge& edge : neighbours(factors)) add_edge(edge.first, edge.second, graph);
  std::vector<int> degree(n, 0), inverse(n, 0), position(n, 0), supernodes(n, 1);
  const auto id = get(boost::vertex_index, graph);
  boost::minimum_degree_ordering(
      graph, boost::make_iterator_property_map(degree.begin(), id, degree[0]), inverse.data(),
      position.data(), boost::make_iterator_property_map(supernodes.begin(), id, supernodes[0]), 0,
      id);
  // What Boost calls the permutation lists the vertices as they are eliminated; its inverse would give
  // tables of width 21 in place of 6 for a herd of 90.
  std::vector<std::uint32_t> order;
  for (const int vertex : position) {
    if (static_cast<std::size_t>(vertex) < variables) {
      order.push_back(static_cast<std::uint32_t>(vertex));
    }
  }
  return order;
}

std::vector<std::uint32_t> minimum_fill_order(std::size_t variables,
                                              const std::vector<TreeFactor>& factors) {
  std::vector<std::set<std::uint32_t>> near(variables);
  for (const Edge& edge : neighbours(factors)) near[edge.first].insert(edge.second);
  const auto fill_of = [&](std::uint32_t v) {
    std::size_t missing = 0;
    for (auto a = near[v].begin(); a != near[v].end(); ++a) {
      for (auto b = std::next(a); b != near[v].end(); ++b) missing += near[*a].contains(*b) ? 0u : 1u;
    }
    return missing;
  };
  std::set<std::pair<std::size_t, std::uint32_t>> queue;
  std::vector<std::size_t> fill(variables);
  for (std::uint32_t v = 0; v < variables; ++v) queue.emplace(fill[v] = fill_of(v), v);
  std::vector<std::uint32_t> order;
  while (!queue.empty()) {
    const std::uint32_t v = queue.begin()->second;
    queue.erase(queue.begin());
    order.push_back(v);
    const std::vector<std::uint32_t> around(near[v].begin(), near[v].end());
    std::set<std::uint32_t> touched(around.begin(), around.end());
    for (const std::uint32_t a : around) {
      near[a].erase(v);
      for (const std::uint32_t b : around) {
        if (a != b) near[a].insert(b);
      }
    }
    for (const std::uint32_t a : around) touched.insert(near[a].begin(), near[a].end());
    for (const std::uint32_t a : touched) {
      const std::size_t now = fill_of(a);
      if (now == fill[a]) continue;
      queue.erase({fill[a], a});
      queue.emplace(fill[a] = now, a);
    }
  }
  return order;
}

double entries_of_order(const std::vector<std::uint32_t>& states,
                        const std::vector<TreeFactor>& factors,
                        std::span<const std::uint32_t> order, double most) {
  const std::size_t n = states.size();
  std::vector<std::uint32_t> place(n);
  for (std::size_t i = 0; i < n; ++i) place[order[i]] = static_cast<std::uint32_t>(i);
  std::vector<std::vector<std::uint32_t>> scopes(n);
  for (const TreeFactor& factor : factors) {
    if (factor.scope.empty()) continue;
    std::uint32_t home = 0xFFFFFFFFu;
    for (const std::uint32_t v : factor.scope) home = std::min(home, place[v]);
    for (const std::uint32_t v : factor.scope) scopes[home].push_back(place[v]);
  }
  double total = 0.0;
  for (std::uint32_t i = 0; i < n && total <= most; ++i) {
    std::vector<std::uint32_t>& scope = scopes[i];
    scope.push_back(i);
    std::sort(scope.begin(), scope.end());
    scope.erase(std::unique(scope.begin(), scope.end()), scope.end());
    double entries = 1.0;
    for (const std::uint32_t p : scope) entries *= states[order[p]];
    total += entries;
    if (scope.size() > 1) {
      scopes[scope[1]].insert(scopes[scope[1]].end(), scope.begin() + 1, scope.end());
    }
    std::vector<std::uint32_t>().swap(scope);
  }
  return total;
}

}  // namespace doewright
