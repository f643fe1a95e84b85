#include "headjoint/clamp/preload_scatter.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include "headjoint/clamp/internal/workshop_units.h"

namespace headjoint::clamp {
namespace {

/// Two-sided tolerance factor for 90 % of a normal population with 95 % confidence (NASA-STD-5020B table 5).
double two_sided_factor(std::size_t count) {
  struct Row {
    double count, factor;
  };
  static constexpr std::array<Row, 17> kRows = {{{2, 31.092},
                                                 {3, 8.306},
                                                 {4, 5.368},
                                                 {5, 4.291},
                                                 {6, 3.733},
                                                 {7, 3.390},
                                                 {8, 3.156},
                                                 {9, 2.986},
                                                 {10, 2.856},
                                                 {12, 2.670},
                                                 {15, 2.492},
                                                 {20, 2.319},
                                                 {25, 2.215},
                                                 {30, 2.145},
                                                 {40, 2.055},
                                                 {50, 1.999},
                                                 {100, 1.875}}};
  const double n = static_cast<double>(count);
  if (n >= kRows.back().count) return kRows.back().factor;
  const auto above = std::find_if(kRows.begin(), kRows.end(), [n](const Row& row) { return row.count >= n; });
  if (above->count == n) return above->factor;
  const Row &low = *(above - 1), &high = *above;
  return low.factor + (high.factor - low.factor) * (1 / n - 1 / low.count) / (1 / high.count - 1 / low.count);
}

}  // namespace

const std::vector<MethodScatter>& method_scatters() {
  static const std::vector<MethodScatter> kMethods = {
      {TighteningMethod::kElongation, "by measured stretch", 0.02, 0.10, "VDI 2230 (from memory)"},
      {TighteningMethod::kYield, "to the yield point", 0.05, 0.12, "VDI 2230:1986 table, second hand"},
      {TighteningMethod::kAngle, "torque, then angle", 0.05, 0.12, "VDI 2230:1986 table, second hand"},
      {TighteningMethod::kHydraulic, "hydraulic stretcher", 0.09, 0.23, "VDI 2230:1986 table, second hand"},
      {TighteningMethod::kTorqueTested, "torque wrench, torque found by test on this joint", 0.17, 0.23,
       "VDI 2230:1986 table, second hand"},
      {TighteningMethod::kTorqueTable, "torque wrench, friction from a table", 0.23, 0.33, "VDI 2230, second hand"},
      {TighteningMethod::kPowerTool, "precision power tool", 0.26, 0.43, "VDI 2230:1986 table, second hand"},
      {TighteningMethod::kByFeel, "impact tool or by feel", 0.43, 0.60, "from memory"},
  };
  return kMethods;
}

const MethodScatter& method_scatter(TighteningMethod method) {
  for (const MethodScatter& row : method_scatters())
    if (row.method == method) return row;
  throw ContractError("a tightening method without a row");
}

double tightening_factor(double share) {
  ask(share >= 0 && share < 1, "share", "from 0 to below 1");
  return (1 + share) / (1 - share);
}

PreloadBand torque_preload_band(double k, Length diameter, Torque torque, double scatter, Torque prevailing, double loss_share) {
  ask(scatter >= 0 && scatter < 1, "scatter", "from 0 to below 1");
  ask(prevailing.si() >= 0 && prevailing <= torque, "prevailing", "from 0 to the torque");
  ask(loss_share >= 0 && loss_share < 1, "loss_share", "from 0 to below 1");
  const Force nominal = preload_from_nut_factor(k, diameter, torque), most = (1 + scatter) * nominal;
  return {(1 - scatter) * preload_from_nut_factor(k, diameter, torque - prevailing) - loss_share * most, nominal, most};
}

MeasuredScatter measured_scatter(const std::vector<double>& preloads_N, Torque torque, Length diameter) {
  ask(preloads_N.size() >= 2, "preloads_N", "at least 2 are needed");
  for (const double preload : preloads_N) ask(preload > 0, "preloads_N", "each larger than 0");
  ask(torque.si() > 0, "torque", "must be larger than 0");
  ask(diameter.si() > 0, "diameter", "must be larger than 0");
  const double count = static_cast<double>(preloads_N.size());
  const double mean = std::accumulate(preloads_N.begin(), preloads_N.end(), 0.0) / count;
  double squares = 0;
  for (const double preload : preloads_N) squares += (preload - mean) * (preload - mean);
  const double deviation = std::sqrt(squares / (count - 1));
  const auto [least, most] = std::minmax_element(preloads_N.begin(), preloads_N.end());
  return {.mean = from_newton(mean),
          .standard_deviation = from_newton(deviation),
          .nominal_nut_factor = newton_mm(torque) / (mm(diameter) * mean),
          .most = (*most - mean) / mean,
          .least = (mean - *least) / mean,
          .two_sided_90_95 = two_sided_factor(preloads_N.size()) * deviation / mean};
}

}  // namespace headjoint::clamp
