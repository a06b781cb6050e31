// SPDX-License-Identifier: MIT
#include <doewright/core/run.hpp>

#include "parent_graph.hpp"

// Depth-first search with a stack of its own: a line of a million generations is no deeper for it
// than one of two. A parent that is still on the stack is a descendant of the animal: it closes a
// loop, and the stack down to it is the rest of that loop, of which nothing else is ever left out.

namespace doewright {

namespace {

enum class Turn : std::uint8_t { to_come, on_stack, done };

constexpr std::size_t steps_between_looks = 1u << 18;

class OrderSearch {
 public:
  OrderSearch(const ParentGraph& graph, const Run& run)
      : graph_(graph), run_(run), turn_(graph.size(), Turn::to_come) {
    result_.numbers.reserve(graph.size());
  }

  void visit(std::uint32_t animal) {
    push(animal);
    while (!stack_.empty()) step();
  }

  OrderOfBirth take() { return std::move(result_); }

 private:
  void push(std::uint32_t animal) {
    if (turn_[animal] != Turn::to_come) return;
    turn_[animal] = Turn::on_stack;
    stack_.push_back({animal, 0});
  }

  /// Looks at the next parent of the animal on top, or gives the animal its place.
  void step() {
    if (++steps_ % steps_between_looks == 0) throw_if_stopped(run_);
    const ParentPlace at = stack_.back();
    if (at.place == graph_.places_of(at.kid)) {
      stack_.pop_back();
      turn_[at.kid] = Turn::done;
      result_.numbers.push_back(at.kid);
      return;
    }
    ++stack_.back().place;
    const std::uint32_t parent = graph_.parent(at.kid, at.place);
    if (parent == ParentGraph::none) return;
    if (turn_[parent] == Turn::on_stack) result_.closing.push_back(at);
    push(parent);
  }

  const ParentGraph& graph_;
  const Run& run_;
  std::vector<Turn> turn_;
  std::vector<ParentPlace> stack_;  // an animal and the next of its parents to look at
  OrderOfBirth result_;
  std::size_t steps_ = 0;
};

}  // namespace

OrderOfBirth parents_first(const ParentGraph& graph, std::span<const std::uint32_t> rows,
                           const Run& run) {
  OrderSearch search(graph, run);
  for (const std::uint32_t animal : rows) search.visit(animal);
  for (std::uint32_t animal = 0; animal < graph.size(); ++animal) search.visit(animal);
  return search.take();
}

}  // namespace doewright
