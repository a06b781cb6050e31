// SPDX-License-Identifier: MIT
#pragma once
/// The pedigree as a graph of Boost.Graph. Opt in: the only public header that includes Boost (1.74
/// or later; headers alone).
///
/// Vertices are the numbers 0 .. n - 1 of the animals, then n + s for stand-in s. Edges run from
/// kid to parent: whoever follows them walks to the ancestors, and boost::topological_sort delivers
/// parents before kids.
///
///     std::vector<std::uint32_t> order;  // parents first
///     boost::topological_sort(pedigree, std::back_inserter(order));
///
/// Pedigree models VertexListGraph, IncidenceGraph and AdjacencyGraph: up to the ancestors.
/// PedigreeGraph adds the way down, BidirectionalGraph. Unknown parents have no edge; an animal
/// that is both parents of a kid has one edge with share 1.
///
/// Cost: nothing is stored; an edge is made when an iterator is looked at.
#include <boost/graph/graph_traits.hpp>
#include <boost/graph/properties.hpp>
#include <boost/iterator/counting_iterator.hpp>
#include <boost/iterator/iterator_facade.hpp>
#include <boost/iterator/transform_iterator.hpp>
#include <boost/property_map/property_map.hpp>
#include <cstdint>
#include <iterator>
#include <span>
#include <utility>

#include <doewright/pedigree/offspring.hpp>
#include <doewright/pedigree/pedigree.hpp>

