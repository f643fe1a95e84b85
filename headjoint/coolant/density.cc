#include "headjoint/coolant/density.h"

#include <algorithm>
#include <cmath>

#include "headjoint/coolant/internal/arguments.h"
#include "headjoint/coolant/internal/mixture.h"
#include "headjoint/coolant/internal/property_fits.h"

namespace headjoint::coolant {
namespace {

void check_temperature(Temperature temperature) {
  check_argument(temperature >= kColdestCoolant && temperature <= kHottestCoolant, "temperature", "must lie between -35 degC and 130 degC");
}

/// The coolant as far as the fits know it.
Coolant within_fits(const Coolant& coolant) {
  check_coolant(coolant);
  return {coolant.glycol, std::min(coolant.share, kLargestUsualShare)};
}

}  // namespace

double density(const Coolant& coolant, Temperature temperature) {
  check_temperature(temperature);
  return pure_density_fit(coolant.glycol, mass_fraction(within_fits(coolant)), temperature.kelvin());
}

double inhibited_density(const Coolant& coolant, Temperature temperature) {
  check_temperature(temperature);
  return inhibited_density_fit(coolant.glycol, within_fits(coolant).share, temperature.kelvin());
}

double heat_capacity(const Coolant& coolant, Temperature temperature) {
  check_temperature(temperature);
  return pure_heat_capacity_fit(coolant.glycol, mass_fraction(within_fits(coolant)), temperature.kelvin());
}

Growth growth(const Coolant& coolant, Temperature from, Temperature to) {
  constexpr double kWideningPerKelvin = 3e-5;
  const double pure = density(coolant, from) / density(coolant, to) - 1;
  const double inhibited = inhibited_density(coolant, from) / inhibited_density(coolant, to) - 1;
  const double widening = kWideningPerKelvin * std::abs((to - from).si());
  return {pure, std::min(pure, inhibited) - widening, std::max(pure, inhibited) + widening};
}

}  // namespace headjoint::coolant
