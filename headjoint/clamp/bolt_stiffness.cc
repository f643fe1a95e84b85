#include "headjoint/clamp/bolt_stiffness.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "headjoint/clamp/internal/workshop_units.h"

namespace headjoint::clamp {
namespace {

void check_spring(LineLoad spring, const char* name) { ask(spring.si() > 0, name, "a stiffness larger than 0"); }

double slope_of_cone(const PressureCone& cone) {
  const double length_ratio = mm(cone.grip) / mm(cone.bearing_outer);
  const double width_ratio = mm(cone.available) / mm(cone.bearing_outer);
  if (cone.tapped) return 0.348 + 0.013 * std::log(length_ratio) + 0.193 * std::log(width_ratio);
  return 0.362 + 0.032 * std::log(length_ratio / 2) + 0.153 * std::log(width_ratio);
}

}  // namespace

double BoltCompliance::total_mm_per_N() const {
  return head_mm_per_N + shank_mm_per_N + free_thread_mm_per_N + engaged_thread_mm_per_N + block_mm_per_N;
}
LineLoad BoltCompliance::stiffness() const { return from_newton_per_mm(1 / total_mm_per_N()); }

BoltCompliance bolt_compliance(const BoltBody& body) {
  const double grip = mm(body.grip), d = mm(body.thread.diameter), modulus = mega_pascal(body.youngs_modulus);
  ask(grip > 0, "grip", "must be larger than 0");
  ask(modulus > 0, "youngs_modulus", "must be larger than 0");
  ask(body.block_modulus.si() > 0, "block_modulus", "must be larger than 0");
  const double free_thread = std::min(3 * d, grip / 2);
  const double shank_length = body.shank_length ? mm(*body.shank_length) : grip - free_thread;
  ask(shank_length >= 0 && shank_length <= grip, "shank_length", "from 0 to the grip");
  const double shank = body.shank ? mm(*body.shank) : d;
  ask(shank > 0, "shank", "must be larger than 0");
  const double nominal_area = mm2(body.thread.nominal_area()), minor_area = mm2(body.thread.minor_area());
  return {.head_mm_per_N = body.head_share * d / (modulus * nominal_area),
          .shank_mm_per_N = shank_length / (modulus * kPi / 4 * shank * shank),
          .free_thread_mm_per_N = (grip - shank_length) / (modulus * minor_area),
          .engaged_thread_mm_per_N = 0.5 * d / (modulus * minor_area),
          .block_mm_per_N = 0.33 * d / (mega_pascal(body.block_modulus) * nominal_area)};
}

LineLoad shank_and_thread_stiffness(Stress youngs_modulus, Area shank, Length shank_length, Area thread, Length thread_length) {
  ask(youngs_modulus.si() > 0, "youngs_modulus", "must be larger than 0");
  ask(shank.si() > 0 && thread.si() > 0, "area", "must be larger than 0");
  ask(shank_length.si() >= 0 && thread_length.si() >= 0 && (shank_length + thread_length).si() > 0, "length", "must not be negative");
  return LineLoad::from_si(youngs_modulus.si() / (shank_length.si() / shank.si() + thread_length.si() / thread.si()));
}

LineLoad frustum_stiffness(Stress youngs_modulus, Length thickness, Length small_end, Length hole) {
  const double t = mm(thickness), outer = mm(small_end), d = mm(hole);
  ask(t > 0, "thickness", "must be larger than 0");
  ask(d > 0, "hole", "must be larger than 0");
  ask(outer > d, "small_end", "must be larger than the hole");
  const double spread = 1.155 * t;
  const double logarithm = std::log((spread + outer - d) * (outer + d) / ((spread + outer + d) * (outer - d)));
  return from_newton_per_mm(0.5774 * kPi * mega_pascal(youngs_modulus) * d / logarithm);
}

LineLoad in_series(const std::vector<LineLoad>& springs) {
  double compliance = 0;
  for (const LineLoad spring : springs) {
    check_spring(spring, "springs");
    compliance += 1 / spring.si();
  }
  ask(compliance > 0, "springs", "at least one");
  return LineLoad::from_si(1 / compliance);
}

LineLoad exponential_member_stiffness(MemberMaterial material, Stress youngs_modulus, Length diameter, Length grip) {
  struct Row {
    double a, b;
  };
  static constexpr std::array<Row, 5> kRows = {
      {{0.78715, 0.62873}, {0.79670, 0.63816}, {0.79568, 0.63553}, {0.77871, 0.61616}, {0.78952, 0.62914}}};
  ask(diameter.si() > 0, "diameter", "must be larger than 0");
  ask(grip.si() > 0, "grip", "must be larger than 0");
  const Row& row = kRows[static_cast<std::size_t>(material)];
  return LineLoad::from_si(youngs_modulus.si() * diameter.si() * row.a * std::exp(row.b * (diameter / grip)));
}

ConeStiffness pressure_cone_stiffness(const PressureCone& cone, std::optional<Angle> half_angle) {
  const double dw = mm(cone.bearing_outer), dh = mm(cone.hole), available = mm(cone.available), grip = mm(cone.grip);
  ask(grip > 0, "grip", "must be larger than 0");
  ask(dh > 0, "hole", "must be larger than 0");
  ask(dw > dh, "bearing_outer", "must be larger than the hole");
  ask(available > dh, "available", "must be larger than the hole");
  const double slope = half_angle ? std::tan(half_angle->radians()) : slope_of_cone(cone);
  ask(slope > 0, "half_angle", "these proportions leave no cone");
  const double ends = cone.tapped ? 2 : 1;  // w of the guideline
  const double cones = std::clamp((available - dw) / (ends * slope), 0.0, grip), sleeve = grip - cones;
  const double wide = dw + ends * cones * slope;
  const double in_cones = 2 / (ends * dh * slope) * std::log((dw + dh) * (wide - dh) / ((dw - dh) * (wide + dh)));
  const double in_sleeve = 4 * sleeve / (available * available - dh * dh);
  return {from_newton_per_mm(mega_pascal(cone.youngs_modulus) * kPi / (in_cones + in_sleeve)), Angle::from_radians(std::atan(slope)),
          from_mm(cones), from_mm(sleeve)};
}

double load_share(LineLoad bolt, LineLoad members) {
  check_spring(bolt, "bolt");
  check_spring(members, "members");
  return bolt / (bolt + members);
}

LoadedJoint loaded_joint(Force preload, Force outer_load, double share, double introduction) {
  ask(preload.si() >= 0, "preload", "must not be negative");
  ask(outer_load.si() >= 0, "outer_load", "must not be negative");
  ask(share >= 0 && share < 1, "share", "from 0 to below 1");
  ask(introduction >= 0 && introduction <= 1, "introduction", "a share from 0 to 1");
  const double felt = introduction * share;
  LoadedJoint joint{.separation_load = preload / (1 - felt)};
  joint.separated = outer_load >= joint.separation_load && outer_load.si() > 0;
  joint.bolt = joint.separated ? outer_load : preload + felt * outer_load;
  joint.clamp = joint.separated ? Force{} : preload - (1 - felt) * outer_load;
  return joint;
}

Force embedding_loss(Length settled, LineLoad bolt, LineLoad members) {
  ask(settled.si() >= 0, "settled", "must not be negative");
  return settled * in_series({bolt, members});
}

Length embedding_depth(Length rz, int inner_faces, int bearing_faces) {
  struct Row {
    double below_um, thread, bearing, inner;
  };
  static constexpr std::array<Row, 3> kRows = {{{10, 3, 2.5, 1.5}, {40, 3, 3, 2}, {160, 3, 4, 3}}};
  const double roughness = rz.si() * 1e6;
  ask(roughness >= 0 && roughness <= 160, "rz", "0 um to 160 um");
  ask(inner_faces >= 0 && inner_faces <= 20, "inner_faces", "0 to 20");
  ask(bearing_faces >= 0 && bearing_faces <= 4, "bearing_faces", "0 to 4");
  const Row& row = roughness < 10 ? kRows[0] : roughness < 40 ? kRows[1] : kRows[2];
  return Length::from_si((row.thread + bearing_faces * row.bearing + inner_faces * row.inner) * 1e-6);
}

Force heat_preload_change(const std::vector<HeatedLength>& parts, const HeatedLength& bolt, LineLoad bolt_stiffness, LineLoad members) {
  const auto growth = [](const HeatedLength& heated) { return heated.expansion.si() * heated.length.si() * heated.rise.si(); };
  double difference = -growth(bolt);
  for (const HeatedLength& part : parts) difference += growth(part);
  return Length::from_si(difference) * in_series({bolt_stiffness, members});
}

}  // namespace headjoint::clamp
