#include "headjoint/leakage/burnt_gas.h"

#include <algorithm>
#include <cmath>

#include "headjoint/leakage/internal/arguments.h"
#include "headjoint/numerics/root.h"

namespace headjoint::leakage {
namespace {

constexpr double kHenry = 0.0339;                                             // mol/(L bar)
const double kFirst = std::pow(10, -6.352), kSecond = std::pow(10, -10.329);  // mol/L
constexpr double kIonProduct = 1e-14;                                         // mol2/L2
constexpr double kPascalPerBar = 1e5;
constexpr double kNormalMolarVolume = 22.414e-3;  // m3/mol

void check_alkalinity(double mM) { check_argument(mM >= 0.1 && mM <= 10, "alkalinity", "must lie between 0.1 and 10 mmol/L"); }
void check_share(double share, const char* name) { check_argument(share >= 0 && share <= 1, name, "must lie between 0 and 1"); }

/// Dissolved carbon dioxide [mol/L] that balances the charges at this acidity.
double dissolved(double alkalinity_mM, double hydrogen) {
  const double charge = alkalinity_mM * 1e-3 + hydrogen - kIonProduct / hydrogen;
  return charge / (kFirst / hydrogen * (1 + 2 * kSecond / hydrogen));
}

/// Flow that brings the head space to `threshold` just at the end of the test; empty when it never gets there.
std::optional<double> flow_to_reach(const ColourTest& test, double co2_in_gas, double threshold) {
  if (threshold >= co2_in_gas) return std::nullopt;
  return -std::log1p(-threshold / co2_in_gas) * test.head_space.si() / test.time.si();
}

void check_test(const ColourTest& test) {
  check_argument(test.time.si() >= 10 && test.time.si() <= 7200, "time", "must lie between 10 s and 2 h");
  check_argument(test.head_space.si() >= 5e-5 && test.head_space.si() <= 0.05, "head space", "must lie between 0.05 L and 50 L");
  check_argument(test.coolant_volume.si() >= 0 && test.coolant_volume.si() <= 0.5, "coolant volume", "must lie between 0 L and 500 L");
  check_argument(test.coolant_reserve_mM >= 0 && test.coolant_reserve_mM <= 200, "coolant reserve", "must lie between 0 and 200 mmol/L");
  for (const double mM : {test.dye.alkalinity_mM, test.dye.alkalinity_low_mM, test.dye.alkalinity_high_mM}) check_alkalinity(mM);
  check_argument(test.dye.alkalinity_low_mM <= test.dye.alkalinity_mM && test.dye.alkalinity_mM <= test.dye.alkalinity_high_mM,
                 "alkalinity", "must rise from low to high");
}

/// Flows [normal m3/s] that a threshold stands for at the weakest, usual and strongest dye.
struct Threshold {
  std::optional<double> low, value, high;
};
Threshold threshold_flows(const ColourTest& test, double co2_in_gas, double ph) {
  const auto flow = [&](double mM) { return flow_to_reach(test, co2_in_gas, co2_for_ph(mM, ph, test.ambient)); };
  return {flow(test.dye.alkalinity_low_mM), flow(test.dye.alkalinity_mM), flow(test.dye.alkalinity_high_mM)};
}

VolumeFlow as_flow(double si) { return VolumeFlow::from_si(si); }

/// A colour that only says "at least".
LeakArea at_least(double low, double value, const ColourTest& test) {
  LeakArea area = leak_area_from_fired_gas({as_flow(value), as_flow(low), as_flow(value)}, test.state, test.ambient);
  area.high.reset();
  return area;
}

/// Area and flow for the colour seen; `absorbed` is the flow that the coolant may have swallowed.
void read_colour(const ColourTest& test, const Threshold& green, const Threshold& yellow, double absorbed, ColourResult& result) {
  const auto bounded = [&](double low, double value, double high) {
    result.flow = {as_flow(value), as_flow(low), as_flow(high)};
    result.area = leak_area_from_fired_gas(result.flow, test.state, test.ambient);
  };
  const auto open_above = [&](double low, double value) {
    result.flow = {as_flow(value), as_flow(low), as_flow(value)};
    result.area = at_least(low, value, test);
  };
  if (test.seen == DyeColour::kBlue) {
    result.area = {};
    if (!green.high) return;  // this gas cannot turn every dye: blue says nothing
    bounded(0, 0, *green.high + absorbed);
    return;
  }
  if (test.seen == DyeColour::kYellow && yellow.low) {
    open_above(*yellow.low, yellow.value.value_or(*yellow.low));
    return;
  }
  result.yellow_is_doubtful = test.seen == DyeColour::kYellow;
  if (result.yellow_is_doubtful || !green.low) return;
  const double low = *green.low, value = green.value.value_or(low);
  if (yellow.high)
    bounded(low, std::sqrt(value * yellow.value.value_or(*yellow.high)), *yellow.high + absorbed);
  else
    open_above(low, value);
}

}  // namespace

double co2_for_ph(double alkalinity_mM, double ph, AbsolutePressure pressure) {
  check_alkalinity(alkalinity_mM);
  check_argument(ph >= 4 && ph <= 9, "pH", "must lie between 4 and 9");
  check_positive(pressure.pascal(), "pressure");
  return dissolved(alkalinity_mM, std::pow(10, -ph)) / kHenry / (pressure.pascal() / kPascalPerBar);
}

double dye_ph(double alkalinity_mM, double co2, AbsolutePressure pressure) {
  check_alkalinity(alkalinity_mM);
  check_share(co2, "carbon dioxide");
  check_positive(pressure.pascal(), "pressure");
  const double wanted = kHenry * co2 * pressure.pascal() / kPascalPerBar;
  return numerics::bracketed_root([&](double ph) { return dissolved(alkalinity_mM, std::pow(10, -ph)) - wanted; }, 2, 13).x;
}

DyeColour dye_colour(double ph) {
  check_argument(ph >= 0 && ph <= 14, "pH", "must lie between 0 and 14");
  return ph > kGreenFromPh ? DyeColour::kBlue : ph >= kYellowFromPh ? DyeColour::kGreen : DyeColour::kYellow;
}

std::optional<Duration> time_to_show(VolumeFlow flow, double co2_in_gas, Volume head_space, double threshold) {
  check_not_negative(flow.si(), "flow");
  check_share(co2_in_gas, "carbon dioxide in the gas");
  check_positive(head_space.si(), "head space");
  check_share(threshold, "threshold");
  if (!(flow.si() > 0) || threshold >= co2_in_gas) return std::nullopt;
  return Duration::from_si(-std::log1p(-threshold / co2_in_gas) * head_space.si() / flow.si());
}

Volume gas_absorbed_first(Volume coolant, double reserve_mM, double co2_in_gas) {
  check_not_negative(coolant.si(), "coolant volume");
  check_not_negative(reserve_mM, "reserve");
  check_argument(co2_in_gas > 0 && co2_in_gas <= 1, "carbon dioxide in the gas", "must lie above 0, at most 1");
  return Volume::from_si(coolant.si() * reserve_mM * kNormalMolarVolume / co2_in_gas);  // mmol/L are mol/m3
}

ColourResult judge_colour_test(const ColourTest& test) {
  check_test(test);
  ColourResult result;
  const bool fires = test.state != EngineState::kCranking;  // cranking gas is unburnt air
  result.co2_in_gas = fires ? exhaust_gas(test.fuel, usual_air_ratio(test.fuel, test.state)).co2_dry : 0;
  result.green_from = co2_for_ph(test.dye.alkalinity_mM, kGreenFromPh, test.ambient);
  result.yellow_from = co2_for_ph(test.dye.alkalinity_mM, kYellowFromPh, test.ambient);
  const Threshold green = threshold_flows(test, result.co2_in_gas, kGreenFromPh);
  const Threshold yellow = threshold_flows(test, result.co2_in_gas, kYellowFromPh);
  result.can_turn_green = green.value.has_value();
  result.can_turn_yellow = yellow.value.has_value();
  const double absorbed =
      fires ? gas_absorbed_first(test.coolant_volume, test.coolant_reserve_mM, result.co2_in_gas).si() / test.time.si() : 0;
  if (green.value) {
    const auto area_of = [&](double flow) {
      return leak_area_from_fired_gas({as_flow(flow), {}, as_flow(flow)}, test.state, test.ambient).area;
    };
    result.smallest = area_of(*green.value);
    result.smallest_if_absorbed = area_of(*green.value + absorbed);
    result.green_after =
        time_to_show(fired_gas_flow(Area::from_si(1e-8), test.state, test.ambient), result.co2_in_gas, test.head_space, result.green_from);
  }
  read_colour(test, green, yellow, absorbed, result);
  return result;
}

AnalyserVerdict judge_analyser(const AnalyserReading& reading) {
  constexpr double kBurntPercent = 0.5, kTracePercent = 0.1, kNoiseTimes = 3;
  check_argument(reading.co2_percent >= -1 && reading.co2_percent <= 25, "co2", "must lie between -1 % and 25 % over the blank");
  check_argument(reading.hc_ppm >= -1000 && reading.hc_ppm <= 50000, "hc", "must lie between -1000 ppm and 50000 ppm over the blank");
  check_positive(reading.hc_noise_ppm, "hc noise");
  if (reading.co2_percent >= kBurntPercent) return AnalyserVerdict::kBurntGas;
  if (reading.co2_percent >= kTracePercent) return AnalyserVerdict::kDoubtful;
  return reading.hc_ppm >= kNoiseTimes * reading.hc_noise_ppm ? AnalyserVerdict::kFuelOrSolvent : AnalyserVerdict::kNothing;
}

}  // namespace headjoint::leakage
