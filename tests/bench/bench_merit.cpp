// SPDX-License-Identifier: MIT
// Merit equations: exact with all reliabilities up to 30,000 animals, iterated beyond; at 100,000
// the iteration beside Eigen's sparse factor of the same equations, after a check that both agree.
//
//   bench_merit [largest]      default 1,000,000 animals
#include <malloc.h>

#include <atomic>
#include <cmath>
#include <cstdlib>
#include <ctime>
#include <new>
#include <vector>

#include <fmt/format.h>
#include <Eigen/SparseCholesky>

#include <doewright/core/stream.hpp>
#include <doewright/kinship/inbreeding.hpp>
#include <doewright/kinship/inverse.hpp>
#include <doewright/merit/mixed_model.hpp>

#include "bench/herds_pedigree.hpp"
#include "kinship/twins.hpp"

using namespace doewright;

namespace {

std::atomic<std::size_t> bytes_now{0}, bytes_most{0};

double cpu_seconds() {
  return static_cast<double>(std::clock()) / CLOCKS_PER_SEC;
}

constexpr double va = 1.0, ve = 2.0;

/// A record an animal, and the mean.
MixedModel model_of(const Pedigree& pedigree, const std::vector<double>& f,
                    const std::vector<double>& y) {
  MixedModel model(pedigree, f, Grid<double>(1, 1, va), 1, {}, {ve});
  model.reserve(y.size(), 2 * y.size());
  for (std::uint32_t i = 0; i < y.size(); ++i) {
    const DesignEntry design[] = {{model.fixed(0), 1.0}, {model.genetic(Animal{i}), 1.0}};
    model.add(y[i], 0, design);
  }
  return model;
}

/// The same equations by Eigen alone, from relationship_inverse.
std::vector<double> by_eigen(const Pedigree& pedigree, const std::vector<double>& f,
                             const std::vector<double>& y) {
  const SparseMatrix inverse = relationship_inverse(pedigree, f);
  const int n = static_cast<int>(y.size());
  std::vector<Eigen::Triplet<double>> entries;
  for (int i = 0; i < n; ++i) {
    for (auto k = inverse.first[static_cast<std::size_t>(i)];
         k < inverse.first[static_cast<std::size_t>(i) + 1]; ++k) {
      const int j = static_cast<int>(inverse.columns[k]);
      if (j <= i) entries.emplace_back(i, j, inverse.values[k] / va);
    }
    entries.emplace_back(i, i, 1.0 / ve);
    entries.emplace_back(n, i, 1.0 / ve);
  }
  entries.emplace_back(n, n, n / ve);
  Eigen::SparseMatrix<double> matrix(n + 1, n + 1);
  matrix.setFromTriplets(entries.begin(), entries.end());
  Eigen::VectorXd right(n + 1);
  right[n] = 0.0;
  for (int i = 0; i < n; ++i) {
    right[i] = y[static_cast<std::size_t>(i)] / ve;
    right[n] += right[i];
  }
  const Eigen::SimplicialLDLT<Eigen::SparseMatrix<double>, Eigen::Lower> factor(matrix);
  const Eigen::VectorXd x = factor.solve(right);
  return {x.data(), x.data() + x.size()};
}

struct Timed {
  double seconds;
  std::size_t bytes;
  MixedModelFit fit;
};

Timed timed(const Pedigree& pedigree, const std::vector<double>& f, const std::vector<double>& y,
            const MixedModelOptions& options) {
  const std::size_t before = bytes_now;
  bytes_most = before;
  const double begin = cpu_seconds();
  MixedModelFit fit(model_of(pedigree, f, y), options);
  return {cpu_seconds() - begin, bytes_most - before, std::move(fit)};
}

}  // namespace

// Not inlined: a compiler that sees free() through delete takes the two for a mismatch.
[[gnu::noinline]] void* operator new(std::size_t size) {
  void* const place = std::malloc(size);
  if (place == nullptr) throw std::bad_alloc();
  const std::size_t now = bytes_now += malloc_usable_size(place);
  std::size_t most = bytes_most;
  while (most < now && !bytes_most.compare_exchange_weak(most, now)) {
  }
  return place;
}
[[gnu::noinline]] void operator delete(void* place) noexcept {
  bytes_now -= malloc_usable_size(place);
  std::free(place);
}
void operator delete(void* place, std::size_t) noexcept {
  operator delete(place);
}

int main(int argc, char** argv) {
  const std::size_t largest = argc > 1 ? static_cast<std::size_t>(std::atoll(argv[1])) : 1'000'000;
  for (const std::size_t n : {std::size_t{5'000}, std::size_t{20'000}, std::size_t{30'000},
                              std::size_t{100'000}, largest}) {
    if (n > largest) continue;
    const Pedigree pedigree = testing::herds(n, 1);
    const std::vector<double> f = inbreeding(pedigree);
    Stream stream(1, "bench.merit");
    std::vector<double> y(pedigree.size());
    for (double& each : y) each = 18.0 + 1.7 * stream.normal();
    if (n <= 30'000) {
      const Timed exact = timed(pedigree, f, y, {});
      fmt::print("{:>9} animals, exact with every reliability: {:.3f} s CPU ({})\n", y.size(),
                 exact.seconds, exact.fit.method() == MeritMethod::exact ? "exact" : "iterated");
    }
    const Timed loose = timed(pedigree, f, y, {.exact_up_to = 0, .tolerance = 1e-8});
    const Timed tight = timed(pedigree, f, y, {.exact_up_to = 0, .tolerance = 1e-12});
    double apart = 0.0;
    for (std::size_t i = 0; i < y.size(); ++i) {
      apart = std::max(apart, std::abs(loose.fit.solution()[i] - tight.fit.solution()[i]));
    }
    fmt::print(
        "{:>9} animals, iterated to 1e-8: {:.3f} s CPU, {} iterations; to 1e-12: {:.3f} s, {}; "
        "{:.0f} bytes an animal (values differ by {:.1e})\n",
        y.size(), loose.seconds, loose.fit.iterations(), tight.seconds, tight.fit.iterations(),
        static_cast<double>(tight.bytes) / static_cast<double>(y.size()), apart);
    if (n != 100'000) continue;
    const double begin = cpu_seconds();
    const std::vector<double> direct = by_eigen(pedigree, f, y);
    const double seconds = cpu_seconds() - begin;
    double worst = 0.0;
    for (std::size_t i = 0; i < y.size(); ++i) {
      worst = std::max(worst, std::abs(direct[i] - tight.fit.solution()[i]));
    }
    fmt::print(
        "{:>9} animals, Eigen's sparse factor: {:.2f} s CPU, {:.1f}x the run to 1e-12; they differ "
        "by "
        "{:.1e}\n",
        y.size(), seconds, seconds / tight.seconds, worst);
    if (worst > 1e-8) return 1;
  }
  // A closed herd, where everybody is kin of everybody: the hard case for a factor.
  for (const std::uint32_t n : {5'000u, 20'000u}) {
    testing::Dice dice(3);
    const Pedigree pedigree =
        testing::random_pedigree(dice, {.animals = n, .founders = 40, .blank = 5, .reach = 60});
    const std::vector<double> f = inbreeding(pedigree);
    Stream stream(1, "bench.merit");
    std::vector<double> y(n);
    for (double& each : y) each = 18.0 + 1.7 * stream.normal();
    const Timed exact = timed(pedigree, f, y, {});
    fmt::print("{:>9} animals of a closed herd, with every reliability: {:.3f} s CPU ({})\n", n,
               exact.seconds, exact.fit.method() == MeritMethod::exact ? "exact" : "iterated");
  }
}
