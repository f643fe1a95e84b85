#pragma once

#include <optional>
#include <string>

#include "headjoint/leakage/compression_model.h"

/// What a second compression test of one cylinder adds: at another speed, or with oil in the bore.
namespace headjoint::leakage {

/// One cylinder read at two cranking speeds, slower and faster, everything else the same.
struct TwoSpeeds {
  Speed slow;
  Speed fast;  ///< at least 20 % above the slow one
  GaugePressure slow_reading;
  GaugePressure fast_reading;
  GaugePressure step = GaugePressure::from_pascal(2e4);  ///< smallest trusted difference; > 0
};

/// A leak makes a reading depend on speed; late intake closing, a large chamber or a long gauge hose do not.
struct SpeedFinding {
  enum class Kind {
    kNotRun,
    kLeak,        ///< the leak is there whatever the readings' errors
    kLowByShape,  ///< low, yet as steady as a tight cylinder: timing, chamber volume or gauge hose
    kSound,       ///< neither
    kUndecided,   ///< the readings allow both
    kDisagrees,   ///< reads less at the higher speed: take both again
  };
  Kind kind = Kind::kNotRun;
  LeakArea leak;                       ///< all that the cylinder leaks, base included
  std::optional<Angle> later_closing;  ///< what then remains to be explained, as shift of the intake closing; empty: none fits
  std::string note;
};

/// Separates a leak from what only lowers the level: two readings, two unknowns (leak area, intake closing), Woschni and Hohenberg.
/// @throws InputError naming the argument
/// @par Checked published.compression
[[nodiscard]] SpeedFinding compare_speeds(const Cranking& cranking, const TwoSpeeds& readings);

/// One cylinder read dry and again with oil on the piston.
struct WetTest {
  GaugePressure dry;
  GaugePressure wet;
  Volume oil = Volume::from_si(10e-6);                   ///< poured in; > 0. Some drains or pools: an upper bound
  GaugePressure step = GaugePressure::from_pascal(2e4);  ///< smallest trusted difference; > 0
};

struct WetFinding {
  enum class Kind {
    kNotRun,
    kNoRise,      ///< no more than the gauge's step: valves or gasket, or the oil did not stay
    kVolumeOnly,  ///< the rise is what the oil's volume makes: the rings are not shown to leak
    kRings,       ///< rises more than the volume can make: the oil sealed rings
    kUndecided,   ///< between the two
  };
  Kind kind = Kind::kNotRun;
  GaugePressure volume_alone;  ///< what the oil's volume makes of the dry reading with the leak unchanged
  GaugePressure all_sealed;    ///< with the volume and all of the cylinder's leak beyond a small base sealed
  double rise = 0;             ///< wet / dry - 1
  double rise_by_volume = 0;
  LeakArea sealed;  ///< leak area that the oil closed, with the volume taken out
  std::string note;
};

/// Takes the volume of the oil out of a wet test: 10 cm3 raise 400 cm3 at ratio 10 by 30 % with the leak unchanged.
///
/// Not for flat engines, where the oil lies on one side, nor small diesel chambers, which it may fill.
///
/// @throws InputError naming the argument: oil that fills the chamber
/// @par Source  US Army TM 5-4210-230-14&P-1 Addendum 2 (the test); the correction is the geometry of the chamber
/// @par Checked published.compression
[[nodiscard]] WetFinding judge_wet_test(const Cranking& cranking, const WetTest& test);

}  // namespace headjoint::leakage
