// SPDX-License-Identifier: MIT
// Runs a fuzzer's entry point on every file of a folder, and on each file cut short, as an ordinary
// test.
#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <vector>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

int main(int argc, char** argv) {
  if (argc != 2) return 2;
  std::vector<std::filesystem::path> files;
  for (const auto& entry : std::filesystem::directory_iterator(argv[1]))
    files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  std::size_t runs = 0;
  for (const auto& file : files) {
    std::ifstream in(file, std::ios::binary);
    const std::vector<char> text{std::istreambuf_iterator<char>(in), {}};
    // Cut at 40 places at most; each piece in a block of its own, so that reading past its end is
    // seen.
    const std::size_t step = text.size() / 40 + 1;
    for (std::size_t size = text.size();; size = size > step ? size - step : 0) {
      const std::vector<std::uint8_t> piece(text.begin(),
                                            text.begin() + static_cast<std::ptrdiff_t>(size));
      LLVMFuzzerTestOneInput(piece.data(), piece.size());
      ++runs;
      if (size == 0) break;
    }
  }
  std::printf("%zu inputs from %zu files\n", runs, files.size());
  return files.empty() ? 1 : 0;
}
