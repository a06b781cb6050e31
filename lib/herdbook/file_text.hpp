// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <string_view>

namespace doewright {

/// The whole text of a file, mapped where that is possible and read where not (pipes, standard
/// input). Movable; the text lives as long as this.
class FileText {
 public:
  FileText() = default;
  /// \throws FileError if the file cannot be opened or read, NotFound if there is none. "-" is
  /// standard
  ///         input.
  explicit FileText(const std::string& path);
  /// A text that is in memory already.
  static FileText of(std::string text);
  FileText(FileText&& other) noexcept;
  FileText& operator=(FileText&& other) noexcept;
  ~FileText();

  std::string_view text() const noexcept { return text_; }

 private:
  void release() noexcept;
  std::string_view text_;
  std::string read_;  // if it could not be mapped
  void* mapped_ = nullptr;
  std::size_t length_ = 0;
};

}  // namespace doewright
