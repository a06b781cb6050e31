// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <atomic>
#include <stdexcept>
#include <string>
#include <vector>

#include <doewright/core/errors.hpp>
#include <doewright/core/run.hpp>

using namespace doewright;

TEST_CASE("blocks cover every item once, the same blocks for any number of threads") {
  for (const unsigned threads : {0u, 1u, 2u, 3u, 8u}) {
    for (const std::size_t count : {0u, 1u, 6u, 7u, 8u, 1000u}) {
      Run run;
      run.threads = threads;
      std::vector<int> times(count);
      std::vector<std::size_t> begins(count);
      parallel_blocks(count, 7, run, [&](std::size_t begin, std::size_t end) {
        for (std::size_t i = begin; i < end; ++i) {
          ++times[i];
          begins[i] = begin;
        }
      });
      for (std::size_t i = 0; i < count; ++i) {
        CHECK(times[i] == 1);
        CHECK(begins[i] == i / 7 * 7);
      }
    }
  }
}

TEST_CASE("sums made inside blocks are the same to the bit for any number of threads") {
  const auto sum_with = [](unsigned threads) {
    Run run;
    run.threads = threads;
    constexpr std::size_t count = 10000, block = 64;
    std::vector<double> sums(count / block + 1);
    parallel_blocks(count, block, run, [&](std::size_t begin, std::size_t end) {
      for (std::size_t i = begin; i < end; ++i)
        sums[begin / block] += 1.0 / static_cast<double>(i + 1);
    });
    double total = 0.0;
    for (const double sum : sums) total += sum;
    return total;
  };
  const double one = sum_with(1);
  CHECK(one ==
        doctest::Approx(9.787606036044382));  // harmonic number H(10000); OEIS A001008/A002805
  for (const unsigned threads : {2u, 3u, 5u}) CHECK(sum_with(threads) == one);
}

TEST_CASE("the exception of the lowest block is thrown on") {
  for (const unsigned threads : {1u, 2u, 4u}) {
    Run run;
    run.threads = threads;
    // All blocks from the third on fail: the third is handed out before them, so it always runs.
    std::string text;
    try {
      parallel_blocks(100, 1, run, [](std::size_t begin, std::size_t) {
        if (begin >= 3) throw std::runtime_error("block " + std::to_string(begin));
      });
    } catch (const std::runtime_error& error) {
      text = error.what();
    }
    CHECK(text == "block 3");
  }
}

TEST_CASE("a stop is heard before the next block") {
  std::stop_source source;
  Run run;
  run.stop = source.get_token();
  CHECK_NOTHROW(throw_if_stopped(run));
  int blocks = 0;
  CHECK_THROWS_AS(parallel_blocks(100, 1, run,
                                  [&](std::size_t, std::size_t) {
                                    if (++blocks == 5) source.request_stop();
                                  }),
                  Cancelled);
  CHECK(blocks == 5);
  CHECK_THROWS_AS(throw_if_stopped(run), Cancelled);
}

TEST_CASE("too much memory is refused with both sums") {
  Run run;
  CHECK_NOTHROW(throw_if_too_big(run, std::size_t{1} << 60, "everything"));  // no limit
  run.memory_limit = 2'000'000;
  CHECK_NOTHROW(throw_if_too_big(run, 2'000'000, "a table"));
  std::string text;
  try {
    throw_if_too_big(run, 5'000'000, "a table");
  } catch (const LimitError& error) {
    text = error.what();
  }
  CHECK(text.find("a table needs about 5 MB and 2 MB are allowed") == 0);
}

TEST_CASE("a block of no items is the caller's mistake") {
  CHECK_THROWS_AS(parallel_blocks(3, 0, {}, [](std::size_t, std::size_t) {}), UsageError);
}
