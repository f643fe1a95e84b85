#pragma once

#include <cmath>

#include "headjoint/clamp/clamp.h"

/// Joints for tests: plain slabs with a closed form, and an invented four-cylinder head.
namespace headjoint::clamp::testing {

inline Length length(double millimetres) { return Length::from_si(millimetres * 1e-3); }
inline Stress stress(double mega_pascals) { return Stress::from_si(mega_pascals * 1e6); }
inline PressureCurve spring(double newton_per_mm3) { return PressureCurve::linear(FoundationStiffness::from_si(newton_per_mm3 * 1e9)); }
inline GaugePressure bar(double value) { return GaugePressure::from_pascal(value * 1e5); }
inline Force kilonewton(double value) { return Force::from_si(value * 1e3); }

inline std::vector<PlanPoint> box(double width, double height) { return {{0, 0}, {width, 0}, {width, height}, {0, height}}; }

/// A slab on a foundation of one stiffness, without bores or holes.
inline ClampModel slab(std::vector<PlanPoint> outline, double modulus, double poisson, double thickness, double foundation,
                       std::vector<PlanPoint> bolts, double washer = 1) {
  ClampModel model;
  model.outline = std::move(outline);
  model.plate = {stress(modulus), poisson, {}, length(thickness)};
  model.body = spring(foundation);
  model.bolts.at = std::move(bolts);
  model.bolts.washer_diameter = length(washer);
  model.bolts.stiffness = LineLoad::from_si(250e6);
  return model;
}

/// Bending as with thickness `real`, but so thin that shear plays no part: modulus for a slab of 2 mm.
inline double thin_modulus(double modulus, double real_thickness) { return modulus * std::pow(real_thickness / 2, 3); }

/// An invented aluminium head: four bores of 80 mm in 430 x 170 mm, ten bolts, a few passages.
inline ClampModel four_cylinder() {
  ClampModel model = slab(box(430, 170), 72e3, 0.33, 25, 20, {}, 20);
  for (const double y : {15.0, 155.0})
    for (const double x : {15.0, 115.0, 215.0, 315.0, 415.0}) model.bolts.at.push_back({x, y});
  model.bolts.hole_diameter = length(12);
  model.bolts.stiffness = LineLoad::from_si(126e6);
  model.bolts.grip = length(120);
  model.bolts.thread = thread(length(11));
  model.bolts.friction = Friction{0.12, 0.12};
  model.bolts.yield = stress(940);
  model.plate.expansion = Expansion::from_si(22e-6);
  model.zones.push_back({{{0, 60}, {430, 60}, {430, 110}, {0, 110}}, length(40)});
  for (int i = 0; i < 4; ++i) model.bores.push_back({i + 1, {65 + 100.0 * i, 85}});
  model.gas_bore = length(82);
  model.ring = RingSeal{length(41), length(44), spring(300), LineLoad::from_si(60e3)};
  model.bead = BeadSeal{length(2), spring(60), stress(1)};
  model.passages = {{1, "coolant", {32, 33}, length(9), {}},
                    {2, "coolant", {98, 137}, length(9), {}},
                    {3, "oil_drain", {282, 11}, {}, {{277, 4.5}, {287, 4.5}, {287, 17.5}, {277, 17.5}}}};
  model.preload = kilonewton(45);
  model.order = {3, 8, 7, 2, 4, 9, 10, 5, 1, 6};
  return model;
}

}  // namespace headjoint::clamp::testing
