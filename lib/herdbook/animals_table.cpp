// SPDX-License-Identifier: MIT
#include "animals_table.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

namespace doewright {

namespace {

enum Column : std::size_t {
  c_id, c_sire, c_dam, c_sex, c_born, c_name, c_breed, c_horns, c_litter, c_left, c_left_why,
  c_owner, c_breeder, c_tags, c_registration, c_also, c_colour, c_note
};

constexpr std::array<ColumnName, 18> columns = {{
    {"id", true}, {"sire"}, {"dam"}, {"sex"}, {"born"}, {"name"}, {"breed"}, {"horns"}, {"litter"},
    {"left"}, {"left_why"}, {"owner"}, {"breeder"}, {"tags"}, {"registration"}, {"also"}, {"colour"},
    {"note"},
}};

constexpr std::array<std::string_view, 8> sex_words = {"doe", "buck", "wether", "intersex",
                                                       "f",   "m",    "female", "male"};
constexpr std::array<Sex, 8> sexes = {Sex::doe, Sex::buck, Sex::wether, Sex::intersex,
                                      Sex::doe, Sex::buck, Sex::doe,    Sex::buck};
constexpr std::array<std::string_view, 2> horn_words = {"horned", "polled"};
constexpr std::array<std::string_view, 4> left_words = {"sold", "died", "slaughtered", "returned"};

/// "3/4" or "0.75"; nothing if it is neither.
std::optional<double> share_of(std::string_view text) {
  const std::size_t bar = text.find('/');
  if (bar == std::string_view::npos) return read_number(text);
  const auto top = read_number(text.substr(0, bar)), bottom = read_number(text.substr(bar + 1));
  if (!top || !bottom || *bottom <= 0.0) return std::nullopt;
  return *top / *bottom;
}

}  // namespace

AnimalsTable::AnimalsTable(std::string_view text, std::string_view file, Date as_of, Future future,
                           PedigreeBuilder& builder,
                           std::unordered_map<std::string, KidFacts>& kids, Complaints& complaints,
                           const Run& run)
    : text_(text), file_(file), as_of_(as_of), future_(future) {
  TableReader table(text, file, Table::animals, columns, &complaints);
  usable_ = table.usable();
  while (table.next()) {
    if ((++rows_ & 0xFFFF) == 0) throw_if_stopped(run);
    read_row(table, builder, kids);
  }
  say_unknown_marks(complaints);
}

/// A row `0,,` may exist; only then is a parent `0` an animal.
bool AnimalsTable::has_id_zero() {
  if (!has_id_zero_) {
    TableReader again(text_, file_, Table::animals, columns, nullptr);
    has_id_zero_ = false;
    while (!*has_id_zero_ && again.next()) has_id_zero_ = again.text(c_id) == "0";
  }
  return *has_id_zero_;
}

std::string AnimalsTable::parent(TableReader& table, std::size_t column) {
  const std::string_view cell = table.text(column);
  if (is_unknown_mark(cell) || (cell == "0" && !has_id_zero())) {
    if (unknown_marks_++ == 0) first_unknown_mark_ = table.row().line;
    return {};
  }
  return std::string(table.id_or_blank(column).value_or(std::string_view()));
}

void AnimalsTable::read_row(TableReader& table, PedigreeBuilder& builder,
                            std::unordered_map<std::string, KidFacts>& kids) {
  const auto id = table.id(c_id);
  if (!id) return;
  table.about(*id);
  const PartialDate born = table.date(c_born, future_, as_of_);
  if (table.of_a_later_day()) {
    ++left_out_;
    return;
  }
  const std::string sire = parent(table, c_sire), dam = parent(table, c_dam);
  builder.add(*id, sire, dam, table.row());

  const auto push = [&](auto& list, std::size_t column, auto value) {
    if (table.has(column)) list.push_back(value);
  };
  const auto sex = table.word(c_sex, sex_words);
  push(sex_, c_sex, sex ? sexes[*sex] : Sex::unknown);
  push(born_, c_born, born);
  const auto horns = table.word(c_horns, horn_words);
  push(horns_, c_horns, horns ? static_cast<Horns>(*horns + 1) : Horns::unknown);
  PartialDate left = table.date(c_left, future_, as_of_);
  bool gone = !table.text(c_left).empty();
  if (left.known() && left.earliest() > as_of_) left = {}, gone = false;  // not gone yet on that day
  const auto why = table.word(c_left_why, left_words);
  push(left_, c_left, left);
  push(left_why_, c_left_why, why ? static_cast<LeftWhy>(*why + 1) : LeftWhy::unknown);
  gone_.push_back(gone || (why.has_value() && table.text(c_left).empty()));
  push(breed_, c_breed, breed_of(table));
  if (table.has(c_owner)) {
    const std::string_view owner = table.text(c_owner);
    const auto [entry, is_new] =
        owner.empty() ? std::pair{owner_numbers_.end(), false}
                      : owner_numbers_.try_emplace(std::string(owner),
                                                   static_cast<std::uint32_t>(owners_.size()));
    if (is_new) owners_.emplace_back(owner);
    owner_.push_back(owner.empty() ? 0 : entry->second);
  }
  keep_text(table, name, c_name);
  keep_text(table, litter, c_litter);
  keep_text(table, breeder, c_breeder);
  keep_text(table, tags, c_tags);
  keep_text(table, registration, c_registration);
  keep_text(table, also, c_also);
  keep_text(table, colour, c_colour);
  keep_text(table, note, c_note);
  if (kids.empty()) return;
  const auto kid = kids.find(std::string(*id));
  if (kid != kids.end() && kid->second.dam.empty()) {
    kid->second = {.dam = dam, .litter = std::string(table.text(c_litter)), .born = born};
  }
}

std::uint32_t AnimalsTable::breed_number(std::string_view breed_name) {
  const auto [entry, is_new] = breed_numbers_.try_emplace(
      lower_ascii(breed_name), static_cast<std::uint32_t>(breed_names_.size()));
  if (is_new) breed_names_.emplace_back(breed_name);
  return entry->second;
}

std::uint32_t AnimalsTable::breed_of(TableReader& table) {
  const std::string_view cell = table.text(c_breed);
  if (cell.empty()) return 0;
  const auto [entry, is_new] = mix_numbers_.try_emplace(std::string(cell), 0u);
  if (!is_new) return entry->second;

  std::vector<BreedShare> mix;
  const auto breed_index = [&](std::string_view breed_name) {
    return static_cast<std::uint16_t>(std::min<std::uint32_t>(breed_number(breed_name), 0xFFFF));
  };
  if (cell.find(':') == std::string_view::npos) {
    mix.push_back({breed_index(cell), 1.0});
  } else {
    double sum = 0.0;
    bool good = true;
    for (std::size_t at = 0; at < cell.size();) {
      const std::size_t end = std::min(cell.find(' ', at), cell.size());
      const std::string_view part = cell.substr(at, end - at);
      at = end + 1;
      if (part.empty()) continue;
      const std::size_t colon = part.rfind(':');
      const auto share = colon == std::string_view::npos ? std::nullopt
                                                         : share_of(part.substr(colon + 1));
      good = good && share && *share > 0.0 && colon > 0;
      if (!good) break;
      mix.push_back({breed_index(part.substr(0, colon)), *share});
      sum += *share;
    }
    if (!good || std::abs(sum - 1.0) > 0.01) {
      table.error("number-form", table.place(c_breed),
                  good ? fmt::format("breed: the shares sum to {}, not 1", shortest(sum))
                       : fmt::format("breed: '{}' cannot be read as shares", printable(cell)),
                  "write a breed, or shares such as boer:3/4 nubian:1/4");
      return 0;
    }
    for (BreedShare& each : mix) each.share /= sum;  // thirds are written with few digits
  }
  mixes_.push_back(std::move(mix));
  entry->second = static_cast<std::uint32_t>(mixes_.size() - 1);
  return entry->second;
}

void AnimalsTable::keep_text(TableReader& table, TextKind kind, std::size_t column) {
  std::string_view text = table.text(column);
  if (text.empty()) return;
  if (!table.is_plain(column)) text = unquoted_.emplace_back(text);
  texts_[kind].push_back({static_cast<std::uint32_t>(gone_.size() - 1), text});
}

void AnimalsTable::say_unknown_marks(Complaints& complaints) const {
  if (unknown_marks_ == 0) return;
  complaints.warning("unknown-mark", file_, first_unknown_mark_, 0, {},
                     fmt::format("{} {} written as not known (?, -, 0, unknown or the like), "
                                 "first here",
                                 unknown_marks_, unknown_marks_ == 1 ? "parent is" : "parents are"),
                     "read as not known; leave it blank");
}

AnimalFacts AnimalsTable::facts(const BuiltPedigree& built) && {
  const std::size_t n = built.pedigree.size();
  AnimalFacts facts;
  facts.line = built.line_of;
  // Row by row backwards, so that of two rows of one id the first has the last word.
  const auto spread = [&](auto& by_row, auto& by_position) {
    by_position.resize(n);
    for (std::size_t r = by_row.size(); r-- > 0;) {
      by_position[built.animal_of_row[r].position] = by_row[r];
    }
    std::remove_reference_t<decltype(by_row)>().swap(by_row);
  };
  spread(sex_, facts.sex);
  spread(born_, facts.born);
  spread(horns_, facts.horns);
  spread(gone_, facts.gone);
  spread(left_, facts.left);
  spread(left_why_, facts.left_why);
  spread(breed_, facts.breed_mix);
  spread(owner_, facts.owner);
  facts.breed_names = std::move(breed_names_);
  facts.breed_mixes = std::move(mixes_);
  facts.owners = std::move(owners_);

  TextColumn* const columns_of[text_kinds] = {&facts.name, &facts.litter,       &facts.breeder, &facts.tags,
                                              &facts.registration, &facts.also, &facts.colour,  &facts.note};
  for (int kind = 0; kind < text_kinds; ++kind) {
    std::vector<Text>& texts = texts_[kind];
    for (Text& text : texts) text.row = built.animal_of_row[text.row].position;
    std::stable_sort(texts.begin(), texts.end(),
                     [](const Text& a, const Text& b) { return a.row < b.row; });
    texts.erase(std::unique(texts.begin(), texts.end(),
                            [](const Text& a, const Text& b) { return a.row == b.row; }),
                texts.end());
    std::vector<std::uint32_t> positions;
    std::vector<std::string_view> views;
    for (const Text& text : texts) {
      positions.push_back(text.row);
      views.push_back(text.text);
    }
    columns_of[kind]->assign(std::move(positions), std::move(views));
    std::vector<Text>().swap(texts);
  }
  return facts;
}

}  // namespace doewright
