// SPDX-License-Identifier: MIT
// Turns endings into exit statuses. Everything else is elsewhere.
#include <unistd.h>

#include <atomic>
#include <chrono>
#include <condition_variable>
#include <csignal>
#include <cstdio>
#include <ctime>
#include <mutex>
#include <new>
#include <stop_token>
#include <thread>

#include <doewright/core/errors.hpp>
#include <doewright/core/text.hpp>

#include "output.hpp"
#include "session.hpp"

namespace {

std::atomic<int> interrupts = 0;
static_assert(std::atomic<int>::is_always_lock_free);

extern "C" void on_interrupt(int) {
  if (++interrupts > 1) _exit(status_interrupted);
}

/// A signal handler may do next to nothing, so a thread watches the count and asks the work to
/// stop.
class InterruptWatch {
 public:
  InterruptWatch() {
    struct sigaction action = {};
    action.sa_handler = on_interrupt;
    sigaction(SIGINT, &action, nullptr);
    sigaction(SIGTERM, &action, nullptr);
    std::signal(SIGPIPE, SIG_IGN);
  }
  std::stop_token token() const { return source_.get_token(); }

 private:
  std::stop_source source_;
  std::mutex mutex_;
  std::condition_variable_any wake_;  // so that the end of the run need not wait for the next look
  std::jthread thread_{[this](const std::stop_token& ended) {
    std::unique_lock lock(mutex_);
    while (!ended.stop_requested()) {
      if (interrupts > 0) {
        source_.request_stop();
        return;
      }
      wake_.wait_for(lock, ended, std::chrono::milliseconds(10), [] { return interrupts > 0; });
    }
  }};
};

doewright::Date today() {
  const std::time_t now = std::time(nullptr);
  std::tm parts = {};
  localtime_r(&now, &parts);
  return doewright::date_of(parts.tm_year + 1900, static_cast<unsigned>(parts.tm_mon + 1),
                            static_cast<unsigned>(parts.tm_mday))
      .value_or(doewright::Date{});
}

Status run_command(const CommandLine& line, std::stop_token stop) {
  Session session(line, std::move(stop), today());
  switch (line.command) {
    case CommandLine::Command::check:
      return run_check(session);
    case CommandLine::Command::does:
      return run_does(session);
    case CommandLine::Command::inbreeding:
      return run_inbreeding(session);
    case CommandLine::Command::keep:
      return run_keep(session);
    case CommandLine::Command::kin:
      return run_kin(session);
    case CommandLine::Command::faults:
      return run_faults(session);
    case CommandLine::Command::merit:
      return run_merit(session);
    case CommandLine::Command::owner:
      return run_owner(session);
    case CommandLine::Command::pedigree:
      return run_pedigree(session);
    case CommandLine::Command::plan:
      return run_plan(session);
    case CommandLine::Command::rank:
      return run_rank(session);
    case CommandLine::Command::sire:
      return run_sire(session);
    case CommandLine::Command::whose:
      return run_whose(session);
    case CommandLine::Command::stay:
      return run_stay(session);
    case CommandLine::Command::calendar:
      return run_calendar(session);
    case CommandLine::Command::start:
      return run_start(session);
    case CommandLine::Command::none:
      return status_done;
  }
  return status_our_mistake;
}

int end(Status status, const char* message) {
  std::fprintf(stderr, "doewright: %s\n", message);
  return status;
}

}  // namespace

int main(int argc, char** argv) {
  try {
    const std::optional<CommandLine> line = parse_command_line(argc, argv);
    if (!line) return status_done;
    InterruptWatch watch;
    return run_command(*line, watch.token());
  } catch (const Ending& ending) {
    return end(ending.status, ending.message.c_str());
  } catch (const PipeClosed&) {
    return status_done;
  } catch (const doewright::Cancelled&) {
    return end(status_interrupted, "interrupted");
  } catch (const doewright::FileError& error) {
    return end(status_outside_failed, error.what());
  } catch (const doewright::LimitError& error) {
    return end(status_outside_failed, error.what());
  } catch (const std::bad_alloc&) {
    return end(status_outside_failed, "out of memory");
  } catch (const std::exception& error) {
    return end(status_our_mistake,
               (std::string("our own mistake, please report it: ") + error.what()).c_str());
  }
}
