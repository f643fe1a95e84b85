#include "headjoint/clamp/bolt.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "headjoint/clamp/internal/workshop_units.h"

namespace headjoint::clamp {
namespace {

/// Half the flank angle of 60 degree threads.
const double kFlankCosine = std::cos(kPi / 6);

void check(const Friction& friction, Length mean_bearing) {
  ask(friction.thread >= 0 && friction.thread <= 1, "friction", "thread friction lies between 0 and 1");
  ask(friction.head >= 0 && friction.head <= 1, "friction", "friction under the head lies between 0 and 1");
  ask(mm(mean_bearing) > 0, "mean_bearing", "must be larger than 0");
}

double friction_angle(double thread_friction) { return std::atan(thread_friction / kFlankCosine); }

/// Torque in the thread per newton of preload, mm.
double thread_lever(const Thread& thread, double friction, TorqueForm form) {
  const double d2 = mm(thread.pitch_diameter()), pitch = mm(thread.pitch);
  switch (form) {
    case TorqueForm::kIso:
      return pitch / (2 * kPi) + 0.577 * friction * d2;
    case TorqueForm::kVdi:
      return 0.16 * pitch + 0.58 * friction * d2;
    case TorqueForm::kNasa:
      return d2 / 2 * (std::tan(thread.helix_angle().radians()) + friction / kFlankCosine);
    case TorqueForm::kExact:
      break;
  }
  return d2 / 2 * std::tan(thread.helix_angle().radians() + friction_angle(friction));
}

/// Torque per newton of preload, mm: thread and head.
double torque_lever(const Thread& thread, const Friction& friction, Length mean_bearing, TorqueForm form) {
  return thread_lever(thread, friction.thread, form) + friction.head * mm(mean_bearing) / 2;
}

/// Diameter and area that carry tension and torsion: thread, or the waist where it is thinner.
struct Core {
  double diameter_mm = 0;
  double area_mm2 = 0;
};
Core core_of(const Thread& thread, const std::optional<Length>& waist) {
  const double d0 = (mm(thread.pitch_diameter()) + mm(thread.minor_diameter())) / 2;
  const double diameter = waist ? std::min(mm(*waist), d0) : d0;
  ask(diameter > 0, "waist", "must be larger than 0");
  return {diameter, kPi / 4 * diameter * diameter};
}

double torsion_modulus(double diameter, Torsion torsion) {
  return kPi * diameter * diameter * diameter / (torsion == Torsion::kPlastic ? 12 : 16);
}

}  // namespace

Length Thread::pitch_diameter() const { return diameter - 0.649519 * pitch; }
Length Thread::minor_diameter() const { return diameter - 1.226869 * pitch; }
Area Thread::stress_area() const {
  const double d0 = (mm(pitch_diameter()) + mm(minor_diameter())) / 2;
  return from_mm2(kPi / 4 * d0 * d0);
}
Area Thread::minor_area() const { return from_mm2(kPi / 4 * std::pow(mm(minor_diameter()), 2)); }
Area Thread::nominal_area() const { return from_mm2(kPi / 4 * std::pow(mm(diameter), 2)); }
Angle Thread::helix_angle() const { return Angle::from_radians(std::atan(mm(pitch) / (kPi * mm(pitch_diameter())))); }

std::optional<Length> coarse_pitch(Length diameter) {
  struct Row {
    double diameter_mm, pitch_mm;
  };
  static constexpr std::array<Row, 16> kCoarse = {{{3, 0.5},
                                                   {4, 0.7},
                                                   {5, 0.8},
                                                   {6, 1},
                                                   {7, 1},
                                                   {8, 1.25},
                                                   {9, 1.25},
                                                   {10, 1.5},
                                                   {11, 1.5},
                                                   {12, 1.75},
                                                   {14, 2},
                                                   {16, 2},
                                                   {18, 2.5},
                                                   {20, 2.5},
                                                   {22, 2.5},
                                                   {24, 3}}};
  for (const Row& row : kCoarse)
    if (std::abs(mm(diameter) - row.diameter_mm) < 1e-6) return from_mm(row.pitch_mm);
  return std::nullopt;
}

Thread thread(Length diameter, std::optional<Length> pitch) {
  ask(mm(diameter) >= 3 && mm(diameter) <= 100, "diameter", "a thread is 3 mm to 100 mm");
  if (!pitch) pitch = coarse_pitch(diameter);
  ask(pitch.has_value(), "pitch", "no coarse pitch is listed for this diameter: give the pitch, such as M11x1.5");
  ask(mm(*pitch) > 0 && mm(*pitch) <= 0.3 * mm(diameter), "pitch", "larger than 0, at most 0.3 of the diameter");
  return {diameter, *pitch};
}

const std::vector<FrictionClass>& friction_classes() {
  static const std::vector<FrictionClass> kClasses = {
      {'A', 0.04, 0.10, "molybdenum disulphide, PTFE or wax, paste on phosphate"},
      {'B', 0.08, 0.16, "oil, grease or wax on bare, phosphated or zinc-plated steel"},
      {'C', 0.14, 0.24, "light oil film as delivered, hot-dip zinc"},
      {'D', 0.20, 0.35, "dry, stainless, rusty"},
      {'E', 0.30, 0.45, "dry stainless or aluminium (class open upwards)"},
  };
  return kClasses;
}

Length mean_bearing_diameter(Length outer, Length hole) {
  ask(mm(hole) > 0, "hole", "must be larger than 0");
  ask(outer > hole, "outer", "must be larger than the hole");
  return (outer + hole) / 2;
}

Torque tightening_torque(const Thread& thread, const Friction& friction, Length mean_bearing, Force preload, TorqueForm form) {
  check(friction, mean_bearing);
  ask(newton(preload) >= 0, "preload", "must not be negative");
  return from_newton_mm(newton(preload) * torque_lever(thread, friction, mean_bearing, form));
}

Force preload_from_torque(const Thread& thread, const Friction& friction, Length mean_bearing, Torque torque, TorqueForm form) {
  check(friction, mean_bearing);
  ask(newton_mm(torque) >= 0, "torque", "must not be negative");
  return from_newton(newton_mm(torque) / torque_lever(thread, friction, mean_bearing, form));
}

Torque loosening_torque(const Thread& thread, const Friction& friction, Length mean_bearing, Force preload) {
  check(friction, mean_bearing);
  ask(newton(preload) >= 0, "preload", "must not be negative");
  const double back = mm(thread.pitch_diameter()) / 2 * std::tan(friction_angle(friction.thread) - thread.helix_angle().radians());
  return from_newton_mm(newton(preload) * (back + friction.head * mm(mean_bearing) / 2));
}

double nut_factor(const Thread& thread, const Friction& friction, Length mean_bearing) {
  check(friction, mean_bearing);
  return torque_lever(thread, friction, mean_bearing, TorqueForm::kExact) / mm(thread.diameter);
}

Force preload_from_nut_factor(double k, Length diameter, Torque torque) {
  ask(k > 0, "k", "must be larger than 0");
  ask(mm(diameter) > 0, "diameter", "must be larger than 0");
  return from_newton(newton_mm(torque) / (k * mm(diameter)));
}

Torque torque_from_nut_factor(double k, Length diameter, Force preload) {
  ask(k > 0, "k", "must be larger than 0");
  return from_newton_mm(newton(preload) * k * mm(diameter));
}

TorqueShares torque_shares(const Thread& thread, const Friction& friction, Length mean_bearing) {
  check(friction, mean_bearing);
  const double whole = torque_lever(thread, friction, mean_bearing, TorqueForm::kExact);
  const double stretch = mm(thread.pitch) / (2 * kPi), head = friction.head * mm(mean_bearing) / 2;
  return {stretch / whole, (whole - stretch - head) / whole, head / whole};
}

std::optional<StrengthClass> strength_class(std::string_view name, Length diameter) {
  struct Row {
    const char* name;
    double tensile, yield, proof;
  };
  static constexpr std::array<Row, 4> kRows = {
      {{"8.8", 800, 640, 580}, {"9.8", 900, 720, 650}, {"10.9", 1040, 940, 830}, {"12.9", 1220, 1100, 970}}};
  static constexpr Row kThick88 = {"8.8", 830, 660, 600};  // above M16
  for (const Row& listed : kRows) {
    if (name != listed.name) continue;
    const Row& row = name == "8.8" && mm(diameter) > 16 ? kThick88 : listed;
    return StrengthClass{row.name, from_mega_pascal(row.tensile), from_mega_pascal(row.yield), from_mega_pascal(row.proof)};
  }
  return std::nullopt;
}

std::vector<std::string> strength_class_names() { return {"8.8", "9.8", "10.9", "12.9"}; }

BoltStress bolt_stress(const Thread& thread, const Friction& friction, Force preload, std::optional<Length> waist, double torsion_left,
                       Torsion torsion, TorqueForm form) {
  check(friction, thread.diameter);
  ask(newton(preload) >= 0, "preload", "must not be negative");
  ask(torsion_left >= 0 && torsion_left <= 1, "torsion_left", "a share from 0 to 1");
  const Core core = core_of(thread, waist);
  const double tension = newton(preload) / core.area_mm2;
  const double twist = newton(preload) * thread_lever(thread, friction.thread, form) / torsion_modulus(core.diameter_mm, torsion);
  return {from_mega_pascal(tension), from_mega_pascal(twist), from_mega_pascal(std::hypot(tension, std::sqrt(3.0) * torsion_left * twist))};
}

Force preload_at_yield(const Thread& thread, const Friction& friction, Stress yield, double share, std::optional<Length> waist,
                       Torsion torsion) {
  check(friction, thread.diameter);
  ask(yield.si() > 0, "yield", "must be larger than 0");
  ask(share > 0 && share <= 1, "share", "larger than 0, at most 1");
  const Core core = core_of(thread, waist);
  const double twist_per_tension =
      core.area_mm2 * thread_lever(thread, friction.thread, TorqueForm::kNasa) / torsion_modulus(core.diameter_mm, torsion);
  return from_newton(core.area_mm2 * share * mega_pascal(yield) / std::sqrt(1 + 3 * twist_per_tension * twist_per_tension));
}

}  // namespace headjoint::clamp
