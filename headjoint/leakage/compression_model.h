#pragma once

#include <memory>
#include <optional>

#include "headjoint/leakage/leak_area.h"
#include "headjoint/leakage/leak_number.h"

/// Readings of a compression test to leak areas and back, both ways through the cranking cycle of the engine at hand.
namespace headjoint::leakage {

/// Below this share of the healthy level only a lower limit of the area is given: every large leak looks alike there.
inline constexpr double kLowestRatio = 0.17;

/// What one cylinder's gauge shows against its whole leak area, for one heat-loss law.
///
/// The cycle is run at a fixed row of areas and joined by a smooth falling curve; between its points it follows the cycle within
/// 0.1 %. The gauge is taken as without volume and full.
class CompressionCurve {
 public:
  /// @throws InputError naming the argument
  CompressionCurve(const CrankingEngine& engine, const CrankingConditions& conditions);
  ~CompressionCurve();
  CompressionCurve(CompressionCurve&&) noexcept;
  CompressionCurve& operator=(CompressionCurve&&) noexcept;

  /// @param leak  >= 0
  [[nodiscard]] GaugePressure reading(Area leak) const;
  /// Leak area that gives the reading: 0 at and above the tight cylinder's.
  /// @param reading  > 0
  [[nodiscard]] Area leak(GaugePressure reading) const;

 private:
  struct Points;
  std::unique_ptr<Points> points_;
};

/// The engine of a compression test under every set of assumptions that its readings leave open.
///
/// For each heat-loss law one base area is fitted to the healthy level: rings, valves, gauge and all else that the cylinders share.
/// Only what a cylinder leaks beyond it is attributed. The value stands for Woschni's and Hohenberg's laws together; the band
/// holds both laws, half and one and a half times their heat, a small base in place of the fitted one, compression ratios and
/// closings that are not known, and the speed drift, all at their worst.
class CompressionModel {
 public:
  /// @param healthy  level of the sound cylinders; empty: the base is 0.2 (Woschni) and 0.5 mm2 (Hohenberg) at 400 cm3 and 250 rpm
  /// @throws InputError naming the argument
  explicit CompressionModel(const Cranking& cranking, std::optional<GaugePressure> healthy = {});
  ~CompressionModel();
  CompressionModel(CompressionModel&&) noexcept;
  CompressionModel& operator=(CompressionModel&&) noexcept;

  /// Leak area of a cylinder beyond the healthy ones.
  /// @param ratio  gauge reading / healthy level; >= 0
  /// @param ratio_low, ratio_high  limits of the ratio; ratio_low <= ratio <= ratio_high
  /// @throws InputError naming the argument
  /// @par Checked published.compression
  [[nodiscard]] LeakArea extra_leak(double ratio, double ratio_low, double ratio_high) const;

  /// Gauge ratio to the healthy level that an extra leak gives; the other way round of extra_leak().area.
  /// @param extra  >= 0
  [[nodiscard]] double ratio(Area extra) const;

  /// The base area fitted to the healthy level, over the heat-loss laws. What it lumps together is not one leak.
  [[nodiscard]] LeakArea base() const;
  /// The same for one law, Woschni's or Hohenberg's.
  [[nodiscard]] Area base(HeatLoss law) const;

  /// Level of a sound engine by this model: Hohenberg with a base of 1.65 mm2 to Woschni with 0.2 mm2, both at 400 cm3 and 250 rpm.
  /// Where ratio and closing are not known it is wider.
  struct Level {
    GaugePressure low;
    GaugePressure high;
  };
  [[nodiscard]] Level sound_level() const;

  [[nodiscard]] const Cranking& cranking() const;

 private:
  struct Assumptions;
  std::unique_ptr<Assumptions> assumptions_;
};

}  // namespace headjoint::leakage
