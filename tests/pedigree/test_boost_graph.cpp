// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <algorithm>
#include <boost/concept/assert.hpp>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/breadth_first_search.hpp>
#include <boost/graph/graph_concepts.hpp>
#include <boost/graph/reverse_graph.hpp>
#include <boost/graph/strong_components.hpp>
#include <boost/graph/topological_sort.hpp>
#include <iterator>
#include <map>
#include <random>
#include <set>
#include <vector>

#include <doewright/pedigree/boost_graph.hpp>
#include <doewright/pedigree/pedigree_builder.hpp>

#include "random_pedigree.hpp"

using namespace doewright;
using doewright_test::random_pedigree;

BOOST_CONCEPT_ASSERT((boost::VertexListGraphConcept<Pedigree>));
BOOST_CONCEPT_ASSERT((boost::IncidenceGraphConcept<Pedigree>));
BOOST_CONCEPT_ASSERT((boost::AdjacencyGraphConcept<Pedigree>));
BOOST_CONCEPT_ASSERT((boost::VertexListGraphConcept<PedigreeGraph>));
BOOST_CONCEPT_ASSERT((boost::BidirectionalGraphConcept<PedigreeGraph>));
BOOST_CONCEPT_ASSERT((boost::AdjacencyGraphConcept<PedigreeGraph>));
BOOST_CONCEPT_ASSERT(
    (boost::ReadablePropertyGraphConcept<Pedigree, std::uint32_t, boost::vertex_index_t>));

namespace {

using Vertices = std::set<std::uint32_t>;

/// Notes every vertex that a breadth-first search meets.
class Met : public boost::default_bfs_visitor {
 public:
  explicit Met(Vertices& found) : found_(&found) {}
  template <class Graph>
  void discover_vertex(std::uint32_t vertex, const Graph&) {
    found_->insert(vertex);
  }

 private:
  Vertices* found_;
};

template <class Graph>
Vertices met_from(std::uint32_t start, const Graph& graph) {
  Vertices found;
  boost::breadth_first_search(graph, start, boost::visitor(Met(found)));
  return found;
}

/// By one pass over the order, without any graph: the animals among the ancestors.
Vertices ancestors_by_pass(const Pedigree& pedigree, std::uint32_t start) {
  Vertices found = {start};
  for (std::uint32_t i = start + 1; i-- > 0;) {
    if (!found.contains(i)) continue;
    if (const auto dam = pedigree.dam(Animal{i})) found.insert(dam->position);
    for (const SireChance& chance : pedigree.possible_sires(Animal{i})) {
      found.insert(chance.sire.position);
    }
  }
  return found;
}

Vertices animals_among(const Vertices& vertices, std::size_t animals) {
  Vertices result;
  std::copy_if(vertices.begin(), vertices.end(), std::inserter(result, result.end()),
               [&](std::uint32_t v) { return v < animals; });
  return result;
}

}  // namespace

TEST_CASE("edges of a small pedigree and their shares") {
  constexpr std::uint32_t none = Pedigree::none;
  // 3 is a kid of 0 and 2; 4 of 2 and stand-in 0 (vertex 6); 5 has 1 for both parents.
  const Pedigree pedigree({none, none, none, 0, Pedigree::stand_in_bit, 1},
                          {none, none, none, 2, 2, 1}, {{{Animal{0}, 0.75}, {Animal{1}, 0.25}}});
  CHECK(num_vertices(pedigree) == 7);
  const auto edges_of = [&](std::uint32_t v) {
    const auto [begin, end] = out_edges(v, pedigree);
    std::vector<std::pair<std::uint32_t, double>> result;
    for (auto e = begin; e != end; ++e) {
      CHECK(source(*e, pedigree) == v);
      result.emplace_back(target(*e, pedigree), (*e).share);
    }
    CHECK(out_degree(v, pedigree) == result.size());
    return result;
  };
  using Edges = std::vector<std::pair<std::uint32_t, double>>;
  CHECK(edges_of(0).empty());
  CHECK(edges_of(3) == Edges{{0, 0.5}, {2, 0.5}});
  CHECK(edges_of(4) == Edges{{6, 0.5}, {2, 0.5}});
  CHECK(edges_of(5) == Edges{{1, 1.0}});
  CHECK(edges_of(6) == Edges{{0, 0.75}, {1, 0.25}});
}

TEST_CASE("in Boost's topological sort, as in our order, parents stand before their kids") {
  constexpr unsigned seed = 77;
  CAPTURE(seed);
  std::mt19937 random(seed);
  for (int round = 0; round < 60; ++round) {
    CAPTURE(round);
    const auto n = static_cast<std::uint32_t>(1 + random() % 60);
    const Pedigree pedigree = random_pedigree(n, random);
    std::vector<std::uint32_t> order;
    boost::topological_sort(pedigree, std::back_inserter(order));
    REQUIRE(order.size() == num_vertices(pedigree));
    std::vector<std::uint32_t> place(order.size());
    for (std::uint32_t i = 0; i < order.size(); ++i) place[order[i]] = i;
    for (std::uint32_t v = 0; v < order.size(); ++v) {
      for (auto [e, end] = out_edges(v, pedigree); e != end; ++e) {
        CHECK(place[(*e).parent] < place[v]);                  // theirs: parents first
        if (v < n && (*e).parent < n) CHECK((*e).parent < v);  // and ours
      }
    }
  }
}

