#include <algorithm>
#include <cmath>

#include "headjoint/machining/compression_ratio.h"
#include "headjoint/machining/internal/matters.h"

/// What the cut does above the piston.
namespace headjoint::machining {
namespace {

using enum Ingredient;

constexpr double kRatiosDisagree = 0.1;

Length metres(double value) { return Length::from_si(value); }

CylinderVolumes volumes_of(const Values& v) {
  return {metres(v[kBore]),
          metres(v[kStroke]),
          metres(v[kGasketBore]),
          metres(v[kGasketBefore]),
          metres(v[kDeckClearance]),
          Volume::from_si(v[kChamberVolume]),
          Volume::from_si(v[kPistonDish]),
          Volume::from_si(v[kCrevice])};
}

/// Clearance volume after the cut: from the volumes, or from the ratio the file states and what the cut changes.
class ClearanceBasis {
 public:
  explicit ClearanceBasis(const Work& work) {
    const Figures& figures = work.figures;
    by_volumes_ = figures.has(kChamberVolume) && figures.has(kDeckClearance) && figures.has(kGasketBefore);
    needs_ = {kBore, kStroke, kHeadCut, kDeckCut};
    if (by_volumes_ || !figures.has(kRatioStated))
      needs_.insert(needs_.end(), {kChamberVolume, kPistonDish, kDeckClearance, kGasketBore, kGasketBefore, kGasketAfter});
    else
      needs_.push_back(kRatioStated);
    if (!by_volumes_ && figures.has(kRatioStated) && figures.gasket_is_changed())
      needs_.insert(needs_.end(), {kGasketBore, kGasketBefore, kGasketAfter});
    if (work.cut.head.si() > 0) needs_.push_back(kFaceArea);
  }

  [[nodiscard]] const std::vector<Ingredient>& needs() const { return needs_; }
  [[nodiscard]] bool by_volumes() const { return by_volumes_; }

  [[nodiscard]] Volume clearance(const Values& v) const {
    CylinderVolumes volumes = volumes_of(v);
    if (!by_volumes_) {
      const Volume stated = swept_volume(volumes.bore, volumes.stroke) / (v[kRatioStated] - 1);
      volumes.chamber += stated - clearance_volume(volumes);
    }
    const Removal removal{metres(v[kHeadCut]), metres(v[kDeckCut]), metres(v[kGasketAfter])};
    return clearance_volume(after_removal(volumes, Area::from_si(v[kFaceArea]), removal));
  }

  [[nodiscard]] double ratio(const Values& v) const {
    return compression_ratio(swept_volume(metres(v[kBore]), metres(v[kStroke])), clearance(v));
  }

 private:
  bool by_volumes_ = false;
  std::vector<Ingredient> needs_;
};

void add_ratio(const Work& work, const ClearanceBasis& basis, Consequences& into) {
  Asked asked{Matter::kCompressionRatio, basis.needs(), [&basis](const Values& v) { return basis.ratio(v); }, {}, {}, {}, {}};
  set_bound(asked.most, asked, "limits.compression_ratio_most", work.limits.compression_ratio_most);
  into.lines.push_back(reckon(asked, work.figures));
  const Consequence& line = into.lines.back();
  const auto& stated = work.engine.general.compression_ratio;
  if (basis.by_volumes() && stated && line.before && std::abs(*line.before - stated->value) >= kRatiosDisagree)
    into.ratio_stated = stated->value;
}

void add_closing_ratio(const Work& work, const ClearanceBasis& basis, Consequences& into) {
  const TimingBasis timing = timing_basis(work);
  Asked asked{Matter::kIntakeClosingRatio, basis.needs(), {}, {}, {}, {}, timing.missing};
  asked.needs.insert(asked.needs.end(), {kRodLength, kIntakeCloses});
  asked.needs.insert(asked.needs.end(), timing.needs.begin(), timing.needs.end());
  asked.formula = [&basis, timing](const Values& v) {
    const double retard = timing.is_fixed ? 0 : 2 * cam_retard(v, timing.by_strand_angle);
    return intake_closing_ratio(basis.clearance(v), metres(v[kBore]), {metres(v[kStroke]), metres(v[kRodLength])},
                                Angle::from_radians(v[kIntakeCloses] + retard));
  };
  into.lines.push_back(reckon(asked, work.figures));
}

void add_end_temperature(const Work& work, const ClearanceBasis& basis, Consequences& into) {
  Asked asked{Matter::kCompressionEndTemperature, basis.needs(), {}, {}, {}, {}, {}};
  asked.formula = [&](const Values& v) {
    return compression_end_temperature(work.charge.start, basis.ratio(v), work.charge.exponent).kelvin();
  };
  into.lines.push_back(reckon(asked, work.figures));
}

void add_squish(const Work& work, Consequences& into) {
  const auto height = [](const Values& v) { return v[kDeckClearance] - v[kDeckCut] + v[kGasketAfter]; };
  Asked asked{Matter::kSquish, {kDeckClearance, kDeckCut, kGasketAfter}, height, {}, {}, {}, {}};
  set_bound(asked.least, asked, "limits.squish_least", work.limits.squish_least);
  set_bound(asked.most, asked, "limits.squish_most", work.limits.squish_most);
  into.lines.push_back(reckon(asked, work.figures));
}

/// The grade whose thickness the gasket has, if any.
const joint::GasketGrade* grade_of_gasket(const std::vector<joint::GasketGrade>& grades, double thickness) {
  constexpr double kSameThickness = 0.005e-3;
  for (const joint::GasketGrade& grade : grades)
    if (grade.thickness && std::abs(grade.thickness->value.si() - thickness) < kSameThickness) return &grade;
  return nullptr;
}

void choose_grade(const Work& work, const std::vector<joint::GasketGrade>& grades, Consequences& into) {
  std::vector<Length> after = work.cut.protrusions;
  if (after.empty()) after.push_back(metres(work.figures[kPistonProtrusion].value));
  for (Length& protrusion : after) protrusion += work.cut.deck;
  into.grade = gasket_grade(grades, after);
}

void add_protrusion(const Work& work, Consequences& into) {
  const std::vector<joint::GasketGrade> grades = work.engine.gasket ? work.engine.gasket->grades : std::vector<joint::GasketGrade>{};
  const bool stands_proud = work.figures.has(kPistonProtrusion) && work.figures[kPistonProtrusion].value > 0;
  if (grades.empty() && !stands_proud) return;
  const auto protrusion = [](const Values& v) { return v[kPistonProtrusion] + v[kDeckCut]; };
  Asked asked{Matter::kPistonProtrusion, {kPistonProtrusion, kDeckCut}, protrusion, {}, {}, {}, {}};
  const Known& gasket = work.figures[kGasketAfter];
  if (const joint::GasketGrade* grade = gasket.is_there ? grade_of_gasket(grades, gasket.value) : nullptr) {
    set_bound(asked.least, asked, "gasket.grade.protrusion_least", grade->protrusion_least);
    set_bound(asked.most, asked, "gasket.grade.protrusion_most", grade->protrusion_most);
  } else {
    asked.limit_keys.emplace_back("gasket.grade");
  }
  if (!grades.empty() && work.figures.has(kPistonProtrusion)) choose_grade(work, grades, into);
  into.lines.push_back(reckon(asked, work.figures));
}

}  // namespace

void add_cylinder(const Work& work, Consequences& into) {
  const ClearanceBasis basis(work);
  add_ratio(work, basis, into);
  add_closing_ratio(work, basis, into);
  add_end_temperature(work, basis, into);
  add_squish(work, into);
  add_protrusion(work, into);
}

}  // namespace headjoint::machining
