// SPDX-License-Identifier: MIT
#include <doewright/herd/season.hpp>

namespace doewright {

std::string_view word(KidsFor kids_for) noexcept {
  switch (kids_for) {
    case KidsFor::either:
      return "either";
    case KidsFor::keep:
      return "keep";
    case KidsFor::meat:
      return "meat";
  }
  return "";
}

std::string_view word(Decision decision) noexcept {
  switch (decision) {
    case Decision::none:
      return "";
    case Decision::go:
      return "go";
    case Decision::wait:
      return "wait";
    case Decision::no:
      return "no";
  }
  return "";
}

std::string_view word(Terms terms) noexcept {
  switch (terms) {
    case Terms::unknown:
      return "";
    case Terms::own:
      return "own";
    case Terms::hired:
      return "hired";
    case Terms::visit:
      return "visit";
    case Terms::semen:
      return "semen";
  }
  return "";
}

std::string_view word(SemenKind kind) noexcept {
  switch (kind) {
    case SemenKind::unknown:
      return "";
    case SemenKind::fresh:
      return "fresh";
    case SemenKind::frozen:
      return "frozen";
    case SemenKind::surgical:
      return "surgical";
  }
  return "";
}

std::string_view word(Verdict verdict) noexcept {
  switch (verdict) {
    case Verdict::go:
      return "go";
    case Verdict::caution:
      return "caution";
    case Verdict::avoid:
      return "avoid";
  }
  return "";
}

const Fate& Season::fate(KidsFor kids_for) const noexcept {
  switch (kids_for) {
    case KidsFor::keep:
      return fate_keep;
    case KidsFor::meat:
      return fate_meat;
    case KidsFor::either:
      break;
  }
  return fate_either;
}

const ThreeLimits& Season::inbreeding_limits(KidsFor kids_for) const noexcept {
  return kids_for == KidsFor::meat ? limits.meat : limits.keep;
}

}  // namespace doewright
