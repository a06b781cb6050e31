# SPDX-License-Identifier: MIT
include(CMakeFindDependencyMacro)
find_dependency(fmt 9)  # a static library is linked with it
find_dependency(Threads)
include(${CMAKE_CURRENT_LIST_DIR}/doewright-targets.cmake)
