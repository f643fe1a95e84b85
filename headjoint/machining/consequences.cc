#include "headjoint/machining/consequences.h"

#include <algorithm>

#include "headjoint/base/error.h"
#include "headjoint/machining/internal/matters.h"

namespace headjoint::machining {
namespace {

using enum Ingredient;

constexpr double kDeepestCut = 10e-3;
constexpr double kThinnestGasket = 0.05e-3, kThickestGasket = 10e-3;

void check_cut(const Cut& cut) {
  if (!(cut.head.si() >= 0 && cut.head.si() <= kDeepestCut)) throw InputError("head", "a cut is 0 mm to 10 mm");
  if (!(cut.deck.si() >= 0 && cut.deck.si() <= kDeepestCut)) throw InputError("deck", "a cut is 0 mm to 10 mm");
  if (!(cut.scatter.si() >= 0 && cut.scatter.si() <= 1e-3)) throw InputError("scatter", "0 mm to 1 mm");
  if (!cut.gasket_thickness) return;
  const double gasket = cut.gasket_thickness->si();
  if (!(gasket >= kThinnestGasket && gasket <= kThickestGasket))
    throw InputError("gasket", "a compressed gasket is 0.05 mm to 10 mm thick");
}

bool is_vee(const Work& work) { return work.engine.general.layout == joint::Layout::kVee; }

}  // namespace

void need_lowered(Asked& asked, const Work& work) {
  asked.needs.insert(asked.needs.end(), {kHeadCut, kDeckCut});
  if (work.figures.gasket_is_changed() || work.figures.has(kGasketBefore))
    asked.needs.insert(asked.needs.end(), {kGasketBefore, kGasketAfter});
}

void add_manifold(const Work& work, Consequences& into) {
  if (!is_vee(work)) return;
  const auto cut = [](const Values& v) {
    return manifold_cut(Length::from_si(v.lowered()), Angle::from_radians(v[kVeeAngle]), Angle::from_radians(v[kFaceLean]));
  };
  for (const bool is_face : {true, false}) {
    Asked asked{is_face ? Matter::kIntakeFaceCut : Matter::kEndRailCut, {kVeeAngle, kFaceLean}, {}, {}, {}, {}, {}};
    need_lowered(asked, work);
    asked.formula = [cut, is_face](const Values& v) { return (is_face ? cut(v).intake_face : cut(v).end_rails).si(); };
    set_bound(asked.most, asked, "limits.manifold_shift_most", work.limits.manifold_shift_most);
    into.lines.push_back(reckon(asked, work.figures));
  }
  const Values after = work.figures.after();
  if (into.lines.back().after) into.manifold = cut(after);
}

Consequences consequences_of(const joint::Engine& engine, const Cut& cut, const ChargeAssumption& charge) {
  check_cut(cut);
  const Figures figures(engine, cut);
  const Work work{engine, cut, charge, figures, engine.limits.value_or(joint::Limits{})};
  Consequences result;
  result.lowered = Length::from_si(figures.after().lowered());
  add_castings(work, result);
  add_cylinder(work, result);
  add_valves(work, result);
  add_valve_drive(work, result);
  add_manifold(work, result);
  std::stable_sort(result.lines.begin(), result.lines.end(), [](const auto& a, const auto& b) { return a.matter < b.matter; });
  return result;
}

const Consequence* Consequences::find(Matter matter) const {
  const auto line = std::find_if(lines.begin(), lines.end(), [&](const Consequence& one) { return one.matter == matter; });
  return line == lines.end() ? nullptr : &*line;
}

bool Consequences::has(Verdict verdict) const {
  return std::any_of(lines.begin(), lines.end(), [&](const Consequence& one) { return one.verdict == verdict; });
}

}  // namespace headjoint::machining
