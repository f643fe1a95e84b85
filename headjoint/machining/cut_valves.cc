#include <optional>
#include <string>

#include "headjoint/machining/internal/matters.h"
#include "headjoint/machining/lift_curve.h"
#include "headjoint/machining/valve_gap.h"

/// What the cut does between valve and piston, and to what stands in the head's face.
namespace headjoint::machining {
namespace {

using enum Ingredient;

Length metres(double value) { return Length::from_si(value); }
Angle radians(double value) { return Angle::from_radians(value); }

/// The ingredients of one row of valves.
struct RowIngredients {
  Ingredient angle, gap, lift, duration, centre, recession;
};
constexpr RowIngredients kIntakeRow = {kIntakeAngle, kIntakeGap, kIntakeLift, kIntakeDuration, kIntakeCentre, kIntakeRecession};
constexpr RowIngredients kExhaustRow = {kExhaustAngle, kExhaustGap, kExhaustLift, kExhaustDuration, kExhaustCentre, kExhaustRecession};

class GapLine {
 public:
  GapLine(const Work& work, bool is_intake)
      : work_(work), is_intake_(is_intake), in_(is_intake ? kIntakeRow : kExhaustRow), timing_(timing_basis(work)) {
    if (work.engine.valves) row_ = (is_intake ? work.engine.valves->intake : work.engine.valves->exhaust).value_or(joint::ValveRow{});
    if (row_.lift.empty()) return;
    const auto measured = LiftCurve::measured(row_.lift);
    if (measured)
      table_ = *measured;
    else
      fault_ = measured.problems().front().what;
  }

  [[nodiscard]] Consequence line() const;

 private:
  [[nodiscard]] ValveOverPiston valve(const Values& v) const {
    const double centre = is_intake_ ? v[in_.centre] : -v[in_.centre];
    LiftCurve lift = table_ ? *table_ : LiftCurve(row_.law.value_or(joint::LiftLaw{}), metres(v[in_.lift]), radians(v[in_.duration]));
    return {std::move(lift), radians(centre), radians(v[in_.angle]), metres(v[in_.gap])};
  }
  [[nodiscard]] SmallestGap smallest(const Values& v, bool cam_set_back = false) const {
    const bool shifts = !timing_.is_fixed && !cam_set_back;
    const Angle retard = shifts ? radians(2 * cam_retard(v, timing_.by_strand_angle)) : Angle{};
    return smallest_valve_gap(valve(v), {metres(v[kStroke]), metres(v[kRodLength])}, {metres(v.lowered()), retard, {}});
  }
  [[nodiscard]] Asked asked() const;
  void set_limit(Asked& asked) const;

  const Work& work_;
  bool is_intake_;
  RowIngredients in_;
  TimingBasis timing_;
  joint::ValveRow row_;
  std::optional<LiftCurve> table_;
  std::string fault_;
};

Asked GapLine::asked() const {
  Asked asked{is_intake_ ? Matter::kIntakeGap : Matter::kExhaustGap,
              {kStroke, kRodLength, in_.angle, in_.gap, in_.centre},
              {},
              {},
              {},
              {},
              timing_.missing};
  if (row_.lift.empty()) {
    asked.needs.insert(asked.needs.end(), {in_.lift, in_.duration});
    if (!row_.law) asked.missing.emplace_back(is_intake_ ? "valves.intake.law or a lift table" : "valves.exhaust.law or a lift table");
  }
  asked.needs.insert(asked.needs.end(), timing_.needs.begin(), timing_.needs.end());
  need_lowered(asked, work_);
  asked.formula = [this](const Values& v) { return smallest(v).gap.si(); };
  if (!fault_.empty()) asked.missing.push_back((is_intake_ ? "valves.intake.lift: " : "valves.exhaust.lift: ") + fault_);
  set_limit(asked);
  return asked;
}

void GapLine::set_limit(Asked& asked) const {
  const auto& own = is_intake_ ? work_.limits.intake_gap_least : work_.limits.exhaust_gap_least;
  if (!own && work_.limits.valve_gap_least)
    set_bound(asked.least, asked, "limits.valve_gap_least", work_.limits.valve_gap_least);
  else
    set_bound(asked.least, asked, is_intake_ ? "limits.intake_gap_least" : "limits.exhaust_gap_least", own);
}

Consequence GapLine::line() const {
  Consequence line = reckon(asked(), work_.figures);
  line.assumed.insert(line.assumed.end(), timing_.assumed.begin(), timing_.assumed.end());
  if (!line.before || !line.after) return line;
  const Values after = work_.figures.after();
  line.at_deg_before = smallest(work_.figures.before()).at.degrees();
  line.at_deg_after = smallest(after).at.degrees();
  if (!timing_.is_fixed && after.lowered() != 0) line.after_with_cam_set_back = smallest(after, true).gap.si() * 1e3;
  return line;
}

/// A cut of the head brings its face nearer to the valve's head.
void add_recession(const Work& work, bool is_intake, Consequences& into) {
  const Ingredient recession = is_intake ? kIntakeRecession : kExhaustRecession;
  const bool is_limited = work.limits.valve_recession_least || work.limits.valve_recession_most;
  if (!work.figures.has(recession) && !is_limited && work.engine.general.fuel != joint::Fuel::kDiesel) return;
  const auto left = [recession](const Values& v) { return v[recession] - v[kHeadCut]; };
  Asked asked{is_intake ? Matter::kIntakeRecession : Matter::kExhaustRecession, {recession, kHeadCut}, left, {}, {}, {}, {}};
  set_bound(asked.least, asked, "limits.valve_recession_least", work.limits.valve_recession_least);
  set_bound(asked.most, asked, "limits.valve_recession_most", work.limits.valve_recession_most);
  into.lines.push_back(reckon(asked, work.figures));
}

void add_inserts(const Work& work, Consequences& into) {
  if (!work.figures.has(kInsertProtrusion) && work.engine.general.fuel != joint::Fuel::kDiesel) return;
  const auto proud = [](const Values& v) { return v[kInsertProtrusion] + v[kHeadCut]; };
  Asked asked{Matter::kInsertProtrusion, {kInsertProtrusion, kHeadCut}, proud, {}, {}, {}, {}};
  set_bound(asked.most, asked, "limits.insert_protrusion_most", work.limits.insert_protrusion_most);
  into.lines.push_back(reckon(asked, work.figures));
}

}  // namespace

void add_valves(const Work& work, Consequences& into) {
  for (const bool is_intake : {true, false}) {
    into.lines.push_back(GapLine(work, is_intake).line());
    add_recession(work, is_intake, into);
  }
  add_inserts(work, into);
}

}  // namespace headjoint::machining
