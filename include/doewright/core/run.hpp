// SPDX-License-Identifier: MIT
#pragma once
/// How a long piece of work may run: threads, memory, a way to stop it, a way to watch it.
#include <cstddef>
#include <functional>
#include <stop_token>
#include <string_view>

#include <doewright/export.hpp>

namespace doewright {

/// Last parameter of whatever may take longer than a tenth of a second. The result never depends on
/// it: same build, same input, same bytes, for any number of threads.
struct Run {
  unsigned threads = 1;          ///< At least 1.
  std::size_t memory_limit = 0;  ///< Bytes; 0: no limit. Big functions estimate first (LimitError).
  std::stop_token stop;          ///< Looked at every few milliseconds; then Cancelled is thrown.
  /// Called from one thread, at most ten times a second; `done` is in 0..1. May be empty.
  std::function<void(std::string_view task, double done)> progress;
};

/// Throws Cancelled if `run.stop` was asked for.
DOEWRIGHT_EXPORT void throw_if_stopped(const Run& run);

/// Throws LimitError if `bytes` for `task` would pass `run.memory_limit`; the text says both sums.
DOEWRIGHT_EXPORT void throw_if_too_big(const Run& run, std::size_t bytes, std::string_view task);

/// Calls `work(begin, end)` for consecutive blocks of [0, count), each of `block` items but the last,
/// on up to `run.threads` threads. Which block an item falls into depends on `block` alone, so sums
/// made inside a block are the same for any number of threads. The first exception thrown by
/// `work` (lowest block) is thrown on. \pre block >= 1.
DOEWRIGHT_EXPORT void parallel_blocks(
    std::size_t count, std::size_t block, const Run& run,
    const std::function<void(std::size_t begin, std::size_t end)>& work);

}  // namespace doewright
