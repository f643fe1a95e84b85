#pragma once

#include <optional>

#include "headjoint/leakage/ambient.h"
#include "headjoint/leakage/leak_area.h"

/// How a leak lowers the cranking compression of one cylinder against a healthy one of the same engine.
///
/// The peak depends on the leak through Pi = CdA sqrt(R T) / (Vd N/60) alone (exact without heat loss). A table of gauge-pressure
/// ratio against extra area, computed with a crank-angle cycle for one engine and two heat-loss laws, is carried to other
/// displacements and speeds through Pi, and to other compression ratios and intake closings by a fitted factor.
///
/// Valid for compression ratios of 7 to 22, intake closing 20 to 80 deg after BDC, 150 to 400 rpm. All cylinders: throttle open,
/// same number of strokes, same temperature, no oil in the bore.
namespace headjoint::leakage {

/// Engine and cranking conditions of one compression test.
struct Cranking {
  Volume displacement;                             ///< of one cylinder; 10 cm3 to 20 L
  Speed speed = Speed::from_rpm(250);              ///< 30 to 1000 rpm. Default: a healthy starter, common practice
  Speed speed_drift = Speed::from_rpm(20);         ///< how far the speed may differ between cylinders; 0 <= drift < speed / 2
  Temperature temperature = kStandardTemperature;  ///< of the charge
  std::optional<double> compression_ratio = {};    ///< 7 to 23. Empty: 10, with 8 to 12 inside the band
  std::optional<Angle> intake_closing = {};        ///< 20 to 80 deg past BDC. Empty: 50 deg, with 30 to 70 deg inside the band
};

/// Pi = CdA sqrt(R T) / (Vd N/60).
/// @throws InputError naming the argument
/// @par Checked published.compression
[[nodiscard]] double leak_number(Area effective_area, const Cranking& cranking, const Gas& gas = {});

/// The effective area that gives `leak_number` under these conditions.
[[nodiscard]] Area area_of_leak_number(double leak_number, const Cranking& cranking, const Gas& gas = {});

/// Lowest ratio the table reaches; below it only a lower limit of the area is known.
inline constexpr double kLowestTabulatedRatio = 0.17;

/// Extra leak area of a cylinder beyond what its healthy neighbours leak.
///
/// Band: the two heat-loss laws and a base leak of 0.2 to 0.5 mm2 at 400 cm3 and 250 rpm, the speed drift, what is not known of
/// the engine, and the ratio's own limits; all taken at their worst together.
///
/// @param ratio  gauge reading / healthy gauge reading; >= 0
/// @param ratio_low, ratio_high  limits of the ratio; ratio_low <= ratio <= ratio_high
/// @throws InputError naming the argument
/// @par Source  crank-angle cycle with Woschni and Hohenberg heat loss: docs/theory/leakage.md
/// @par Checked published.compression
[[nodiscard]] LeakArea extra_leak_from_ratio(double ratio, double ratio_low, double ratio_high, const Cranking& cranking,
                                             const Gas& gas = {});

/// The gauge ratio that an extra leak gives: the middle of the band of extra_leak_from_ratio, turned round.
/// Beyond the table it falls on exponentially with the slope of the last row.
/// @param extra  >= 0
/// @throws InputError naming the argument
[[nodiscard]] double ratio_from_extra_leak(Area extra, const Cranking& cranking, const Gas& gas = {});

}  // namespace headjoint::leakage
