// SPDX-License-Identifier: MIT
#pragma once
/// A herd book whose files are in memory.
#include <string>

#include <doewright/herdbook/read.hpp>

#include "file_text.hpp"
#include "side_tables.hpp"

namespace doewright {

struct BookTexts {
  std::string animals_file = "animals.csv";  ///< As it is named in complaints.
  FileText animals;
  BookFiles files;                ///< The others that are there.
  std::vector<Problem> problems;  ///< Found already.
};

HerdBook read_texts(BookTexts texts, const ReadOptions& options, const Run& run = {});

}  // namespace doewright
