# SPDX-License-Identifier: MIT
# Warnings for our own code; errors only where asked for (presets, CI).
function(doewright_warnings target)
  target_compile_options(${target} PRIVATE
    -Wall -Wextra -Wpedantic -Wconversion -Wsign-conversion -Wshadow -Wnon-virtual-dtor
    -Wold-style-cast -Woverloaded-virtual -Wimplicit-fallthrough
    $<$<BOOL:${DOEWRIGHT_WARNINGS_AS_ERRORS}>:-Werror>)
endfunction()
