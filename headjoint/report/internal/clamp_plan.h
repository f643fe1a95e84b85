#pragma once

#include <string>
#include <vector>

#include "headjoint/assess/results_clamp.h"

/// Pressure under the gasket on the plan, drawn and in letters.
namespace headjoint::report {

/// Pressure in five bands, each reaching twice as high as the one before: rings and body show on one drawing. Band 0 also holds what is
/// open.
class PressureScale {
 public:
  /// @param most_MPa  highest pressure to be shown
  explicit PressureScale(double most_MPa);
  [[nodiscard]] int band(double pressure_MPa) const;
  [[nodiscard]] std::string band_text(int band) const;  ///< "4 to 8"
  static constexpr int kBands = 5;

 private:
  double step_ = 1;
};

/// The plan with the pressure of every cell, bores, bolts with their forces, and the weakest place of the weakest ring marked.
/// @param greatest  draws the greatest pressure over all steps: what a pressure film keeps
[[nodiscard]] std::string pressure_plan_svg(const assess::ClampedState& state, const joint::Engine& engine, int head, const std::string& id,
                                            const std::string& title, bool greatest = false);

/// The same in characters: " .:=#" from open to pressed most, "o" bores, "X" the weakest place, bolts by number.
[[nodiscard]] std::vector<std::string> pressure_plan_text(const assess::ClampedState& state, const joint::Engine& engine, int head,
                                                          std::size_t width);

/// Rings, passages and bolts in a table.
[[nodiscard]] std::string clamp_table_html(const assess::ClampedState& state);

/// The plan with bolts numbered by their turn in `order`, and their forces.
[[nodiscard]] std::string order_plan_svg(const assess::TighteningAnswer& answer, const std::string& id);

/// "towards the rear", "front left"... for an angle from the crank's axis, seen from above with the front at the left.
[[nodiscard]] std::string side_words(double angle_deg);
/// "3, 8, 7"
[[nodiscard]] std::string order_words(const std::vector<int>& order);

}  // namespace headjoint::report
