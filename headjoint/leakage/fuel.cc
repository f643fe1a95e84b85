#include "headjoint/leakage/fuel.h"

#include "headjoint/leakage/internal/arguments.h"

namespace headjoint::leakage {
namespace {

constexpr double kNitrogenPerOxygen = 3.773, kAirMolarMass = 28.96;
constexpr double kCarbon = 12.011, kHydrogen = 1.008, kWater = 18.015;  // g/mol

double hydrogen_per_carbon(Fuel fuel) {
  switch (fuel) {
    case Fuel::kPetrol:
      return 1.87;
    case Fuel::kDiesel:
      return 1.80;
    case Fuel::kLpg:
      return 8.0 / 3;
    case Fuel::kCng:
      return 4;
  }
  throw ContractError("unknown fuel");
}

}  // namespace

ExhaustGas exhaust_gas(double y, double air_ratio) {
  check_argument(y > 0 && y <= 4, "hydrogen per carbon", "must lie above 0, at most 4");
  check_argument(air_ratio >= 1 && air_ratio <= 20, "air ratio", "must lie between 1 and 20");
  const double oxygen = 1 + y / 4;  // mol per mol of carbon, at lambda 1
  const double dry = 1 + kNitrogenPerOxygen * oxygen * air_ratio + oxygen * (air_ratio - 1);
  const double fuel_mass = kCarbon + kHydrogen * y;
  return {air_ratio * oxygen * (1 + kNitrogenPerOxygen) * kAirMolarMass / fuel_mass, 1 / dry, y / 2 / (dry + y / 2),
          y / 2 * kWater / fuel_mass};
}

ExhaustGas exhaust_gas(Fuel fuel, double air_ratio) { return exhaust_gas(hydrogen_per_carbon(fuel), air_ratio); }

double usual_air_ratio(Fuel fuel, EngineState state) {
  if (fuel != Fuel::kDiesel) return 1;
  return state == EngineState::kFullLoad ? 1.3 : state == EngineState::kFastIdle ? 5 : 7;
}

}  // namespace headjoint::leakage
