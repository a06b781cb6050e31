// SPDX-License-Identifier: MIT
// The season's plan: time as herds grow, beside the plain way in the same run: every set of at most
// three sires, its does placed by Boost's min-cost flow. Both must find the same optimum.
//
//   bench_plan [SEEDS]      herds a size (default 3)
#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <optional>
#include <random>
#include <string>
#include <vector>

#include <fmt/format.h>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/successive_shortest_path_nonnegative_weights.hpp>

#include <boost/graph/find_flow_cost.hpp>  // does not stand alone in 1.74: after the others

#include <doewright/season/solve.hpp>

using namespace doewright;

namespace {

constexpr std::int64_t money = 1'000'000;

double seconds_since(std::chrono::steady_clock::time_point begin) {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
}

/// Sires and does of differing worth and what the two make of it; hire 30 to 250. `near`: who is
/// near to whom alone decides (facility location proper), places are scarce.
PlanProblem herd(std::size_t does, std::size_t sires, std::optional<unsigned> max_hired, bool near,
                 unsigned seed) {
  std::mt19937 source(seed);
  const auto unit = [&] { return static_cast<double>(source()) / 4294967296.0; };
  const auto coins = [](double sum) { return static_cast<std::int64_t>(sum * money); };
  PlanProblem problem;
  problem.max_hired = max_hired;
  problem.values = Grid<std::optional<std::int64_t>>(does, sires);
  std::vector<double> x, y, worth;
  for (std::size_t s = 0; s < sires; ++s) {
    x.push_back(unit());
    y.push_back(unit());
    worth.push_back(80 * unit() - 40);
    PlanSire sire;
    sire.hire_cost = near ? coins(80 + 40 * unit()) : coins(30 + 220 * unit());
    const double share = static_cast<double>(does) / static_cast<double>(sires);
    sire.most_does = near ? 2 + static_cast<unsigned>(share * (1.5 + 2.5 * unit()))
                          : 8 + static_cast<unsigned>(24 * unit());
    problem.sires.push_back(sire);
  }
  for (std::size_t d = 0; d < does; ++d) {
    problem.does.push_back({});
    problem.open_values.push_back(near ? 0 : coins(70 * unit() - 30));
    const double at = unit(), up = unit(), own = 40 + 100 * unit();
    for (std::size_t s = 0; s < sires; ++s) {
      const double far = (at - x[s]) * (at - x[s]) + (up - y[s]) * (up - y[s]);
      if (near) {
        problem.values(d, s) = coins(200 - 150 * far);
      } else if (unit() > 0.15) {
        problem.values(d, s) = coins(own + worth[s] + 60 * unit() - 30);
      }
    }
  }
  return problem;
}

using Traits = boost::adjacency_list_traits<boost::vecS, boost::vecS, boost::directedS>;
using Flow = boost::adjacency_list<
    boost::vecS, boost::vecS, boost::directedS, boost::no_property,
    boost::property<
        boost::edge_capacity_t, std::int64_t,
        boost::property<boost::edge_residual_capacity_t, std::int64_t,
                        boost::property<boost::edge_reverse_t, Traits::edge_descriptor,
                                        boost::property<boost::edge_weight_t, std::int64_t>>>>>;

void arc(Flow& flow, std::size_t from, std::size_t to, std::int64_t room, std::int64_t cost) {
  const auto there = add_edge(from, to, flow).first, back = add_edge(to, from, flow).first;
  put(boost::edge_capacity, flow, there, room);
  put(boost::edge_capacity, flow, back, 0);
  put(boost::edge_weight, flow, there, cost);
  put(boost::edge_weight, flow, back, -cost);
  put(boost::edge_reverse, flow, there, back);
  put(boost::edge_reverse, flow, back, there);
}

/// The best plan of these sires by Boost's min-cost flow, hire costs of all of them charged.
std::int64_t by_flow(const PlanProblem& problem, const std::vector<std::size_t>& set) {
  const std::size_t does = problem.does.size(), source = does + set.size(), sink = source + 1;
  constexpr std::int64_t shift = 1000 * money;  // each doe takes one place: costs stay above zero
  Flow flow(sink + 1);
  std::int64_t hire = 0;
  for (std::size_t i = 0; i < set.size(); ++i) {
    const PlanSire& sire = problem.sires[set[i]];
    hire += sire.hire_cost;
    arc(flow, does + i, sink, *sire.most_does, 0);
  }
  for (std::size_t d = 0; d < does; ++d) {
    arc(flow, source, d, 1, 0);
    arc(flow, d, sink, 1, shift - *problem.open_values[d]);
    for (std::size_t i = 0; i < set.size(); ++i) {
      const auto& value = problem.values(d, set[i]);
      if (value) arc(flow, d, does + i, 1, shift - *value);
    }
  }
  boost::successive_shortest_path_nonnegative_weights(flow, source, sink);
  return static_cast<std::int64_t>(does) * shift - boost::find_flow_cost(flow) - hire;
}

/// Every set of at most three sires.
std::int64_t plain(const PlanProblem& problem) {
  const std::size_t sires = problem.sires.size();
  std::int64_t best = by_flow(problem, {});
  for (std::size_t a = 0; a < sires; ++a) {
    best = std::max(best, by_flow(problem, {a}));
    for (std::size_t b = a + 1; b < sires; ++b) {
      best = std::max(best, by_flow(problem, {a, b}));
      for (std::size_t c = b + 1; c < sires; ++c)
        best = std::max(best, by_flow(problem, {a, b, c}));
    }
  }
  return best;
}

}  // namespace

