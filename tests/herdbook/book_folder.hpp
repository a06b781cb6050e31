// SPDX-License-Identifier: MIT
#pragma once
/// A herd book written to a folder of its own, and taken away again.
#include <atomic>
#include <filesystem>
#include <fstream>
#include <string>
#include <string_view>
#include <system_error>

#include <unistd.h>

#include <doewright/herdbook/read.hpp>

namespace doewright {

class BookFolder {
 public:
  BookFolder() : path_(new_path()) { std::filesystem::create_directories(path_); }
  ~BookFolder() {
    std::error_code error;  // a folder left behind is no reason to end a test
    std::filesystem::remove_all(path_, error);
  }
  BookFolder(const BookFolder&) = delete;
  BookFolder& operator=(const BookFolder&) = delete;

  BookFolder& with(std::string_view file, std::string_view text) {
    std::ofstream(path_ / file, std::ios::binary)
        .write(text.data(), static_cast<std::streamsize>(text.size()));
    return *this;
  }

  const std::filesystem::path& path() const noexcept { return path_; }

  HerdBook read(ReadOptions options = {}) const {
    if (options.today == Date{}) options.today = *date_of(2026, 9, 15);
    return read_herd_book(path_.string(), options);
  }

 private:
  static std::filesystem::path new_path() {
    static std::atomic<int> number = 0;
    return std::filesystem::temp_directory_path() /
           ("doewright book " + std::to_string(::getpid()) + " " + std::to_string(++number));
  }

  std::filesystem::path path_;
};

}  // namespace doewright