namespace doewright {

/// A kid and one of its parents, either of which may be a stand-in.
struct ParentEdge {
  std::uint32_t kid = 0;
  std::uint32_t parent = 0;
  /// Part of the kid's genes that come through this parent: 1/2; from a stand-in to a possible
  /// sire, the probability that he is the one.
  double share = 0.0;
  /// There is at most one edge between two vertices.
  friend bool operator==(const ParentEdge& a, const ParentEdge& b) {
    return a.kid == b.kid && a.parent == b.parent;
  }
  friend bool operator<(const ParentEdge& a, const ParentEdge& b) {
    return std::pair(a.kid, a.parent) < std::pair(b.kid, b.parent);
  }
};

/// From one vertex to its parents: sire (or stand-in), then dam; of a stand-in, its possible sires.
class ParentEdgeIterator : public boost::iterator_facade<ParentEdgeIterator, ParentEdge,
                                                         boost::forward_traversal_tag, ParentEdge> {
 public:
  ParentEdgeIterator() = default;
  /// \param place  0: the first parent; places_of(): past the last.
  ParentEdgeIterator(const Pedigree& pedigree, std::uint32_t vertex, std::uint32_t place)
      : pedigree_(&pedigree), vertex_(vertex), place_(place) {
    skip_unknown();
  }
  static std::uint32_t places_of(const Pedigree& pedigree, std::uint32_t vertex) {
    if (vertex < pedigree.size()) return 2;
    return static_cast<std::uint32_t>(candidates(pedigree, vertex).size());
  }

 private:
  friend class boost::iterator_core_access;
  static std::span<const SireChance> candidates(const Pedigree& pedigree, std::uint32_t vertex) {
    return pedigree.stand_in(vertex - static_cast<std::uint32_t>(pedigree.size()));
  }
  bool is_animal() const { return vertex_ < pedigree_->size(); }

  ParentEdge dereference() const {
    if (!is_animal()) {
      const SireChance& chance = candidates(*pedigree_, vertex_)[place_];
      return {vertex_, chance.sire.position, chance.probability};
    }
    const std::uint32_t sire = pedigree_->sire_slots()[vertex_];
    const std::uint32_t dam = pedigree_->dam_slots()[vertex_];
    if (place_ == 1) return {vertex_, dam, 0.5};
    const bool is_stand_in = Pedigree::is_stand_in(sire);
    const auto animals = static_cast<std::uint32_t>(pedigree_->size());
    return {vertex_, is_stand_in ? animals + Pedigree::stand_in_of(sire) : sire,
            sire == dam ? 1.0 : 0.5};
  }
  bool equal(const ParentEdgeIterator& other) const {
    return vertex_ == other.vertex_ && place_ == other.place_;
  }
  void increment() {
    ++place_;
    skip_unknown();
  }
  void skip_unknown() {
    if (!is_animal()) return;
    const std::uint32_t sire = pedigree_->sire_slots()[vertex_];
    const std::uint32_t dam = pedigree_->dam_slots()[vertex_];
    if (place_ == 0 && sire == Pedigree::none) place_ = 1;
    if (place_ == 1 && (dam == Pedigree::none || dam == sire)) place_ = 2;
  }

  const Pedigree* pedigree_ = nullptr;
  std::uint32_t vertex_ = 0;
  std::uint32_t place_ = 0;
};

/// A pedigree and its offspring as a graph with edges both ways. Both must outlive it.
struct PedigreeGraph {
  const Pedigree& pedigree;
  const Offspring& offspring;
};

/// From one vertex to its kids: those of the certain parent in pedigree order, then the stand-ins
/// that have it among their possible sires.
class KidEdgeIterator : public boost::iterator_facade<KidEdgeIterator, ParentEdge,
                                                      boost::forward_traversal_tag, ParentEdge> {
 public:
  KidEdgeIterator() = default;
  KidEdgeIterator(const PedigreeGraph& graph, std::uint32_t vertex, std::uint32_t place)
      : pedigree_(&graph.pedigree), vertex_(vertex), place_(place) {
    const auto animals = static_cast<std::uint32_t>(pedigree_->size());
    if (vertex < animals) {
      kids_ = graph.offspring.of(Animal{vertex});
      stand_ins_ = graph.offspring.stand_ins_of(Animal{vertex});
    } else {
      kids_ = graph.offspring.of_stand_in(vertex - animals);
    }
  }
  static KidEdgeIterator past_the_last(const PedigreeGraph& graph, std::uint32_t vertex) {
    KidEdgeIterator result(graph, vertex, 0);
    result.place_ = static_cast<std::uint32_t>(result.kids_.size() + result.stand_ins_.size());
    return result;
  }

 private:
  friend class boost::iterator_core_access;
  ParentEdge dereference() const {
    if (place_ >= kids_.size()) {
      const std::uint32_t s = stand_ins_[place_ - kids_.size()];
      return {static_cast<std::uint32_t>(pedigree_->size()) + s, vertex_, probability(s)};
    }
    const std::uint32_t kid = kids_[place_].position;
    const bool both = pedigree_->sire_slots()[kid] == pedigree_->dam_slots()[kid];
    return {kid, vertex_, both ? 1.0 : 0.5};
  }
  double probability(std::uint32_t s) const {
    for (const SireChance& chance : pedigree_->stand_in(s)) {
      if (chance.sire.position == vertex_) return chance.probability;
    }
    return 0.0;
  }
  bool equal(const KidEdgeIterator& other) const {
    return vertex_ == other.vertex_ && place_ == other.place_;
  }
  void increment() { ++place_; }

  const Pedigree* pedigree_ = nullptr;
  std::span<const Animal> kids_;
  std::span<const std::uint32_t> stand_ins_;
  std::uint32_t vertex_ = 0;
  std::uint32_t place_ = 0;
};

struct ParentOfEdge {
  std::uint32_t operator()(const ParentEdge& edge) const { return edge.parent; }
};

}  // namespace doewright

namespace boost {

template <>
struct graph_traits<doewright::Pedigree> {
  struct traversal_category : virtual vertex_list_graph_tag,
                              virtual incidence_graph_tag,
                              virtual adjacency_graph_tag {};
  using vertex_descriptor = std::uint32_t;
  using edge_descriptor = doewright::ParentEdge;
  using directed_category = directed_tag;
  using edge_parallel_category = disallow_parallel_edge_tag;
  using vertices_size_type = std::uint32_t;
  using degree_size_type = std::uint32_t;
  using edges_size_type = std::uint64_t;
  using vertex_iterator = counting_iterator<std::uint32_t>;
  using out_edge_iterator = doewright::ParentEdgeIterator;
  using adjacency_iterator = transform_iterator<doewright::ParentOfEdge, out_edge_iterator>;
  using in_edge_iterator = void;
  using edge_iterator = void;
  static vertex_descriptor null_vertex() { return doewright::Pedigree::none; }
};

template <>
struct graph_traits<doewright::PedigreeGraph> : graph_traits<doewright::Pedigree> {
  struct traversal_category : virtual vertex_list_graph_tag,
                              virtual bidirectional_graph_tag,
                              virtual adjacency_graph_tag {};
  using directed_category = bidirectional_tag;
  using in_edge_iterator = doewright::KidEdgeIterator;
};

template <>
struct property_map<doewright::Pedigree, vertex_index_t> {
  using type = typed_identity_property_map<std::uint32_t>;
  using const_type = type;
};

template <>
struct property_map<doewright::PedigreeGraph, vertex_index_t>
    : property_map<doewright::Pedigree, vertex_index_t> {};

}  // namespace boost