int main(int argc, char** argv) {
  const auto seeds = argc > 1 ? static_cast<unsigned>(std::atoi(argv[1])) : 3u;
  struct Size {
    std::size_t does, sires;
    std::optional<unsigned> max_hired;
    bool near, plain_too;
  };
  const Size sizes[] = {{20, 12, 3, false, true},
                        {60, 40, 3, false, true},
                        {60, 40, std::nullopt, false, false},
                        {60, 40, std::nullopt, true, false},
                        {500, 100, 5, false, false},
                        {500, 100, std::nullopt, false, false},
                        {500, 100, std::nullopt, true, false}};
  fmt::print(
      "does sires hired kind    seed     seconds  six plans   plain (ratio)    gap, of sum\n");
  for (const Size& size : sizes) {
    for (unsigned seed = 1; seed <= seeds; ++seed) {
      const PlanProblem problem = herd(size.does, size.sires, size.max_hired, size.near, seed);
      auto begin = std::chrono::steady_clock::now();
      const PlanChoice plan = solve(problem);
      const double seconds = seconds_since(begin);
      fmt::print("{:4} {:5} {:>5} {:7} {:4} {:11.4f}", size.does, size.sires,
                 size.max_hired ? std::to_string(*size.max_hired) : "any",
                 size.near ? "near" : "worths", seed, seconds);
      if (size.does <= 60) {
        begin = std::chrono::steady_clock::now();
        alternatives(problem, 5);
        fmt::print(" {:10.4f}", seconds_since(begin));
      } else {
        fmt::print(" {:>10}", "");
      }
      if (size.plain_too) {
        begin = std::chrono::steady_clock::now();
        const std::int64_t expected = plain(problem);
        const double slow = seconds_since(begin);
        if (expected != plan.objective) {
          fmt::print("\nthe two differ: {} and {}\n", plan.objective, expected);
          return 1;
        }
        fmt::print(" {:7.2f} ({:5.0f})", slow, slow / seconds);
      } else {
        fmt::print(" {:>15}", "");
      }
      fmt::print("    {} {:.1e}\n", plan.proven_optimal ? "proven" : "gap",
                 static_cast<double>(plan.gap) / static_cast<double>(plan.objective));
    }
  }
}
