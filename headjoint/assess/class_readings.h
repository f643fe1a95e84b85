#pragma once

#include <span>
#include <string>
#include <vector>

#include "headjoint/diagnosis/finding.h"
#include "headjoint/diagnosis/instances.h"
#include "headjoint/jobs/job.h"
#include "headjoint/units/points.h"
#include "headjoint/units/quantity.h"

/// Readings judged by a spread for each class, where no calculation stands behind them or its figures are missing (cooling_reading.h).
///
/// Every function is pure: a reading in, P(reading | state) out, lowest state first, scaled so that the largest is 1. Each spread holds a
/// floor kWrongReading for a gauge that says nothing about the engine, so no reading moves the odds of two states beyond 1 / kWrongReading.
/// The spreads are orders of magnitude, common practice, no source. A calculation that knows the leak's area takes the place of a function
/// here and keeps its signature.
namespace headjoint::assess {

inline constexpr double kWrongReading = 0.01;

/// Cooling system pumped up cold: P(fall | holds), P(fall | falls). The fall is taken per ten minutes.
/// @param start  > 0; @param end  at most what gauges rise by cooling in reverse; @param duration  > 0
[[nodiscard]] std::vector<double> pressure_hold_likelihood(GaugePressure start, GaugePressure end, Duration duration);

/// Cooling pressure at idle from cold: P(rise | warm-up alone), P(rise | gas). The rise is taken per minute.
[[nodiscard]] std::vector<double> cold_rise_likelihood(GaugePressure start, GaugePressure end, Duration duration);

/// Gas over the open tank. Both gases come from one leak: carbon dioxide counts when given, else the hydrocarbons.
/// @param carbon_dioxide  share, or below 0 when not measured; @param hydrocarbons_ppm  likewise
[[nodiscard]] std::vector<double> gas_likelihood(double carbon_dioxide, double hydrocarbons_ppm);

/// Water in the oil: P(share | none but what short trips leave), P(share | water).
[[nodiscard]] std::vector<double> water_in_oil_likelihood(double share);

/// Loosening torques of one head: P(evenness | sound), P(evenness | slack or uneven). The evenness is the least over the median.
[[nodiscard]] std::vector<double> release_torque_likelihood(std::span<const Torque> torques);

/// A reading that fails at one engine temperature may hold at another: what a sound-looking reading says about a leak is weakened by the
/// chance that the leak was shut. @param likelihood  over leak sizes, lowest first; @param engine  "cold", "warm", "hot" or ""
[[nodiscard]] std::vector<double> with_shut_leaks(std::vector<double> likelihood, const std::string& engine);

/// What a reading of one of these tests says.
[[nodiscard]] std::vector<diagnosis::Observation> class_observations(const jobs::Reading& reading,
                                                                     const diagnosis::InstanceNetwork& network);

}  // namespace headjoint::assess
