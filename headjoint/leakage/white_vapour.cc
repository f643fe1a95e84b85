#include "headjoint/leakage/white_vapour.h"

#include <algorithm>
#include <cmath>

#include "headjoint/leakage/internal/arguments.h"
#include "headjoint/numerics/root.h"

namespace headjoint::leakage {
namespace {

constexpr double kA = 17.62, kB = 243.12, kC = 611.2;  // Magnus, over liquid water; degC, Pa
constexpr double kColdest = -45, kMostExtraWater = 10;

double magnus(double celsius) { return kC * std::exp(kA * celsius / (kB + celsius)); }
double magnus_slope(double celsius) { return magnus(celsius) * kA * kB / ((kB + celsius) * (kB + celsius)); }

void check_pipe(const Tailpipe& pipe) {
  check_argument(pipe.gas.celsius() >= 30 && pipe.gas.celsius() <= 600, "pipe", "must lie between 30 degC and 600 degC");
  check_argument(pipe.humidity >= 0 && pipe.humidity <= 1, "humidity", "must lie between 0 and 1 (0 and 100 %)");
  check_positive(pipe.ambient.pascal(), "ambient pressure");
  check_argument(!pipe.water || (*pipe.water >= 0 && *pipe.water < 0.6), "water", "must lie between 0 and 0.6");
  check_argument(pipe.extra_water >= 0 && pipe.extra_water <= kMostExtraWater, "extra water", "must lie between 0 and 10");
}

/// Vapour pressure in the tailpipe gas [Pa]: what the normal gas holds and the extra beside it, which also dilutes.
double gas_vapour(const Tailpipe& pipe, double outside) {
  const double p = pipe.ambient.pascal();
  const auto normal = [&] {
    const double burnt = exhaust_gas(pipe.fuel, pipe.air_ratio).water;
    const double drawn_in = std::min(0.1, pipe.humidity * magnus(outside) / p);
    return burnt + drawn_in * (1 - burnt);
  };
  const double water = pipe.water ? *pipe.water : normal();
  return water * (1 + pipe.extra_water) / (1 + water * pipe.extra_water) * p;
}

/// Highest excess of the mixing line over saturation [Pa]; above zero: fog.
double excess(const Tailpipe& pipe, double outside) {
  const double hot = pipe.gas.celsius(), vapour_out = pipe.humidity * magnus(outside);
  const double slope = (gas_vapour(pipe, outside) - vapour_out) / (hot - outside);
  const auto over = [&](double t) { return vapour_out + slope * (t - outside) - magnus(t); };
  if (slope <= magnus_slope(outside)) return over(outside);
  if (slope >= magnus_slope(hot)) return over(hot);
  const auto touch = numerics::bracketed_root([&](double t) { return slope - magnus_slope(t); }, outside, hot);
  return over(touch.x);
}

}  // namespace

AbsolutePressure magnus_pressure(Temperature temperature) {
  check_argument(temperature.celsius() >= kColdest && temperature.celsius() <= 350, "temperature",
                 "must lie between -45 degC and 350 degC");
  return AbsolutePressure::from_pascal(magnus(temperature.celsius()));
}

Temperature dew_point(double water, AbsolutePressure pressure) {
  check_argument(water > 0 && water < 1, "water", "must lie between 0 and 1");
  check_positive(pressure.pascal(), "pressure");
  const double log_ratio = std::log(water * pressure.pascal() / kC);
  return Temperature::from_celsius(kB * log_ratio / (kA - log_ratio));
}

std::optional<Temperature> warmest_plume(const Tailpipe& pipe) {
  check_pipe(pipe);
  const double ceiling = std::min(60.0, pipe.gas.celsius() - 1);
  const auto shows = [&](double outside) { return excess(pipe, outside); };
  if (shows(ceiling) > 0) return std::nullopt;
  if (!(shows(kColdest) > 0)) return Temperature::from_celsius(kColdest);
  return Temperature::from_celsius(numerics::bracketed_root(shows, kColdest, ceiling).x);
}

CoolantLoss coolant_for_extra_water(double extra_water, Fuel fuel, MassFlow fuel_flow, double glycol_share) {
  check_argument(extra_water >= 0 && extra_water <= kMostExtraWater, "extra water", "must lie between 0 and 10");
  check_positive(fuel_flow.si(), "fuel flow");
  check_argument(glycol_share >= 0 && glycol_share <= 0.7, "glycol", "must lie between 0 and 70 vol %");
  constexpr double kWaterDensity = 998, kGlycolDensity = 1113, kWaterFromGlycol = 0.871;  // kg/m3; kg/kg
  const double needed = extra_water * exhaust_gas(fuel, 1).water_per_fuel * fuel_flow.si();
  const double own = (1 - glycol_share) * kWaterDensity;
  return {VolumeFlow::from_si(needed / (own + glycol_share * kGlycolDensity * kWaterFromGlycol)), VolumeFlow::from_si(needed / own)};
}

VapourResult judge_white_vapour(const Tailpipe& pipe, Temperature outside, MassFlow fuel_flow, double glycol_share) {
  check_pipe(pipe);
  check_argument(outside.celsius() >= -40 && outside.celsius() <= 60 && outside < pipe.gas, "outside",
                 "must lie between -40 degC and 60 degC, below the tailpipe gas");
  Tailpipe normal = pipe;
  normal.extra_water = 0;
  VapourResult result;
  result.normal_below = warmest_plume(normal);
  const auto shows = [&](double extra) {
    Tailpipe wetter = pipe;
    wetter.extra_water = extra;
    return excess(wetter, outside.celsius());
  };
  if (shows(0) > 0) {
    result.status = VapourResult::Status::kNormalHere;
  } else if (!(shows(kMostExtraWater) > 0)) {
    result.status = VapourResult::Status::kNothingShows;
  } else {
    result.status = VapourResult::Status::kWouldBeASign;
    result.extra_water_to_show = numerics::bracketed_root(shows, 0, kMostExtraWater).x;
    result.smallest_loss = coolant_for_extra_water(*result.extra_water_to_show, pipe.fuel, fuel_flow, glycol_share);
  }
  return result;
}

}  // namespace headjoint::leakage
