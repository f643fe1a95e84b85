#include "headjoint/clamp/torque_angle.h"

#include <algorithm>
#include <cmath>

#include "headjoint/clamp/bolt_stiffness.h"
#include "headjoint/clamp/internal/workshop_units.h"

namespace headjoint::clamp {

TorqueAngle torque_angle(const Thread& thread, Force snug, Angle angle, LineLoad bolt, LineLoad members, Force yield_preload) {
  ask(snug.si() >= 0, "snug", "must not be negative");
  ask(yield_preload >= snug, "yield_preload", "the snug torque alone already yields the bolt");
  ask(angle.degrees() >= 0, "angle", "must not be negative");
  const double per_degree = mm(thread.pitch) / 360 * newton_per_mm(in_series({bolt, members}));
  TorqueAngle result{.snug_preload = snug, .preload_per_degree_N = per_degree, .yield_preload = yield_preload};
  const double to_yield = newton(yield_preload - snug) / per_degree, beyond = std::max(0.0, angle.degrees() - to_yield);
  result.angle_to_yield = Angle::from_degrees(to_yield);
  result.yields = beyond > 0;
  result.preload = result.yields ? yield_preload : snug + from_newton(per_degree * angle.degrees());
  result.permanent_set = from_mm(beyond * mm(thread.pitch) / 360);
  result.bolt_stretch = from_mm(newton(result.preload) / newton_per_mm(bolt));
  result.parts_shorten = from_mm(newton(result.preload) / newton_per_mm(members));
  return result;
}

ReuseDecision reuse_decision(Length measured, Length as_new, Length uncertainty, Length stretched, std::optional<Length> maker_limit,
                             bool single_use, bool necked) {
  ask(measured.si() > 0, "measured", "must be larger than 0");
  ask(as_new.si() > 0, "as_new", "must be larger than 0");
  ask(uncertainty.si() >= 0, "uncertainty", "must not be negative");
  ask(stretched.si() > 0 && stretched <= as_new, "stretched", "larger than 0, at most the bolt's length");
  ask(std::abs((measured - as_new).si()) <= 0.1 * as_new.si(), "measured",
      "differs from a new bolt by more than a tenth: not the same bolt");
  if (maker_limit) ask(*maker_limit > as_new, "maker_limit", "the greatest length must be above that of a new bolt");
  const Length stretch = measured - as_new;
  ReuseDecision decision{.stretch_low = stretch - uncertainty, .stretch_high = stretch + uncertainty};
  decision.limit = maker_limit ? *maker_limit - as_new : 0.002 * stretched;
  const auto say = [&](ReuseVerdict verdict, const char* why) {
    decision.verdict = verdict;
    decision.why = why;
    return decision;
  };
  if (single_use) return say(ReuseVerdict::kScrap, "The maker allows these bolts one use: fit new ones.");
  if (necked)
    return say(ReuseVerdict::kScrap, "The bolt is necked or its thread does not run freely: it has been stretched. Fit new bolts.");
  if (decision.stretch_low > decision.limit)
    return say(ReuseVerdict::kScrap, "Longer than the limit by more than the reading can be wrong: stretched bolts are not used again.");
  if (decision.stretch_high > decision.limit)
    return say(ReuseVerdict::kUndecided, "The reading does not settle it: measure better, or fit new bolts.");
  if (maker_limit) return say(ReuseVerdict::kReusable, "Within the maker's limit.");
  if (decision.stretch_low.si() > 0)
    return say(ReuseVerdict::kUndecided,
               "Below 0.2 % of the stretched length, yet longer than a new bolt: it may have yielded. Fit new bolts.");
  return say(ReuseVerdict::kReusable, "No longer than a new bolt within what the reading can show; the maker gives no limit.");
}

}  // namespace headjoint::clamp
