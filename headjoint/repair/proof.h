#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "headjoint/base/result.h"
#include "headjoint/leakage/compression_model.h"
#include "headjoint/leakage/leak_down.h"
#include "headjoint/leakage/leak_size.h"
#include "headjoint/leakage/pressure_hold.h"
#include "headjoint/repair/plan.h"

/// What a sound engine reads after the repair, and how likely it is that a fault remains.
namespace headjoint::repair {

/// A reading to expect with the limits inside which it is accepted.
struct PressureBand {
  GaugePressure expected, low, high;
};

/// How far a sound engine's level may stand off the engine maker's figure. Common practice, no source.
inline constexpr double kLevelTolerance = 0.10;

/// Cranking compression of a sound cylinder with the ratio it has after the repair.
///
/// What leaks in a sound engine (rings, valves, gauge) is fitted to `level` at the ratio before, under each law of heat loss; the
/// cycle is then run with the same leak at the ratio after. Expected is the middle of the laws; the band holds both laws and the
/// tolerance of the level. Without a level the model's own wide band for sound engines stands for it. With the ratio unchanged the
/// expected reading is the level itself.
///
/// @param cranking     the engine before the cut
/// @param ratio_after  5 to 25; empty: as before
/// @param level        the engine maker's figure before the cut
/// @throws InputError naming the argument
/// @par Checked  forward model; the rise against the polytropic law
[[nodiscard]] PressureBand expected_compression(const leakage::Cranking& cranking, std::optional<double> ratio_after,
                                                std::optional<GaugePressure> level);

/// Leak-down gauge of a sound cylinder: the losses of sound rings and valves, or the maker's limit.
/// @param most_loss  the maker's; empty: the sound band and its spread, 12 %
/// @throws InputError naming the argument
[[nodiscard]] PressureBand expected_leak_down(const leakage::LeakDownTest& test, std::optional<double> most_loss,
                                              const leakage::LeakSizes& sizes = {});

/// Where the needle may stand at the end of a pressure hold with a tight system: what gauge step, temperature error and a uniform
/// change of temperature explain.
/// @param hold  `end` is not looked at
/// @throws InputError naming the argument
[[nodiscard]] PressureBand expected_hold(leakage::PressureHold hold);

// --- the chance that a fault remains -----------------------------------------------------------------------------------

/// Something left undone, or found wrong, that makes a second failure likelier.
struct FailureDriver {
  std::string when;
  double factor = 1;  ///< on the odds; > 0
  std::string text;
  std::string mend;
};

struct SecondFailure {
  double joint_done_well = 0;  ///< chance, 0 to 1
  double cured_but_wrong = 0;
  double spread = 1;  ///< factor on the odds either way; >= 1
  std::string source;
  std::vector<FailureDriver> drivers;
};

/// @returns the table, or every problem with it
[[nodiscard]] Result<SecondFailure> read_second_failure(std::string_view toml, const std::string& source);

/// Chance with the range that the table's spread gives it.
struct Remaining {
  double value = 0, low = 0, high = 0;
};

/// The joint's chance of a fault before any reading of the repaired engine.
struct JointPrior {
  Remaining chance;
  std::vector<FailureDriver> drivers;  ///< that hold
};
[[nodiscard]] JointPrior joint_prior(const SecondFailure& table, const Facts& facts);

/// A chance after evidence that multiplies its odds.
/// @param chance  0 to 1
/// @param factor  >= 0; infinity for certain
[[nodiscard]] double updated(double chance, double factor);

/// Factor on the odds that took `before` to `after`; both inside 0 to 1. Ends of the scale are held at 1e-9 from them.
[[nodiscard]] double odds_factor(double before, double after);

/// Chance that at least one of several independent faults is there.
[[nodiscard]] double any_of(const std::vector<double>& chances);

}  // namespace headjoint::repair