TEST_CASE("rows with kids first come out in the order of Boost's own sort") {
  // Both are depth-first searches from the first row on, sire before dam, so the orders are the
  // same.
  constexpr unsigned seed = 78;
  CAPTURE(seed);
  std::mt19937 random(seed);
  for (int round = 0; round < 60; ++round) {
    CAPTURE(round);
    const auto n = static_cast<std::uint32_t>(1 + random() % 60);
    // Kids at small numbers: parents of i are larger than i, so that rows by number are kids first.
    PedigreeBuilder builder;
    std::vector<std::uint32_t> sires(n, Pedigree::none), dams(n, Pedigree::none);
    for (std::uint32_t i = 0; i + 1 < n; ++i) {
      const auto older = [&] { return static_cast<std::uint32_t>(i + 1 + random() % (n - 1 - i)); };
      if (random() % 4 != 0) sires[i] = older();
      if (random() % 4 != 0) dams[i] = older();
      if (sires[i] == dams[i]) dams[i] = Pedigree::none;
    }
    const auto name = [](std::uint32_t i) {
      return i == Pedigree::none ? std::string() : std::to_string(i);
    };
    for (std::uint32_t i = 0; i < n; ++i) builder.add(name(i), name(sires[i]), name(dams[i]));
    const BuiltPedigree built = std::move(builder).build();

    // The same book as a graph of Boost's own.
    boost::adjacency_list<boost::vecS, boost::vecS, boost::directedS> twin(n);
    for (std::uint32_t i = 0; i < n; ++i) {
      if (sires[i] != Pedigree::none) boost::add_edge(i, sires[i], twin);
      if (dams[i] != Pedigree::none) boost::add_edge(i, dams[i], twin);
    }
    std::vector<std::uint32_t> order;
    boost::topological_sort(twin, std::back_inserter(order));
    REQUIRE(built.pedigree.size() == n);
    for (std::uint32_t i = 0; i < n; ++i) CHECK(built.ids[Animal{i}] == name(order[i]));
  }
}

TEST_CASE("a pedigree has no knots") {
  std::mt19937 random(79);
  const Pedigree pedigree = random_pedigree(200, random);
  std::vector<std::uint32_t> component(num_vertices(pedigree));
  const auto index = get(boost::vertex_index, pedigree);
  const auto count = boost::strong_components(
      pedigree, boost::make_iterator_property_map(component.begin(), index));
  CHECK(static_cast<std::uint32_t>(count) == num_vertices(pedigree));
}

TEST_CASE("ancestors by breadth-first search, descendants by the reversed graph") {
  constexpr unsigned seed = 80;
  CAPTURE(seed);
  std::mt19937 random(seed);
  for (int round = 0; round < 20; ++round) {
    CAPTURE(round);
    const auto n = static_cast<std::uint32_t>(1 + random() % 40);
    const Pedigree pedigree = random_pedigree(n, random);
    const Offspring offspring(pedigree);
    const PedigreeGraph graph{pedigree, offspring};
    std::map<std::uint32_t, Vertices> descendants;
    for (std::uint32_t v = 0; v < n; ++v) {
      const Vertices expected = ancestors_by_pass(pedigree, v);
      CHECK(animals_among(met_from(v, pedigree), n) == expected);
      CHECK(animals_among(met_from(v, graph), n) == expected);
      for (const std::uint32_t ancestor : expected) descendants[ancestor].insert(v);
    }
    const auto down = boost::make_reverse_graph(graph);
    for (std::uint32_t v = 0; v < n; ++v) {
      CHECK(animals_among(met_from(v, down), n) == descendants[v]);
    }
  }
}

TEST_CASE("in-edges are the out-edges, seen from the other end") {
  constexpr unsigned seed = 81;
  CAPTURE(seed);
  std::mt19937 random(seed);
  for (int round = 0; round < 40; ++round) {
    const Pedigree pedigree =
        random_pedigree(static_cast<std::uint32_t>(1 + random() % 40), random);
    const Offspring offspring(pedigree);
    const PedigreeGraph graph{pedigree, offspring};
    std::map<std::pair<std::uint32_t, std::uint32_t>, double> out, in;
    for (auto [v, last] = vertices(graph); v != last; ++v) {
      for (auto [e, end] = out_edges(*v, graph); e != end; ++e) {
        CHECK(out.emplace(std::pair((*e).kid, (*e).parent), (*e).share).second);
      }
      for (auto [e, end] = in_edges(*v, graph); e != end; ++e) {
        CHECK(target(*e, graph) == *v);
        CHECK(in.emplace(std::pair((*e).kid, (*e).parent), (*e).share).second);
      }
      CHECK(degree(*v, graph) == out_degree(*v, graph) + in_degree(*v, graph));
    }
    CHECK(out == in);
  }
}
