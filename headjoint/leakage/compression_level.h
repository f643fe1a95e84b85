#pragma once

#include <optional>
#include <string>

#include "headjoint/leakage/compression_model.h"

/// What all cylinders of an engine share in their compression readings. Valve timing, a shut throttle, slow cranking, a gauge with
/// a long hose and even wear move all cylinders together; a gasket seldom does.
namespace headjoint::leakage {

struct LevelFinding {
  enum class Kind { kNotJudged, kUsual, kLow, kHigh };
  Kind kind = Kind::kNotJudged;
  GaugePressure usual_low;  ///< where a sound engine is expected: the maker's figure -10 %, +10 %, else the model's band
  GaugePressure usual_high;
  bool is_from_maker = false;
  bool are_alike = false;              ///< all readings within 15 % of the highest: one cause for all
  std::optional<Angle> closing_shift;  ///< how much later (earlier: negative) the intake would have to close to explain the level
  std::optional<Area> leak_each;       ///< or how much every cylinder would have to leak beyond a sound one
  std::string note;                    ///< in words; empty when usual
};

/// Sets the healthy level beside what a sound engine reads.
///
/// One tooth of the timing belt is 15 to 20 crank degrees (common practice) and moves every cylinder by 8 to 15 %. The shift is
/// found with Woschni's law at the base fitted to the maker's figure, else to the nearer end of the model's band.
///
/// @param healthy  > 0
/// @param spread   (highest - lowest) / highest of the usable readings; 0 to 1
/// @param maker_level  the engine maker's figure for a sound cylinder
/// @throws InputError naming the argument
[[nodiscard]] LevelFinding judge_level(const CompressionModel& model, GaugePressure healthy, double spread,
                                       std::optional<GaugePressure> maker_level = {});

}  // namespace headjoint::leakage
