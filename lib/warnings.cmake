# SPDX-License-Identifier: MIT
# Warnings for our own code; errors only where asked for (presets, CI).
function(doewright_warnings target)
  target_compile_options(${target} PRIVATE
    -Wall -Wextra -Wpedantic -Wconversion -Wsign-conversion -Wshadow -Wnon-virtual-dtor
    -Wold-style-cast -Woverloaded-virtual -Wimplicit-fallthrough
    # GCC 12 warns falsely about text + std::string (its report 105651).
    $<$<AND:$<CXX_COMPILER_ID:GNU>,$<VERSION_LESS:$<CXX_COMPILER_VERSION>,13>>:-Wno-restrict>
    $<$<BOOL:${DOEWRIGHT_WARNINGS_AS_ERRORS}>:-Werror>)
endfunction()
