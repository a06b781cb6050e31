// SPDX-License-Identifier: MIT
#pragma once
#include <span>
#include <string>
#include <string_view>

#include <doewright/report/report.hpp>

#include "json_writer.hpp"
#include "page.hpp"

namespace doewright {

/// Opens the document: "schema" first, then what stands at the head of every report.
/// `with_warnings` false: the caller writes its own "warnings".
void begin_document(JsonWriter& json, std::string_view schema, const Preamble& preamble,
                    bool with_warnings = true);

/// "3 records were set aside and read as unknown. " or nothing.
std::string set_aside_words(const Preamble& preamble);

/// " Stays are counted whole, though days of them are over (Alder 12 of 35) ...", " The days of Larch in
/// sires.csv are over ...", or nothing; semen has no such days.
std::string past_days_words(const Herd& herd, std::span<const SireOffer> offers);

/// Says at the foot of a text which assumed values mattered and which defaults to set.
void say_inputs(Page& page, const Preamble& preamble);

/// "Defaults used; set your own in season.toml: kid.survive 0.9, ..."; no full stop. \pre some.
std::string inputs_words(const Preamble& preamble);

/// \throws UsageError: this command has no page.
[[noreturn]] void refuse_page(std::string_view command);

/// For tables at 80 columns: the name where one is recorded, else the id; safe to print.
std::string short_name(const Herd& herd, Animal animal);

/// As display_name, safe to print.
std::string long_name(const Herd& herd, Animal animal);

/// Questions of one ancestor under two names, three at most and the count of the rest; or nothing.
std::string one_animal_words(const Herd& herd, std::span<const Reason> questions);
/// The same as warnings of a document.
Preamble with_questions(const Preamble& preamble, const Herd& herd, std::span<const Reason> questions);

}  // namespace doewright
