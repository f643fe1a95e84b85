#pragma once

#include <optional>

#include "headjoint/leakage/fuel.h"
#include "headjoint/units/points.h"
#include "headjoint/units/quantity.h"

/// White vapour at the tailpipe: when it is only the fuel's own water, and how much coolant it takes to make it show.
namespace headjoint::leakage {

/// Saturation pressure of water vapour over liquid, Magnus form: 611.2 exp(17.62 t / (243.12 + t)).
/// Good to a tenth of a kelvin in dew point from -45 to 60 degC; inside 3 % to 100 degC.
/// @param temperature  -45 degC to 350 degC (only the part below 100 degC decides)
/// @throws InputError naming the argument
[[nodiscard]] AbsolutePressure magnus_pressure(Temperature temperature);

/// Temperature below which water drops out of a gas with this mole fraction of water.
/// @param water  above 0, below 1
/// @throws InputError naming the argument
/// @par Checked published.white_vapour
[[nodiscard]] Temperature dew_point(double water, AbsolutePressure pressure);

struct Tailpipe {
  Fuel fuel = Fuel::kPetrol;
  double air_ratio = 1;                              ///< lambda
  Temperature gas = Temperature::from_celsius(100);  ///< at the mouth of the pipe; 30 degC to 600 degC
  double humidity = 0.7;                             ///< of the air outside, relative; 0 to 1
  AbsolutePressure ambient;
  std::optional<double> water;  ///< mole fraction in the gas; empty: from fuel and air ratio plus the air's own
  double extra_water = 0;       ///< beyond the normal water, as a share of it; 0 to 10
};

/// Warmest air outside in which the plume shows white. Empty: it shows at any temperature below the gas's own.
///
/// Gas and air mix along a straight line in the plane of temperature and vapour pressure; fog forms where the line crosses saturation.
///
/// @throws InputError naming the argument
/// @par Source  mixing line, the same geometry as the Schmidt-Appleman criterion for contrails (from memory)
/// @par Checked published.white_vapour
[[nodiscard]] std::optional<Temperature> warmest_plume(const Tailpipe& pipe);

/// Coolant that adds a share of the fuel's water, per hour. `low`: the glycol burns to water too; `high`: only the coolant's own water.
struct CoolantLoss {
  VolumeFlow low, high;
};
/// @param fuel_flow  > 0. A car idles at about 0.6 kg/h
/// @param glycol_share  of the coolant by volume; 0 to 0.7
/// @throws InputError naming the argument
/// @par Checked published.white_vapour
[[nodiscard]] CoolantLoss coolant_for_extra_water(double extra_water, Fuel fuel, MassFlow fuel_flow, double glycol_share);

struct VapourResult {
  enum class Status {
    kNotRun,
    kNormalHere,    ///< white vapour is normal at this outside temperature: seeing it says nothing
    kWouldBeASign,  ///< normal exhaust shows nothing here: white vapour from a warm system needs another source
    kNothingShows,  ///< even ten times the water would not show: its absence says nothing
  };
  Status status = Status::kNotRun;
  std::optional<Temperature> normal_below;    ///< warmest outside air with a normal plume
  std::optional<double> extra_water_to_show;  ///< share beyond the fuel's water that would just show here
  std::optional<CoolantLoss> smallest_loss;   ///< coolant per hour that it takes
};

/// @param outside  -40 degC to 60 degC, and below the gas
/// @throws InputError naming the argument
[[nodiscard]] VapourResult judge_white_vapour(const Tailpipe& pipe, Temperature outside, MassFlow fuel_flow, double glycol_share);

}  // namespace headjoint::leakage
