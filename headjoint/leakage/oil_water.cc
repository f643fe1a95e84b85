#include "headjoint/leakage/oil_water.h"

#include <algorithm>
#include <cmath>

#include "headjoint/leakage/internal/arguments.h"

namespace headjoint::leakage {
namespace {

constexpr double kWaterDensity = 998;     // kg/m3
constexpr double kCoolantDensity = 1065;  // kg/m3, half and half
constexpr double kPerMillion = 1e-6;

double oil_mass(const Sump& sump) {
  check_argument(sump.oil.si() >= 0.3e-3 && sump.oil.si() <= 0.2, "oil volume", "must lie between 0.3 L and 200 L");
  check_argument(sump.oil_density >= 700 && sump.oil_density <= 1000, "oil density", "must lie between 700 and 1000 kg/m3");
  return sump.oil.si() * sump.oil_density;
}

void check_metals(const Metals& metals) {
  check_argument(metals.sample_mg_per_kg >= 0 && metals.sample_mg_per_kg <= 20000, "sodium and potassium",
                 "must lie between 0 and 20000 mg/kg");
  check_argument(metals.new_oil_mg_per_kg >= 0 && metals.new_oil_mg_per_kg <= 20000, "new oil", "must lie between 0 and 20000 mg/kg");
  check_argument(metals.coolant_low >= 100 && metals.coolant_low <= metals.coolant_mg_per_kg &&
                     metals.coolant_mg_per_kg <= metals.coolant_high && metals.coolant_high <= 20000,
                 "sodium and potassium of the coolant", "must lie between 100 and 20000 mg/kg, low to high");
}

/// Coolant [m3] that carries so many mg/kg of something into the oil when the coolant holds `content` of it as a mass fraction.
Volume coolant_carrying(double mg_per_kg, double content, const Sump& sump) {
  return Volume::from_si(mg_per_kg * kPerMillion * oil_mass(sump) / content / kCoolantDensity);
}

double threshold_of(GlycolTest test) {
  return test == GlycolTest::kTablet ? kGlycolTablet : test == GlycolTest::kReagent ? kGlycolReagent : kGlycolChromatographLowest;
}

CoolantInOil coolant_from_glycol(const OilEvidence& evidence, double left) {
  const double glycol = *evidence.glycol_mg_per_kg;
  if (!(glycol > 0)) return {{}, {}, {}, CoolantInOil::Status::kNoneTold};
  const double error = glycol_precision(glycol).reproducibility;
  const auto coolant = [&](double mg_per_kg, double remaining) {
    return coolant_carrying(mg_per_kg, evidence.glycol_share * remaining, evidence.sump);
  };
  return {coolant(glycol, std::sqrt(left)), coolant(glycol - error, 1), coolant(glycol + error, left), CoolantInOil::Status::kFound};
}

void read_water(const OilEvidence& evidence, OilResult& result) {
  result.smallest_water = water_in(evidence.water_mg_per_kg ? kKarlFischerLowest : kCrackleFrom, evidence.sump);
  if (evidence.water_mg_per_kg) {
    check_argument(*evidence.water_mg_per_kg >= 0 && *evidence.water_mg_per_kg <= 1e6, "water", "must lie between 0 and 1000000 mg/kg");
    result.water = water_in(*evidence.water_mg_per_kg, evidence.sump);
    result.water_over_limit = *evidence.water_mg_per_kg > kWaterLimit;
  } else if (evidence.crackles) {
    result.water = *evidence.crackles ? water_in(kCrackleFrom, evidence.sump) : Volume{};
  }
}

void read_coolant(const OilEvidence& evidence, OilResult& result) {
  std::optional<Volume> smallest;
  if (evidence.glycol_mg_per_kg) {
    check_argument(*evidence.glycol_mg_per_kg >= 0 && *evidence.glycol_mg_per_kg <= 1e6, "glycol", "must lie between 0 and 1000000 mg/kg");
    result.coolant = coolant_from_glycol(evidence, result.glycol_left);
    smallest = smallest_coolant_by_glycol(evidence.glycol_test.value_or(GlycolTest::kTablet), evidence.sump, evidence.glycol_share,
                                          evidence.hot_hours);
  }
  if (evidence.metals) {
    const CoolantInOil by_metals = coolant_from_metals(*evidence.metals, evidence.sump);
    if (by_metals.status == CoolantInOil::Status::kFound || result.coolant.status != CoolantInOil::Status::kFound)
      result.coolant = by_metals;
    const Volume least = smallest_coolant_by_metals(*evidence.metals, evidence.sump);
    smallest = smallest ? std::min(*smallest, least) : least;
  }
  result.smallest_coolant = smallest.value_or(Volume{});
}

OilVerdict verdict_of(const OilEvidence& evidence, const OilResult& result) {
  const auto yes = [](const std::optional<bool>& sign) { return sign.value_or(false); };
  if (result.coolant.status == CoolantInOil::Status::kFound) return OilVerdict::kCoolant;
  if (yes(evidence.whole_sump_emulsion) && (yes(evidence.coolant_level_falls) || yes(evidence.oil_level_rises)))
    return OilVerdict::kCoolant;
  const bool water =
      (result.water && result.water->si() > water_in(kCrackleFromLow, evidence.sump).si()) || yes(evidence.whole_sump_emulsion);
  if (water) {
    const bool measured = evidence.water_mg_per_kg.has_value();
    const bool trips = evidence.cold_fuel.si() > 0 && (!measured || *result.water <= result.short_trips.high);
    return trips && !yes(evidence.coolant_level_falls) && !yes(evidence.oil_level_rises) ? OilVerdict::kShortTrips
                                                                                         : OilVerdict::kWaterUnexplained;
  }
  if (yes(evidence.cream_under_cap_only)) return yes(evidence.coolant_level_falls) ? OilVerdict::kNotTold : OilVerdict::kShortTrips;
  if (result.water) return OilVerdict::kNoWaterFound;
  return result.coolant.status == CoolantInOil::Status::kNoneTold ? OilVerdict::kNoCoolantFound : OilVerdict::kNotTold;
}

}  // namespace

double water_mg_per_kg(Volume water, const Sump& sump) {
  check_not_negative(water.si(), "water");
  constexpr double kNominalDensity = 1000;  // 1 mL is taken as 1 g
  return water.si() * kNominalDensity / oil_mass(sump) / kPerMillion;
}

Volume water_in(double mg_per_kg, const Sump& sump) {
  check_not_negative(mg_per_kg, "water");
  return Volume::from_si(mg_per_kg * kPerMillion * oil_mass(sump) / 1000);
}

GlycolPrecision glycol_precision(double mg_per_kg) {
  check_not_negative(mg_per_kg, "glycol");
  return {0.212 * mg_per_kg, 0.528 * mg_per_kg};
}

double glycol_left(Duration hot_hours) {
  check_not_negative(hot_hours.si(), "hot hours");
  constexpr double kTenthAfter = 8 * 3600;
  constexpr double kLeastLeft = 0.01;
  return std::max(kLeastLeft, std::pow(10, -hot_hours.si() / kTenthAfter));
}

Volume smallest_coolant_by_glycol(GlycolTest test, const Sump& sump, double glycol_share, Duration hot_hours) {
  check_argument(glycol_share > 0 && glycol_share <= 1, "glycol share", "must lie above 0, at most 1");
  const double least_left = std::max(glycol_left(hot_hours), 1e-9);
  return coolant_carrying(threshold_of(test), glycol_share * least_left, sump);
}

CoolantInOil coolant_from_metals(const Metals& metals, const Sump& sump) {
  check_metals(metals);
  const double rise = std::max(0.0, metals.sample_mg_per_kg - metals.new_oil_mg_per_kg);
  const auto coolant = [&](double content) { return coolant_carrying(rise, content * kPerMillion, sump); };
  return {coolant(metals.coolant_mg_per_kg), coolant(metals.coolant_high), coolant(metals.coolant_low),
          rise >= kMetalsRise ? CoolantInOil::Status::kFound : CoolantInOil::Status::kNoneTold};
}

Volume smallest_coolant_by_metals(const Metals& metals, const Sump& sump) {
  check_metals(metals);
  return coolant_carrying(kMetalsRise, metals.coolant_mg_per_kg * kPerMillion, sump);
}

BlowByWater short_trip_water(Mass fuel) {
  check_not_negative(fuel.si(), "fuel");
  const auto water = [&](double per_fuel, double blow_by) { return Volume::from_si(fuel.si() * per_fuel * blow_by / kWaterDensity); };
  return {water(1.2, 0.005), water(1.3, 0.01), water(1.4, 0.02)};
}

OilResult judge_oil(const OilEvidence& evidence) {
  check_argument(evidence.glycol_share > 0 && evidence.glycol_share <= 1, "glycol share", "must lie above 0, at most 1");
  OilResult result;
  result.glycol_left = glycol_left(evidence.hot_hours);
  result.short_trips = short_trip_water(evidence.cold_fuel);
  read_water(evidence, result);
  read_coolant(evidence, result);
  result.verdict = verdict_of(evidence, result);
  return result;
}

}  // namespace headjoint::leakage
