#pragma once

#include "headjoint/leakage/ambient.h"
#include "headjoint/leakage/leak_area.h"

/// How a leak lowers the cranking compression of one cylinder against a healthy one of the same engine.
///
/// The peak depends on the leak through Pi = CdA sqrt(R T) / (Vd N/60) alone (exact without heat loss). A table of gauge-pressure
/// ratio against extra area, computed with a crank-angle cycle for one engine and two heat-loss laws, is carried to other
/// displacements and speeds through Pi.
///
/// Valid for compression ratios of 8 to 12 and intake closing of 30 to 70 deg after BDC within the stated band; a diesel's ratio
/// near 1 still holds, its low end less so. All cylinders: throttle open, same number of strokes, same temperature.
namespace headjoint::leakage {

/// Cranking conditions of one compression test.
struct Cranking {
  Volume displacement;                             ///< of one cylinder; 10 cm3 to 20 L
  Speed speed = Speed::from_rpm(250);              ///< 30 to 1000 rpm. Default: a healthy starter, common practice
  Speed speed_drift = Speed::from_rpm(20);         ///< how far the speed may differ between cylinders; 0 <= drift < speed / 2
  Temperature temperature = kStandardTemperature;  ///< of the charge
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
/// Band: the two heat-loss laws and a base leak of 0.2 to 0.5 mm2 at 400 cm3 and 250 rpm, the speed drift, and the ratio's own
/// limits; all taken at their worst together.
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
