#pragma once

#include <optional>
#include <string>
#include <vector>

#include "headjoint/clamp/clamp.h"

/// Tightening bolt by bolt: every bolt that is turned slackens or loads the others.
///
/// A tightened bolt is a spring locked at its force and movement. Turning a bolt prescribes its force while the others are such springs.
namespace headjoint::clamp {

/// A bolt that has not been turned yet.
enum class Untightened {
  kSnug,   ///< touches: picks up load only if the head rises
  kLoose,  ///< carries nothing
};

/// One pass over all bolts: to a force, or a further angle.
struct TighteningPass {
  std::string text;              ///< "40 N.m", "+90 deg", "45 kN"
  std::vector<double> target_N;  ///< per bolt; empty for an angle pass
  std::optional<Angle> angle;    ///< further turn
};

struct TighteningPlan {
  std::vector<int> order;  ///< bolt numbers from 1; empty: from the middle outwards
  std::vector<TighteningPass> passes;
  Untightened untightened = Untightened::kSnug;
  /// A wrench that finds a bolt already above its target does nothing.
  bool wrench_never_loosens = true;
  std::optional<Force> yield_preload;  ///< an angle pass cannot pass this
  std::optional<Force> started_at;     ///< all bolts already tightened together to this force, instead of snug or loose
  std::optional<FaceShape> head_face;
  std::optional<FaceShape> block_face;
  bool keep_steps = false;  ///< forces after every single bolt
};

/// Forces of all bolts, after a pass or a step.
struct BoltForces {
  std::vector<double> force_N;
  double min_N = 0;
  double max_N = 0;
  double mean_N = 0;
  double std_N = 0;  ///< of the bolts at hand (n), not an estimate for others
};
[[nodiscard]] BoltForces bolt_forces(std::vector<double> force_N);

struct TighteningStep {
  int pass = 0;  ///< from 1
  int bolt = 0;
  BoltForces after;
};

struct TighteningResult {
  ClampStatus status = ClampStatus::kNotRun;
  std::string message;
  std::vector<int> order;
  std::vector<BoltForces> passes;
  std::vector<TighteningStep> steps;  ///< when asked for
  ClampResult clamped;                ///< after the last bolt; its field holds the greatest pressure over all steps
  int newton_steps = 0;
};

/// Middle outwards, sides alternating: nearest the bolts' centre first, then by distance.
[[nodiscard]] std::vector<int> order_from_the_middle(const std::vector<PlanPoint>& bolts);

/// The passes of the model: the maker's stages, a torque through middle friction, an angle as a turn; then the last force pass repeated
/// until there are `passes`. Without stages: the preload, `passes` times.
/// @param passes  1 to 20
[[nodiscard]] TighteningPlan plan_of_model(const ClampModel& model, int passes);
/// `passes` times to the same force.
[[nodiscard]] TighteningPlan even_plan(const ClampModel& model, Force target, int passes);

/// Tightens the joint.
/// @param plan  order a permutation; targets one per bolt, >= 0; InputError otherwise
/// @par Checked T40
[[nodiscard]] TighteningResult tighten(ClampedJoint& joint, const TighteningPlan& plan);

/// The same law on a matrix alone: member compliance C (mm/N, row by row) and bolt compliance (mm/N), all bolts given in order.
/// @returns forces after each pass
/// @par Source  elastic interaction after Bibel and Ezell 1992 in matrix form
/// @par Checked T19-T22
[[nodiscard]] std::vector<BoltForces> tighten_linear(const std::vector<double>& member_compliance,
                                                     const std::vector<double>& bolt_compliance, const std::vector<int>& order,
                                                     const std::vector<std::vector<double>>& targets_N);

/// Forces to set in one pass so that all end at `target_N`: the last bolt gets its target, earlier ones more.
/// @par Checked T21
[[nodiscard]] std::vector<double> compensated_targets(const std::vector<double>& member_compliance,
                                                      const std::vector<double>& bolt_compliance, const std::vector<int>& order,
                                                      const std::vector<double>& target_N);

/// One order and number of passes, with how even it leaves the bolts.
struct OrderChoice {
  std::vector<int> order;
  int passes = 0;
  double std_N = 0;
  double min_N = 0;
  double turning = 0;  ///< bolts turned in all
};

/// A recommended order and number of passes.
struct TighteningAdvice {
  OrderChoice recommended;  ///< the maker's order when there is one
  OrderChoice searched;     ///< the most even found that starts in the middle
  bool makers_order = false;
  std::vector<double> compensated_N;  ///< single pass in the recommended order; empty when it would pass yield
  std::string reason;
};

/// Searches orders that start at the middle bolt, by exchanging pairs, on the closed gasket's compliance matrix.
///
/// The maker's order always comes first: with one the advice is that order and the number of passes it needs.
/// @param even_to  standard deviation over target that is even enough, such as 0.01
[[nodiscard]] TighteningAdvice advise_tightening(const ClampModel& model, Force target, double even_to = 0.01, int most_passes = 6,
                                                 const ClampOptions& options = {});

}  // namespace headjoint::clamp
