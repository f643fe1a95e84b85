#include "headjoint/leakage/coolant_leak.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "headjoint/leakage/internal/arguments.h"

namespace headjoint::leakage {
namespace {

constexpr double kTableArea = 0.01e-6;  // m2
constexpr double kLitrePerMinute = 1e-3 / 60;

/// Normal m3/s through the table's area.
double table_flow(EngineState state, double coolant_pascal) {
  constexpr double kIdleOpen = 0.080, kIdleClosed = 0.063, kClosedPascal = 2.0e5;
  switch (state) {
    case EngineState::kCranking:
      return 0.161 * kLitrePerMinute;
    case EngineState::kIdle: {
      const double closed = std::clamp((coolant_pascal - kNormalPascal) / (kClosedPascal - kNormalPascal), 0.0, 1.5);
      return (kIdleOpen + closed * (kIdleClosed - kIdleOpen)) * kLitrePerMinute;
    }
    case EngineState::kFastIdle:
      return 0.120 * kLitrePerMinute;
    case EngineState::kFullLoad:
      return 0.208 * kLitrePerMinute;
  }
  throw ContractError("unknown engine state");
}

void check_flow(const GasFlow& flow) {
  check_not_negative(flow.low.si(), "flow");
  check_argument(flow.low <= flow.value && flow.value <= flow.high && std::isfinite(flow.high.si()), "flow", "must rise from low to high");
}

LeakArea area_band(double value, double low, double high) {
  return {Area::from_si(value), Area::from_si(low), Area::from_si(high),
          low > 0 ? LeakArea::Status::kMeasured : LeakArea::Status::kBelowLimit};
}

}  // namespace

VolumeFlow fired_gas_flow(Area area, EngineState state, AbsolutePressure coolant) {
  check_not_negative(area.si(), "area");
  check_positive(coolant.pascal(), "coolant pressure");
  return VolumeFlow::from_si(area.si() / kTableArea * table_flow(state, coolant.pascal()));
}

LeakArea leak_area_from_fired_gas(const GasFlow& flow, EngineState state, AbsolutePressure coolant) {
  check_flow(flow);
  check_positive(coolant.pascal(), "coolant pressure");
  const double per_flow = kTableArea / table_flow(state, coolant.pascal());
  return area_band(flow.value.si() * per_flow, flow.low.si() * per_flow / (1 + kFiredGasError),
                   flow.high.si() * per_flow / (1 - kFiredGasError));
}

VolumeFlow liquid_flow(Area opening, GaugePressure pressure, double density, double discharge) {
  check_not_negative(opening.si(), "opening");
  check_not_negative(pressure.pascal(), "pressure");
  check_positive(density, "density");
  check_argument(discharge > 0 && discharge <= 1, "discharge", "must lie above 0, at most 1");
  return VolumeFlow::from_si(discharge * opening.si() * std::sqrt(2 * pressure.pascal() / density));
}

Duration shortest_lock_time(Area opening, Volume clearance, GaugePressure pressure, double density) {
  check_positive(opening.si(), "opening");
  check_positive(clearance.si(), "clearance volume");
  check_positive(pressure.pascal(), "pressure");
  return Duration::from_si(clearance.si() / liquid_flow(opening, pressure, density).si());
}

VolumeFlow normal_flow(VolumeFlow at_ambient, const Ambient& ambient) {
  check_ambient(ambient);
  return VolumeFlow::from_si(at_ambient.si() * ambient.pressure.pascal() / kNormalPascal * kNormalKelvin / ambient.temperature.kelvin());
}

GasFlow bubble_flow(const BubbleCount& bubbles, const Ambient& ambient) {
  check_argument(bubbles.per_minute >= 0 && bubbles.per_minute <= 3000, "bubbles per minute", "must lie between 0 and 3000");
  check_argument(bubbles.diameter.si() >= 1e-3 && bubbles.diameter.si() <= 30e-3, "bubble diameter", "must lie between 1 mm and 30 mm");
  check_argument(bubbles.diameter_error >= 0 && bubbles.diameter_error <= 0.9, "bubble diameter error", "must lie between 0 and 0.9");
  const auto flow = [&](double size) {
    const double volume = std::numbers::pi / 6 * std::pow(size * bubbles.diameter.si(), 3);
    return normal_flow(VolumeFlow::from_si(bubbles.per_minute / 60 * volume), ambient);
  };
  return {flow(1), flow(1 - bubbles.diameter_error), flow(1 + bubbles.diameter_error)};
}

LeakArea leak_area_from_bubbles(const GasFlow& flow, GaugePressure cylinder, const Ambient& ambient, const Gas& gas) {
  check_flow(flow);
  check_positive(cylinder.pascal(), "cylinder pressure");
  check_ambient(ambient);
  check_gas(gas);
  const GasState upstream{cylinder.absolute(ambient.pressure), ambient.temperature};
  const double normal_density = kNormalPascal / (gas.gas_constant * kNormalKelvin);
  const auto area = [&](VolumeFlow normal) {
    return effective_area_of_flow(MassFlow::from_si(normal.si() * normal_density), upstream, ambient.pressure, gas).si();
  };
  if (!(flow.high.si() > 0)) return area_band(0, 0, area(bubble_flow({.per_minute = 1}, ambient).high));
  return area_band(area(flow.value), area(flow.low), area(flow.high));
}

std::optional<Duration> time_to_gather(Volume amount, VolumeFlow flow) {
  check_not_negative(amount.si(), "amount");
  check_not_negative(flow.si(), "flow");
  if (!(flow.si() > 0)) return std::nullopt;
  return Duration::from_si(amount.si() / flow.si());
}

}  // namespace headjoint::leakage
