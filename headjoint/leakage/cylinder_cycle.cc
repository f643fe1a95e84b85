#include "headjoint/leakage/cylinder_cycle.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <numbers>
#include <string>

#include "headjoint/leakage/internal/arguments.h"
#include "headjoint/leakage/internal/closed_cycle.h"
#include "headjoint/numerics/root.h"

namespace headjoint::leakage {
namespace {

constexpr double kPi = std::numbers::pi;
constexpr double kRounding = 1e-9;                               // a limit met exactly in another unit counts as met
constexpr double kLargestArea = 1e-3;                            // m2; an open plug hole has about 150 mm2
constexpr double kLargestHose = 200e-6, kSmallestRoom = 0.1e-6;  // m3

void check_between(double value, double low, double high, const std::string& argument, const std::string& allowed) {
  if (!(value >= low * (1 - kRounding) && value <= high * (1 + kRounding))) throw InputError(argument, allowed);
}

void check_engine(const CrankingEngine& engine) {
  check_between(engine.bore.si(), 0.02, 0.5, "bore", "must lie between 20 and 500 mm");
  check_between(engine.stroke.si(), 0.02, 0.6, "stroke", "must lie between 20 and 600 mm");
  check_argument(engine.rod.si() > engine.stroke.si() / 2 && engine.rod.si() <= 5, "rod length",
                 "must be above half the stroke and at most 5 m");
  check_between(engine.compression_ratio, 4, 30, "compression ratio", "must lie between 4 and 30");
  check_between(engine.intake_closing.degrees(), 0, 140, "intake closing",
                "must lie between 0 and 140 deg after bottom dead centre: it is counted from there, not from top dead centre");
  check_between(engine.exhaust_opening.degrees(), 0, 140, "exhaust opening",
                "must lie between 0 and 140 deg before bottom dead centre: it is counted from there, not from top dead centre");
  check_argument(!engine.firing.empty() && engine.firing.size() <= ClosedCycle::kMostCylinders, "cylinders", "must be 1 to 16");
  for (const Angle& angle : engine.firing)
    check_argument(std::abs(angle.degrees()) <= 7200, "firing angle", "must be a crank angle of at most ten turns");
}

void check_conditions(const CrankingConditions& conditions) {
  check_between(conditions.speed.rpm(), 20, 2000, "cranking speed", "must lie between 20 and 2000 rpm");
  const auto check_pressure = [](AbsolutePressure pressure, const char* argument) {
    check_between(pressure.pascal(), 1e4, 1e6, argument, "must lie between 0.1 and 10 bar absolute: absolute and gauge mixed up?");
  };
  const auto check_temperature = [](Temperature temperature, const char* argument) {
    check_between(temperature.kelvin(), 200, 500, argument, "must lie between -73 and 227 degC");
  };
  check_pressure(conditions.ambient.pressure, "ambient pressure");
  check_temperature(conditions.ambient.temperature, "ambient temperature");
  if (conditions.intake) check_pressure(*conditions.intake, "intake pressure");
  if (conditions.coolant) check_pressure(*conditions.coolant, "coolant pressure");
  if (conditions.charge) check_temperature(*conditions.charge, "charge temperature");
  if (conditions.wall) check_temperature(*conditions.wall, "wall temperature");
  check_between(conditions.heat_multiplier, 0, 10, "heat-loss multiplier", "must lie between 0 and 10");
  check_gas(conditions.gas);
}

void check_leaks(const CrankingEngine& engine, const std::vector<CylinderLeaks>& leaks, const std::vector<BridgeLeak>& bridges) {
  const auto check_area = [](Area area, const std::string& argument) {
    check_between(area.si(), 0, kLargestArea, argument, "must lie between 0 and 1000 mm2");
  };
  require(leaks.size() == engine.firing.size(), "one set of leaks a cylinder");
  for (std::size_t i = 0; i < leaks.size(); ++i) {
    const std::string where = " of cylinder " + std::to_string(i + 1);
    check_area(leaks[i].rings, "ring leak" + where);
    check_area(leaks[i].intake_valve, "intake valve leak" + where);
    check_area(leaks[i].exhaust_valve, "exhaust valve leak" + where);
    check_area(leaks[i].coolant, "leak to the coolant" + where);
    check_area(leaks[i].outside, "leak to the outside" + where);
    check_argument(leaks[i].liquid.si() >= 0 && leaks[i].liquid.si() < 0.9 * engine.dead_volume().si(), ("liquid" + where).c_str(),
                   "must be 0 to 90 % of the room left at top dead centre: more locks the engine");
  }
  for (const BridgeLeak& bridge : bridges) {
    require(bridge.first < leaks.size() && bridge.second < leaks.size() && bridge.first != bridge.second,
            "a bridge lies between two cylinders");
    check_area(bridge.area, "breach between cylinders " + std::to_string(bridge.first + 1) + " and " + std::to_string(bridge.second + 1));
  }
}

void check_gauge(const FittedGauge& gauge, const std::vector<CylinderLeaks>& leaks) {
  require(gauge.cylinder < leaks.size(), "the gauge sits in a cylinder");
  check_argument(!leaks[gauge.cylinder].is_plug_out, "gauge", "its cylinder cannot have the plug hole open as well");
  check_between(gauge.hose.si(), 0, kLargestHose, "hose volume", "must lie between 0 and 200 cm3");
  check_between(gauge.beyond_valve.si(), kSmallestRoom, kLargestHose, "gauge volume", "must lie between 0.1 and 200 cm3");
  check_between(gauge.valve.si(), 1e-8, 1e-4, "gauge valve", "must lie between 0.01 and 100 mm2");
  check_argument(gauge.strokes >= 1 && gauge.strokes <= 50, "strokes", "must be 1 to 50");
}

void check_precision(const CyclePrecision& precision) {
  check_between(precision.tolerance, 1e-12, 1e-2, "tolerance", "must lie between 1e-12 and 0.01");
  if (precision.trace_step) check_between(precision.trace_step->degrees(), 0.1, 30, "trace step", "must lie between 0.1 and 30 deg");
}

/// Heat transfer over p^0.8 and the law's powers of temperature and volume, SI units.
double heat_factor(const CrankingEngine& engine, const CrankingConditions& conditions) {
  const double piston_speed = 2 * engine.stroke.si() * conditions.speed.turns_per_second();
  switch (conditions.heat_loss) {
    case HeatLoss::kNone:
      return 0;
    case HeatLoss::kWoschni:  // h = 3.26 B^-0.2 p^0.8 T^-0.55 (2.28 Sp)^0.8 with p in kPa
      return conditions.heat_multiplier * 3.26 * std::pow(engine.bore.si(), -0.2) * std::pow(2.28 * piston_speed / 1e3, 0.8);
    case HeatLoss::kHohenberg:  // h = 130 V^-0.06 p^0.8 T^-0.4 (Sp + 1.4)^0.8 with p in bar
      return conditions.heat_multiplier * 130 * std::pow((piston_speed + 1.4) / 1e5, 0.8);
  }
  return 0;
}

CycleAir kernel_air(const CrankingEngine& engine, const CrankingConditions& conditions) {
  CycleAir air;
  air.turning = 2 * kPi * conditions.speed.turns_per_second();
  air.ambient = conditions.ambient.pressure.pascal();
  air.intake = conditions.intake.value_or(conditions.ambient.pressure).pascal();
  air.coolant = conditions.coolant.value_or(conditions.ambient.pressure).pascal();
  air.ambient_temperature = conditions.ambient.temperature.kelvin();
  air.charge_temperature = conditions.charge.value_or(conditions.ambient.temperature).kelvin();
  air.wall_temperature = conditions.wall.value_or(conditions.ambient.temperature).kelvin();
  air.gas_constant = conditions.gas.gas_constant;
  air.heat_ratio = conditions.gas.heat_ratio;
  air.heat_loss = conditions.heat_loss;
  air.heat_factor = heat_factor(engine, conditions);
  air.closing = engine.intake_closing.radians() - kPi;
  air.opening = kPi - engine.exhaust_opening.radians();
  return air;
}

CycleCylinder kernel_cylinder(const CrankingEngine& engine, const CylinderLeaks& leaks, Angle firing, Volume hose) {
  CycleCylinder cylinder;
  const double bore = engine.bore.si(), piston = kPi / 4 * bore * bore, chamber = engine.dead_volume().si() - leaks.liquid.si();
  cylinder.geometry = {engine.stroke.si() / 2, engine.rod.si(), piston, bore, chamber + hose.si(), chamber / piston};
  cylinder.dead_centre = firing.radians() - 4 * kPi * std::floor(firing.radians() / (4 * kPi) + kRounding);
  cylinder.to_ambient = leaks.rings.si() + leaks.exhaust_valve.si() + leaks.outside.si();
  cylinder.to_intake = leaks.intake_valve.si();
  cylinder.to_coolant = leaks.coolant.si();
  cylinder.is_plug_out = leaks.is_plug_out;
  return cylinder;
}

/// Cylinders that breaches join, the one with the gauge first in its group.
std::vector<std::vector<std::size_t>> joined_groups(std::size_t cylinders, const std::vector<BridgeLeak>& bridges,
                                                    std::size_t first_of_its_group) {
  std::vector<std::size_t> root(cylinders);
  for (std::size_t i = 0; i < cylinders; ++i) root[i] = i;
  for (const BridgeLeak& bridge : bridges) {
    if (!(bridge.area.si() > 0)) continue;
    const std::size_t from = root[bridge.second], to = root[bridge.first];
    std::replace(root.begin(), root.end(), from, to);
  }
  std::vector<std::vector<std::size_t>> groups;
  for (std::size_t i = 0; i < cylinders; ++i) {
    std::vector<std::size_t> group;
    for (std::size_t j = 0; j < cylinders; ++j)
      if (root[j] == i) group.push_back(j);
    const auto gauge = std::find(group.begin(), group.end(), first_of_its_group);
    if (gauge != group.end()) std::rotate(group.begin(), gauge, gauge + 1);
    if (!group.empty()) groups.push_back(std::move(group));
  }
  return groups;
}

std::vector<CycleBridge> bridges_within(const std::vector<std::size_t>& group, const std::vector<BridgeLeak>& bridges) {
  std::vector<CycleBridge> result;
  const auto place = [&](std::size_t cylinder) {
    return static_cast<std::size_t>(std::find(group.begin(), group.end(), cylinder) - group.begin());
  };
  for (const BridgeLeak& bridge : bridges)
    if (bridge.area.si() > 0 && place(bridge.first) < group.size())
      result.push_back({place(bridge.first), place(bridge.second), bridge.area.si()});
  return result;
}

MarchPlan plan_for(std::size_t group_size, const std::optional<FittedGauge>& gauge, const CyclePrecision& precision) {
  MarchPlan plan;
  plan.run_in = group_size > 1 ? 1 : 0;
  plan.cycles = plan.run_in + (gauge ? gauge->strokes : 1);
  plan.tolerance = precision.tolerance;
  plan.trace_step = precision.trace_step ? precision.trace_step->radians() : 0;
  return plan;
}

}  // namespace

std::vector<Angle> CrankingEngine::evenly_firing(const std::vector<int>& order) {
  std::vector<Angle> firing(order.size());
  std::vector<bool> is_seen(order.size(), false);
  for (std::size_t i = 0; i < order.size(); ++i) {
    const bool is_new =
        order[i] >= 1 && static_cast<std::size_t>(order[i]) <= order.size() && !is_seen[static_cast<std::size_t>(order[i] - 1)];
    check_argument(is_new, "firing order", "must name every cylinder once");
    is_seen[static_cast<std::size_t>(order[i] - 1)] = true;
    firing[static_cast<std::size_t>(order[i] - 1)] =
        Angle::from_degrees(720.0 * static_cast<double>(i) / static_cast<double>(order.size()));
  }
  return firing;
}

Volume CrankingEngine::displacement() const { return kPi / 4 * (bore * bore * stroke); }

Volume CrankingEngine::dead_volume() const { return 1 / (compression_ratio - 1) * displacement(); }

CrankingRun simulate_cranking(const CrankingEngine& engine, const CrankingConditions& conditions, const std::vector<CylinderLeaks>& leaks,
                              const std::vector<BridgeLeak>& bridges, const std::optional<FittedGauge>& gauge,
                              const CyclePrecision& precision) {
  check_engine(engine);
  check_conditions(conditions);
  check_leaks(engine, leaks, bridges);
  if (gauge) check_gauge(*gauge, leaks);
  check_precision(precision);

  const CycleAir air = kernel_air(engine, conditions);
  const std::size_t with_gauge = gauge ? gauge->cylinder : leaks.size();
  CrankingRun whole;
  whole.status = CrankingRun::Status::kDone;
  whole.cylinders.resize(leaks.size());
  for (const std::vector<std::size_t>& group : joined_groups(leaks.size(), bridges, with_gauge)) {
    const bool has_gauge = group.front() == with_gauge;
    std::vector<CycleCylinder> cylinders;
    for (std::size_t i : group)
      cylinders.push_back(kernel_cylinder(engine, leaks[i], engine.firing[i], has_gauge && i == with_gauge ? gauge->hose : Volume{}));
    const CycleGauge fitted = has_gauge ? CycleGauge{gauge->beyond_valve.si(), gauge->valve.si()} : CycleGauge{};
    ClosedCycle cycle(air, std::move(cylinders), bridges_within(group, bridges), fitted);
    CrankingRun run = cycle.run(plan_for(group.size(), has_gauge ? gauge : std::nullopt, precision));
    if (run.status != CrankingRun::Status::kDone) whole.status = run.status;
    for (std::size_t i = 0; i < group.size(); ++i) whole.cylinders[group[i]] = std::move(run.cylinders[i]);
    if (has_gauge) whole.gauge_readings = std::move(run.gauge_readings);
    whole.steps += run.steps;
  }
  return whole;
}

std::optional<CylinderRun> simulate_cylinder(const CrankingEngine& engine, const CrankingConditions& conditions, const CylinderLeaks& leaks,
                                             const CyclePrecision& precision) {
  CrankingEngine single = engine;
  single.firing = {Angle{}};
  check_engine(single);
  check_conditions(conditions);
  check_leaks(single, {leaks}, {});
  check_precision(precision);
  ClosedCycle cycle(kernel_air(single, conditions), {kernel_cylinder(single, leaks, Angle{}, Volume{})}, {}, {});
  MarchPlan plan = plan_for(1, {}, precision);
  plan.ends_at_peak = !precision.trace_step;
  CrankingRun run = cycle.run(plan);
  if (run.status != CrankingRun::Status::kDone) return std::nullopt;
  return std::move(run.cylinders.front());
}

double effective_compression_ratio(const CrankingEngine& engine) {
  check_engine(engine);
  const CrankGeometry geometry = kernel_cylinder(engine, {}, Angle{}, Volume{}).geometry;
  return geometry.at(engine.intake_closing.radians() - kPi).volume / geometry.dead_volume;
}

AbsolutePressure tight_adiabatic_peak(const CrankingEngine& engine, const CrankingConditions& conditions) {
  check_conditions(conditions);
  const double start = conditions.intake.value_or(conditions.ambient.pressure).pascal();
  return AbsolutePressure::from_pascal(start * std::pow(effective_compression_ratio(engine), conditions.gas.heat_ratio));
}

AbsolutePressure intake_behind_throttle(const CrankingEngine& engine, const CrankingConditions& conditions, Area open_area) {
  check_engine(engine);
  check_conditions(conditions);
  check_positive(open_area.si(), "throttle area");
  const double ambient = conditions.ambient.pressure.pascal();
  const double drawn = engine.displacement().si() * static_cast<double>(engine.firing.size()) * conditions.speed.turns_per_second() / 2;
  const double capacity = open_area.si() * std::sqrt(conditions.gas.gas_constant * conditions.ambient.temperature.kelvin());
  const FlowFunction psi(conditions.gas.heat_ratio);
  const auto surplus = [&](double ratio) { return capacity * psi(ratio) - drawn * ratio; };
  return AbsolutePressure::from_pascal(ambient * numerics::bracketed_root(surplus, 0, 1).x);
}

}  // namespace headjoint::leakage
