// SPDX-License-Identifier: MIT
#include <doewright/core/errors.hpp>

namespace doewright {

// Out of line, so that each class has one home and can be caught across shared libraries.
Error::~Error() = default;
UsageError::~UsageError() = default;
LimitError::~LimitError() = default;
Cancelled::~Cancelled() = default;
FileError::~FileError() = default;

}  // namespace doewright
