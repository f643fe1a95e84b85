#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "headjoint/leakage/cylinder_cycle.h"
#include "headjoint/leakage/internal/crank_geometry.h"
#include "headjoint/leakage/internal/dormand_prince.h"
#include "headjoint/leakage/internal/flow_function.h"

/// The kernel of the cranking model: plain numbers in SI units, angles in radians, nothing checked.
namespace headjoint::leakage {

/// What all cylinders share.
struct CycleAir {
  double turning = 0;                                                            ///< rad/s
  double ambient = 0, intake = 0, coolant = 0;                                   ///< Pa
  double ambient_temperature = 0, charge_temperature = 0, wall_temperature = 0;  ///< K
  double gas_constant = 0, heat_ratio = 0;
  HeatLoss heat_loss = HeatLoss::kNone;
  double heat_factor = 0;           ///< heat transfer over the law's powers of pressure, temperature and volume
  double closing = 0, opening = 0;  ///< of intake and exhaust, after top dead centre of compression
};

struct CycleCylinder {
  CrankGeometry geometry;
  double dead_centre = 0;                                ///< crank angle of top dead centre of compression
  double to_ambient = 0, to_intake = 0, to_coolant = 0;  ///< effective areas
  bool is_plug_out = false;
};

struct CycleBridge {
  std::size_t first = 0, second = 0;
  double area = 0;
};

/// A gauge on the group's first cylinder.
struct CycleGauge {
  double volume = 0, valve = 0;  ///< valve 0: no gauge
};

/// How long and how closely a group is marched.
struct MarchPlan {
  int cycles = 1;  ///< of two turns, the last one counts
  int run_in = 0;  ///< of them with the gauge still closed
  double tolerance = 1e-6;
  double trace_step = 0;      ///< 0: no trace
  bool ends_at_peak = false;  ///< a cylinder alone may stop there
};

/// Cylinders that breaches join, marched together.
class ClosedCycle {
 public:
  static constexpr std::size_t kMostCylinders = 16;
  using March = DormandPrince<2 * kMostCylinders + 1>;
  using State = March::State;

  ClosedCycle(const CycleAir& air, std::vector<CycleCylinder> cylinders, std::vector<CycleBridge> bridges, const CycleGauge& gauge);

  [[nodiscard]] CrankingRun run(const MarchPlan& plan);

  /// Mass over mass at closing, then p (V/V0)^g over its value at closing, for each cylinder; last the gauge's mass over its first.
  [[nodiscard]] State state_at_closing() const;
  /// Closes a cylinder whose top dead centre of compression is at `dead_centre`.
  void close(std::size_t cylinder, double dead_centre);
  /// Change of the state with crank angle; not a number where the state has left its range.
  void rates(double angle, const State& y, State& dy) const;
  [[nodiscard]] double pressure(std::size_t cylinder, double angle, const State& y) const;
  [[nodiscard]] double mass(std::size_t cylinder, const State& y) const { return y[2 * cylinder] * closing_mass_[cylinder]; }

 private:
  enum class Phase { kIntake, kClosed, kExhaust };
  struct Gas {
    double pressure, temperature;
    double out = 0, energy_out = 0;  ///< kg/s, W
  };
  struct Peak {
    double pressure = 0, angle = 0, mass_left = 1;
  };
  struct Event {
    double angle;
    std::size_t cylinder;
    Phase begins;
    int cycle;
  };

  [[nodiscard]] Gas port_gas(std::size_t cylinder) const;
  [[nodiscard]] double heat_flow(const Gas& gas, const CrankGeometry::At& at) const;
  void exchange(double area, Gas& from, Gas& to) const;
  void leak(std::size_t cylinder, Gas& gas) const;
  [[nodiscard]] double pressure_slope(std::size_t cylinder, double angle, const State& y, const State& dy) const;

  [[nodiscard]] std::vector<Event> events(int cycles) const;
  void take(const Event& event, const MarchPlan& plan);
  void march_to(double end, const MarchPlan& plan);
  void note_step(double step, const MarchPlan& plan);
  void note_peak(std::size_t cylinder, double angle, const State& y);
  void note_trace(std::size_t cylinder, double step, const MarchPlan& plan);

  CycleAir air_;
  std::vector<CycleCylinder> cylinders_;
  std::vector<CycleBridge> bridges_;
  CycleGauge gauge_;
  FlowFunction psi_;
  std::vector<double> closing_volume_, closing_mass_;
  std::vector<Phase> phase_;
  std::vector<double> dead_centre_;  ///< of the closed phase that runs
  std::vector<Peak> peak_;
  std::vector<bool> is_recorded_;  ///< the closed phase that runs is the one that counts
  bool is_gauge_open_ = false;
  bool has_passed_peak_ = false;
  March march_;
  CrankingRun run_;
};

}  // namespace headjoint::leakage
