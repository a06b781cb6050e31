// SPDX-License-Identifier: MIT
// Wrong on purpose: the layers test must find it. Never compiled.
#include <string>
double number(const std::string& text) { return std::stod(text); }
