// SPDX-License-Identifier: MIT
#pragma once
/// A first herd book to fill in.
#include <string>

#include <doewright/export.hpp>

namespace doewright {

/// Writes a starter herd book: every table with its header row and a few invented animals that show
/// the form, commented settings with all their defaults, the built-in faults and traits in full,
/// and a README.txt that explains the columns. It passes `check` without errors.
///
/// The folder is made if it is not there. Nothing is ever overwritten, and if one file cannot be
/// written, those written before it are removed again.
/// \throws FileError  one of the files is already there (the text says which), or the folder or a
/// file
///                    cannot be written.
DOEWRIGHT_EXPORT void write_starter_book(const std::string& folder);

}  // namespace doewright
