// SPDX-License-Identifier: MIT
#pragma once
/// The keeper's files become a Herd, and everything that is wrong with them is said at once.
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <doewright/core/date.hpp>
#include <doewright/core/errors.hpp>
#include <doewright/core/problem.hpp>
#include <doewright/core/run.hpp>
#include <doewright/export.hpp>
#include <doewright/herd/herd.hpp>

namespace doewright {

struct ReadOptions {
  /// "As of" given by hand (--as-of); wins over season.toml. Rows dated after it are left out, with
  /// one warning and their count.
  std::optional<Date> as_of;
  /// Today, where neither says: an argument, no clock is read.
  Date today;
  /// A record named in an error is read as unknown instead of stopping everything.
  bool set_aside = false;
  /// Warnings count as errors.
  bool strict = false;
  /// Where does.csv or sires.csv is missing: put forward every living doe of the own herd that is
  /// of age, and offer every living buck; each said as a warning.
  bool fill_lists = false;
  /// Also look for likenesses (check): costs time and memory in big books.
  bool questions = false;
};

struct HerdBook {
  /// Nothing if a problem is an error (unless set aside, as far as that is possible).
  std::shared_ptr<const Herd> herd;
  /// All of them: by file (order of the Table enum), then line, column, code. At most 10,000 a code
  /// and file are kept; the totals below count all.
  std::vector<Problem> problems;
  std::uint64_t errors_total = 0, warnings_total = 0, questions_total = 0;
  Date as_of;  ///< The day it was read for.
  /// Errors whose records were read as unknown (set_aside).
  std::uint64_t set_aside = 0;
  bool repairable() const noexcept { return herd != nullptr; }
};

/// Reads a folder, or a lone animals.csv; "-" is standard input as a lone animals.csv, called
/// `<stdin>`. \throws FileError if the path is there and cannot be read; NotFound if it is not
/// there. Cost: one pass over the files; about 100 bytes an animal beside the texts.
DOEWRIGHT_EXPORT HerdBook read_herd_book(const std::string& path, const ReadOptions& options,
                                         const Run& run = {});

/// HERD is not there.
class DOEWRIGHT_EXPORT NotFound : public Error {
 public:
  using Error::Error;
  ~NotFound() override;
};

}  // namespace doewright
