// SPDX-License-Identifier: MIT
#include "animals_table.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include <doewright/core/text.hpp>

namespace doewright {

namespace {

enum Column : std::size_t {
  c_id,
  c_sire,
  c_dam,
  c_sex,
  c_born,
  c_name,
  c_breed,
  c_horns,
  c_litter,
  c_left,
  c_left_why,
  c_owner,
  c_breeder,
  c_tags,
  c_registration,
  c_also,
  c_colour,
  c_note
};

constexpr std::array<ColumnName, 18> columns = {{
    {"id", true},
    {"sire"},
    {"dam"},
    {"sex"},
    {"born"},
    {"name"},
    {"breed"},
    {"horns"},
    {"litter"},
    {"left"},
    {"left_why"},
    {"owner"},
    {"breeder"},
    {"tags"},
    {"registration"},
    {"also"},
    {"colour"},
    {"note"},
}};

constexpr std::array<std::string_view, 8> sex_words = {"doe", "buck", "wether", "intersex",
                                                       "f",   "m",    "female", "male"};
constexpr std::array<Sex, 8> sexes = {Sex::doe, Sex::buck, Sex::wether, Sex::intersex,
                                      Sex::doe, Sex::buck, Sex::doe,    Sex::buck};
constexpr std::array<std::string_view, 2> horn_words = {"horned", "polled"};
constexpr std::array<std::string_view, 4> left_words = {"sold", "died", "slaughtered", "returned"};

constexpr std::uint32_t rows_between_looks = 1 << 14;  // a few milliseconds

/// Rows of an id that has an earlier row: what they say is not read.
std::vector<bool> later_rows(const BuiltPedigree& built) {
  std::vector<bool> is_later(built.animal_of_row.size()), seen(built.pedigree.size());
  for (std::size_t r = 0; r < is_later.size(); ++r) {
    const std::size_t position = built.animal_of_row[r].position;
    is_later[r] = seen[position];
    seen[position] = true;
  }
  return is_later;
}

}  // namespace

AnimalsTable::AnimalsTable(std::string_view text, std::string_view file, Date as_of, Future future,
                           PedigreeBuilder& builder, KidsById& kids, Complaints& complaints,
                           const Run& run)
    : text_(text), file_(file), as_of_(as_of), future_(future) {
  TableReader table(text, file, Table::animals, columns, &complaints);
  usable_ = table.usable();
  for (std::uint32_t n = 1; table.next(); ++n) {
    if (n % rows_between_looks == 0) throw_if_stopped(run);
    read_row(table, builder, kids);
  }
  unknown_marks_.say(complaints, file_, "read as not known; leave it blank");
  unknown_ids_.say_own_ids(complaints, file_);
}

/// Its row may stand behind those of its kids: looked for once, and only in books that write 0.
bool AnimalsTable::is_zero_somewhere() {
  if (has_zero_) return true;
  if (!zero_somewhere_) {
    TableReader again(text_, file_, Table::animals, columns, nullptr);
    zero_somewhere_ = false;
    while (!*zero_somewhere_ && again.next()) zero_somewhere_ = again.text(c_id) == "0";
  }
  return *zero_somewhere_;
}

std::string_view AnimalsTable::parent(TableReader& table, std::size_t column) {
  const std::string_view cell = table.text(column);
  if (is_unknown_mark(cell) || (cell == "0" && !is_zero_somewhere())) {
    unknown_marks_.note(table.place(column));
    return {};
  }
  return table.id_or_blank(column).value_or(std::string_view());
}

void AnimalsTable::read_row(TableReader& table, PedigreeBuilder& builder, KidsById& kids) {
  const auto id = table.id(c_id);
  if (!id) return;
  table.about(*id);
  if (is_unknown_mark(*id)) unknown_ids_.note(table.place(c_id));
  const PartialDate born = table.date(c_born, future_, as_of_);
  if (table.of_a_later_day()) {
    left_out_.emplace(*id);
    return;
  }
  const std::string_view sire = parent(table, c_sire), dam = parent(table, c_dam);
  builder.add(*id, sire, dam, table.row());
  has_zero_ = has_zero_ || *id == "0";
  read_facts(table, born);
  ++rows_;
  if (kids.empty()) return;
  const auto kid = kids.find(std::string(*id));
  if (kid == kids.end() || kid->second.read) return;
  kid->second = {std::string(dam), std::string(table.text(c_litter)), born, true};
}

void AnimalsTable::read_facts(TableReader& table, PartialDate born) {
  if (table.has(c_sex)) {
    const auto sex = table.word(c_sex, sex_words);
    sex_.push_back(sex ? sexes[*sex] : Sex::unknown);
  }
  if (table.has(c_born)) born_.push_back(born);
  if (table.has(c_horns)) {
    const auto horns = table.word(c_horns, horn_words);
    horns_.push_back(horns ? static_cast<Horns>(*horns + 1) : Horns::unknown);
  }
  read_leaving(table);
  if (table.has(c_breed)) breed_.push_back(breeds_.read(table, c_breed));
  if (table.has(c_owner)) read_owner(table);
  keep_text(table, name, c_name);
  keep_text(table, litter, c_litter);
  keep_text(table, breeder, c_breeder);
  keep_text(table, tags, c_tags);
  keep_text(table, registration, c_registration);
  keep_text(table, also, c_also);
  keep_text(table, colour, c_colour);
  keep_text(table, note, c_note);
}

void AnimalsTable::read_leaving(TableReader& table) {
  if (!table.has(c_left) && !table.has(c_left_why)) return;
  PartialDate left = table.date(c_left, future_, as_of_);
  const auto why = table.word(c_left_why, left_words);
  // A cell that cannot be read still says that the animal is gone.
  bool gone = !table.text(c_left).empty() || !table.text(c_left_why).empty();
  LeftWhy reason = why ? static_cast<LeftWhy>(*why + 1) : LeftWhy::unknown;
  if (left.known() && left.earliest() > as_of_) {  // on that day it is not gone yet
    left = {};
    gone = false;
    reason = LeftWhy::unknown;
  }
  left_.push_back(left);
  gone_.push_back(gone);
  left_why_.push_back(reason);
}

void AnimalsTable::read_owner(TableReader& table) {
  const std::string_view owner = table.words_of(c_owner);
  if (owner.empty()) return owner_.push_back(0);
  const auto number = static_cast<std::uint32_t>(owners_.size());
  const auto [entry, is_new] = owner_numbers_.try_emplace(std::string(owner), number);
  if (is_new) owners_.emplace_back(owner);
  owner_.push_back(entry->second);
}

void AnimalsTable::keep_text(TableReader& table, TextKind kind, std::size_t column) {
  std::string_view text = table.words_of(column);
  if (text.empty()) return;
  if (!table.is_plain(column)) text = unquoted_.emplace_back(text);
  texts_[kind].push_back({rows_, text});
}

AnimalFacts AnimalsTable::facts(const BuiltPedigree& built) && {
  const std::size_t n = built.pedigree.size();
  AnimalFacts facts;
  facts.line = built.line_of;
  give_texts(built, facts);
  // Row by row backwards, so that of two rows of one id the first has the last word.
  const auto spread = [&](auto& by_row, auto& by_position) {
    by_position.resize(n);
    for (std::size_t r = by_row.size(); r-- > 0;) {
      by_position[built.animal_of_row[r].position] = by_row[r];
    }
    by_row = {};
    by_row.shrink_to_fit();
  };
  spread(sex_, facts.sex);
  spread(born_, facts.born);
  spread(horns_, facts.horns);
  spread(gone_, facts.gone);
  spread(left_, facts.left);
  spread(left_why_, facts.left_why);
  spread(breed_, facts.breed_mix);
  spread(owner_, facts.owner);
  std::move(breeds_).give(facts);
  facts.owners = std::move(owners_);
  return facts;
}

void AnimalsTable::give_texts(const BuiltPedigree& built, AnimalFacts& facts) {
  const std::vector<bool> is_later = later_rows(built);
  const std::array<TextColumn*, text_kinds> into = {
      &facts.name,         &facts.litter, &facts.breeder, &facts.tags,
      &facts.registration, &facts.also,   &facts.colour,  &facts.note};
  for (std::size_t kind = 0; kind < text_kinds; ++kind) {
    std::vector<Text> texts = std::exchange(texts_[kind], {});
    std::erase_if(texts, [&](const Text& text) { return is_later[text.row]; });
    for (Text& text : texts) text.row = built.animal_of_row[text.row].position;
    std::sort(texts.begin(), texts.end(),
              [](const Text& a, const Text& b) { return a.row < b.row; });
    std::vector<std::uint32_t> positions;
    std::vector<std::string_view> views;
    for (const Text& text : texts) {
      positions.push_back(text.row);
      views.push_back(text.text);
    }
    into[kind]->assign(std::move(positions), std::move(views));
  }
}

}  // namespace doewright
