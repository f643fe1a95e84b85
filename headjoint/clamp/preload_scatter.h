#pragma once

#include <string>
#include <vector>

#include "headjoint/clamp/bolt.h"

/// How far the preload scatters by the way of tightening, and what a series of measured preloads says.
namespace headjoint::clamp {

enum class TighteningMethod { kElongation, kYield, kAngle, kHydraulic, kTorqueTested, kTorqueTable, kPowerTool, kByFeel };

/// +- scatter as a share of the mean; alpha = (1 + s) / (1 - s).
struct MethodScatter {
  TighteningMethod method = TighteningMethod::kTorqueTable;
  std::string name;  ///< in the trade's words
  double least = 0;
  double most = 0;
  std::string source;
};
[[nodiscard]] const std::vector<MethodScatter>& method_scatters();
[[nodiscard]] const MethodScatter& method_scatter(TighteningMethod method);
/// alpha_A = F_most / F_least for a scatter of +- `share`, 0 <= share < 1.
[[nodiscard]] double tightening_factor(double share);

/// Preload band of a torque, by uncertainty and losses.
struct PreloadBand {
  Force least;
  Force nominal;
  Force most;
};
/// most = (1 + G) T / (K D), least = (1 - G)(T - Tp) / (K D) - loss x most.
/// @param scatter     G, 0 <= G < 1      @param prevailing  Tp, >= 0      @param loss_share  of the greatest preload, 0 to 1
/// @par Source  NSTS 08307 rev. A 3.3-3.5
[[nodiscard]] PreloadBand torque_preload_band(double k, Length diameter, Torque torque, double scatter, Torque prevailing,
                                              double loss_share);

/// What repeated tightenings with one torque say.
struct MeasuredScatter {
  Force mean;
  Force standard_deviation;
  double nominal_nut_factor = 0;
  double most = 0;             ///< (greatest - mean) / mean
  double least = 0;            ///< (mean - least) / mean
  double two_sided_90_95 = 0;  ///< tolerance factor x sd / mean: 90 % of all bolts, 95 % sure
};
/// @param preloads_N  at least 2, > 0
/// @par Source  NASA-STD-5020B A.2, factors of its table 5 (interpolated between rows)
/// @par Checked T12
[[nodiscard]] MeasuredScatter measured_scatter(const std::vector<double>& preloads_N, Torque torque, Length diameter);

}  // namespace headjoint::clamp
