// SPDX-License-Identifier: MIT
#include "birth_litters.hpp"

#include <algorithm>
#include <map>
#include <string_view>

namespace doewright {

namespace {

constexpr std::int32_t days_of_one_litter = 2;

bool may_meet(PartialDate a, PartialDate b) {
  return a.earliest() <= b.latest() && b.earliest() <= a.latest();
}

/// Litters of one dam's kids.
class LittersOfDam {
 public:
  LittersOfDam(const Herd& herd, const std::vector<std::uint32_t>& kiddings, BirthLitters& result)
      : herd_(herd), kiddings_(kiddings), result_(result) {}

  void sort(std::vector<Animal> kids) {
    // Named litters first, then births known to the day, then months and years.
    const auto rank = [&](Animal kid) {
      const PartialDate born = herd_.animals.born[kid.position];
      if (!herd_.animals.litter[kid].empty()) return 0;
      if (!born.known()) return 4;
      return born.to_the_day() ? 1 : born.month() != 0 ? 2 : 3;
    };
    std::stable_sort(kids.begin(), kids.end(), [&](Animal a, Animal b) {
      return std::pair(rank(a), herd_.animals.born[a.position]) <
             std::pair(rank(b), herd_.animals.born[b.position]);
    });
    for (const Animal kid : kids) {
      switch (rank(kid)) {
        case 0:
          place(kid, named(herd_.animals.litter[kid]));
          break;
        case 1:
          place(kid, by_day(herd_.animals.born[kid.position]));
          break;
        case 4:
          break;  // alone, and of nobody knows how many
        default:
          place(kid, by_part(herd_.animals.born[kid.position]));
      }
    }
    for (Litter& litter : litters_) say_kids(litter);
  }

 private:
  struct Litter {
    std::string_view name;
    PartialDate born;
    std::vector<Animal> kids;
  };

  void place(Animal kid, std::optional<std::size_t> at) {
    const PartialDate born = herd_.animals.born[kid.position];
    if (!at) {
      at = litters_.size();
      litters_.push_back({herd_.animals.litter[kid], born, {}});
    }
    Litter& litter = litters_[*at];
    if (!litter.born.known() || (born.to_the_day() && !litter.born.to_the_day()))
      litter.born = born;
    litter.kids.push_back(kid);
  }

  std::optional<std::size_t> named(std::string_view name) const {
    for (std::size_t i = 0; i < litters_.size(); ++i) {
      if (litters_[i].name == name) return i;
    }
    return std::nullopt;
  }

  std::optional<std::size_t> by_day(PartialDate born) const {
    for (std::size_t i = litters_.size(); i-- > 0;) {
      const Litter& litter = litters_[i];
      if (litter.name.empty() && litter.born.to_the_day() &&
          born.earliest() - litter.born.earliest() <= days_of_one_litter) {
        return i;
      }
    }
    return std::nullopt;
  }

  /// The one litter it can be of, if the dam kidded at most once that year as far as the book
  /// knows.
  std::optional<std::size_t> by_part(PartialDate born) const {
    const auto that_year = std::count_if(kiddings_.begin(), kiddings_.end(), [&](std::uint32_t k) {
      return herd_.kiddings[k].date.known() && herd_.kiddings[k].date.year() == born.year();
    });
    if (that_year > 1) return std::nullopt;
    std::optional<std::size_t> found;
    for (std::size_t i = 0; i < litters_.size(); ++i) {
      const Litter& litter = litters_[i];
      if (!litter.name.empty() || litter.born.year() != born.year()) continue;
      if (!may_meet(litter.born, born)) continue;
      if (found) return std::nullopt;
      found = i;
    }
    return found;
  }

  /// kids_born of the one kidding that it can have been, else the mates in the book.
  void say_kids(const Litter& litter) {
    std::optional<std::uint32_t> kids;
    std::size_t matches = 0;
    for (const std::uint32_t k : kiddings_) {
      const Kidding& kidding = herd_.kiddings[k];
      if (!kidding.date.known() || !litter.born.known()) continue;
      const bool both_days = kidding.date.to_the_day() && litter.born.to_the_day();
      const std::int32_t apart = kidding.date.earliest() - litter.born.earliest();
      const bool matching = both_days ? apart >= -days_of_one_litter && apart <= days_of_one_litter
                                      : may_meet(kidding.date, litter.born);
      if (!matching) continue;
      ++matches;
      if (kidding.kids_born) kids = static_cast<std::uint32_t>(*kidding.kids_born);
    }
    if (matches != 1 || !kids) kids = static_cast<std::uint32_t>(litter.kids.size());
    for (const Animal kid : litter.kids) {
      result_.litter_of[kid.position] = result_.litters;
      result_.kids[kid.position] = kids;
    }
    ++result_.litters;
  }

  const Herd& herd_;
  const std::vector<std::uint32_t>& kiddings_;
  BirthLitters& result_;
  std::vector<Litter> litters_;
};

}  // namespace

BirthLitters birth_litters(const Herd& herd) {
  const auto animals = static_cast<std::uint32_t>(herd.pedigree.size());
  BirthLitters result;
  const auto alone = static_cast<std::uint32_t>(-1);
  result.litter_of.assign(animals, alone);
  result.kids.resize(animals);
  std::map<std::uint32_t, std::vector<Animal>> kids_of;
  for (std::uint32_t i = 0; i < animals; ++i) {
    const std::uint32_t dam = herd.pedigree.dam_slots()[i];
    if (dam != Pedigree::none) kids_of[dam].push_back(Animal{i});
  }
  std::map<std::uint32_t, std::vector<std::uint32_t>> kiddings_of;
  for (std::uint32_t k = 0; k < herd.kiddings.size(); ++k) {
    kiddings_of[herd.kiddings[k].doe.position].push_back(k);
  }
  for (auto& [dam, kids] : kids_of) {
    LittersOfDam(herd, kiddings_of[dam], result).sort(std::move(kids));
  }
  for (std::uint32_t& litter : result.litter_of) {
    if (litter == alone) litter = result.litters++;
  }
  return result;
}

}  // namespace doewright
