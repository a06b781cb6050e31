// SPDX-License-Identifier: MIT
#include <doewright/report/sink.hpp>

namespace doewright {

Sink::~Sink() = default;
StringSink::~StringSink() = default;

}  // namespace doewright
