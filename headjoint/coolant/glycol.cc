#include "headjoint/coolant/glycol.h"

#include <algorithm>
#include <cmath>

#include "headjoint/coolant/internal/arguments.h"
#include "headjoint/coolant/internal/mixture.h"
#include "headjoint/coolant/internal/property_fits.h"
#include "headjoint/coolant/internal/saturation.h"
#include "headjoint/numerics/root.h"

namespace headjoint::coolant {
namespace {

constexpr double kWaterMolarMass = 18.015268, kWaterDensity = 998.2;  // g/mol; kg/m3 at 20 degC
constexpr double kIceKelvin = 273.15;

struct GlycolFigures {
  double molar_mass;  ///< g/mol
  double density;     ///< kg/m3 at 20 degC
  double a, b, c;     ///< Antoine: log10(p / bar) = a - b / (T / K + c)
};
constexpr GlycolFigures kEthyleneFigures{62.0678, 1113.2, 4.97012, 1914.951, -84.996};
constexpr GlycolFigures kPropyleneFigures{76.0944, 1036.1, 6.07936, 2692.187, -17.94};

const GlycolFigures& figures(Glycol glycol) { return glycol == Glycol::kEthylene ? kEthyleneFigures : kPropyleneFigures; }

double glycol_pascal(Glycol glycol, double kelvin) {
  const GlycolFigures& g = figures(glycol);
  return 1e5 * std::pow(10, g.a - g.b / (kelvin + g.c));
}

/// The fit's small offset at plain water is taken out below 10 vol %, where the fit was not made.
double freezing_kelvin(Glycol glycol, double share) {
  constexpr double kFitFrom = 0.1;
  const double fit = freezing_fit(glycol, share);
  if (share >= kFitFrom) return fit;
  return fit + (kIceKelvin - freezing_fit(glycol, 0)) * (1 - share / kFitFrom);
}

TemperatureBand band(double kelvin, double half_width, TemperatureBand::Status status) {
  return {Temperature::from_kelvin(kelvin), Temperature::from_kelvin(kelvin - half_width), Temperature::from_kelvin(kelvin + half_width),
          status};
}

}  // namespace

void check_coolant(const Coolant& coolant) {
  check_argument(coolant.share >= 0 && coolant.share <= kLargestShare, "glycol",
                 "must lie between 0 and 70 vol %: above that boiling and freezing points are not known well enough, and protection "
                 "gets worse, not better");
}

double mass_fraction(const Coolant& coolant) {
  check_coolant(coolant);
  const double glycol = coolant.share * figures(coolant.glycol).density;
  return glycol / (glycol + (1 - coolant.share) * kWaterDensity);
}

Mixture mixture_of(const Coolant& coolant) {
  const double w = mass_fraction(coolant);
  const double water = (1 - w) / kWaterMolarMass, glycol = w / figures(coolant.glycol).molar_mass;
  return {water / (water + glycol), coolant.glycol};
}

double Mixture::vapour_pascal(double kelvin) const {
  return water_moles * saturation_pascal(kelvin) + (1 - water_moles) * glycol_pascal(glycol, kelvin);
}

double Mixture::boiling_kelvin(double pascal) const {
  // The glycol's share of the vapour is a few per cent: putting it right step by step gains a factor of 20 a step or better.
  constexpr int kSteps = 12;
  double kelvin = saturation_kelvin(pascal / water_moles);
  for (int step = 0; step < kSteps; ++step)
    kelvin = saturation_kelvin((pascal - (1 - water_moles) * glycol_pascal(glycol, kelvin)) / water_moles);
  return kelvin;
}

AbsolutePressure vapour_pressure(const Coolant& coolant, Temperature temperature) {
  check_argument(temperature.celsius() >= 0 && temperature.celsius() <= 200, "temperature", "must lie between 0 degC and 200 degC");
  return AbsolutePressure::from_pascal(mixture_of(coolant).vapour_pascal(temperature.kelvin()));
}

TemperatureBand boiling_temperature(const Coolant& coolant, AbsolutePressure pressure) {
  constexpr double kUsualBand = 1.2, kWideBand = 2.5;  // kelvin
  const Mixture mixture = mixture_of(coolant);
  check_argument(pressure.pascal() >= 2e4 && pressure.pascal() <= 6e5, "pressure", "must lie between 200 hPa and 6 bar, absolute");
  const bool usual = coolant.share <= kLargestUsualShare;
  return band(mixture.boiling_kelvin(pressure.pascal()), usual ? kUsualBand : kWideBand,
              usual ? TemperatureBand::Status::kAsTabulated : TemperatureBand::Status::kBeyondUsual);
}

TemperatureBand freezing_temperature(const Coolant& coolant) {
  check_coolant(coolant);
  if (coolant.share > kLargestUsualShare) return band(kIceKelvin, 0, TemperatureBand::Status::kNotKnown);
  const double half_width = 1 + 20 * std::max(0.0, coolant.share - 0.5);  // kelvin
  return band(freezing_kelvin(coolant.glycol, coolant.share), half_width, TemperatureBand::Status::kAsTabulated);
}

std::optional<double> share_from_freezing(Glycol glycol, Temperature freezing) {
  const auto difference = [&](double share) { return freezing_kelvin(glycol, share) - freezing.kelvin(); };
  if (!(difference(0) >= 0 && difference(kLargestUsualShare) <= 0)) return std::nullopt;
  return numerics::bracketed_root(difference, 0, kLargestUsualShare).x;
}

}  // namespace headjoint::coolant
