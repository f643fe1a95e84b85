#pragma once

#include <string>
#include <vector>

#include "headjoint/assess/results.h"
#include "headjoint/report/internal/deck_sheet.h"

namespace headjoint::report {

/// A suspect seal path where it lies on the plan.
struct BreachLine {
  std::size_t row = 0;  ///< of the sheet
  Spot from, to;        ///< in the row's coordinates
  std::string label;    ///< "2–3", "3 to coolant"
  double chance = 0;
};

/// Paths as likely as this are drawn; below it a line would only be noise.
inline constexpr double kLeastDrawnChance = 0.10;

/// Lines for every path with a place and a chance above kLeastDrawnChance, likeliest first.
///
/// Gas to coolant and coolant to cylinder run between bore and nearest coolant hole, to oil to the nearest oil hole, to outside
/// to the nearest edge; two paths of one bore keep to different directions where the deck has them.
[[nodiscard]] std::vector<BreachLine> breach_lines(const DeckSheet& sheet, const assess::Finding& finding);

/// Paths above kLeastDrawnChance that have no line: of the whole engine, or at a place the plan does not show.
[[nodiscard]] std::vector<assess::Suspect> paths_without_line(const DeckSheet& sheet, const assess::Finding& finding);

/// Short name of a path for a tag: "2–3", "3 to coolant"; the suspect's own text when the path is not one we know.
[[nodiscard]] std::string path_label(const assess::Suspect& path);

}  // namespace headjoint::report
