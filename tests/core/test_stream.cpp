// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <vector>

#include <doewright/core/normal.hpp>
#include <doewright/core/stream.hpp>

using namespace doewright;

TEST_CASE("a stream depends on seed, purpose and index alone") {
  Stream a(7, "genotypes", 3), again(7, "genotypes", 3);
  for (int k = 0; k < 100; ++k) CHECK(a.bits() == again.bits());
  CHECK(Stream(7, "genotypes", 3).bits() != Stream(8, "genotypes", 3).bits());
  CHECK(Stream(7, "genotypes", 3).bits() != Stream(7, "liabilities", 3).bits());
  CHECK(Stream(7, "genotypes", 3).bits() != Stream(7, "genotypes", 4).bits());
}

TEST_CASE("uniform numbers fill 20 bins evenly: chi-square under its 99.9 % point") {
  // 43.82 for 19 degrees of freedom: Fisher and Yates, Statistical Tables, table IV (from memory).
  std::array<int, 20> bins{};
  Stream stream(1, "test of uniform");
  constexpr int draws = 200000;
  for (int k = 0; k < draws; ++k) ++bins[static_cast<std::size_t>(stream.uniform() * 20.0)];
  double chi_square = 0.0;
  for (const int bin : bins) chi_square += (bin - draws / 20.0) * (bin - draws / 20.0) / (draws / 20.0);
  CHECK(chi_square < 43.82);
}

TEST_CASE("below(n) reaches every number and none beyond") {
  std::array<int, 7> seen{};
  Stream stream(2, "test of below");
  for (int k = 0; k < 7000; ++k) ++seen.at(stream.below(7));
  for (const int times : seen) CHECK(times > 800);
}

TEST_CASE("normal numbers have mean 0, variance 1 and no skew, within 5 standard errors") {
  Stream stream(3, "test of normal");
  constexpr int draws = 200000;
  double sum = 0.0, squares = 0.0, cubes = 0.0;
  for (int k = 0; k < draws; ++k) {
    const double x = stream.normal();
    sum += x;
    squares += x * x;
    cubes += x * x * x;
  }
  CHECK(std::abs(sum / draws) < 5.0 / std::sqrt(draws));
  CHECK(std::abs(squares / draws - 1.0) < 5.0 * std::sqrt(2.0 / draws));
  CHECK(std::abs(cubes / draws) < 5.0 * std::sqrt(15.0 / draws));
}

TEST_CASE("the normal distribution: published points") {
  // Wichura (1988), Appl. Stat. 37:477, the test values printed with AS 241.
  CHECK(normal_quantile(0.25) == doctest::Approx(-0.6744897501960817).epsilon(1e-14));
  CHECK(normal_quantile(0.001) == doctest::Approx(-3.090232306167814).epsilon(1e-14));
  CHECK(normal_quantile(1e-20) == doctest::Approx(-9.262340089798408).epsilon(1e-14));
  // Falconer and Mackay, appendix table A: 4 % affected lie above 1.751.
  CHECK(normal_quantile(0.96) == doctest::Approx(1.751).epsilon(3e-4));
  CHECK(normal_below(1.959963984540054) == doctest::Approx(0.975).epsilon(1e-14));
  for (const double p : {1e-12, 0.003, 0.2, 0.5, 0.7, 0.999}) {
    CHECK(normal_below(normal_quantile(p)) == doctest::Approx(p).epsilon(1e-12));
  }
  CHECK(std::isinf(normal_quantile(0.0)));
  CHECK(std::isinf(normal_quantile(1.0)));
}
