#include "headjoint/clamp/tightening.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "headjoint/base/text.h"
#include "headjoint/clamp/internal/joint_kernel.h"
#include "headjoint/clamp/internal/workshop_units.h"

namespace headjoint::clamp {
namespace {

constexpr int kMostPasses = 20;

void check_plan(const ClampModel& model, const TighteningPlan& plan) {
  const std::size_t count = model.bolts.at.size();
  if (!plan.order.empty()) {
    std::vector<int> sorted = plan.order;
    std::sort(sorted.begin(), sorted.end());
    std::vector<int> all(count);
    std::iota(all.begin(), all.end(), 1);
    ask(sorted == all, "order", fmt::format("every bolt from 1 to {} once", count).c_str());
  }
  ask(!plan.passes.empty() && plan.passes.size() <= kMostPasses, "passes", "1 to 20");
  for (const TighteningPass& pass : plan.passes) {
    ask(pass.angle.has_value() == pass.target_N.empty(), "passes", "each pass has a force or an angle");
    ask(pass.angle || pass.target_N.size() == count, "passes", "one target for each bolt");
    for (const double target : pass.target_N) ask(target >= 0 && target <= 1e7, "passes", "targets from 0 kN to 10 000 kN");
    if (!pass.angle) continue;
    ask(pass.angle->degrees() >= 0 && pass.angle->degrees() <= 720, "passes", "angles from 0 to 720 deg");
    ask(model.bolts.thread.has_value(), "passes", "an angle needs the pitch: give the size of the bolts, such as M11x1.5");
  }
}

/// The joint while it is tightened: where the head is and how every bolt acts.
class Bench {
 public:
  Bench(ClampedJoint::Kernel& kernel, const TighteningPlan& plan) : kernel_(kernel), plan_(plan), nothing_(kernel.outer_load({}, {})) {
    u_.assign(kernel_.grid.unknown_count(), 0.0);
    bolts_.assign(kernel_.model.bolts.at.size(), {});
    kernel_.begin(plan.head_face, plan.block_face);
    start();
  }

  [[nodiscard]] bool rests() const { return kernel_.summary().status == ClampStatus::kConverged; }
  [[nodiscard]] double force(std::size_t bolt) const { return kernel_.solver->bolt_force(bolt, bolts_[bolt], u_); }
  [[nodiscard]] BoltForces forces() const {
    std::vector<double> all(bolts_.size());
    for (std::size_t b = 0; b < all.size(); ++b) all[b] = force(b);
    return bolt_forces(std::move(all));
  }
  [[nodiscard]] ClampResult result() const { return kernel_.result(u_, nothing_, bolts_); }

  void turn(std::size_t bolt, const TighteningPass& pass) {
    const double now = force(bolt);
    if (pass.angle) {
      const double stretch = pass.angle->degrees() / 360 * mm(kernel_.model.bolts.thread->pitch);
      bolts_[bolt] = {BoltAction1::Kind::kSpring, now + kernel_.solver->bolt_stiffness() * stretch, movement(bolt)};
      settle();
      if (plan_.yield_preload && force(bolt) > newton(*plan_.yield_preload)) hold(bolt, newton(*plan_.yield_preload));
    } else if (!plan_.wrench_never_loosens || pass.target_N[bolt] > now) {
      hold(bolt, pass.target_N[bolt]);
    }
    if (rests()) lock(bolt);
  }

 private:
  [[nodiscard]] double movement(std::size_t bolt) const { return kernel_.solver->bolt_movement(bolt, u_); }
  void settle() {
    kernel_.settle(u_, nothing_, bolts_);
    if (rests()) kernel_.remember(u_);
  }
  void hold(std::size_t bolt, double target) {
    bolts_[bolt] = {BoltAction1::Kind::kForce, target, 0};
    settle();
  }
  void lock(std::size_t bolt) { bolts_[bolt] = {BoltAction1::Kind::kSpring, force(bolt), movement(bolt)}; }

  /// Head laid on: pressed lightly to find its place; then bolts snug, loose or already tight.
  void start() {
    constexpr double kLaidOn = 100;  // N at every bolt
    const double start = plan_.started_at ? newton(*plan_.started_at) : kLaidOn;
    for (BoltAction1& bolt : bolts_) bolt = {BoltAction1::Kind::kForce, start, 0};
    settle();
    for (std::size_t b = 0; b < bolts_.size(); ++b) {
      if (plan_.started_at)
        lock(b);
      else if (plan_.untightened == Untightened::kSnug)
        bolts_[b] = {BoltAction1::Kind::kSpring, 0, movement(b)};
      else
        bolts_[b] = {};
    }
  }

