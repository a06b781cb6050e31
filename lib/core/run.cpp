// SPDX-License-Identifier: MIT
#include <doewright/core/run.hpp>

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

#include <doewright/core/errors.hpp>
#include <doewright/core/text.hpp>

namespace doewright {

void throw_if_stopped(const Run& run) {
  if (run.stop.stop_requested()) throw Cancelled();
}

void throw_if_too_big(const Run& run, std::size_t bytes, std::string_view task) {
  if (run.memory_limit == 0 || bytes <= run.memory_limit) return;
  const auto megabytes = [](std::size_t count) {
    return fixed(static_cast<double>(count) / 1e6, 0) + " MB";
  };
  throw LimitError(std::string(task) + " needs about " + megabytes(bytes) + " and " +
                   megabytes(run.memory_limit) +
                   " are allowed; allow more memory or ask for fewer animals at once");
}

void parallel_blocks(std::size_t count, std::size_t block, const Run& run,
                     const std::function<void(std::size_t begin, std::size_t end)>& work) {
  if (block == 0) throw UsageError("parallel_blocks: a block needs at least one item");
  if (count == 0) return;
  const std::size_t blocks = (count - 1) / block + 1;
  const std::size_t threads = std::min<std::size_t>(std::max(1u, run.threads), blocks);
  const auto do_block = [&](std::size_t b) {
    throw_if_stopped(run);
    work(b * block, std::min(count, (b + 1) * block));
  };
  if (threads == 1) {
    for (std::size_t b = 0; b < blocks; ++b) do_block(b);
    return;
  }

  std::atomic<std::size_t> next = 0;
  std::mutex mutex;
  std::size_t failed_block =
      blocks;  // the lowest that threw, so that the error is the same each time
  std::exception_ptr failure;
  const auto worker = [&] {
    for (std::size_t b = next++; b < blocks; b = next++) {
      try {
        do_block(b);
      } catch (...) {
        const std::lock_guard lock(mutex);
        if (b < failed_block) {
          failed_block = b;
          failure = std::current_exception();
        }
        next = blocks;
      }
    }
  };
  {
    std::vector<std::jthread> others;
    others.reserve(threads - 1);
    for (std::size_t t = 1; t < threads; ++t) others.emplace_back(worker);
    worker();
  }
  if (failure) std::rethrow_exception(failure);
}

}  // namespace doewright
