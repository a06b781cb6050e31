// SPDX-License-Identifier: MIT
#include <algorithm>
#include <boost/graph/graph_traits.hpp>
#include <boost/graph/strong_components.hpp>
#include <boost/iterator/counting_iterator.hpp>
#include <boost/iterator/iterator_facade.hpp>
#include <boost/property_map/property_map.hpp>
#include <iterator>
#include <utility>

#include <doewright/core/run.hpp>

#include "parent_graph.hpp"

// Every loop of a knot passes through at least one of the closing parents (without them there is no
// loop), so the shortest loop is the shortest of those that start with the kid of one. A
// breadth-first search from each such kid, no further than the best loop so far, finds it.

namespace doewright {

namespace {

/// Looks at parents that the search may spend, all knots together: about a second.
constexpr std::size_t most_looks = 50'000'000;
constexpr std::size_t steps_between_looks = 1u << 18;

/// Known parents of one animal as Boost.Graph's out-edges: kid -> parent.
class ParentIterator
    : public boost::iterator_facade<ParentIterator, std::pair<std::uint32_t, std::uint32_t>,
                                    boost::forward_traversal_tag,
                                    std::pair<std::uint32_t, std::uint32_t>> {
 public:
  ParentIterator() = default;
  ParentIterator(const ParentGraph& graph, std::uint32_t kid, std::uint32_t place)
      : graph_(&graph), kid_(kid), place_(place) {
    skip_unknown();
  }

 private:
  friend class boost::iterator_core_access;
  std::pair<std::uint32_t, std::uint32_t> dereference() const {
    return {kid_, graph_->parent(kid_, place_)};
  }
  bool equal(const ParentIterator& other) const { return place_ == other.place_; }
  void increment() {
    ++place_;
    skip_unknown();
  }
  void skip_unknown() {
    const std::uint32_t places = graph_->places_of(kid_);
    while (place_ < places && graph_->parent(kid_, place_) == ParentGraph::none) ++place_;
  }

  const ParentGraph* graph_ = nullptr;
  std::uint32_t kid_ = 0;
  std::uint32_t place_ = 0;
};

/// The loop search inside knots; its arrays are used again and again.
class LoopSearch {
 public:
  LoopSearch(const ParentGraph& graph, const std::vector<std::uint32_t>& knot_of, const Run& run)
      : graph_(graph),
        knot_of_(knot_of),
        run_(run),
        seen_in_(graph.size()),
        kid_of_(graph.size()) {}

  /// Replaces `loop` by one through `start` if that is shorter. An empty `loop` is none yet.
  void improve(std::vector<std::uint32_t>& loop, std::uint32_t start) {
    if (spent() && !loop.empty()) return;
    ++search_;
    now_.assign(1, start);
    // `length` animals are in a loop that comes back to `start` from the animals of `now_`.
    for (std::size_t length = 1; !now_.empty() && (loop.empty() || length < loop.size());
         ++length) {
      next_.clear();
      for (const std::uint32_t kid : now_) {
        if (!look_at_parents(kid, start)) continue;
        write_down(loop, start, kid);
        return;
      }
      if (spent() && !loop.empty()) return;
      std::swap(now_, next_);
    }
  }

 private:
  bool spent() const { return looks_ > most_looks; }

  /// Puts its parents in the knot on the list for the next step; true if one of them is `start`.
  bool look_at_parents(std::uint32_t kid, std::uint32_t start) {
    for (std::uint32_t place = 0; place < graph_.places_of(kid); ++place) {
      if (++looks_ % steps_between_looks == 0) throw_if_stopped(run_);
      const std::uint32_t parent = graph_.parent(kid, place);
      if (parent == ParentGraph::none || knot_of_[parent] != knot_of_[kid]) continue;
      if (parent == start) return true;
      if (seen_in_[parent] == search_) continue;
      seen_in_[parent] = search_;
      kid_of_[parent] = kid;
      next_.push_back(parent);
    }
    return false;
  }

