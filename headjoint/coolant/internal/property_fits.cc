#include "headjoint/coolant/internal/property_fits.h"

#include <array>
#include <cmath>

namespace headjoint::coolant {
namespace {

constexpr int kHeatTerms = 4, kShareTerms = 6;

struct Fit {
  double kelvin0, share0;
  std::array<std::array<double, kShareTerms>, kHeatTerms> c;  ///< row: power of temperature, column: power of the share

  [[nodiscard]] constexpr double operator()(double kelvin, double share) const {
    double sum = 0;
    for (int i = kHeatTerms - 1; i >= 0; --i) {
      double row = 0;
      for (int j = kShareTerms - 1; j >= 0; --j) row = row * (share - share0) + c[static_cast<std::size_t>(i)][static_cast<std::size_t>(j)];
      sum = sum * (kelvin - kelvin0) + row;
    }
    return sum;
  }
};

constexpr Fit kPureEthyleneDensity{304.878,
                                   0.308462,
                                   {{{{1034.0, 131.1, 0.749, -106.2, -96.23, 489.1}},
                                     {{-0.4781, -0.6876, 0.7855, 1.229, -7.211}},
                                     {{-0.002692, 0.004805, -0.003995, -0.01153}},
                                     {{4.725e-06, 1.69e-06, 4.982e-05}}}}};
constexpr Fit kPurePropyleneDensity{305.8583,
                                    0.307031,
                                    {{{{1018.0, 76.04, -24.98, -155.0, -113.1, 234.2}},
                                      {{-0.5406, -0.945, 0.27, 2.829, -2.221}},
                                      {{-0.002666, 0.005541, -0.004018, -0.007175}},
                                      {{1.347e-05, -1.343e-05, 3.376e-05}}}}};
constexpr Fit kPureEthyleneHeat{304.878,
                                0.308462,
                                {{{{3737.0, -1799.0, -993.3, 2610.0, 1537.0, -16180.0}},
                                  {{2.93, 10.46, 3.516, -1.189, -42.72}},
                                  {{-0.004675, -0.04147, 0.05109, -0.1643}},
                                  {{-1.389e-05, 1.847e-05, -0.0007138}}}}};
constexpr Fit kPurePropyleneHeat{305.8583,
                                 0.307031,
                                 {{{{3882.0, -1304.0, -1598.0, 353.9, 5000.0, -4959.0}},
                                   {{2.699, 5.07, 0.9534, 31.02, -71.35}},
                                   {{-0.001659, -0.004752, 0.1167, -0.295}},
                                   {{-1.032e-05, 0.0001522, -0.000487}}}}};
constexpr Fit kInhibitedEthyleneDensity{305.65,
                                        0.35,
                                        {{{{1047.337, 140.4485, -48.70559, 71.41693, 52.4585, -693.3962}},
                                          {{-0.4505054, -0.3001582, -0.03952614, 0.02496264, -0.06817576}},
                                          {{-0.002432696, -2.084384e-05, 0.0003108353, -0.0008979712}},
                                          {{-3.72545e-09, 1.044784e-06, -4.391164e-06}}}}};
constexpr Fit kInhibitedPropyleneDensity{305.65,
                                         0.35,
                                         {{{{1026.177, 72.53677, -65.32547, 34.66575, -15.82785, -213.9879}},
                                           {{-0.5350059, -0.5056296, 0.1751278, -0.092333, 0.02877433}},
                                           {{-0.002566157, -0.0001703579, 0.001165892, -0.000207517}},
                                           {{-5.177316e-09, 9.673169e-09, 3.368862e-07}}}}};
constexpr Fit kInhibitedEthyleneLogFreezing{305.65, 0.35, {{{{5.534468, -0.3574293, -0.6535113, -0.9039166, 1.048048, 4.622116}}}}};
constexpr Fit kInhibitedPropyleneLogFreezing{305.65, 0.35, {{{{5.546103, -0.326277, -0.6666873, -0.8800598, -1.071417, -1.875782}}}}};

bool is_ethylene(Glycol glycol) { return glycol == Glycol::kEthylene; }

}  // namespace

double pure_density_fit(Glycol glycol, double mass_fraction, double kelvin) {
  return (is_ethylene(glycol) ? kPureEthyleneDensity : kPurePropyleneDensity)(kelvin, mass_fraction);
}

double pure_heat_capacity_fit(Glycol glycol, double mass_fraction, double kelvin) {
  return (is_ethylene(glycol) ? kPureEthyleneHeat : kPurePropyleneHeat)(kelvin, mass_fraction);
}

double inhibited_density_fit(Glycol glycol, double volume_fraction, double kelvin) {
  return (is_ethylene(glycol) ? kInhibitedEthyleneDensity : kInhibitedPropyleneDensity)(kelvin, volume_fraction);
}

double freezing_fit(Glycol glycol, double volume_fraction) {
  const Fit& fit = is_ethylene(glycol) ? kInhibitedEthyleneLogFreezing : kInhibitedPropyleneLogFreezing;
  return std::exp(fit(fit.kelvin0, volume_fraction));
}

}  // namespace headjoint::coolant
