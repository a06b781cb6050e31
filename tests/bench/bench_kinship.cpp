// SPDX-License-Identifier: MIT
// Inbreeding of every animal: time and memory an animal as the pedigree grows, beside Meuwissen and
// Luo (1992), the textbook method, in the same run and after a check that both agree.
//
//   bench_kinship [largest]      pedigrees of 10^4, 10^5, ... up to `largest` (default 10^6)
//   animals
#include <malloc.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <new>
#include <random>
#include <string>
#include <vector>

#include <fmt/format.h>

#include <doewright/kinship/inbreeding.hpp>
#include <doewright/kinship/kinship.hpp>

#include "bench/herds_pedigree.hpp"
#include "kinship/twins.hpp"

using namespace doewright;
using doewright::testing::herds;

namespace {

double seconds_since(std::chrono::steady_clock::time_point begin) {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
}

/// The shortest of `times` runs: what is left when the rest of the machine is quiet.
template <class Call>
double shortest(int times, Call&& call) {
  double best = 1e300;
  for (int i = 0; i < times; ++i) {
    const auto begin = std::chrono::steady_clock::now();
    call();
    best = std::min(best, seconds_since(begin));
  }
  return best;
}

std::atomic<std::size_t> bytes_now{0}, bytes_most{0};

/// Bytes that a call holds at most, beyond what was held before it.
class Bytes {
 public:
  Bytes() : before_(bytes_now) { bytes_most = before_; }
  std::size_t most() const { return bytes_most - before_; }

 private:
  std::size_t before_;
};

/// A herd of few does as a keeper has it: sires of the last years, one kid in `unsure` of a hundred
/// from one of two bucks, one parent in twenty not known.
Pedigree one_herd(std::uint32_t animals, std::uint32_t unsure) {
  doewright::testing::Dice dice(3);
  return doewright::testing::random_pedigree(dice, {.animals = animals,
                                                    .founders = 40,
                                                    .blank = 5,
                                                    .unsure = unsure,
                                                    .most_unsure = animals,
                                                    .reach = 20});
}

void time_kids(std::uint32_t animals, std::uint32_t unsure, std::size_t sires, std::size_t does) {
  const Pedigree pedigree = one_herd(animals, unsure);
  std::vector<Animal> bucks, mates;
  for (std::uint32_t i = animals; bucks.size() < sires; i -= 2)
    bucks.push_back(Animal{(i - 2) & ~1u});
  for (std::uint32_t i = animals; mates.size() < does; i -= 2)
    mates.push_back(Animal{(i - 2) | 1u});
  const Kinship kinship(pedigree);
  const auto begin = std::chrono::steady_clock::now();
  const auto grid = kinship.kids(bucks, mates);
  double worst = 0.0;
  std::size_t not_all = 0;
  for (const KidInbreeding& kid : grid.cells) {
    worst = std::max(worst, kid.worst);
    not_all += kid.worst_all_settled ? 0 : 1;
  }
  fmt::print(
      "kids() of {} x {} in a book of {} with {} unsure sires: {:.4f} s (largest worst {:.4f}; "
      "{} pairs not settled all at once)\n",
      sires, does, animals, pedigree.stand_ins(), seconds_since(begin), worst, not_all);
}

Pedigree line(std::size_t animals) {
  std::vector<std::uint32_t> sires(animals, Pedigree::none), dams(animals, Pedigree::none);
  for (std::uint32_t i = 1; i < animals; ++i) sires[i] = i - 1;
  return Pedigree(std::move(sires), std::move(dams));
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
  fmt::print("{:<18}{:>10}{:>12}{:>14}{:>14}{:>16}\n", "pedigree", "animals", "seconds",
             "us an animal", "ratio to M&L", "bytes an animal");
  for (std::size_t n = 10'000; n <= largest; n *= 10) {
    const Pedigree pedigree = herds(n, 1);
    const Bytes bytes;
    const std::vector<double> f = inbreeding(pedigree);
    const std::size_t most = bytes.most();
    const int times = n <= 100'000 ? 7 : 3;
    const double ours = shortest(times, [&] { inbreeding(pedigree); });
    std::string ratio = "not run";
    if (n <= 100'000) {
      const std::vector<double> textbook = doewright::testing::meuwissen_luo(pedigree);
      const double theirs = shortest(times, [&] { doewright::testing::meuwissen_luo(pedigree); });
      for (std::size_t i = 0; i < f.size(); ++i) {
        if (std::abs(f[i] - textbook[i]) > 1e-12) {
          fmt::print("animal {}: {} and {} differ\n", i, f[i], textbook[i]);
          return 1;
        }
      }
      ratio = fmt::format("{:.0f}x", theirs / ours);
    }
    fmt::print("{:<18}{:>10}{:>12.4f}{:>14.3f}{:>14}{:>16.0f}\n", "herds", pedigree.size(), ours,
               1e6 * ours / static_cast<double>(pedigree.size()), ratio,
               static_cast<double>(most) / static_cast<double>(pedigree.size()));
  }
  for (std::size_t n = 10'000; n <= largest; n *= 10) {
    const Pedigree pedigree = line(n);
    const std::vector<double> f = inbreeding(pedigree);
    const double ours = shortest(3, [&] { inbreeding(pedigree); });
    fmt::print("{:<18}{:>10}{:>12.4f}{:>14.3f}{:>14}{:>16}\n", "one line", n, ours,
               1e6 * ours / static_cast<double>(n), f.back() == 0.0 ? "" : "wrong", "");
  }
  // A pair in the largest book: what `kin` works out after reading.
  const Pedigree pedigree = herds(largest, 1);
  auto begin = std::chrono::steady_clock::now();
  const Kinship kinship(pedigree);
  fmt::print("Kinship of {} animals set up in {:.4f} s\n", pedigree.size(), seconds_since(begin));
  const Animal a{static_cast<std::uint32_t>(pedigree.size() - 1)},
      b{static_cast<std::uint32_t>(pedigree.size() - 50)};
  begin = std::chrono::steady_clock::now();
  const Why why = kinship.why(a, b);
  fmt::print("why of a pair: {:.4f} s, kinship {:.6f}, {} paths\n", seconds_since(begin),
             why.kinship, why.paths_total);
  begin = std::chrono::steady_clock::now();
  const KidInbreeding kid = kinship.kid_of(a, b);
  fmt::print("four readings of a pair: {:.4f} s, worst {:.6f}\n", seconds_since(begin), kid.worst);

  time_kids(500, 0, 60, 40);
  time_kids(500, 2, 60, 40);
  time_kids(500, 5, 20, 20);
  const Pedigree unsure = one_herd(static_cast<std::uint32_t>(largest), 1);
  begin = std::chrono::steady_clock::now();
  const Kinship of_unsure(unsure);
  fmt::print("Kinship of {} animals, {} unsure sires set up in {:.4f} s\n", unsure.size(),
             unsure.stand_ins(), seconds_since(begin));
}
