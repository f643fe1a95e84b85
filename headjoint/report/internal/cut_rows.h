#pragma once

#include <string>
#include <vector>

#include "headjoint/assess/results_machining.h"

/// What a cut changes, in rows and lines for terminal and paper alike.
namespace headjoint::report {

struct CutRow {
  std::string name;
  std::string before;
  std::string after;  ///< with its band: "119.70 ±0.06"
  std::string limit;  ///< "min 119.60", "0.25 to 0.35", "none known"
  std::string verdict;
};

[[nodiscard]] CutRow cut_row(const assess::CutLine& line);

/// "0.30 mm off the head, 0.10 mm off the deck; gasket 1.20 mm, clamped: the head comes 0.400 mm nearer to the crank."
[[nodiscard]] std::string cut_asked(const assess::AfterSkim& answer);

/// What would put it back: gaskets with the lines they restore, then the remedies line by line.
[[nodiscard]] std::vector<std::string> cut_remedies(const assess::AfterSkim& answer);

/// What cannot be said and for want of which figure.
[[nodiscard]] std::vector<std::string> cut_unknowns(const assess::AfterSkim& answer);

/// Limits by where they come from: "invented: head.least_height, limits.head_removed_most".
[[nodiscard]] std::vector<std::string> cut_limit_sources(const assess::AfterSkim& answer);

/// Every figure that is assumed, each once.
[[nodiscard]] std::vector<std::string> cut_assumptions(const assess::AfterSkim& answer);

/// What stands beside the lines: places of the smallest gaps, warnings of no line.
[[nodiscard]] std::vector<std::string> cut_notes(const assess::AfterSkim& answer);

}  // namespace headjoint::report