namespace doewright {

// The operations of the concepts; Boost.Graph finds them by the namespace of their arguments.

inline std::uint32_t num_vertices(const Pedigree& pedigree) {
  return static_cast<std::uint32_t>(pedigree.size() + pedigree.stand_ins());
}

inline auto vertices(const Pedigree& pedigree) {
  using Iterator = boost::counting_iterator<std::uint32_t>;
  return std::pair(Iterator(0), Iterator(num_vertices(pedigree)));
}

inline std::uint32_t source(const ParentEdge& edge, const Pedigree&) {
  return edge.kid;
}
inline std::uint32_t target(const ParentEdge& edge, const Pedigree&) {
  return edge.parent;
}

inline auto out_edges(std::uint32_t vertex, const Pedigree& pedigree) {
  const std::uint32_t end = ParentEdgeIterator::places_of(pedigree, vertex);
  return std::pair(ParentEdgeIterator(pedigree, vertex, 0),
                   ParentEdgeIterator(pedigree, vertex, end));
}

inline std::uint32_t out_degree(std::uint32_t vertex, const Pedigree& pedigree) {
  const auto [begin, end] = out_edges(vertex, pedigree);
  return static_cast<std::uint32_t>(std::distance(begin, end));
}

inline auto adjacent_vertices(std::uint32_t vertex, const Pedigree& pedigree) {
  using Iterator = boost::graph_traits<Pedigree>::adjacency_iterator;
  const auto [begin, end] = out_edges(vertex, pedigree);
  return std::pair(Iterator(begin, ParentOfEdge{}), Iterator(end, ParentOfEdge{}));
}

inline boost::typed_identity_property_map<std::uint32_t> get(boost::vertex_index_t,
                                                             const Pedigree&) {
  return {};
}
inline std::uint32_t get(boost::vertex_index_t, const Pedigree&, std::uint32_t vertex) {
  return vertex;
}

inline std::uint32_t num_vertices(const PedigreeGraph& graph) {
  return num_vertices(graph.pedigree);
}
inline auto vertices(const PedigreeGraph& graph) {
  return vertices(graph.pedigree);
}
inline std::uint32_t source(const ParentEdge& edge, const PedigreeGraph&) {
  return edge.kid;
}
inline std::uint32_t target(const ParentEdge& edge, const PedigreeGraph&) {
  return edge.parent;
}
inline auto out_edges(std::uint32_t vertex, const PedigreeGraph& graph) {
  return out_edges(vertex, graph.pedigree);
}
inline std::uint32_t out_degree(std::uint32_t vertex, const PedigreeGraph& graph) {
  return out_degree(vertex, graph.pedigree);
}
inline auto adjacent_vertices(std::uint32_t vertex, const PedigreeGraph& graph) {
  return adjacent_vertices(vertex, graph.pedigree);
}
inline auto in_edges(std::uint32_t vertex, const PedigreeGraph& graph) {
  return std::pair(KidEdgeIterator(graph, vertex, 0),
                   KidEdgeIterator::past_the_last(graph, vertex));
}
inline std::uint32_t in_degree(std::uint32_t vertex, const PedigreeGraph& graph) {
  const auto [begin, end] = in_edges(vertex, graph);
  return static_cast<std::uint32_t>(std::distance(begin, end));
}
inline std::uint32_t degree(std::uint32_t vertex, const PedigreeGraph& graph) {
  return out_degree(vertex, graph) + in_degree(vertex, graph);
}
inline boost::typed_identity_property_map<std::uint32_t> get(boost::vertex_index_t,
                                                             const PedigreeGraph&) {
  return {};
}
inline std::uint32_t get(boost::vertex_index_t, const PedigreeGraph&, std::uint32_t vertex) {
  return vertex;
}

}  // namespace doewright
