#pragma once

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "headjoint/clamp/clamp_model.h"
#include "headjoint/clamp/face_shape.h"

/// The joint clamped: a plate on a foundation that only pushes.
///
/// Mindlin plate (shear factor 5/6) on a regular grid; gasket regions as points with exact areas inside the grid's cells; the energy of
/// plate, gasket and bolts is convex, its least point is found by a semismooth Newton method with exact line search. Theory:
/// docs/theory/clamp.md.
namespace headjoint::clamp {

/// How bolts load the head.
enum class BoltAction {
  kForce,   ///< every bolt keeps its preload whatever the head does
  kLocked,  ///< tightened to its preload, then a spring: gas and heat change its force
};

/// A change of temperature since tightening.
struct HeatLoad {
  TemperatureDifference head_rise;
  TemperatureDifference bolt_rise;
  TemperatureDifference block_rise;
  TemperatureDifference face_over_top;  ///< fire side of the head hotter than its top by this, linear through the bending thickness
};

/// What acts on the joint.
struct ClampLoads {
  std::optional<Force> preload;       ///< of every bolt; empty: the model's
  std::vector<double> bolt_forces_N;  ///< one per bolt instead of `preload`, >= 0
  BoltAction action = BoltAction::kLocked;
  std::map<int, GaugePressure> gas;  ///< bore number to pressure, >= 0
  std::optional<HeatLoad> heat;
  std::optional<FaceShape> head_face;
  std::optional<FaceShape> block_face;
};

/// Size of the grid and when to stop.
struct ClampOptions {
  Length grid = Length::from_si(0.005);  ///< 2 mm to 40 mm; cells are fitted to the outline's box
  int step_limit = 80;
  double tolerance = 1e-9;  ///< residual over applied force
};

enum class ClampStatus {
  kNotRun,
  kConverged,
  kFloats,     ///< gas lifts the head: nothing holds it down
  kTips,       ///< the forces' resultant lies outside what carries: the head rocks off
  kStepLimit,  ///< not converged: figures are not to be used
};
/// "converged", "floats", "tips", "step_limit", "not_run"
[[nodiscard]] std::string to_string(ClampStatus status);

/// The joint loaded step by step: how the solver fared and whether the sums agree.
struct ClampSummary {
  ClampStatus status = ClampStatus::kNotRun;
  std::string message;  ///< in words when not converged, with the place
  int steps = 0;        ///< Newton steps, all load steps together
  int factorisations = 0;
  double residual = 0;          ///< greatest force out of balance over the applied force
  double reaction_N = 0;        ///< of the gasket
  double applied_N = 0;         ///< bolts less gas
  double contact_area_mm2 = 0;  ///< of the points that stand for the gasket
  double exact_area_mm2 = 0;    ///< of the plan
  double open_area_mm2 = 0;     ///< without pressure
  double open_area_fraction = 0;
  int unknowns = 0;
};

/// Round one fire ring.
struct RingResult {
  int bore = 0;
  LineLoad line_load_min;
  LineLoad line_load_mean;
  LineLoad line_load_max;
  Angle angle_of_min;                      ///< from the x axis towards y
  Force force;                             ///< of the ring
  std::optional<double> margin;            ///< least line load over what the gasket needs; empty when the file does not say
  std::vector<double> line_load_N_per_mm;  ///< at equal angles from 0
  PlanPoint weakest;                       ///< place of the least
};

/// Round one passage.
struct PassageResult {
  int number = 0;
  Stress pressure_min;
  Stress pressure_mean;
  std::optional<double> margin;
  PlanPoint weakest;
};

struct BoltResult {
  int number = 0;
  Force force;
  Length movement;                    ///< of the head under its washer, towards the block
  std::optional<double> utilisation;  ///< force over the preload at yield (middle friction)
};

/// Pressure over the plan, one value per cell, row by row in x first; not-a-number outside the outline.
struct PressureField {
  int columns = 0;
  int rows = 0;
  double x0_mm = 0, y0_mm = 0;  ///< corner of the first cell
  double dx_mm = 0, dy_mm = 0;
  std::vector<double> pressure_MPa;  ///< mean over what carries in the cell
  std::vector<double> greatest_MPa;  ///< the same, greatest over all load steps so far: what a pressure film keeps
  std::vector<double> movement_mm;   ///< of the head at the cell's middle
};

struct ClampResult {
  ClampSummary summary;
  std::vector<RingResult> rings;
  std::vector<PassageResult> passages;
  std::vector<BoltResult> bolts;
  Length deflection_max;  ///< largest movement towards the block over gasketed area
  Length deflection_min;
  Length slide;               ///< heat: how far the ends of head and block slide past each other, free
  double plate_validity = 0;  ///< area-mean stiffness x thickness / E; a plate is the wrong model from about 0.1
  PressureField field;
  std::vector<std::string> warnings;
};

/// A joint set up once for one grid: geometry, areas and plate matrix. Loads may then be changed and solved again quickly; each solve
/// starts from the contact found before. Not shared between threads: each takes its own copy().
class ClampedJoint {
 public:
  /// @param model    without errors by check_model(); ContractError otherwise
  /// @throws InputError "grid" outside its range
  explicit ClampedJoint(const ClampModel& model, const ClampOptions& options = {});
  ClampedJoint(ClampedJoint&&) noexcept;
  ClampedJoint& operator=(ClampedJoint&&) noexcept;
  ~ClampedJoint();
  [[nodiscard]] ClampedJoint copy() const;

  /// A fresh gasket, tightened and loaded: first bolts (as forces) on the measured faces, then heat and gas with the bolts as `action`
  /// says.
  /// @throws InputError naming a load out of range: a bore that is not there, a negative pressure or force, a wrong number of forces
  [[nodiscard]] ClampResult solve(const ClampLoads& loads);

  [[nodiscard]] const ClampModel& model() const;
  [[nodiscard]] std::size_t memory_bytes() const;

  class Kernel;
  [[nodiscard]] Kernel& kernel() { return *kernel_; }  ///< for the other files of this module

 private:
  explicit ClampedJoint(std::unique_ptr<Kernel> kernel);
  std::unique_ptr<Kernel> kernel_;
};

/// Set-up and one solve.
[[nodiscard]] ClampResult clamp(const ClampModel& model, const ClampLoads& loads, const ClampOptions& options = {});

/// Movement towards the block at bolt i for 1 N at bolt j, mm/N, gasket closed everywhere: symmetric, row by row.
[[nodiscard]] std::vector<double> bolt_influence_mm_per_N(const ClampModel& model, const ClampOptions& options = {});

}  // namespace headjoint::clamp
