#pragma once

#include <optional>
#include <string>
#include <vector>

#include "headjoint/traces/signal.h"

/// Finding the compressions in a cranking trace: one hump each, whatever was recorded.
namespace headjoint::traces {

/// What was recorded.
enum class CrankingKind { kStarterCurrent, kBatteryVoltage, kCrankSpeed };

/// One compression.
struct CompressionEvent {
  double time_s = 0;         ///< of the hump's top
  double peak = 0;           ///< in the load's unit: A, V below the highest, or -rpm squared
  double trough = 0;         ///< the lowest before it
  double rise = 0;           ///< peak - trough
  double height = 0;         ///< above the straight line through the troughs on both sides
  bool is_inserted = false;  ///< no hump stood where one was due
};

/// The part of a trace in which the starter turns the engine evenly, and its compressions.
struct CrankingEvents {
  enum class Status {
    kNotRun,
    kFound,
    kTooSlowlySampled,  ///< fewer than 10 samples a compression
    kNoCranking,        ///< nothing repeats as compressions do
    kTooFew,            ///< fewer than two cycles
    kClipped,           ///< humps are cut off flat by the instrument
  };
  Status status = Status::kNotRun;
  double from_s = 0;
  double to_s = 0;
  double frequency_Hz = 0;    ///< compressions a second
  double needed_rate_Hz = 0;  ///< samples a second that would do
  bool was_inverted = false;  ///< the probe was clipped on the other way round
  std::size_t spikes = 0;
  Signal load;  ///< that part as load on the starter: humps point upwards, smoothed
  std::vector<CompressionEvent> events;
};

/// How hard the starter works, from what was recorded: current as it is, voltage and the square of speed upside down. Each compression is
/// a hump of it.
///
/// The engine's cranking is where the ripple is strongest; its first half second (inrush) and its end are left out. Spikes are removed, a
/// low-pass at five times the compressions' frequency smooths without shifting. Tops stand at least 0.6 of a compression apart. Where a
/// hump is missing (a dead cylinder may give none) an event is put at its due time.
///
/// @param cylinders  2 to 16, even firing
[[nodiscard]] CrankingEvents find_compressions(const Signal& trace, CrankingKind kind, int cylinders);

}  // namespace headjoint::traces
