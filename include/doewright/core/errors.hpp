// SPDX-License-Identifier: MIT
#pragma once
/// What can go wrong, three kinds, never mixed: the keeper's data (values: `Problem`), the caller's
/// mistake (`UsageError`), and "we do not know" (`std::optional`, which is no error).
#include <stdexcept>

#include <doewright/export.hpp>

namespace doewright {

/// Base of every exception the library throws on purpose. (std::bad_alloc passes through.)
class DOEWRIGHT_EXPORT Error : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
  ~Error() override;
};

/// The caller broke a promise of a header: a position beyond the pedigree, an empty list where one
/// is needed. Checked in every build.
class DOEWRIGHT_EXPORT UsageError : public Error {
 public:
  using Error::Error;
  ~UsageError() override;
};

/// The work needs more memory than `Run::memory_limit` allows; the text says how much and what to do.
class DOEWRIGHT_EXPORT LimitError : public Error {
 public:
  using Error::Error;
  ~LimitError() override;
};

/// `Run::stop` asked for it. Nothing half-done is left behind.
class DOEWRIGHT_EXPORT Cancelled : public Error {
 public:
  Cancelled() : Error("stopped on request") {}
  ~Cancelled() override;
};

/// A file exists but cannot be read, or output cannot be written.
class DOEWRIGHT_EXPORT FileError : public Error {
 public:
  using Error::Error;
  ~FileError() override;
};

}  // namespace doewright
