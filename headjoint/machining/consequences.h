#pragma once

#include <optional>
#include <vector>

#include "headjoint/base/problem.h"
#include "headjoint/joint/engine.h"
#include "headjoint/machining/cam_timing.h"
#include "headjoint/machining/consequence.h"
#include "headjoint/machining/gasket_grade.h"
#include "headjoint/machining/vee_manifold.h"
#include "headjoint/units/quantity.h"

namespace headjoint::machining {

/// The job given to the machine shop, and the gasket that will go in.
struct Cut {
  Length head;                             ///< 0 mm to 10 mm
  Length deck;                             ///< 0 mm to 10 mm
  std::optional<Length> gasket_thickness;  ///< compressed, 0.05 mm to 10 mm; empty = as the one in the engine file
  /// How much the machine may miss the depth either way (common practice, no source). Widens the bands of what a cut changes.
  Length scatter = Length::from_si(0.02e-3);
  std::vector<Length> protrusions;  ///< of the pistons, measured before the cut; empty = from the deck clearance of the engine file
};

/// The air cycle used for the temperature at the end of compression.
struct ChargeAssumption {
  Temperature start = Temperature::from_kelvin(300);
  double exponent = 1.4;  ///< cold air: an upper bound; the change matters, not the level
};

struct Consequences {
  Length lowered;                        ///< how much nearer the head comes to the crank: cuts less what the gasket gained
  std::vector<Consequence> lines;        ///< in the order of Matter; what the engine cannot have is left out
  std::optional<TimingShift> timing;     ///< overhead cams, when it can be said
  std::optional<Length> lash_change;     ///< at the valve; solid lifters
  std::optional<Length> preload_change;  ///< hydraulic lifters behind pushrods
  std::optional<Length> pushrod_shortening;
  std::optional<ManifoldCut> manifold;  ///< vee engines
  std::optional<GradeChoice> grade;     ///< engines with graded gaskets
  std::optional<double> ratio_stated;   ///< the engine file's own compression ratio, when the volumes beside it disagree by 0.1 or more

  /// The line of a matter, or null pointer.
  [[nodiscard]] const Consequence* find(Matter matter) const;
  [[nodiscard]] bool has(Verdict verdict) const;
};

/// Everything that the cut changes on this engine: before, after, limit, verdict, what would restore it.
///
/// Each line is a formula of named figures. Bands: every figure may be half its last digit off, every cut `scatter`, both taken as
/// uniform and added by squares; k = 2. A figure that is missing makes its lines "cannot say" and is named; a figure that is marked
/// as assumed, or that was taken because the file has none, is named too. Limits come from the engine file alone.
///
/// @throws InputError naming head, deck or gasket_thickness when it is outside its range
[[nodiscard]] Consequences consequences_of(const joint::Engine& engine, const Cut& cut, const ChargeAssumption& charge = {});

}  // namespace headjoint::machining
