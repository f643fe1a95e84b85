#pragma once

#include <optional>
#include <string>
#include <vector>

#include "headjoint/joint/figure.h"

namespace headjoint::machining {

/// What a cut can change. The order is the order of the list a person reads.
enum class Matter {
  kHeadHeight,
  kHeadRemoved,
  kDeckRemoved,
  kCompressionRatio,
  kIntakeClosingRatio,
  kCompressionEndTemperature,
  kSquish,
  kPistonProtrusion,
  kIntakeGap,
  kExhaustGap,
  kCamTiming,
  kTensionerTakeUp,
  kIntakeLash,
  kExhaustLash,
  kLifterPreload,
  kIntakeFaceCut,
  kEndRailCut,
  kIntakeRecession,
  kExhaustRecession,
  kInsertProtrusion,
  kDowelSpace,
  kBoltEndSpace,
  kLinerProtrusion,
};

/// Stable word for files and keys: "compression_ratio", "intake_valve_gap".
[[nodiscard]] const std::string& word_of(Matter matter);

/// In which a matter's numbers are given.
enum class MatterUnit { kNone, kMillimetre, kDegree, kCelsius };
[[nodiscard]] MatterUnit unit_of(Matter matter);
[[nodiscard]] const std::string& word_of(MatterUnit unit);  ///< "" "mm" "deg" "degC"

enum class Verdict {
  kNotRun,
  kOk,
  kNearLimit,  ///< inside, but by less than the uncertainty of the figures and of the cut
  kOutOfLimit,
  kCannotSay,  ///< a figure is missing: see Consequence::missing
  kNoLimit,    ///< worked out, but the engine file has no limit for it: see Consequence::limit_keys
};
[[nodiscard]] const std::string& word_of(Verdict verdict);  ///< "not_run", "ok", "near_limit", ...

/// A limit with where it comes from.
struct Bound {
  double value = 0;    ///< in the matter's unit
  std::string key;     ///< in the engine file: "limits.squish_least"
  std::string source;  ///< as the file says it; empty when it does not
  joint::FigureStatus status = joint::FigureStatus::kNotSaid;
};

/// One line of what the cut changes.
struct Consequence {
  Matter matter = Matter::kHeadHeight;
  Verdict verdict = Verdict::kNotRun;
  std::optional<double> before;  ///< in the matter's unit, as all numbers here
  std::optional<double> after;
  double band = 0;  ///< of `after`: expanded uncertainty, k = 2, from the last digits typed and the scatter of the cut
  std::optional<Bound> least;
  std::optional<Bound> most;
  std::optional<double> at_deg_before;  ///< valve gaps: where the gap is smallest, crank degrees after top dead centre
  std::optional<double> at_deg_after;
  std::optional<double> after_with_cam_set_back;   ///< valve gaps: with the timing corrected
  std::optional<double> gasket_that_restores_mm;   ///< compressed thickness that brings back `before`
  std::optional<double> gasket_that_is_enough_mm;  ///< the least change of thickness that brings it inside its limits, when it is out
  std::vector<std::string> missing;                ///< keys of the engine file without which nothing can be said
  std::vector<std::string> assumed;                ///< keys whose figure is assumed, or was not given and how it was taken
  std::vector<std::string> limit_keys;             ///< where a limit for it would stand
  std::string fault;                               ///< why there is no number although nothing is missing
};

}  // namespace headjoint::machining
