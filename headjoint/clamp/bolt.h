#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "headjoint/units/points.h"
#include "headjoint/units/quantity.h"

/// One bolt and the wrench: thread, friction, torque against preload, stress, yield.
///
/// Lengths, forces and torques are quantities; friction coefficients are plain numbers. Every function throws InputError naming the
/// argument when a figure lies outside its range; not-a-number is always outside.
namespace headjoint::clamp {

/// A 60 degree thread by its two figures; ISO metric and unified inch threads share the profile.
///
/// Constructed through thread(), so a Thread that exists has sensible figures.
/// @par Source  ISO 724, ISO 898-1 (from memory): d2 = d - 0.649519 P, d3 = d - 1.226869 P
struct Thread {
  Length diameter;  ///< nominal
  Length pitch;

  [[nodiscard]] Length pitch_diameter() const;  ///< d2
  [[nodiscard]] Length minor_diameter() const;  ///< d3
  [[nodiscard]] Area stress_area() const;       ///< As, on the mean of d2 and d3
  [[nodiscard]] Area minor_area() const;        ///< on d3
  [[nodiscard]] Area nominal_area() const;      ///< on d
  [[nodiscard]] Angle helix_angle() const;      ///< lambda, at the pitch diameter
};

/// @param diameter  3 mm to 100 mm
/// @param pitch     > 0, at most 0.3 of the diameter; empty: the coarse pitch
/// @throws InputError, also when no coarse pitch is listed for the diameter
[[nodiscard]] Thread thread(Length diameter, std::optional<Length> pitch = {});

/// Coarse pitch of an ISO metric diameter (M3 to M24, first and second choice; ISO 261 from memory), if listed.
[[nodiscard]] std::optional<Length> coarse_pitch(Length diameter);

/// Friction in the thread and under the head.
struct Friction {
  double thread = 0.12;
  double head = 0.12;
};

/// A friction class with its range.
/// @par Source  classes of VDI 2230 table A5 (from memory)
struct FrictionClass {
  char letter = 'B';
  double least = 0;
  double most = 0;
  std::string typical;
};
[[nodiscard]] const std::vector<FrictionClass>& friction_classes();

/// How torque is written against preload. The exact wedge is the reference; the others are its usual straight lines.
enum class TorqueForm {
  kExact,  ///< T = F (d2/2 tan(lambda + rho') + mu_head Db/2), tan rho' = mu_thread / cos 30 deg
  kIso,    ///< ISO 16047: T = F (P/2pi + 0.577 mu_thread d2 + mu_head Db/2)
  kVdi,    ///< VDI 2230: T = F (0.16 P + 0.58 mu_thread d2 + mu_head Db/2)
  kNasa,   ///< NSTS 08307 3.3: T = F (d2/2 (tan lambda + mu_thread / cos 30 deg) + mu_head Db/2)
};

/// Mean diameter of the bearing ring under the head.
/// @param outer  of head or washer face
/// @param hole   0 < hole < outer
[[nodiscard]] Length mean_bearing_diameter(Length outer, Length hole);

/// Torque at the wrench that leaves the preload `preload`.
///
/// @param friction         each 0 to 1
/// @param mean_bearing     > 0
/// @param preload          >= 0
/// @par Source  exact wedge: any textbook of machine elements; the linear forms as named in TorqueForm
/// @par Checked bolted joint cases T02, T08
[[nodiscard]] Torque tightening_torque(const Thread& thread, const Friction& friction, Length mean_bearing, Force preload,
                                       TorqueForm form = TorqueForm::kExact);
/// Inverse of tightening_torque.
[[nodiscard]] Force preload_from_torque(const Thread& thread, const Friction& friction, Length mean_bearing, Torque torque,
                                        TorqueForm form = TorqueForm::kExact);
/// Torque that turns the tightened bolt back, exact wedge; negative: the thread is not self-locking.
[[nodiscard]] Torque loosening_torque(const Thread& thread, const Friction& friction, Length mean_bearing, Force preload);
/// K of T = K F d.
[[nodiscard]] double nut_factor(const Thread& thread, const Friction& friction, Length mean_bearing);
/// Preload by a nut factor: F = T / (K d).
/// @param k  > 0
[[nodiscard]] Force preload_from_nut_factor(double k, Length diameter, Torque torque);
[[nodiscard]] Torque torque_from_nut_factor(double k, Length diameter, Force preload);

/// Where the wrench's torque goes, as shares of one.
struct TorqueShares {
  double stretch = 0;  ///< pitch: the part that tightens
  double thread_friction = 0;
  double head_friction = 0;
};
[[nodiscard]] TorqueShares torque_shares(const Thread& thread, const Friction& friction, Length mean_bearing);

/// A strength class for one diameter. Least values.
/// @par Source  ISO 898-1:2013 (from memory)
struct StrengthClass {
  std::string name;
  Stress tensile;
  Stress yield;  ///< ReL or Rp0.2
  Stress proof;
};
/// @param name  "8.8", "9.8", "10.9" or "12.9"
/// @returns empty for another name
[[nodiscard]] std::optional<StrengthClass> strength_class(std::string_view name, Length diameter);
[[nodiscard]] std::vector<std::string> strength_class_names();

/// Torsion in the bolt: all fibres yielding (today's sheets) or only the skin (older sheets, torques about 9 % lower).
enum class Torsion { kPlastic, kElastic };

/// Combined stress in the thread or waist.
struct BoltStress {
  Stress tension;
  Stress torsion;
  Stress combined;  ///< sqrt(tension^2 + 3 torsion^2)
};
/// Stress while the wrench still turns (`torsion_left` 1), or after (about 0.5: half of the torsion springs back; VDI 2230, from memory).
///
/// @param waist         diameter of a reduced shank; empty or larger than d0: the thread decides
/// @param torsion_left  0 to 1
/// @par Source  VDI 2230 sheet 1
/// @par Checked T07
[[nodiscard]] BoltStress bolt_stress(const Thread& thread, const Friction& friction, Force preload, std::optional<Length> waist = {},
                                     double torsion_left = 1, Torsion torsion = Torsion::kPlastic, TorqueForm form = TorqueForm::kExact);

/// Preload at which the combined stress while tightening reaches `share` of the yield stress.
///
/// F = As share Rp / sqrt(1 + 3 [(3/2)(d2/d0)(P/(pi d2) + 1.155 mu)]^2), elastic torsion with factor 2 for 3/2; on the waist where thinner.
/// The thread torque is the straight line of the guideline (TorqueForm::kNasa), so that its table is met.
/// @param yield  > 0
/// @param share  0 < share <= 1; 0.9 is the design rule, 1 the yield point itself
/// @par Source  VDI 2230 sheet 1 (F_Mzul)
/// @par Checked T04-T06b, T17
[[nodiscard]] Force preload_at_yield(const Thread& thread, const Friction& friction, Stress yield, double share = 1,
                                     std::optional<Length> waist = {}, Torsion torsion = Torsion::kPlastic);

}  // namespace headjoint::clamp
