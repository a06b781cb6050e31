// SPDX-License-Identifier: MIT
// The reference here is Boost.Graph itself: its concepts, its walks and its sort run on our arrays.
#include <doctest/doctest.h>

#include <boost/concept/assert.hpp>
#include <boost/graph/breadth_first_search.hpp>
#include <boost/graph/graph_concepts.hpp>
#include <boost/graph/strong_components.hpp>
#include <boost/graph/topological_sort.hpp>
#include <set>

#include <doewright/pedigree/boost_graph.hpp>

#include "pedigree/random_pedigree.hpp"

using namespace doewright;
using namespace doewright::testing;

BOOST_CONCEPT_ASSERT((boost::VertexListGraphConcept<Pedigree>));
BOOST_CONCEPT_ASSERT((boost::IncidenceGraphConcept<Pedigree>));
BOOST_CONCEPT_ASSERT((boost::AdjacencyGraphConcept<Pedigree>));
BOOST_CONCEPT_ASSERT((boost::VertexListGraphConcept<PedigreeGraph>));
BOOST_CONCEPT_ASSERT((boost::BidirectionalGraphConcept<PedigreeGraph>));
BOOST_CONCEPT_ASSERT((boost::AdjacencyGraphConcept<PedigreeGraph>));

TEST_CASE("Boost's topological sort is the twin of our order: parents before kids") {
  for (unsigned seed = 1; seed <= 40; ++seed) {
    CAPTURE(seed);
    const Pedigree pedigree = built_from(random_rows(seed, 20 + seed * 7, true)).pedigree;
    std::vector<std::uint32_t> order;
    boost::topological_sort(pedigree, std::back_inserter(order));
    REQUIRE(order.size() == pedigree.size() + pedigree.stand_ins());
    std::vector<std::size_t> place(order.size());
    for (std::size_t i = 0; i < order.size(); ++i) place[order[i]] = i;
    for (const std::uint32_t v : order) {
      const auto [begin, end] = out_edges(v, pedigree);
      for (auto e = begin; e != end; ++e) CHECK(place[target(*e, pedigree)] < place[v]);
      if (v >= pedigree.size()) continue;
      // Our own order says the same of animals.
      for (auto e = begin; e != end; ++e) {
        if (target(*e, pedigree) < pedigree.size()) CHECK(target(*e, pedigree) < v);
      }
    }
  }
}

TEST_CASE("every animal is a strong component of its own: no loop is left") {
  const Pedigree pedigree = built_from(random_rows(7, 300, true)).pedigree;
  std::vector<int> component(num_vertices(pedigree));
  const int count = boost::strong_components(
      pedigree, boost::make_iterator_property_map(component.begin(), boost::get(boost::vertex_index, pedigree)));
  CHECK(static_cast<std::uint32_t>(count) == num_vertices(pedigree));
}

TEST_CASE("a breadth-first walk finds the ancestors that ancestors_only finds") {
  for (unsigned seed = 1; seed <= 20; ++seed) {
    CAPTURE(seed);
    const Pedigree pedigree = built_from(random_rows(seed, 120, true)).pedigree;
    for (std::uint32_t start = 0; start < pedigree.size(); start += 17) {
      std::set<std::uint32_t> found;
      struct Note : boost::default_bfs_visitor {
        std::set<std::uint32_t>* into;
        void discover_vertex(std::uint32_t v, const Pedigree& p) const {
          if (v < p.size()) into->insert(v);
        }
      } note;
      note.into = &found;
      boost::breadth_first_search(pedigree, start, boost::visitor(note));
      const std::array asked = {Animal{start}};
      std::set<std::uint32_t> expected;
      for (const Animal each : ancestors_only(pedigree, asked).original) expected.insert(each.position);
      CHECK(found == expected);
    }
  }
}

TEST_CASE("in-edges are the out-edges turned round, and shares into a kid sum to what is known") {
  const Pedigree pedigree = built_from(random_rows(3, 200, true)).pedigree;
  const Offspring offspring(pedigree);
  const PedigreeGraph graph{pedigree, offspring};
  std::multiset<std::pair<std::uint32_t, std::uint32_t>> up, down;
  const auto [begin, end] = vertices(graph);
  for (auto v = begin; v != end; ++v) {
    const auto outs = out_edges(*v, graph);
    for (auto e = outs.first; e != outs.second; ++e) up.emplace(source(*e, graph), target(*e, graph));
    const auto ins = in_edges(*v, graph);
    for (auto e = ins.first; e != ins.second; ++e) down.emplace(source(*e, graph), target(*e, graph));
    CHECK(degree(*v, graph) == in_degree(*v, graph) + out_degree(*v, graph));
  }
  CHECK(up == down);
  CHECK(up.size() > 200);
}
