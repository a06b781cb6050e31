// SPDX-License-Identifier: MIT
#include "output.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <utility>

#include <fmt/format.h>

#include <doewright/core/errors.hpp>
#include <doewright/core/text.hpp>

namespace {

constexpr std::size_t buffer_size = 1 << 16;

[[noreturn]] void fail(const std::string& path, const char* what) {
  throw doewright::FileError(
      fmt::format("{}: {}: {}", path.empty() ? "standard output" : doewright::printable(path), what,
                  std::strerror(errno)));
}

}  // namespace

Output::Output(std::string path) : path_(std::move(path)) {
  buffer_.reserve(2 * buffer_size);
}

Output::~Output() {
  if (file_ >= 0 && !path_.empty()) ::close(file_);
  if (!temporary_.empty()) ::unlink(temporary_.c_str());
}

void Output::open() {
  if (file_ >= 0) return;
  if (path_.empty()) {
    file_ = STDOUT_FILENO;
    return;
  }
  if (char* real = ::realpath(path_.c_str(), nullptr)) {  // a link stays one: what it names is written
    target_ = real;
    std::free(real);
  } else {
    target_ = path_;
  }
  struct stat there = {};
  if (::stat(target_.c_str(), &there) == 0 && !S_ISREG(there.st_mode) && !S_ISDIR(there.st_mode)) {
    file_ = ::open(target_.c_str(), O_WRONLY | O_CLOEXEC);  // a device or a pipe cannot be put in place
    if (file_ < 0) fail(path_, "cannot be written");
    return;
  }
  // O_EXCL and a name of this process: nobody else's file is ever touched.
  for (unsigned attempt = 0; file_ < 0 && attempt < 100; ++attempt) {
    const std::string name = fmt::format("{}.{}-{}.part", target_, ::getpid(), attempt);
    file_ = ::open(name.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (file_ >= 0) temporary_ = name;
    if (file_ < 0 && errno != EEXIST) fail(path_, "cannot be written");
  }
  if (file_ < 0) fail(path_, "cannot be written");
}

void Output::write(std::string_view text) {
  buffer_ += text;
  if (buffer_.size() >= buffer_size) flush();
}

void Output::flush() {
  open();
  std::size_t done = 0;
  while (done < buffer_.size()) {
    const ssize_t count = ::write(file_, buffer_.data() + done, buffer_.size() - done);
    if (count < 0) {
      if (errno == EINTR) continue;
      if (errno == EPIPE && path_.empty()) throw PipeClosed();
      fail(path_, "cannot be written");
    }
    done += static_cast<std::size_t>(count);
  }
  buffer_.clear();
}

void Output::finish() {
  flush();
  if (path_.empty()) {
    // A full disk may be told only now.
    if (::close(::dup(STDOUT_FILENO)) != 0) fail(path_, "cannot be written");
    return;
  }
  if (::fsync(file_) != 0 && errno != EINVAL) fail(path_, "cannot be written");
  if (::close(std::exchange(file_, -1)) != 0) fail(path_, "cannot be written");
  if (temporary_.empty()) return;
  if (std::rename(temporary_.c_str(), target_.c_str()) != 0) fail(path_, "cannot be put in place");
  temporary_.clear();
}
