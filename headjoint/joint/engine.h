#pragma once

#include <optional>
#include <string>
#include <vector>

#include "headjoint/joint/figure.h"

/// The engine as data: what the file of an engine can say, nothing computed.

/// Everything that need not be in the file is optional; each calculation names what it misses. Coordinates are millimetres in
/// the plane of the joint, seen from above with the head on: x along the crank from the front, y from the left side.
/// Where an engine has several heads the outline, passages and bolts describe one head and hold for each of them; a bore or a
/// passage with `head` belongs to that head alone, in that head's own coordinates.
namespace headjoint::joint {

/// A point of the joint plan, in millimetres.
struct PlanPoint {
  double x_mm = 0;
  double y_mm = 0;
  bool operator==(const PlanPoint&) const = default;
};

enum class Layout { kInline, kVee, kFlat, kSingle };
enum class HeadArrangement { kOne, kPerBank, kPerCylinder };
enum class Fuel { kPetrol, kDiesel, kGas };
enum class CooledBy { kLiquid, kAir };

/// [engine]
struct General {
  int cylinders = 0;  ///< 1 to 16; taken from the bores or the firing order when not given; 0 = not known
  Layout layout = Layout::kInline;
  OptionalFigure<Angle> vee_angle;                ///< between the banks
  HeadArrangement heads = HeadArrangement::kOne;  ///< when not given: per bank for vee and flat, else one
  std::optional<Fuel> fuel;                       ///< empty = not known
  CooledBy cooling = CooledBy::kLiquid;
  std::vector<int> firing_order;  ///< a permutation of the cylinders, or empty
  OptionalFigure<Length> bore;
  OptionalFigure<Length> stroke;
  OptionalFigure<Length> rod_length;  ///< between the eyes
  OptionalFigure<double> compression_ratio;
  OptionalFigure<Angle> intake_closes;  ///< after bottom dead centre
  OptionalFigure<Angle> exhaust_opens;  ///< before bottom dead centre
  OptionalFigure<Speed> cranking_speed;
  OptionalFigure<GaugePressure> peak_pressure;         ///< highest firing pressure
  OptionalFigure<GaugePressure> expected_compression;  ///< the maker's figure for a sound cylinder on the gauge
  std::vector<std::string> fitted;                     ///< words of fitted_words()
};

/// [chamber]: the volumes behind the compression ratio.
struct Chamber {
  OptionalFigure<Volume> volume;          ///< in the head, to its face
  OptionalFigure<Area> face_area;         ///< opening of the chamber at the face
  OptionalFigure<Volume> piston_dish;     ///< a dome counts negative
  OptionalFigure<Length> deck_clearance;  ///< piston below the deck at top dead centre; above counts negative
  OptionalFigure<Volume> crevice;         ///< above the first ring
};

/// What a head or a block is made of; each figure overrides what the name of the material stands for.
struct Material {
  std::string name;  ///< a word of materials(); another word stands for nothing without the figures below
  OptionalFigure<Stress> youngs_modulus;
  OptionalFigure<double> poisson_ratio;
  OptionalFigure<Expansion> expansion;
  OptionalFigure<Stress> yield;
};

/// A part of the head's plan that is stiffer or softer than the rest.
struct Zone {
  std::vector<PlanPoint> outline;
  OptionalFigure<Length> bending_thickness;
};

/// [head]
struct Head {
  Material material;
  std::vector<PlanPoint> outline;
  OptionalFigure<Length> bending_thickness;  ///< thickness of the solid plate that bends alike
  OptionalFigure<Length> height;
  OptionalFigure<Length> least_height;
  OptionalFigure<Length> flatness_limit;        ///< over the whole face
  OptionalFigure<Length> local_flatness_limit;  ///< over any square of side `local_window`
  OptionalFigure<Length> local_window;
  OptionalFigure<Length> roughness_limit;  ///< Ra
  OptionalFigure<Length> removed_before;
  OptionalFigure<Angle> intake_face_lean;    ///< of the manifold's face past square to the joint, away from the middle of a vee
  OptionalFigure<Length> insert_protrusion;  ///< of prechamber, injector tip or plug beyond the face
  OptionalFigure<Length> dowel_hole_depth;   ///< from the face
  std::vector<Zone> zones;
};

/// [block]
struct Block {
  std::optional<bool> rigid;
  Material material;
  OptionalFigure<Length> bending_thickness;
  OptionalFigure<Length> deck_removed_before;
  OptionalFigure<Length> flatness_limit;
  OptionalFigure<Length> roughness_limit;   ///< Ra
  OptionalFigure<Length> liner_protrusion;  ///< of wet liners above the deck
  OptionalFigure<Length> dowel_height;      ///< of the dowels above the deck
};

/// [[bore]]
struct Bore {
  int number = 0;
  std::optional<PlanPoint> at;
  std::optional<int> head;
};

enum class PassageKind { kCoolant, kOilPressure, kOilDrain, kPushrod, kVent };

/// [[passage]]
struct Passage {
  int number = 0;
  PassageKind kind = PassageKind::kCoolant;
  std::optional<PlanPoint> at;
  OptionalFigure<Length> diameter;
  std::vector<PlanPoint> outline;  ///< instead of place and diameter
  std::optional<int> head;
};

struct CurvePoint {
  double closure_mm = 0;
  double pressure_MPa = 0;
  bool operator==(const CurvePoint&) const = default;
};

/// How a region of the gasket answers: one stiffness, or pressure against closure, rising in both.
struct GasketRegion {
  OptionalFigure<FoundationStiffness> stiffness;
  std::vector<CurvePoint> curve;
  std::vector<CurvePoint> unloading;
};

struct FireRing {
  OptionalFigure<Length> inner_radius;
  OptionalFigure<Length> outer_radius;
  GasketRegion region;
  OptionalFigure<LineLoad> least_line_load;  ///< that still seals, under gas
};

/// The raised line round every passage.
struct Bead {
  OptionalFigure<Length> width;
  GasketRegion region;
  OptionalFigure<Stress> least_pressure;
};

/// A thickness the maker offers, chosen by how far the pistons stand proud.
struct GasketGrade {
  std::string mark;
  OptionalFigure<Length> thickness;
  OptionalFigure<Length> protrusion_least;
  OptionalFigure<Length> protrusion_most;
};

/// [gasket]
struct Gasket {
  std::string kind;                  ///< a word of gasket_kinds(), another word, or empty
  OptionalFigure<Length> thickness;  ///< compressed
  OptionalFigure<Length> bore;
  std::optional<FireRing> fire_ring;
  std::optional<GasketRegion> body;
  std::optional<Bead> bead;
  std::vector<GasketGrade> grades;
};

/// A thread as named: "M11x1.5", "M10" (pitch not said), "7/16-14".
struct ThreadSize {
  std::string text;
  Length diameter;
  std::optional<Length> pitch;
};

struct FrictionRange {
  double least = 0;
  double most = 0;
};

/// [bolts]; bolt i of the engine is at[i - 1].
struct Bolts {
  std::optional<ThreadSize> size;
  std::string strength_class;  ///< "10.9" or empty
  OptionalFigure<Length> grip;
  OptionalFigure<Length> washer_diameter;
  OptionalFigure<Length> hole_diameter;
  OptionalFigure<Length> shank_diameter;  ///< of a waisted shank
  OptionalFigure<Length> engaged_length;  ///< of thread in the block
  OptionalFigure<Length> length;          ///< under the head to the tip
  OptionalFigure<Length> hole_depth;      ///< in the block, from the deck to where the bolt must not reach
  OptionalFigure<LineLoad> stiffness;     ///< overrides the one from the geometry
  std::optional<FrictionRange> friction;
  std::vector<PlanPoint> at;
  OptionalFigure<Force> preload;
  std::optional<bool> single_use;
  std::optional<bool> wet_holes;  ///< the threads reach coolant: sealant needed
};

/// One pass of the wrench: a torque, or a further angle.
struct TighteningStage {
  OptionalFigure<Torque> torque;
  OptionalFigure<Angle> angle;
  std::string note;
};

/// [tightening]
struct Tightening {
  std::vector<int> order;  ///< a permutation of the bolts, or empty
  std::vector<TighteningStage> stages;
  std::optional<bool> retighten;  ///< the maker asks for it after the first heat
};

/// "ethylene 50 %": share of glycol by volume.
struct Glycol {
  std::string text;
  std::string kind;  ///< ethylene | propylene | water
  double fraction = 0;
};

/// [cooling]
struct Cooling {
  OptionalFigure<Volume> volume;
  OptionalFigure<GaugePressure> cap;  ///< opening pressure
  std::optional<Glycol> glycol;
  OptionalFigure<Temperature> thermostat_opens;
  OptionalFigure<Temperature> fan_starts;
  OptionalFigure<Temperature> gauge_red;  ///< where the gauge's red field begins
};

enum class ValveDrive { kOverheadCam, kPushrod };
enum class LiftLaw { kHarmonic, kCycloidal, kPolynomial345, kPolynomial4567 };

struct LiftPoint {
  double crank_deg = 0;  ///< from opening
  double lift_mm = 0;
  bool operator==(const LiftPoint&) const = default;
};

/// [valves.intake], [valves.exhaust]
struct ValveRow {
  std::optional<int> per_cylinder;
  OptionalFigure<Length> head_diameter;
  OptionalFigure<Angle> angle;                ///< between valve axis and cylinder axis
  OptionalFigure<Length> recession;           ///< valve head below the head's face
  OptionalFigure<Length> gap_at_dead_centre;  ///< valve shut, piston at top dead centre, along the valve
  std::optional<LiftLaw> law;
  OptionalFigure<Length> max_lift;
  OptionalFigure<Angle> duration;      ///< crank degrees, seat to seat
  OptionalFigure<Angle> centre_angle;  ///< of full lift: after (intake) or before (exhaust) top dead centre of gas exchange
  std::vector<LiftPoint> lift;         ///< a measured table instead of the law
  OptionalFigure<Length> lash;
  OptionalFigure<Length> lash_least;
  OptionalFigure<Length> lash_most;
};

/// [valves]
struct Valves {
  std::optional<ValveDrive> drive;
  OptionalFigure<double> rocker_ratio;
  std::optional<bool> hydraulic;
  OptionalFigure<Angle> pushrod_angle;    ///< between pushrod and cylinder axis
  OptionalFigure<Length> lifter_preload;  ///< of hydraulic lifters: plunger pushed in from its rest
  std::optional<ValveRow> intake;
  std::optional<ValveRow> exhaust;
};

enum class CamDriveKind { kChain, kBelt, kGear };

/// [cam_drive]
struct CamDrive {
  std::optional<CamDriveKind> kind;
  OptionalFigure<Length> pitch;
  std::optional<int> crank_teeth;
  std::optional<int> cam_teeth;
  OptionalFigure<Length> crank_radius;  ///< of the pitch circle
  OptionalFigure<Length> cam_radius;
  OptionalFigure<Length> centre_distance;
  OptionalFigure<Angle> strand_angle;        ///< of the tight strand's last free span against the way the head sinks
  OptionalFigure<Length> tensioner_reserve;  ///< chain or belt that the tensioner can still take up
};

/// [limits]: the maker's limits that no other table carries.
struct Limits {
  OptionalFigure<GaugePressure> compression_least;
  OptionalFigure<GaugePressure> compression_spread_most;  ///< between best and worst cylinder
  OptionalFigure<Share> leak_down_most;                   ///< loss
  OptionalFigure<double> compression_ratio_most;
  OptionalFigure<Length> squish_least;
  OptionalFigure<Length> squish_most;
  OptionalFigure<Length> valve_gap_least;  ///< both valves, unless one of the next two is given
  OptionalFigure<Length> intake_gap_least;
  OptionalFigure<Length> exhaust_gap_least;
  OptionalFigure<Length> valve_recession_most;
  OptionalFigure<Length> valve_recession_least;
  OptionalFigure<Length> insert_protrusion_most;
  OptionalFigure<Length> manifold_shift_most;  ///< of the manifold's ports or faces that may stay uncorrected
  OptionalFigure<Angle> cam_timing_most;       ///< error at the cam
  OptionalFigure<Length> lifter_preload_least;
  OptionalFigure<Length> lifter_preload_most;
  OptionalFigure<Length> head_removed_most;
  OptionalFigure<Length> deck_removed_most;
  OptionalFigure<Length> liner_protrusion_least;
  OptionalFigure<Length> liner_protrusion_most;
  OptionalFigure<Length> liner_protrusion_spread_most;
};

struct Engine {
  int format = 1;
  std::string name;
  std::string note;
  General general;
  std::optional<Chamber> chamber;
  std::optional<Head> head;
  std::optional<Block> block;
  std::vector<Bore> bores;        ///< by number
  std::vector<Passage> passages;  ///< as written
  std::optional<Gasket> gasket;
  std::optional<Bolts> bolts;
  std::optional<Tightening> tightening;
  std::optional<Cooling> cooling;
  std::optional<Valves> valves;
  std::optional<CamDrive> cam_drive;
  std::optional<Limits> limits;
};

}  // namespace headjoint::joint
