#include "headjoint/machining/internal/figures.h"

#include <algorithm>
#include <numbers>

#include "headjoint/machining/cam_timing.h"

namespace headjoint::machining {
namespace {

double number_of(double value) { return value; }
double number_of(Angle value) { return value.radians(); }
template <class T>
double number_of(T value) {
  return value.si();
}

template <class Part>
Part part_of(const std::optional<Part>& part) {
  return part.value_or(Part{});
}

}  // namespace

template <class T>
void Figures::put(Ingredient i, const char* key, const joint::OptionalFigure<T>& figure) {
  Known& known = known_[static_cast<std::size_t>(i)];
  known.key = key;
  if (!figure) return;
  known.is_there = true;
  known.value = number_of(figure->value);
  known.half_step = 0.5 * figure->step_si;
  if (figure->status == joint::FigureStatus::kAssumed) known.assumed = key;
}

void Figures::put_cut(Ingredient i, const char* key, Length value, Length scatter) {
  known_[static_cast<std::size_t>(i)] = {key, true, value.si(), value.si() > 0 ? scatter.si() : 0, {}};
}

void Figures::take(Ingredient i, double value, const char* how) {
  Known& known = known_[static_cast<std::size_t>(i)];
  if (known.is_there) return;
  known.is_there = true;
  known.value = value;
  if (*how != '\0') known.assumed = known.key + " (not given: " + how + ")";
}

void Figures::read_cylinder(const joint::Engine& engine) {
  using enum Ingredient;
  put(kBore, "engine.bore", engine.general.bore);
  put(kStroke, "engine.stroke", engine.general.stroke);
  put(kRodLength, "engine.rod_length", engine.general.rod_length);
  put(kRatioStated, "engine.compression_ratio", engine.general.compression_ratio);
  put(kIntakeCloses, "engine.intake_closes", engine.general.intake_closes);
  put(kVeeAngle, "engine.vee_angle", engine.general.vee_angle);
  const joint::Chamber chamber = part_of(engine.chamber);
  put(kChamberVolume, "chamber.volume", chamber.volume);
  put(kFaceArea, "chamber.face_area", chamber.face_area);
  put(kPistonDish, "chamber.piston_dish", chamber.piston_dish);
  put(kDeckClearance, "chamber.deck_clearance", chamber.deck_clearance);
  put(kCrevice, "chamber.crevice", chamber.crevice);
  const joint::Gasket gasket = part_of(engine.gasket);
  put(kGasketBore, "gasket.bore", gasket.bore);
  put(kGasketBefore, "gasket.thickness", gasket.thickness);
  take(kPistonDish, 0, "0 cm3 taken");
  take(kCrevice, 0, "");
  if (has(kBore)) take(kGasketBore, (*this)[kBore].value, "the cylinder's bore taken");
}

void Figures::read_castings(const joint::Engine& engine) {
  using enum Ingredient;
  const joint::Head head = part_of(engine.head);
  put(kHeadHeight, "head.height", head.height);
  put(kHeadRemovedBefore, "head.removed_before", head.removed_before);
  put(kFaceLean, "head.intake_face_lean", head.intake_face_lean);
  put(kInsertProtrusion, "head.insert_protrusion", head.insert_protrusion);
  put(kDowelHole, "head.dowel_hole_depth", head.dowel_hole_depth);
  const joint::Block block = part_of(engine.block);
  put(kDeckRemovedBefore, "block.deck_removed_before", block.deck_removed_before);
  put(kLinerProtrusion, "block.liner_protrusion", block.liner_protrusion);
  put(kDowelHeight, "block.dowel_height", block.dowel_height);
  const joint::Bolts bolts = part_of(engine.bolts);
  put(kBoltLength, "bolts.length", bolts.length);
  put(kBoltGrip, "bolts.grip", bolts.grip);
  put(kBoltHole, "bolts.hole_depth", bolts.hole_depth);
  take(kHeadRemovedBefore, 0, "0 mm taken");
  take(kDeckRemovedBefore, 0, "0 mm taken");
  take(kFaceLean, 0, "0 deg taken");
}

void Figures::read_valves(const joint::Engine& engine) {
  using enum Ingredient;
  const joint::Valves valves = part_of(engine.valves);
  put(kRockerRatio, "valves.rocker_ratio", valves.rocker_ratio);
  put(kPushrodAngle, "valves.pushrod_angle", valves.pushrod_angle);
  put(kLifterPreload, "valves.lifter_preload", valves.lifter_preload);
  const joint::ValveRow intake = part_of(valves.intake), exhaust = part_of(valves.exhaust);
  put(kIntakeAngle, "valves.intake.angle", intake.angle);
  put(kIntakeGap, "valves.intake.gap_at_dead_centre", intake.gap_at_dead_centre);
  put(kIntakeLift, "valves.intake.max_lift", intake.max_lift);
  put(kIntakeDuration, "valves.intake.duration", intake.duration);
  put(kIntakeCentre, "valves.intake.centre_angle", intake.centre_angle);
  put(kIntakeLash, "valves.intake.lash", intake.lash);
  put(kIntakeRecession, "valves.intake.recession", intake.recession);
  put(kExhaustAngle, "valves.exhaust.angle", exhaust.angle);
  put(kExhaustGap, "valves.exhaust.gap_at_dead_centre", exhaust.gap_at_dead_centre);
  put(kExhaustLift, "valves.exhaust.max_lift", exhaust.max_lift);
  put(kExhaustDuration, "valves.exhaust.duration", exhaust.duration);
  put(kExhaustCentre, "valves.exhaust.centre_angle", exhaust.centre_angle);
  put(kExhaustLash, "valves.exhaust.lash", exhaust.lash);
  put(kExhaustRecession, "valves.exhaust.recession", exhaust.recession);
  const auto centre_from = [&](Ingredient centre, const joint::OptionalFigure<Angle>& event, Ingredient duration, const char* how) {
    if (event && has(duration)) take(centre, std::numbers::pi + event->value.radians() - 0.5 * (*this)[duration].value, how);
  };
  centre_from(kIntakeCentre, engine.general.intake_closes, kIntakeDuration, "from engine.intake_closes and the duration");
  centre_from(kExhaustCentre, engine.general.exhaust_opens, kExhaustDuration, "from engine.exhaust_opens and the duration");
  take(kIntakeAngle, 0, "0 deg taken");
  take(kExhaustAngle, 0, "0 deg taken");
  take(kPushrodAngle, 0, "0 deg taken");
}

void Figures::read_cam_drive(const joint::Engine& engine) {
  using enum Ingredient;
  const joint::CamDrive drive = part_of(engine.cam_drive);
  put(kCrankRadius, "cam_drive.crank_radius", drive.crank_radius);
  put(kCamRadius, "cam_drive.cam_radius", drive.cam_radius);
  put(kCentreDistance, "cam_drive.centre_distance", drive.centre_distance);
  put(kStrandAngle, "cam_drive.strand_angle", drive.strand_angle);
  if (!drive.pitch || !drive.kind || drive.kind == joint::CamDriveKind::kGear) return;
  const auto radius = drive.kind == joint::CamDriveKind::kChain ? chain_pitch_radius : belt_pitch_radius;
  if (drive.crank_teeth) take(kCrankRadius, radius(drive.pitch->value, *drive.crank_teeth).si(), "");
  if (drive.cam_teeth) take(kCamRadius, radius(drive.pitch->value, *drive.cam_teeth).si(), "");
}

void Figures::read_cut(const joint::Engine& engine, const Cut& cut) {
  using enum Ingredient;
  put_cut(kHeadCut, "--head", cut.head, cut.scatter);
  put_cut(kDeckCut, "--deck", cut.deck, cut.scatter);
  Known& gasket = known_[static_cast<std::size_t>(kGasketAfter)];
  gasket = (*this)[kGasketBefore];
  gasket_is_changed_ = cut.gasket_thickness && (!gasket.is_there || cut.gasket_thickness->si() != gasket.value);
  if (gasket_is_changed_)
    gasket = {"--gasket", true, cut.gasket_thickness->si(), gasket.half_step, {}};
  else
    known_[static_cast<std::size_t>(kGasketBefore)].half_step = 0;  // one figure: told once, by the gasket that goes in
  if (!cut.protrusions.empty())
    known_[static_cast<std::size_t>(kPistonProtrusion)] = {
        "--protrusions", true, std::max_element(cut.protrusions.begin(), cut.protrusions.end())->si(), 0.005e-3, {}};
  else if (engine.chamber && engine.chamber->deck_clearance) {
    Known& protrusion = known_[static_cast<std::size_t>(kPistonProtrusion)];
    protrusion = (*this)[kDeckClearance];
    protrusion.value = -protrusion.value;
  } else {
    known_[static_cast<std::size_t>(kPistonProtrusion)].key = "chamber.deck_clearance";
  }
}

Figures::Figures(const joint::Engine& engine, const Cut& cut) {
  read_cylinder(engine);
  read_castings(engine);
  read_valves(engine);
  read_cam_drive(engine);
  read_cut(engine, cut);
}

Values Figures::after() const {
  Values values;
  for (std::size_t i = 0; i < known_.size(); ++i) values[static_cast<Ingredient>(i)] = known_[i].value;
  return values;
}

Values Figures::before() const {
  Values values = after();
  values[Ingredient::kHeadCut] = 0;
  values[Ingredient::kDeckCut] = 0;
  values[Ingredient::kGasketAfter] = values[Ingredient::kGasketBefore];
  return values;
}

void Figures::move(Values& values, Ingredient i, double by) const {
  values[i] += by;
  if (i == Ingredient::kGasketAfter && !gasket_is_changed_) values[Ingredient::kGasketBefore] += by;
}

}  // namespace headjoint::machining
