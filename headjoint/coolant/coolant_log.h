#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "headjoint/coolant/coolant_log_model.h"

/// What a log of the coolant's temperature tells.
namespace headjoint::coolant {

/// Samples in the order of time. Columns that the log does not have are empty; NaN stands for a value that is missing.
struct CoolantLog {
  std::vector<double> time_s;
  std::vector<double> temperature_C;
  std::vector<double> road_speed_km_h;
  std::vector<double> load_percent;
  std::vector<double> gauge_pressure_bar;
};

/// What control units show for a broken and for a shorted sensor, degC: no temperatures.
/// @par Source  SAE J1979 / ISO 15031-5, parameter 05: byte - 40
inline constexpr double kSensorOpen_C = -40, kSensorShort_C = 215;

struct LogQuestion {
  Temperature boils_cap_good = Temperature::from_celsius(125);  ///< as the cap is stamped
  Temperature boils_no_cap = Temperature::from_celsius(105);    ///< the cap does not hold
  Temperature limit = Temperature::from_celsius(115);           ///< above it damage is counted; common practice
  LumpedEngine engine;                                          ///< for the thermostat and the comparison with a usual engine
  /// Highest gauge pressure, bar, that warming from one temperature to another explains, both degC; empty = not judged.
  std::function<double(double from_C, double to_C, double from_bar)> highest_normal_bar;
  std::function<double(double gauge_bar)> boils_at_C;  ///< degC under that pressure; empty = a logged pressure is not used for boiling
};

/// A time above the limit.
struct HotEpisode {
  double from_s = 0;
  double to_s = 0;
  double peak_C = 0;
  double dose_K_min = 0;
  double dry_from_s = -1;     ///< the sensor fell dry in it: the peak is a lower bound; -1 = it did not
  bool boils_no_cap = false;  ///< reached boiling if the cap did not hold
  bool boils_cap_good = false;
};

enum class LogSign {
  kSensorOpen,   ///< -40 degC: broken wire or plug
  kSensorShort,  ///< 215 degC
  kStepTooFast,  ///< faster than metal and coolant can change: gas or steam at the sensor, or a bad contact
  kSensorDry,    ///< falls suddenly while hot: coolant lost
  kStuckOpen,    ///< never near the thermostat's temperature
  kStuckShut,    ///< climbs through the thermostat's range without a bend
  kFanCycle,     ///< saw-tooth of a fan that works
  kHotAtIdle,
  kHotAtSpeed,
  kHotterThanUsual,  ///< lasting departure from the usual engine (cumulative sum)
  kPressureTooHigh,  ///< more than warming explains
  kPressureLeft,     ///< still there after cooling down
};

/// One thing seen in the log.
struct LogSignature {
  LogSign sign = LogSign::kStepTooFast;
  double from_s = 0;
  double to_s = 0;
  double size = 0;  ///< K, bar or number, as the text says
  int count = 1;    ///< how often; the first is told
};

struct LogFinding {
  enum class Status { kNotRun, kJudged, kNoSamples, kNoSensor };
  Status status = Status::kNotRun;
  double peak_C = 0;
  double peak_at_s = 0;
  bool peak_is_lower_bound = false;
  double dose_K_min = 0;      ///< integral above the limit
  double above_min = 0;       ///< time above the limit
  double least_margin_K = 0;  ///< to boiling with a good cap
  double least_margin_no_cap_K = 0;
  double usual_C = 0;  ///< median once warm; NaN when it never was
  std::vector<HotEpisode> episodes;
  std::vector<LogSignature> signatures;
};

/// Walks through a log.
///
/// Rules (all tunable figures are common practice or follow from the lumped model, see docs/theory/traces.md): a step of 5 K within 5 s is
/// faster than 60 kW into 70 kJ/K; such a fall from above 95 degC under load, or with no load known, is a dry sensor; a thermostat is stuck
/// open when a quarter of an hour does not bring the coolant within 11 K of its temperature, stuck shut when it climbs 8 K past the fully
/// open temperature at six tenths or more of the rate it had below opening; a fan cycles with 3 to 10 K between 20 s and 12 min.
///
/// @throws InputError when the columns differ in length or time does not rise
[[nodiscard]] LogFinding judge_log(const CoolantLog& log, const LogQuestion& question);

}  // namespace headjoint::coolant
