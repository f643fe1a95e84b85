#pragma once

#include <string>
#include <utility>
#include <vector>

#include "headjoint/traces/signal.h"
#include "headjoint/units/points.h"
#include "headjoint/units/quantity.h"

/// Combustion gas that a cylinder pushes into the coolant: a pulse in the pressure, once a cycle.
namespace headjoint::traces {

struct PulseQuestion {
  std::vector<int> firing_order = {1, 3, 4, 2};  ///< 1 to 16 cylinders, even firing
  Signal sync;                                   ///< one pulse a cycle
  int sync_cylinder = 1;
  double sync_deg = 0;  ///< how far behind the firing dead centre of that cylinder the pulse comes, crank degrees
  Duration longest_delay = Duration::from_si(0.010);  ///< from the cylinder to the sensor: hose and gas in it; assumed
  Angle after_dead_centre = Angle::from_degrees(15);  ///< where the gas pushes hardest; assumed
  Angle angle_error = Angle::from_degrees(20);        ///< of that and of the sync pulse, one standard deviation; assumed
};

/// Pulses of one band of speed, averaged over its cycles.
struct PulseBand {
  double rpm = 0;
  int cycles = 0;
  std::vector<double> average;  ///< by crank angle from the firing dead centre of the sync cylinder, 720 equal steps
  std::vector<double> single;   ///< the same without what all cylinders share and what does not come once a cycle
  double standard_error = 0;    ///< of one step of the average
  double peak_deg = 0;          ///< of the fundamental pulse in `single`
  double peak_error_deg = 0;    ///< one standard deviation
  double strength = 0;          ///< peak to trough of `single`
  double signal_to_noise = 0;   ///< power once a cycle over what chance leaves in the average
};

struct OrderLine {
  double order = 0;  ///< times a turn: 0.5 = once a cycle
  double amplitude = 0;
  double noise = 0;  ///< usual amplitude close by
};

struct SuspectCylinder {
  int cylinder = 0;
  double confidence = 0;  ///< 0 to 1 over all cylinders, given that one pushes gas
  Duration delay;         ///< that fits it best
};

struct PulseFinding {
  enum class Status {
    kNotRun,
    kFound,   ///< pulses once a cycle stand out
    kNone,    ///< nothing beyond chance comes once a cycle
    kNoSync,  ///< the sync channel holds no cycles
    kTooFew,  ///< fewer than 10 cycles
    kTooSlowlySampled,
  };
  Status status = Status::kNotRun;
  int cycles = 0;
  double needed_rate_Hz = 0;
  std::vector<PulseBand> bands;           ///< slowest first
  std::vector<OrderLine> orders;          ///< 0.5 to 2 x cylinders in steps of a half
  std::vector<SuspectCylinder> suspects;  ///< likeliest first
  double smallest = 0;                    ///< a pulse of that height would have stood out; in the trace's unit
  std::vector<std::string> notes;
};

/// Finds out whether one cylinder pushes gas into the coolant, and which.
///
/// Every cycle between two sync pulses is stretched over 720 crank degrees and averaged with all others of its speed band: what does not
/// keep step with the engine (pump, fan, noise) falls with the square root of the cycles. From the average everything is left out that
/// repeats with every firing, since all cylinders make that, and above the sixth harmonic of the cycle; what is left once a cycle is a
/// pulse of one cylinder. Its peak stands at the cylinder's firing angle + after_dead_centre + 6 N tau (degrees; N rpm, tau s): with
/// several speeds the delay tau shows as a slope and the cylinder as the intercept. Confidence: every cylinder equally likely before, tau
/// anywhere up to the longest delay, errors normal.
///
/// @throws InputError when the firing order is none
/// @par Source  synchronous averaging: common practice in vibration analysis; peak angle = th + 6 N tau: degrees turned in tau seconds
[[nodiscard]] PulseFinding find_pulses(const Signal& pressure, const PulseQuestion& question);

}  // namespace headjoint::traces
