// SPDX-License-Identifier: MIT
#pragma once
#include <cstddef>
#include <vector>

namespace doewright {

/// A table in row-major order. Its rows and columns are the caller's two lists.
template <class T>
struct Grid {
  std::size_t rows = 0;
  std::size_t columns = 0;
  std::vector<T> cells;

  Grid() = default;
  Grid(std::size_t row_count, std::size_t column_count, const T& value = T{})
      : rows(row_count), columns(column_count), cells(row_count * column_count, value) {}

  const T& operator()(std::size_t row, std::size_t column) const {
    return cells[row * columns + column];
  }
  T& operator()(std::size_t row, std::size_t column) { return cells[row * columns + column]; }
};

}  // namespace doewright
