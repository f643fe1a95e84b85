#include "headjoint/coolant/water.h"

#include <cmath>

#include "headjoint/coolant/internal/arguments.h"
#include "headjoint/coolant/internal/saturation.h"

namespace headjoint::coolant {
namespace {

// Coefficients n1 to n10 of IAPWS R7-97(2012), table 34.
constexpr double kN1 = 1167.0521452767, kN2 = -724213.16703206, kN3 = -17.073846940092, kN4 = 12020.824702470;
constexpr double kN5 = -3232555.0322333, kN6 = 14.915108613530, kN7 = -4823.2657361591, kN8 = 405113.40542057;
constexpr double kN9 = -0.23855557567849, kN10 = 650.17534844798;
constexpr double kMegapascal = 1e6;
constexpr double kLowestPascal = 611.212;      // the backward equation gives 273.15 K at 611.213 Pa
constexpr double kHighestPascal = 22.06401e6;  // room for the rounding of the critical point

}  // namespace

double saturation_pascal(double kelvin) {
  const double t = kelvin + kN9 / (kelvin - kN10);
  const double a = t * t + kN1 * t + kN2;
  const double b = kN3 * t * t + kN4 * t + kN5;
  const double c = kN6 * t * t + kN7 * t + kN8;
  const double root = 2 * c / (-b + std::sqrt(b * b - 4 * a * c));
  return kMegapascal * root * root * root * root;
}

double saturation_kelvin(double pascal) {
  const double b = std::sqrt(std::sqrt(pascal / kMegapascal));
  const double e = b * b + kN3 * b + kN6;
  const double f = kN1 * b * b + kN4 * b + kN7;
  const double g = kN2 * b * b + kN5 * b + kN8;
  const double d = 2 * g / (-f - std::sqrt(f * f - 4 * e * g));
  const double sum = kN10 + d;
  return (sum - std::sqrt(sum * sum - 4 * (kN9 + kN10 * d))) / 2;
}

AbsolutePressure saturation_pressure(Temperature temperature) {
  check_argument(temperature >= kColdestSaturation && temperature <= kHottestSaturation, "temperature",
                 "must lie between 0 degC and 373.9 degC");
  return AbsolutePressure::from_pascal(saturation_pascal(temperature.kelvin()));
}

Temperature saturation_temperature(AbsolutePressure pressure) {
  check_argument(pressure.pascal() >= kLowestPascal && pressure.pascal() <= kHighestPascal, "pressure",
                 "must lie between 611.3 Pa and 220.64 bar, absolute");
  return Temperature::from_kelvin(saturation_kelvin(pressure.pascal()));
}

}  // namespace headjoint::coolant
