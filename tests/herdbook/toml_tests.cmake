# SPDX-License-Identifier: MIT
# Tests of the TOML side of the herd book, for the list of this folder.
set(toml_tests
  test_books.cpp
  test_start.cpp
  test_toml_built_in.cpp
  test_toml_faults.cpp
  test_toml_form.cpp
  test_toml_season.cpp
  test_toml_traits.cpp)
