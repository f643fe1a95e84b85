#include "headjoint/coolant/atmosphere.h"

#include <cmath>

#include "headjoint/coolant/internal/arguments.h"

namespace headjoint::coolant {
namespace {

constexpr double kSeaLevelKelvin = 288.15, kSeaLevelPascal = 101325, kLapse = 0.0065;  // ISO 2533:1975
constexpr double kExponent = 9.80665 / (287.05287 * kLapse);
constexpr double kLowest = -500, kHighest = 11000;

double pascal_at(double altitude) { return kSeaLevelPascal * std::pow(1 - kLapse * altitude / kSeaLevelKelvin, kExponent); }

void check_altitude(double altitude) {
  check_argument(altitude >= kLowest && altitude <= kHighest, "altitude", "must lie between -500 m and 11000 m above sea level");
}

}  // namespace

AbsolutePressure standard_pressure(Length altitude) {
  check_altitude(altitude.si());
  return AbsolutePressure::from_pascal(pascal_at(altitude.si()));
}

Temperature standard_temperature(Length altitude) {
  check_altitude(altitude.si());
  return Temperature::from_kelvin(kSeaLevelKelvin - kLapse * altitude.si());
}

Length altitude_of(AbsolutePressure pressure) {
  const double p = pressure.pascal();
  check_argument(p >= pascal_at(kHighest) && p <= pascal_at(kLowest), "pressure", "must lie between 226.4 hPa and 1074.7 hPa");
  return Length::from_si(kSeaLevelKelvin / kLapse * (1 - std::pow(p / kSeaLevelPascal, 1 / kExponent)));
}

}  // namespace headjoint::coolant
