#include "headjoint/faces/decision.h"

#include <algorithm>
#include <cmath>

#include "headjoint/base/error.h"
#include "headjoint/base/text.h"

namespace headjoint::faces {
namespace {

constexpr double kMicrometre = 1e-6;
constexpr double kCoverageFactor = 2;

Length micrometres(double value) { return Length::from_si(value * kMicrometre); }

std::string mm_text(Length length) { return number_text(length.si() * 1e3, 3) + " mm"; }

void check_not_negative(Length length, const char* argument) {
  if (!(length.si() >= 0) || !std::isfinite(length.si())) throw InputError(argument, "must be 0 or more");
}

void check_positive(Length length, const char* argument) {
  if (!(length.si() > 0) || !std::isfinite(length.si())) throw InputError(argument, "must be more than 0");
}

std::string words_to_settle(Length limit, const std::optional<Length>& needed) {
  if (!needed) return "the reading stands on the limit itself: no finer gauge can settle it, take the maker's advice";
  return "an expanded uncertainty of " + mm_text(*needed) + " or less, " + number_text(100 * (*needed / limit), 2) +
         " % of the limit: a finer gauge, a better straightedge or a probe grid";
}

/// Decision for a true value known to lie between low and high; `needed` is what would have decided it.
Decision decide_between(Length low, Length high, Length limit, std::optional<Length> needed) {
  Decision decision{Verdict::kUndecided, std::max(low, Length{}), high, limit, {}, {}};
  if (high <= limit) {
    decision.verdict = Verdict::kPass;
  } else if (low > limit) {
    decision.verdict = Verdict::kFail;
  } else {
    decision.uncertainty_needed = needed && needed->si() > 0 ? needed : std::nullopt;
    decision.to_settle = words_to_settle(limit, decision.uncertainty_needed);
  }
  return decision;
}

}  // namespace

Decision decide(Length value, Length expanded_uncertainty, Length limit) {
  check_not_negative(value, "value");
  check_not_negative(expanded_uncertainty, "expanded_uncertainty");
  check_positive(limit, "limit");
  const Length needed = Length::from_si(std::abs(value.si() - limit.si()));
  return decide_between(value - expanded_uncertainty, value + expanded_uncertainty, limit, needed);
}

Decision decide_feeler(Length enters, Length does_not_enter, Length expanded_uncertainty, Length limit) {
  check_not_negative(enters, "enters");
  check_not_negative(expanded_uncertainty, "expanded_uncertainty");
  check_positive(limit, "limit");
  if (!(does_not_enter > enters) || !std::isfinite(does_not_enter.si()))
    throw InputError("does_not_enter", "must be thicker than the blade that enters");
  Decision decision = decide_between(enters - expanded_uncertainty, does_not_enter + expanded_uncertainty, limit, std::nullopt);
  if (decision.verdict != Verdict::kUndecided) return decision;
  const bool limit_is_inside = enters < limit && limit < does_not_enter;
  if (limit_is_inside) {
    decision.to_settle = "the limit of " + mm_text(limit) + " lies between the blades of " + mm_text(enters) + " and " +
                         mm_text(does_not_enter) + ": try blades between them, or probe a grid";
    return decision;
  }
  const Length needed = limit >= does_not_enter ? limit - does_not_enter : enters - limit;
  if (needed.si() > 0) decision.uncertainty_needed = needed;
  decision.to_settle = words_to_settle(limit, decision.uncertainty_needed);
  return decision;
}

Length Contribution::standard_uncertainty() const { return half_width / std::sqrt(3.0); }

const Contribution* UncertaintyBudget::largest() const {
  const auto found = std::max_element(contributions.begin(), contributions.end(),
                                      [](const Contribution& a, const Contribution& b) { return a.half_width < b.half_width; });
  return found == contributions.end() ? nullptr : &*found;
}

UncertaintyBudget uncertainty_budget(std::vector<Contribution> contributions) {
  double squares = 0;
  for (const Contribution& contribution : contributions) {
    check_not_negative(contribution.half_width, "half_width");
    const double standard = contribution.standard_uncertainty().si();
    squares += standard * standard;
  }
  const Length standard = Length::from_si(std::sqrt(squares));
  return {std::move(contributions), standard, kCoverageFactor * standard};
}

Contribution gauge_step(Length step) {
  check_positive(step, "step");
  return {"step of the gauge", step / 2, "the reading lies within half a step"};
}

Contribution feeler_blade() { return {"thickness of the blade", micrometres(5), "common practice, no source"}; }

Contribution reference_flatness(Length band, std::string source) {
  check_positive(band, "band");
  return {"flatness of the straightedge or plate", band / 2, std::move(source)};
}

Contribution dirt() { return {"dirt and burrs", micrometres(5), "common practice, no source"}; }

Length knife_edge_flatness(Length length) {
  check_positive(length, "length");
  if (!(length.si() <= 0.5)) throw InputError("length", "knife-edge straightedges are listed up to 500 mm");
  return micrometres(2 + length.si() * 1e3 / 250);
}

Length plate_flatness(int grade, Length longer_side) {
  check_positive(longer_side, "longer_side");
  if (grade < 0 || grade > 3) throw InputError("grade", "must be 0, 1, 2 or 3");
  constexpr double kBase[] = {4, 10, 20, 40};
  constexpr double kPer[] = {250, 100, 50, 25};
  return micrometres(kBase[grade] + longer_side.si() * 1e3 / kPer[grade]);
}

}  // namespace headjoint::faces
