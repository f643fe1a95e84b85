#include "headjoint/clamp/clamp.h"

#include <algorithm>
#include <cmath>

#include "headjoint/clamp/internal/joint_kernel.h"
#include "headjoint/clamp/internal/workshop_units.h"

namespace headjoint::clamp {
namespace {

/// One force per bolt, checked.
std::vector<double> forces_of(const ClampModel& model, const ClampLoads& loads) {
  if (loads.bolt_forces_N.empty()) {
    const std::optional<Force> preload = loads.preload ? loads.preload : model.preload;
    ask(preload.has_value(), "preload", "no preload is given, neither here nor in the engine file");
    ask(newton(*preload) >= 0 && newton(*preload) <= 1e7, "preload", "0 kN to 10 000 kN");
    return std::vector<double>(model.bolts.at.size(), newton(*preload));
  }
  ask(loads.bolt_forces_N.size() == model.bolts.at.size(), "bolt_forces", "one force for each bolt");
  for (const double force : loads.bolt_forces_N) ask(force >= 0 && force <= 1e7, "bolt_forces", "0 kN to 10 000 kN each");
  return loads.bolt_forces_N;
}

void check_heat(const HeatLoad& heat) {
  for (const TemperatureDifference rise : {heat.head_rise, heat.bolt_rise, heat.block_rise, heat.face_over_top})
    ask(std::abs(rise.si()) <= 500, "heat", "-500 K to 500 K");
}

/// How far the ends of head and block would slide past each other if nothing held them.
Length free_slide(const ClampModel& model, const HeatLoad& heat) {
  double x0 = model.outline[0].x_mm, x1 = x0;
  for (const PlanPoint& p : model.outline) x0 = std::min(x0, p.x_mm), x1 = std::max(x1, p.x_mm);
  const double strain = model.plate.expansion.si() * heat.head_rise.si() - model.block_plate.expansion.si() * heat.block_rise.si();
  return from_mm(strain * (x1 - x0) / 2);
}

}  // namespace

std::string to_string(ClampStatus status) {
  switch (status) {
    case ClampStatus::kConverged:
      return "converged";
    case ClampStatus::kFloats:
      return "floats";
    case ClampStatus::kTips:
      return "tips";
    case ClampStatus::kStepLimit:
      return "step_limit";
    case ClampStatus::kNotRun:
      break;
  }
  return "not_run";
}

ClampedJoint::ClampedJoint(const ClampModel& model, const ClampOptions& options) : kernel_(std::make_unique<Kernel>(model, options)) {}
ClampedJoint::ClampedJoint(std::unique_ptr<Kernel> kernel) : kernel_(std::move(kernel)) {}
ClampedJoint::ClampedJoint(ClampedJoint&&) noexcept = default;
ClampedJoint& ClampedJoint::operator=(ClampedJoint&&) noexcept = default;
ClampedJoint::~ClampedJoint() = default;

ClampedJoint ClampedJoint::copy() const {
  ClampedJoint twin(kernel_->model, kernel_->options);
  twin.kernel_->u_clamped = kernel_->u_clamped;
  twin.kernel_->u_loaded = kernel_->u_loaded;
  return twin;
}

const ClampModel& ClampedJoint::model() const { return kernel_->model; }
std::size_t ClampedJoint::memory_bytes() const { return kernel_->solver->bytes(); }

ClampResult ClampedJoint::solve(const ClampLoads& loads) {
  Kernel& kernel = *kernel_;
  const std::vector<double> forces = forces_of(kernel.model, loads);
  if (loads.heat) check_heat(*loads.heat);
  const OuterLoad nothing = kernel.outer_load({}, {}), outer = kernel.outer_load(loads.gas, loads.heat);
  std::vector<BoltAction1> bolts;
  for (const double force : forces) bolts.push_back({BoltAction1::Kind::kForce, force, 0});
  kernel.begin(loads.head_face, loads.block_face);
  kernel.settle(kernel.u_clamped, nothing, bolts);
  if (kernel.summary().status != ClampStatus::kConverged) {
    std::fill(kernel.u_clamped.begin(), kernel.u_clamped.end(), 0.0);
    return kernel.result(kernel.u_clamped, nothing, bolts);
  }
  kernel.remember(kernel.u_clamped);
  if (loads.gas.empty() && !loads.heat) return kernel.result(kernel.u_clamped, nothing, bolts);

  if (loads.action == BoltAction::kLocked) {
    const double stretch = loads.heat ? kernel.heat_stretch_mm(*loads.heat) : 0;
    for (std::size_t b = 0; b < bolts.size(); ++b)
      bolts[b] = {BoltAction1::Kind::kSpring, forces[b], kernel.solver->bolt_movement(b, kernel.u_clamped) + stretch};
  }
  kernel.settle(kernel.u_loaded, outer, bolts);
  ClampResult result = kernel.result(kernel.u_loaded, outer, bolts);
  if (loads.heat) result.slide = free_slide(kernel.model, *loads.heat);
  if (result.summary.status != ClampStatus::kConverged) std::fill(kernel.u_loaded.begin(), kernel.u_loaded.end(), 0.0);
  return result;
}

ClampResult clamp(const ClampModel& model, const ClampLoads& loads, const ClampOptions& options) {
  return ClampedJoint(model, options).solve(loads);
}

std::vector<double> bolt_influence_mm_per_N(const ClampModel& model, const ClampOptions& options) {
  ClampedJoint joint(model, options);
  ContactSolver& solver = *joint.kernel().solver;
  const std::size_t count = model.bolts.at.size();
  std::vector<double> influence(count * count), u(joint.kernel().grid.unknown_count());
  for (std::size_t j = 0; j < count; ++j) {
    std::fill(u.begin(), u.end(), 0.0);
    solver.washer(j).add(1, u);
    solver.solve_closed(u);
    for (std::size_t i = 0; i < count; ++i) influence[i * count + j] = solver.bolt_movement(i, u);
  }
  return influence;
}

}  // namespace headjoint::clamp
