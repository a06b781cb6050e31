// SPDX-License-Identifier: MIT
#pragma once
/// Output files are whole or absent; a reader that closes the pipe ends the run quietly.
#include <string>
#include <string_view>

#include <doewright/report/sink.hpp>

/// The reader of our standard output went away.
struct PipeClosed {};

class Output final : public doewright::Sink {
 public:
  /// Empty: standard output. Else a temporary file beside `path`, renamed by finish().
  explicit Output(std::string path);
  ~Output() override;  ///< Removes the temporary file unless finished.
  void write(std::string_view text) override;
  /// Flushes, and puts the file in its place. \throws doewright::FileError, PipeClosed.
  void finish();

 private:
  void flush();
  void open();

  std::string path_, target_, temporary_;
  std::string buffer_;
  int file_ = -1;
};
