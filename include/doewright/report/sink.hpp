// SPDX-License-Identifier: MIT
#pragma once
/// Where a report goes, piece by piece: memory does not grow with its length.
#include <string>
#include <string_view>

#include <doewright/export.hpp>

namespace doewright {

class DOEWRIGHT_EXPORT Sink {
 public:
  Sink() = default;
  Sink(const Sink&) = delete;
  Sink& operator=(const Sink&) = delete;
  virtual ~Sink();
  virtual void write(std::string_view text) = 0;
};

/// Keeps everything in memory: for tests and small documents.
class DOEWRIGHT_EXPORT StringSink final : public Sink {
 public:
  ~StringSink() override;
  void write(std::string_view text) override { text_ += text; }
  const std::string& text() const noexcept { return text_; }

 private:
  std::string text_;
};

}  // namespace doewright
