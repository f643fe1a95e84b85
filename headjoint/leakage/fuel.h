#pragma once

/// What burning a fuel makes, as far as the gas and vapour tests need it.
namespace headjoint::leakage {

enum class Fuel { kPetrol, kDiesel, kLpg, kCng };

/// Exhaust of complete combustion with dry air (O2 : N2 and argon = 1 : 3.773 by volume).
struct ExhaustGas {
  double air_to_fuel = 0;     ///< by mass
  double co2_dry = 0;         ///< mole fraction after the water is out, as an analyser or a dye sees it
  double water = 0;           ///< mole fraction, wet
  double water_per_fuel = 0;  ///< kg/kg
};

/// @param hydrogen_per_carbon  of the fuel CHy; > 0. Octane 2.25
/// @param air_ratio  lambda; 1 to 20
/// @throws InputError naming the argument
/// @par Source  stoichiometry
/// @par Checked published.fuel
[[nodiscard]] ExhaustGas exhaust_gas(double hydrogen_per_carbon, double air_ratio);

/// Petrol CH1.87, diesel CH1.80, propane for LPG, methane for CNG.
[[nodiscard]] ExhaustGas exhaust_gas(Fuel fuel, double air_ratio);

/// What the engine does while the test runs.
enum class EngineState { kCranking, kIdle, kFastIdle, kFullLoad };

/// Air ratio taken for that state: petrol and gas engines burn at 1; a diesel at 7 (6 to 8) idling without load, 5 at 2000 rpm without
/// load, 1.3 at full load. Assumptions; common practice.
[[nodiscard]] double usual_air_ratio(Fuel fuel, EngineState state);

}  // namespace headjoint::leakage
