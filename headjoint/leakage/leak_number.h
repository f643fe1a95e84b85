#pragma once

#include <optional>

#include "headjoint/leakage/ambient.h"
#include "headjoint/leakage/cylinder_cycle.h"

/// What a compression test needs to know of the engine to turn readings into areas, and the one number that decides how much a
/// leak counts: Pi = CdA sqrt(R T) / (Vd N/60). The peak depends on the leak through Pi alone, exactly so without heat loss.
namespace headjoint::leakage {

/// Engine and cranking conditions of one compression test, as far as they are known.
struct Cranking {
  Volume displacement;                             ///< of one cylinder; 10 cm3 to 20 L
  Speed speed = Speed::from_rpm(250);              ///< 30 to 1000 rpm. Default: a healthy starter, common practice
  Speed speed_drift = Speed::from_rpm(20);         ///< how far the speed may differ between cylinders; 0 <= drift < speed / 2
  Temperature temperature = kStandardTemperature;  ///< of the charge
  std::optional<double> compression_ratio = {};    ///< 5 to 25. Empty: 10, with 8 to 12 inside the band
  std::optional<Angle> intake_closing = {};        ///< 0 to 100 deg past BDC. Empty: 50 deg, with 30 to 70 deg inside the band
  std::optional<Length> bore = {};                 ///< empty: as long as the stroke
  std::optional<Length> rod = {};                  ///< empty: 1.75 strokes, common practice
  AbsolutePressure ambient = kStandardPressure;    ///< station pressure of the day

  /// @throws InputError naming the argument
  void check() const;
  /// The cylinder with everything unknown at its usual value.
  [[nodiscard]] CrankingEngine engine() const;
  [[nodiscard]] CrankingConditions conditions(HeatLoss heat_loss, double heat_multiplier = 1) const;
};

/// Pi = CdA sqrt(R T) / (Vd N/60).
/// @throws InputError naming the argument
/// @par Checked published.compression
[[nodiscard]] double leak_number(Area effective_area, const Cranking& cranking, const Gas& gas = {});

/// The effective area that gives `leak_number` under these conditions.
[[nodiscard]] Area area_of_leak_number(double leak_number, const Cranking& cranking, const Gas& gas = {});

}  // namespace headjoint::leakage
