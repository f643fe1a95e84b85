#pragma once

#include <optional>
#include <string>
#include <vector>

#include "headjoint/clamp/bolt.h"

/// Springs of a bolted joint: bolt by segments, clamped parts by cones, shared load, losses, heat.
///
/// A compliance is a length per force; the quantity here is its inverse, a stiffness (LineLoad, N/m). InputError as in bolt.h.
namespace headjoint::clamp {

/// What stretches between head and anchor.
struct BoltBody {
  Thread thread{};
  Length grip{};                  ///< clamped length
  std::optional<Length> shank{};  ///< diameter of the plain or waisted part; empty: nominal
  std::optional<Length>
      shank_length;  ///< empty: the grip less 3.5 d of free thread, at least 0.4 of the grip (our assumption, said in results)
  Stress youngs_modulus = Stress::from_si(205e9);
  Stress block_modulus = Stress::from_si(110e9);  ///< of the part that holds the thread
  double head_share = 0.5;                        ///< head counts as this many diameters: 0.5 hexagon, 0.4 socket
};

/// Compliance of each segment, mm per N.
struct BoltCompliance {
  double head_mm_per_N = 0;
  double shank_mm_per_N = 0;
  double free_thread_mm_per_N = 0;
  double engaged_thread_mm_per_N = 0;  ///< 0.5 d on the minor area
  double block_mm_per_N = 0;           ///< 0.33 d of the block's metal
  [[nodiscard]] double total_mm_per_N() const;
  [[nodiscard]] LineLoad stiffness() const;
};

/// Bolt in a tapped block by segments.
/// @par Source  VDI 2230 sheet 1, 5.1.1 (from memory)
/// @par Checked T15
[[nodiscard]] BoltCompliance bolt_compliance(const BoltBody& body);

/// kb = E Ad At / (Ad lt + At ld): shank and thread only.
/// @par Source  Shigley, Mechanical Engineering Design, eq. 8-17 (from memory)
/// @par Checked T09
[[nodiscard]] LineLoad shank_and_thread_stiffness(Stress youngs_modulus, Area shank, Length shank_length, Area thread,
                                                  Length thread_length);

/// One frustum of the pressure cone, half angle 30 degrees: k = 0.5774 pi E d / ln{...}.
/// @param thickness  > 0    @param small_end  diameter under the washer, > hole    @param hole  > 0
/// @par Source  Shigley eq. 8-20 (from memory)
/// @par Checked T09
[[nodiscard]] LineLoad frustum_stiffness(Stress youngs_modulus, Length thickness, Length small_end, Length hole);
/// Springs one behind the other.
[[nodiscard]] LineLoad in_series(const std::vector<LineLoad>& springs);

enum class MemberMaterial { kSteel, kAluminium, kCopper, kGreyIron, kGeneral };
/// Clamped parts of one material: k = E d A exp(B d/l), l/d about 0.5 to 10, washer-faced head.
/// @par Source  Wileman, Choudhury, Green 1991, through Shigley table 8-8 (from memory)
[[nodiscard]] LineLoad exponential_member_stiffness(MemberMaterial material, Stress youngs_modulus, Length diameter, Length grip);

/// Clamped parts under the head of a bolt that goes into a tapped hole, or through to a nut.
struct PressureCone {
  Stress youngs_modulus{};
  Length grip{};
  Length bearing_outer{};  ///< dw
  Length hole{};           ///< dh
  Length available{};      ///< D_A, diameter of metal round the bolt
  bool tapped = true;
};
struct ConeStiffness {
  LineLoad stiffness{};
  Angle half_angle{};
  Length cone_length{};    ///< total length of cones
  Length sleeve_length{};  ///< rest, a plain sleeve of diameter `available`
};
/// @par Source  VDI 2230:2003 sheet 1, 5.1.2 (from memory); with a given angle of 30 degrees and a nut it equals two frusta
/// @par Checked T15
[[nodiscard]] ConeStiffness pressure_cone_stiffness(const PressureCone& cone, std::optional<Angle> half_angle = {});

/// Share of an outer load that the bolt feels: C = kb / (kb + km).
[[nodiscard]] double load_share(LineLoad bolt, LineLoad members);

/// A joint of a bolt and its parts under an outer load that pulls at `introduction` of the way (1: right under the head).
struct LoadedJoint {
  Force bolt{};
  Force clamp{};            ///< left between the parts, 0 after separation
  Force separation_load{};  ///< outer load at which the parts just part
  bool separated = false;
};
[[nodiscard]] LoadedJoint loaded_joint(Force preload, Force outer_load, double share, double introduction = 1);

/// Loss of preload when rough faces settle: F_Z = f_Z / (dS + dP).
/// @param settled  sum over all faces, >= 0
[[nodiscard]] Force embedding_loss(Length settled, LineLoad bolt, LineLoad members);

/// Settling by roughness: thread, each bearing face, each inner face.
/// @param rz            mean peak-to-valley height, 0 to 160 um
/// @param inner_faces   faces between parts, gasket faces included
/// @par Source  VDI 2230:2003 table 5, tension load (from memory)
[[nodiscard]] Length embedding_depth(Length rz, int inner_faces, int bearing_faces = 1);

/// A length that grows with heat.
struct HeatedLength {
  Expansion expansion;
  Length length{};
  TemperatureDifference rise;
};
/// dF = (sum of what the parts grow - what the bolt grows) / (all compliances in series). Positive: tighter.
/// @par Source  NASA TM-106943 (thermal preload)
/// @par Checked T14, T18
[[nodiscard]] Force heat_preload_change(const std::vector<HeatedLength>& parts, const HeatedLength& bolt, LineLoad bolt_stiffness,
                                        LineLoad members);

}  // namespace headjoint::clamp
