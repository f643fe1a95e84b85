#pragma once

#include <optional>
#include <string>
#include <vector>

#include "headjoint/joint/engine.h"
#include "headjoint/joint/places.h"
#include "headjoint/report/internal/svg.h"

namespace headjoint::report {

/// One head's plan with its place in a row of the sheet.
///
/// The plan is seen from above with the front at the left, so the engine's left side lies at the bottom: y is turned over.
struct PlacedHead {
  joint::HeadPlan plan;
  double left = 0;                                          ///< of its outline in the row
  double least_x = 0, most_x = 0, least_y = 0, most_y = 0;  ///< of the outline, plan coordinates

  /// A plan point in the row's coordinates: x from the row's left end, y down from the row's top.
  [[nodiscard]] Spot spot(joint::PlanPoint point) const { return {left + point.x_mm - least_x, most_y - point.y_mm}; }
  [[nodiscard]] double width() const { return most_x - least_x; }
  [[nodiscard]] double height() const { return most_y - least_y; }
};

/// Heads drawn side by side: one head, or all the single heads of a bank.
struct DeckRow {
  std::vector<PlacedHead> heads;
  std::string name;  ///< "Head 1", or "" when there is only one row
  double width = 0;
  double height = 0;
};

/// The decks of an engine laid out in rows, and the scale of lines and letters that suits their size.
struct DeckSheet {
  std::vector<DeckRow> rows;
  double width = 0;         ///< of the widest row
  double margin = 0;        ///< left and right of it
  double text_size = 0;     ///< of tags, in millimetres of the sheet
  double unit = 0;          ///< of line weight, in millimetres of the sheet
  bool is_assumed = false;  ///< at least one outline or bore is not from the engine file
};

/// @param text_share  letter size as a share of the drawing's width; > 0
/// @returns no rows when the number of cylinders is not known
[[nodiscard]] DeckSheet deck_sheet(const joint::Engine& engine, double text_share);

/// Draws a row's outlines, holes, bolts and numbered bores with its top left corner at `corner`.
void draw_deck_row(Svg& svg, const DeckRow& row, Spot corner, double text_size);

/// Equivalent radius of a passage, for leaving it at its rim; 0 when its size is not known.
[[nodiscard]] double passage_radius(const joint::Passage& passage);

/// Middle of a passage, from its place or its outline.
[[nodiscard]] std::optional<joint::PlanPoint> passage_centre(const joint::Passage& passage);

}  // namespace headjoint::report
