#pragma once

#include <string>

#include "headjoint/assess/results.h"
#include "headjoint/joint/engine.h"

/// The joint plan: the deck seen from above with the front at the left, as an SVG drawing.
///
/// Outline, numbered bores, fire rings (dashed), coolant (round), pressure oil (square), drain (slot), other holes (dashed
/// circle), bolts (circle and cross), a dimension line. Shape, dash and line weight carry the message, so that it survives a
/// black-and-white printer; colours come from classes (`jp-...`) with attributes behind them for where no style sheet is.
/// One unit of the viewBox is one millimetre of the engine. Engines with several heads show them one above the other.
/// The engine's left side lies at the bottom of the drawing: that is how it looks from above.
namespace headjoint::report {

struct PlanOptions {
  std::string id_prefix = "plan";  ///< makes the ids of two drawings on one page different
  double text_share = 0.032;       ///< letter size as a share of the drawing's width: 11 px on a phone 340 px wide
};

/// Options for a drawing 180 mm wide on paper: letters of about 3.6 mm.
[[nodiscard]] PlanOptions plan_options_for_paper(std::string id_prefix);

/// The bare plan. An engine without a known number of cylinders gives a small drawing that says so.
[[nodiscard]] std::string joint_plan_svg(const joint::Engine& engine, const PlanOptions& options = {});

/// The plan with a zigzag at every seal path that is suspect, heavier the likelier, and a tag with its chance.
/// Paths of the whole engine are listed below the drawing.
[[nodiscard]] std::string breach_plan_svg(const joint::Engine& engine, const assess::Finding& finding, const PlanOptions& options = {});

/// The plan of one head with the measured heights: a marker by height band and a number in hundredths of a millimetre at every
/// point that has room for it, points touching the planes of the minimum zone ringed.
/// An engine without a plan of its own gives the points in a bare frame.
[[nodiscard]] std::string face_plan_svg(const joint::Engine& engine, const assess::Flatness& face, const PlanOptions& options = {});

/// The same in a table, for a screen reader and for whoever prefers numbers: bores, holes and bolts with their places.
[[nodiscard]] std::string joint_plan_table_html(const joint::Engine& engine);

/// Suspect paths in a table: path, chance, range, in words.
[[nodiscard]] std::string breach_plan_table_html(const assess::Finding& finding);

/// Measured points in a table: number, place, height reading, height from the middle of the zone, what it touches.
[[nodiscard]] std::string face_plan_table_html(const assess::Flatness& face);

}  // namespace headjoint::report
