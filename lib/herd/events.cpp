// SPDX-License-Identifier: MIT
#include <doewright/herd/events.hpp>

namespace doewright {

std::string_view word(ServiceHow how) noexcept {
  switch (how) {
    case ServiceHow::unknown:
      return "";
    case ServiceHow::seen:
      return "seen";
    case ServiceHow::pen:
      return "pen";
    case ServiceHow::visit:
      return "visit";
    case ServiceHow::semen:
      return "semen";
  }
  return "";
}

std::string_view word(PregnancyResult result) noexcept {
  switch (result) {
    case PregnancyResult::in_kid:
      return "in kid";
    case PregnancyResult::empty:
      return "empty";
    case PregnancyResult::unclear:
      return "unclear";
  }
  return "";
}

std::string_view word(PregnancyHow how) noexcept {
  switch (how) {
    case PregnancyHow::unknown:
      return "";
    case PregnancyHow::scan:
      return "scan";
    case PregnancyHow::blood:
      return "blood";
    case PregnancyHow::milk:
      return "milk";
    case PregnancyHow::hand:
      return "hand";
  }
  return "";
}

std::string_view word(KiddingHelp help) noexcept {
  switch (help) {
    case KiddingHelp::unknown:
      return "";
    case KiddingHelp::none:
      return "none";
    case KiddingHelp::some:
      return "some";
    case KiddingHelp::hard:
      return "hard";
  }
  return "";
}

}  // namespace doewright