  /// The loop from `start` to `last`, whose parent `start` is.
  void write_down(std::vector<std::uint32_t>& loop, std::uint32_t start, std::uint32_t last) {
    loop.clear();
    for (std::uint32_t animal = last; animal != start; animal = kid_of_[animal]) {
      loop.push_back(animal);
    }
    loop.push_back(start);
    std::reverse(loop.begin(), loop.end());
  }

  const ParentGraph& graph_;
  const std::vector<std::uint32_t>& knot_of_;
  const Run& run_;
  std::vector<std::uint32_t> seen_in_;  // the search that met the animal last
  std::vector<std::uint32_t> kid_of_;   // whose parent it was then
  std::vector<std::uint32_t> now_, next_;
  std::uint32_t search_ = 0;
  std::size_t looks_ = 0;
};

}  // namespace

}  // namespace doewright

template <>
struct boost::graph_traits<doewright::ParentGraph> {
  struct traversal_category : virtual incidence_graph_tag, virtual vertex_list_graph_tag {};
  using vertex_descriptor = std::uint32_t;
  using edge_descriptor = std::pair<std::uint32_t, std::uint32_t>;
  using directed_category = directed_tag;
  using edge_parallel_category = allow_parallel_edge_tag;
  using vertices_size_type = std::uint32_t;
  using degree_size_type = std::uint32_t;
  using vertex_iterator = counting_iterator<std::uint32_t>;
  using out_edge_iterator = doewright::ParentIterator;
  static vertex_descriptor null_vertex() { return doewright::ParentGraph::none; }
};

namespace doewright {

namespace {

using Edge = std::pair<std::uint32_t, std::uint32_t>;

}  // namespace

// Boost.Graph finds these by the namespace of ParentGraph.
static std::uint32_t source(const Edge& edge, const ParentGraph&) {
  return edge.first;
}
static std::uint32_t target(const Edge& edge, const ParentGraph&) {
  return edge.second;
}
static std::uint32_t num_vertices(const ParentGraph& graph) {
  return graph.size();
}
static auto vertices(const ParentGraph& graph) {
  return std::pair(boost::counting_iterator<std::uint32_t>(0),
                   boost::counting_iterator<std::uint32_t>(graph.size()));
}
static auto out_edges(std::uint32_t kid, const ParentGraph& graph) {
  return std::pair(ParentIterator(graph, kid, 0), ParentIterator(graph, kid, graph.places_of(kid)));
}
static std::uint32_t out_degree(std::uint32_t kid, const ParentGraph& graph) {
  const auto [begin, end] = out_edges(kid, graph);
  return static_cast<std::uint32_t>(std::distance(begin, end));
}

namespace {

std::vector<std::uint32_t> strong_component_of_each(const ParentGraph& graph) {
  const boost::typed_identity_property_map<std::uint32_t> index;
  std::vector<std::uint32_t> component(graph.size());
  std::vector<std::uint32_t> root(graph.size()), discovered(graph.size());
  const auto map_of = [&](std::vector<std::uint32_t>& values) {
    return boost::make_iterator_property_map(values.begin(), index);
  };
  boost::strong_components(
      graph, map_of(component),
      boost::vertex_index_map(index).root_map(map_of(root)).discover_time_map(map_of(discovered)));
  return component;
}

}  // namespace

std::vector<Knot> find_knots(const ParentGraph& graph, std::span<const ParentPlace> closing,
                             const Run& run) {
  std::vector<Knot> knots;
  if (closing.empty()) return knots;
  const std::vector<std::uint32_t> knot_of = strong_component_of_each(graph);
  std::vector<std::uint32_t> place_in_knots(graph.size(), ParentGraph::none);  // by component
  for (const ParentPlace& parent : closing) {
    std::uint32_t& place = place_in_knots[knot_of[parent.kid]];
    if (place == ParentGraph::none) {
      place = static_cast<std::uint32_t>(knots.size());
      knots.emplace_back();
    }
    knots[place].closing.push_back(parent);
  }
  LoopSearch search(graph, knot_of, run);
  for (Knot& knot : knots) {
    for (const ParentPlace& parent : knot.closing) search.improve(knot.loop, parent.kid);
  }
  return knots;
}

}  // namespace doewright