  ClampedJoint::Kernel& kernel_;
  const TighteningPlan& plan_;
  OuterLoad nothing_;
  std::vector<double> u_;
  std::vector<BoltAction1> bolts_;
};

}  // namespace

BoltForces bolt_forces(std::vector<double> force_N) {
  BoltForces result;
  result.force_N = std::move(force_N);
  if (result.force_N.empty()) return result;
  const double count = static_cast<double>(result.force_N.size());
  const auto [least, most] = std::minmax_element(result.force_N.begin(), result.force_N.end());
  result.min_N = *least;
  result.max_N = *most;
  result.mean_N = std::accumulate(result.force_N.begin(), result.force_N.end(), 0.0) / count;
  double squares = 0;
  for (const double f : result.force_N) squares += (f - result.mean_N) * (f - result.mean_N);
  result.std_N = std::sqrt(squares / count);
  return result;
}

std::vector<int> order_from_the_middle(const std::vector<PlanPoint>& bolts) {
  PlanPoint centre;
  for (const PlanPoint& p : bolts)
    centre.x_mm += p.x_mm / static_cast<double>(bolts.size()), centre.y_mm += p.y_mm / static_cast<double>(bolts.size());
  std::vector<int> left(bolts.size()), order;
  std::iota(left.begin(), left.end(), 1);
  const auto at = [&](int bolt) { return bolts[static_cast<std::size_t>(bolt) - 1]; };
  const auto distance = [&](int bolt) { return std::hypot(at(bolt).x_mm - centre.x_mm, at(bolt).y_mm - centre.y_mm); };
  while (!left.empty()) {
    // Among those about as near as the nearest: the one farthest over on the other side of the bolt before.
    const double nearest = distance(*std::min_element(left.begin(), left.end(), [&](int a, int b) { return distance(a) < distance(b); }));
    constexpr double kAsNear = 1.02;
    auto best = left.end();
    double best_side = 0;
    for (auto bolt = left.begin(); bolt != left.end(); ++bolt) {
      if (distance(*bolt) > kAsNear * nearest + 1) continue;
      const double side = order.empty() ? 0
                                        : -(at(*bolt).x_mm - centre.x_mm) * (at(order.back()).x_mm - centre.x_mm) -
                                              (at(*bolt).y_mm - centre.y_mm) * (at(order.back()).y_mm - centre.y_mm);
      if (best != left.end() && !(side > best_side)) continue;
      best = bolt;
      best_side = side;
    }
    order.push_back(*best);
    left.erase(best);
  }
  return order;
}

TighteningPlan even_plan(const ClampModel& model, Force target, int passes) {
  ask(passes >= 1 && passes <= kMostPasses, "passes", "1 to 20");
  ask(newton(target) > 0, "preload", "larger than 0");
  TighteningPlan plan;
  plan.order = model.order;
  for (int i = 0; i < passes; ++i)
    plan.passes.push_back({number_text(newton(target) * 1e-3, 4) + " kN", std::vector<double>(model.bolts.at.size(), newton(target)), {}});
  return plan;
}

TighteningPlan plan_of_model(const ClampModel& model, int passes) {
  ask(passes >= 1 && passes <= kMostPasses, "passes", "1 to 20");
  if (model.stages.empty()) {
    ask(model.preload.has_value(), "preload", "neither [tightening] stages nor a preload of [bolts] is given");
    return even_plan(model, *model.preload, passes);
  }
  TighteningPlan plan;
  plan.order = model.order;
  const BoltRow& bolts = model.bolts;
  if (bolts.thread && bolts.yield && bolts.friction)
    plan.yield_preload = preload_at_yield(*bolts.thread, *bolts.friction, *bolts.yield, 1, bolts.waist);
  const auto add = [&](const joint::TighteningStage& stage) {
    if (stage.angle) {
      plan.passes.push_back({"+" + number_text(stage.angle->value.degrees(), 4) + " deg", {}, stage.angle->value});
      return;
    }
    ask(stage.torque.has_value(), "stages", "each stage has a torque or an angle");
    ask(bolts.thread && bolts.friction, "stages", "a torque becomes a force only with the size of the bolts, such as M11x1.5");
    const Length hole = bolts.hole_diameter.si() > 0 ? bolts.hole_diameter : bolts.thread->diameter;
    const Force force =
        preload_from_torque(*bolts.thread, *bolts.friction, mean_bearing_diameter(bolts.washer_diameter, hole), stage.torque->value);
    plan.passes.push_back(
        {number_text(stage.torque->value.si(), 4) + " N m", std::vector<double>(bolts.at.size(), newton(force)), std::nullopt});
  };
  for (int i = 0; i < passes; ++i) {
    const auto stage = std::min(static_cast<std::size_t>(i), model.stages.size() - 1);
    if (static_cast<std::size_t>(i) >= model.stages.size() && model.stages[stage].angle) break;
    add(model.stages[stage]);
  }
  return plan;
}

TighteningResult tighten(ClampedJoint& joint, const TighteningPlan& plan) {
  const ClampModel& model = joint.model();
  check_plan(model, plan);
  TighteningResult result;
  result.order = !plan.order.empty() ? plan.order : order_from_the_middle(model.bolts.at);
  Bench bench(joint.kernel(), plan);
  for (std::size_t pass = 0; pass < plan.passes.size() && bench.rests(); ++pass) {
    for (const int bolt : result.order) {
      bench.turn(static_cast<std::size_t>(bolt) - 1, plan.passes[pass]);
      if (!bench.rests()) {
        result.message = fmt::format("Pass {}, bolt {}: {}", pass + 1, bolt, joint.kernel().summary().message);
        break;
      }
      if (plan.keep_steps) result.steps.push_back({static_cast<int>(pass) + 1, bolt, bench.forces()});
    }
    if (bench.rests()) result.passes.push_back(bench.forces());
  }
  result.status = joint.kernel().summary().status;
  result.newton_steps = joint.kernel().summary().steps;
  if (result.message.empty()) result.message = joint.kernel().summary().message;
  if (bench.rests()) result.clamped = bench.result();
  return result;
}

}  // namespace headjoint::clamp
