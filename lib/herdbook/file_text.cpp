// SPDX-License-Identifier: MIT
#include "file_text.hpp"

#include <fcntl.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <system_error>
#include <utility>

#include <doewright/core/errors.hpp>
#include <doewright/core/text.hpp>
#include <doewright/herdbook/read.hpp>

namespace doewright {

namespace {

constexpr std::size_t worth_mapping = 1 << 20;  // small files are read: a page fault costs more

[[noreturn]] void fail(const std::string& path) {
  const int why = errno;
  if (why == ENOENT || why == ENOTDIR) {
    throw NotFound(printable(path) + ": there is no such file or folder");
  }
  throw FileError(printable(path) + ": cannot be read: " + std::generic_category().message(why));
}

std::string read_all(int file, const std::string& path, std::size_t expected) {
  std::string text;
  text.resize(expected + (1 << 16));
  std::size_t done = 0;
  while (true) {
    if (done == text.size()) text.resize(text.size() * 2);
    const ssize_t count = ::read(file, text.data() + done, text.size() - done);
    if (count < 0 && errno == EINTR) continue;
    if (count < 0) fail(path);
    if (count == 0) break;
    done += static_cast<std::size_t>(count);
  }
  text.resize(done);
  return text;
}

}  // namespace

FileText::FileText(const std::string& path) {
  const bool standard_input = path == "-";
  const int file = standard_input ? STDIN_FILENO : ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
  if (file < 0) fail(path);
  struct stat info = {};
  if (::fstat(file, &info) != 0 || S_ISDIR(info.st_mode)) {
    if (S_ISDIR(info.st_mode)) errno = EISDIR;
    const int why = errno;
    if (!standard_input) ::close(file);
    errno = why;
    fail(path);
  }
  const auto size = static_cast<std::size_t>(S_ISREG(info.st_mode) ? info.st_size : 0);
  try {
    if (S_ISREG(info.st_mode) && !standard_input && size >= worth_mapping) {
      void* mapped = ::mmap(nullptr, size, PROT_READ, MAP_PRIVATE, file, 0);
      if (mapped != MAP_FAILED) {
        mapped_ = mapped;
        length_ = size;
        text_ = {static_cast<const char*>(mapped), size};
      }
    }
    if (mapped_ == nullptr) {
      read_ = read_all(file, path, size);
      text_ = read_;
    }
  } catch (...) {
    if (!standard_input) ::close(file);
    throw;
  }
  if (!standard_input) ::close(file);
}

FileText FileText::of(std::string text) {
  FileText file;
  file.read_ = std::move(text);
  file.text_ = file.read_;
  return file;
}

FileText::FileText(FileText&& other) noexcept {
  *this = std::move(other);
}

FileText& FileText::operator=(FileText&& other) noexcept {
  if (this == &other) return *this;
  release();
  mapped_ = std::exchange(other.mapped_, nullptr);
  length_ = std::exchange(other.length_, 0);
  read_ = std::move(other.read_);
  text_ = mapped_ != nullptr ? std::string_view(static_cast<const char*>(mapped_), length_)
                             : std::string_view(read_);
  other.text_ = {};
  return *this;
}

FileText::~FileText() {
  release();
}

void FileText::release() noexcept {
  if (mapped_ != nullptr) ::munmap(mapped_, length_);
  mapped_ = nullptr;
}

}  // namespace doewright
