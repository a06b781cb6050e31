// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/herdbook/start.hpp>

#include "session.hpp"

using namespace doewright;

/// `doewright start DIR`: a starter herd book; nothing that is there is ever overwritten.
Status run_start(Session& session) {
  const std::string& folder = session.line().herd;
  try {
    write_starter_book(folder);
  } catch (const FileError&) {
    throw;
  } catch (const UsageError& error) {
    throw Ending{status_wrong_command, error.what()};
  }
  session.answer([&](Sink& out) {
    out.write(
        fmt::format("A starter herd book is in {}. Put your own animals in place of the examples,\n"
                    "then run: doewright check {}\n",
                    printable(folder), printable(folder)));
  });
  return status_done;
}
