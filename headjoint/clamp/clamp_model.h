#pragma once

#include <optional>
#include <string>
#include <vector>

#include "headjoint/base/result.h"
#include "headjoint/clamp/bolt.h"
#include "headjoint/clamp/gasket.h"
#include "headjoint/joint/engine.h"
#include "headjoint/units/points.h"
#include "headjoint/units/quantity.h"

/// One head on its gasket as data for the clamp calculation: geometry and stiffness, no loads.
///
/// Plan coordinates are millimetres as in the engine file. "Towards the block" is positive for every movement.
namespace headjoint::clamp {

using joint::PlanPoint;

/// A solid plate that bends alike.
struct PlateMetal {
  Stress youngs_modulus;
  double poisson_ratio = 0.33;  ///< 0 <= nu < 0.5
  Expansion expansion;
  Length thickness;  ///< bending thickness outside the zones, after earlier cuts
};

/// A part of the plan with its own bending thickness; where zones overlap the later one counts.
struct ThicknessZone {
  std::vector<PlanPoint> outline;
  Length thickness;
};

/// A bore with its fire ring.
struct BoreSeal {
  int number = 0;
  PlanPoint centre;
};

/// The ring round every bore.
struct RingSeal {
  Length inner_radius;
  Length outer_radius;
  PressureCurve curve = PressureCurve::linear(FoundationStiffness::from_si(300e9));
  std::optional<LineLoad> least_line_load;
};

/// A passage through the gasket, round or by outline.
struct PassageHole {
  int number = 0;
  std::string kind;
  PlanPoint centre;
  Length diameter;                 ///< 0 for one by outline
  std::vector<PlanPoint> outline;  ///< empty for a round one
};

/// The raised line round every passage: a band outside the hole; round an outline it has mitred corners.
struct BeadSeal {
  Length width;
  PressureCurve curve = PressureCurve::linear(FoundationStiffness::from_si(60e9));
  std::optional<Stress> least_pressure;
};

/// All head bolts alike.
struct BoltRow {
  std::vector<PlanPoint> at;
  Length washer_diameter;
  Length hole_diameter;  ///< 0: the washer is a full disc and the gasket has no hole
  LineLoad stiffness;    ///< of one bolt with its anchor
  Length grip;           ///< for heat; 0 when not known
  Expansion expansion = Expansion::from_si(11.5e-6);
  std::optional<Thread> thread;
  std::optional<Friction> friction;  ///< middle of the range
  double friction_least = 0.10;
  double friction_most = 0.14;
  std::optional<Stress> yield;  ///< of the bolt's steel
  std::optional<Length> waist;
  std::string stiffness_origin;  ///< "given" or how it was reckoned
};

/// How the block answers.
enum class BlockModel { kRigid, kPlate };

/// The joint of one head. Checked by check_model(); from_engine() makes one from an engine file.
struct ClampModel {
  std::string name;
  int head = 1;
  std::vector<PlanPoint> outline;
  PlateMetal plate;
  std::vector<ThicknessZone> zones;
  BlockModel block = BlockModel::kRigid;
  PlateMetal block_plate;  ///< metal also for heat when the block is rigid
  std::vector<BoreSeal> bores;
  Length gas_bore;  ///< diameter of the gasket round every bore on which the gas acts
  std::optional<RingSeal> ring;
  std::vector<PassageHole> passages;
  std::optional<BeadSeal> bead;
  std::optional<PressureCurve> body;  ///< the rest of the outline; empty: nothing carries there
  BoltRow bolts;
  std::optional<Force> preload;  ///< of every bolt
  std::vector<int> order;        ///< the maker's, bolt numbers from 1, or empty
  std::vector<joint::TighteningStage> stages;
  std::vector<std::string> assumptions;  ///< what was filled in, one sentence each
};

/// Everything that makes a model senseless, with the place on the plan in words: bolts outside the outline, bolts or passages in a bore,
/// rings that overlap or leave the outline, no bolts, no stiffness. Overlapping beads are refused as well: their area would count twice.
/// @returns errors and warnings; empty when all is well
[[nodiscard]] Problems check_model(const ClampModel& model);

/// The joint of one head of an engine.
///
/// Materials stand for usual figures (aluminium 72 GPa, 0.33, 22e-6/K; cast iron 110 GPa, 0.26, 10.5e-6/K) unless the file has its own.
/// Bolt stiffness from the geometry when not given. An earlier cut of head or deck takes its depth off the bending thickness.
///
/// @param head  from 1
/// @returns the checked model with warnings, or every missing key named with an example of how to write it, or every fault of the plan
[[nodiscard]] Result<ClampModel> from_engine(const joint::Engine& engine, int head = 1);

}  // namespace headjoint::clamp
