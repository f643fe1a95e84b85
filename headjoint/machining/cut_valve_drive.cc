#include <cmath>

#include "headjoint/machining/cam_timing.h"
#include "headjoint/machining/internal/matters.h"
#include "headjoint/machining/valve_train.h"

/// What the cut does to cam, chain, pushrods and lash.
namespace headjoint::machining {
namespace {

using enum Ingredient;

Length metres(double value) { return Length::from_si(value); }
Angle radians(double value) { return Angle::from_radians(value); }

bool is_pushrod(const Work& work) { return work.engine.valves && work.engine.valves->drive == joint::ValveDrive::kPushrod; }

bool drive_is_known(const Work& work) { return work.engine.valves && work.engine.valves->drive; }

bool is_hydraulic(const Work& work) { return work.engine.valves && work.engine.valves->hydraulic.value_or(false); }

void add_timing(const Work& work, Consequences& into) {
  const TimingBasis basis = timing_basis(work);
  if (basis.is_fixed) return;
  Asked asked{Matter::kCamTiming, basis.needs, {}, {}, {}, {}, basis.missing};
  need_lowered(asked, work);
  asked.formula = [basis](const Values& v) { return cam_retard(v, basis.by_strand_angle); };
  set_bound(asked.most, asked, "limits.cam_timing_most", work.limits.cam_timing_most);
  if (asked.most) {
    asked.least = asked.most;
    asked.least->value = -asked.most->value;
  }
  Consequence line = reckon(asked, work.figures);
  line.assumed.insert(line.assumed.end(), basis.assumed.begin(), basis.assumed.end());
  if (line.after) into.timing = TimingShift{Angle::from_degrees(*line.after), Angle::from_degrees(2 * *line.after)};
  into.lines.push_back(std::move(line));
}

/// Both strands between crank and cam get shorter.
void add_tensioner(const Work& work, Consequences& into) {
  const TimingBasis basis = timing_basis(work);
  const auto& drive = work.engine.cam_drive;
  if (basis.is_fixed || !drive || drive->kind == joint::CamDriveKind::kGear) return;
  Asked asked{Matter::kTensionerTakeUp, {}, {}, {}, {}, {}, {}};
  need_lowered(asked, work);
  if (basis.by_strand_angle) asked.needs.push_back(kStrandAngle);
  asked.formula = [basis](const Values& v) { return 2 * v.lowered() * (basis.by_strand_angle ? std::cos(v[kStrandAngle]) : 1); };
  set_bound(asked.most, asked, "cam_drive.tensioner_reserve", drive->tensioner_reserve);
  into.lines.push_back(reckon(asked, work.figures));
}

/// Where the cam rides with the valves a cut leaves the lash alone: without a reading there is nothing to tell.
bool has_lash_line(const Work& work, bool is_intake) {
  const bool may_change = is_pushrod(work) || !drive_is_known(work);
  return !is_hydraulic(work) && (may_change || work.figures.has(is_intake ? kIntakeLash : kExhaustLash));
}

Consequence lash_line(const Work& work, bool is_intake) {
  const Ingredient lash = is_intake ? kIntakeLash : kExhaustLash;
  Asked asked{is_intake ? Matter::kIntakeLash : Matter::kExhaustLash, {lash}, {}, {}, {}, {}, {}};
  if (!drive_is_known(work)) asked.missing.emplace_back("valves.drive");
  if (is_pushrod(work)) {
    asked.needs.insert(asked.needs.end(), {kRockerRatio, kPushrodAngle});
    need_lowered(asked, work);
    asked.formula = [lash](const Values& v) {
      return v[lash] + solid_lash_change(metres(v.lowered()), v[kRockerRatio], radians(v[kPushrodAngle])).si();
    };
  } else {
    asked.formula = [lash](const Values& v) { return v[lash]; };
  }
  const joint::Valves& valves = *work.engine.valves;
  const joint::ValveRow row = (is_intake ? valves.intake : valves.exhaust).value_or(joint::ValveRow{});
  set_bound(asked.least, asked, is_intake ? "valves.intake.lash_least" : "valves.exhaust.lash_least", row.lash_least);
  set_bound(asked.most, asked, is_intake ? "valves.intake.lash_most" : "valves.exhaust.lash_most", row.lash_most);
  return reckon(asked, work.figures);
}

void add_preload(const Work& work, Consequences& into) {
  Asked asked{Matter::kLifterPreload, {kLifterPreload, kRockerRatio, kPushrodAngle}, {}, {}, {}, {}, {}};
  need_lowered(asked, work);
  asked.formula = [](const Values& v) {
    return v[kLifterPreload] + lifter_preload_change(metres(v.lowered()), v[kRockerRatio], radians(v[kPushrodAngle])).si();
  };
  set_bound(asked.least, asked, "limits.lifter_preload_least", work.limits.lifter_preload_least);
  set_bound(asked.most, asked, "limits.lifter_preload_most", work.limits.lifter_preload_most);
  into.lines.push_back(reckon(asked, work.figures));
}

/// The changes alone need less than the lines do.
void note_changes(const Work& work, Consequences& into) {
  const Values after = work.figures.after();
  if (!is_pushrod(work)) {
    if (drive_is_known(work) && !is_hydraulic(work)) into.lash_change = Length{};
    return;
  }
  into.pushrod_shortening = pushrod_shortening(into.lowered, radians(after[kPushrodAngle]));
  if (!work.figures.has(kRockerRatio)) return;
  if (is_hydraulic(work))
    into.preload_change = lifter_preload_change(into.lowered, after[kRockerRatio], radians(after[kPushrodAngle]));
  else
    into.lash_change = solid_lash_change(into.lowered, after[kRockerRatio], radians(after[kPushrodAngle]));
}

}  // namespace

double cam_retard(const Values& v, bool by_strand_angle) {
  const Length lowered = metres(v.lowered()), cam = metres(v[kCamRadius]);
  return by_strand_angle ? timing_shift(lowered, cam, radians(v[kStrandAngle])).cam.radians()
                         : timing_shift(lowered, metres(v[kCrankRadius]), cam, metres(v[kCentreDistance])).cam.radians();
}

TimingBasis timing_basis(const Work& work) {
  TimingBasis basis;
  if (is_pushrod(work)) {
    basis.is_fixed = true;
    return basis;
  }
  if (!drive_is_known(work)) basis.missing.emplace_back("valves.drive");
  if (!work.engine.cam_drive) basis.missing.emplace_back("[cam_drive]");
  if (work.engine.cam_drive && work.engine.cam_drive->kind == joint::CamDriveKind::kGear)
    basis.missing.emplace_back("the train of gears between crank and cam: the file does not describe it");
  const bool between_sprockets = work.figures.has(kCrankRadius) && work.figures.has(kCentreDistance);
  basis.by_strand_angle = work.figures.has(kStrandAngle) || !between_sprockets;
  basis.needs = {kCamRadius};
  if (work.figures.has(kStrandAngle)) basis.needs.push_back(kStrandAngle);
  if (!work.figures.has(kStrandAngle) && !between_sprockets) basis.assumed.emplace_back("cam_drive.strand_angle (not given: 0 deg taken)");
  if (!basis.by_strand_angle) basis.needs.insert(basis.needs.end(), {kCrankRadius, kCentreDistance});
  return basis;
}

void add_valve_drive(const Work& work, Consequences& into) {
  add_timing(work, into);
  add_tensioner(work, into);
  if (work.engine.valves) {
    if (is_hydraulic(work) && is_pushrod(work)) add_preload(work, into);
    for (const bool is_intake : {true, false})
      if (has_lash_line(work, is_intake)) into.lines.push_back(lash_line(work, is_intake));
  }
  note_changes(work, into);
}

}  // namespace headjoint::machining
