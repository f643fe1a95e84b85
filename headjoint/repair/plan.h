#pragma once

#include <map>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "headjoint/base/result.h"

/// The plan of a repair: lines of a book, chosen by what is fitted and what was found, filled with the engine's own figures.
/// What the lines say is data; this module knows no engine words.
namespace headjoint::repair {

/// What holds of an engine and its job: "overhead_cam", "bolts_single_use", "overheated".
using Facts = std::set<std::string>;
/// Figures by name, as text with unit: {"coolant_volume", "6.0 L"}.
using Figures = std::map<std::string, std::string>;

/// Whether a condition holds: words with blanks between must all hold, "!word" must not, "a|b" one of them must. "" always holds.
[[nodiscard]] bool holds(std::string_view when, const Facts& facts);

/// Every word that a condition asks for.
[[nodiscard]] std::vector<std::string> words_of(std::string_view when);

/// The text with {name} replaced by its figure, or by a blank to write in when there is none.
[[nodiscard]] std::string filled(std::string_view text, const Figures& figures);

/// One line of the book.
struct PlanLine {
  std::string part;  ///< name of a PlanPart
  std::string when;
  std::string text;
  std::string why;
  std::vector<std::string> cautions;  ///< ids; they stand before the line
  std::string source;
};

struct PlanPart {
  std::string name;
  std::string title;
};

struct PlanBook {
  std::vector<PlanPart> parts;  ///< in the order of work
  std::vector<PlanLine> lines;
};

/// @returns the book, or every problem: unknown key, line of no part, empty text
[[nodiscard]] Result<PlanBook> read_plan_book(std::string_view toml, const std::string& source);

/// A part with the lines that hold, filled.
struct ChosenPart {
  PlanPart part;
  std::vector<PlanLine> lines;
};

/// @returns every part that has a line, in the book's order
[[nodiscard]] std::vector<ChosenPart> plan_of(const PlanBook& book, const Facts& facts, const Figures& figures);

}  // namespace headjoint::repair
