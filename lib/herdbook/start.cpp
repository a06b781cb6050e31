// SPDX-License-Identifier: MIT
#include <doewright/herdbook/start.hpp>

#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <memory>
#include <string_view>
#include <system_error>
#include <utility>
#include <vector>

#include <fmt/core.h>

#include <doewright/core/errors.hpp>
#include <doewright/herdbook/built_in.hpp>

#include "starter_files.hpp"

namespace doewright {
namespace {

namespace fs = std::filesystem;

std::vector<StarterFile> all_files() {
  const auto shown = starter_files();
  std::vector<StarterFile> files(shown.begin(), shown.end());
  files.push_back({"faults.toml", built_in_faults_toml()});
  files.push_back({"traits.toml", built_in_traits_toml()});
  return files;
}

/// What was made so far; taken away again unless it is kept.
class Made {
 public:
  Made() = default;
  Made(const Made&) = delete;
  Made& operator=(const Made&) = delete;
  ~Made() {
    std::error_code ignored;
    for (auto path = paths_.rbegin(); path != paths_.rend(); ++path) fs::remove(*path, ignored);
  }
  void add(fs::path path) { paths_.push_back(std::move(path)); }
  void keep() noexcept { paths_.clear(); }

 private:
  std::vector<fs::path> paths_;
};

/// The folder and those above it that are missing, outermost first.
void make_folders(const fs::path& folder, Made& made) {
  if (folder.empty() || fs::is_directory(folder)) return;
  make_folders(folder.parent_path(), made);
  std::error_code error;
  if (fs::create_directory(folder, error)) made.add(folder);
  if (error || !fs::is_directory(folder)) {
    throw FileError(fmt::format("the folder {} cannot be made: {}", folder.string(),
                                error ? error.message() : "something else has that name"));
  }
}

void write_new_file(const fs::path& path, std::string_view text, Made& made) {
  // "x": only if there is no such file, even if somebody makes it this very moment.
  std::unique_ptr<std::FILE, int (*)(std::FILE*)> file(std::fopen(path.c_str(), "wbx"),
                                                       &std::fclose);
  if (!file) {
    throw FileError(fmt::format("{} cannot be written: {}", path.string(),
                                std::generic_category().message(errno)));
  }
  made.add(path);
  const bool whole = std::fwrite(text.data(), 1, text.size(), file.get()) == text.size();
  if (std::fclose(file.release()) != 0 || !whole) {
    throw FileError(
        fmt::format("{} could not be written to the end: is the disk full?", path.string()));
  }
}

}  // namespace

void write_starter_book(const std::string& folder) {
  const fs::path place = fs::path(folder).lexically_normal() / "";
  const fs::path home = place.parent_path();
  const std::vector<StarterFile> files = all_files();
  for (const StarterFile& file : files) {
    std::error_code error;
    if (fs::exists(fs::symlink_status(home / file.name, error))) {
      throw FileError(fmt::format("{} is already there; nothing was written: choose another folder",
                                  (home / file.name).string()));
    }
  }
  Made made;
  make_folders(home, made);
  for (const StarterFile& file : files) write_new_file(home / file.name, file.text, made);
  made.keep();
}

}  // namespace doewright
