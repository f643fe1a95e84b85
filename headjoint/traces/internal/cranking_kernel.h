#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "headjoint/traces/starter_model.h"

namespace headjoint::traces {

/// The differential equations of a cranked engine, in SI doubles.
class CrankingKernel {
 public:
  static constexpr std::size_t kMostCylinders = 16;

  /// @param engine  checked
  explicit CrankingKernel(const CrankedEngine& engine);

  /// Stands still at `angle_rad` after the firing dead centre of cylinder 1, every cylinder at ambient pressure.
  void stand_at(double angle_rad);
  void set_speed(double rad_s) { state_.speed = rad_s; }
  void set_battery(double volts) { battery_V_ = volts; }
  void switch_off() { is_on_ = false; }

  /// One step of Heun's method.
  void step(double dt);

  [[nodiscard]] double angle() const { return state_.angle; }  ///< rad, counts on
  [[nodiscard]] double speed() const { return state_.speed; }  ///< rad/s
  [[nodiscard]] double current() const;                        ///< A
  [[nodiscard]] double voltage() const;                        ///< V at the battery

 private:
  struct Gas {
    double mass = 0;
    double temperature = 0;
  };
  struct State {
    double angle = 0;
    double speed = 0;
    std::array<Gas, kMostCylinders> gas;
  };
  struct Motion {
    double volume, volume_per_rad, piston_travel;
  };

  [[nodiscard]] Motion motion(double phase) const;
  [[nodiscard]] double phase_of(std::size_t cylinder, double angle) const;
  [[nodiscard]] State slope(const State& state) const;
  [[nodiscard]] double flow(double area, double from_pressure, double from_temperature, double to_pressure) const;
  [[nodiscard]] double heat_loss(double pressure, double temperature, double wall_area, double speed) const;
  void change_valves();

  CrankedEngine engine_;
  std::size_t count_;
  std::array<double, kMostCylinders> dead_centre_{};  ///< firing, rad
  std::array<double, kMostCylinders> leak_{};
  std::array<bool, kMostCylinders> is_closed_{};
  double crank_, rod_, piston_area_, bore_, clearance_, clearance_height_, closes_, opens_;
  double ambient_, air_K_;
  double heat_factor_;
  double battery_V_;
  bool is_on_ = true;
  State state_;
};

}  // namespace headjoint::traces
