#include <algorithm>
#include <cmath>

#include "headjoint/leakage/internal/arguments.h"
#include "headjoint/leakage/leak_down.h"

namespace headjoint::leakage {
namespace {

constexpr double kLeastSpread = 0.01;  // drills and gauges are hardly better; assumption

/// k at a reading and how fast it falls with the reading.
struct RatioAndSlope {
  double ratio;
  double slope;
};

RatioAndSlope ratio_at(const JetReading& jet, const Ambient& ambient, const Gas& gas) {
  check_positive(jet.jet_effective_area.si(), "jet area");
  check_argument(jet.reading < jet.supply, "reading", "with a jet fitted it must be below the supply");
  const double ratio = leak_area_ratio(jet.supply, jet.reading, ambient, gas);
  const double room = std::min(jet.reading.pascal(), jet.supply.pascal() - jet.reading.pascal());
  const double step = 1e-4 * room;
  const auto at = [&](double pascal) { return leak_area_ratio(jet.supply, GaugePressure::from_pascal(pascal), ambient, gas); };
  return {ratio, (at(jet.reading.pascal() + step) - at(jet.reading.pascal() - step)) / (2 * step)};
}

}  // namespace

OrificeCalibration calibrate_orifice(const std::vector<JetReading>& readings, const Ambient& ambient, const Gas& gas) {
  check_argument(!readings.empty(), "readings", "at least one jet is needed");
  double weighted_product = 0, weighted_square = 0;
  for (const JetReading& jet : readings) {
    const RatioAndSlope k = ratio_at(jet, ambient, gas);
    const double weight = 1 / (k.slope * k.slope);
    weighted_product += weight * k.ratio * jet.jet_effective_area.si();
    weighted_square += weight * k.ratio * k.ratio;
  }
  const double area = weighted_product / weighted_square;

  OrificeCalibration result;
  double squares = 0;
  for (const JetReading& jet : readings) {
    const GaugePressure predicted = leak_down_reading(jet.supply, jet.jet_effective_area.si() / area, ambient, gas);
    result.residual.push_back(GaugePressure::from_pascal(jet.reading.pascal() - predicted.pascal()));
    squares += result.residual.back().pascal() * result.residual.back().pascal();
  }
  const double freedom = std::max(1.0, static_cast<double>(readings.size()) - 1);
  const double standard_error = std::sqrt(squares / freedom / weighted_square);
  result.orifice = TesterOrifice::calibrated(Area::from_si(area), std::clamp(2 * standard_error, kLeastSpread, 0.99));
  return result;
}

}  // namespace headjoint::leakage
