#include "headjoint/leakage/leak_number.h"

#include <cmath>
#include <numbers>

#include "headjoint/leakage/internal/arguments.h"

namespace headjoint::leakage {
namespace {

constexpr double kRounding = 1e-9;
constexpr double kUsualRatio = 10, kUsualClosing = 50;  // common practice, no source
constexpr double kUsualRodOverStroke = 1.75;            // likewise

}  // namespace

void Cranking::check() const {
  check_argument(displacement.si() >= 1e-5 && displacement.si() <= 2e-2, "displacement",
                 "of one cylinder must lie between 10 cm3 and 20 L");
  check_argument(speed.rpm() >= 30 && speed.rpm() <= 1000, "cranking speed", "must lie between 30 and 1000 rpm");
  check_argument(speed_drift.rpm() >= 0 && speed_drift.rpm() < speed.rpm() / 2, "speed drift",
                 "must be at least 0 and below half the cranking speed");
  check_positive(temperature.kelvin(), "charge temperature");
  check_argument(!compression_ratio || (*compression_ratio >= 5 && *compression_ratio <= 25), "compression ratio",
                 "must lie between 5 and 25");
  const double closing = intake_closing ? intake_closing->degrees() : kUsualClosing;
  check_argument(closing >= -kRounding && closing <= 100 + kRounding, "intake closing", "must lie between 0 and 100 deg past BDC");
  check_argument(!bore || (bore->si() >= 0.02 && bore->si() <= 0.5), "bore", "must lie between 20 and 500 mm");
  check_positive(ambient.pascal(), "ambient pressure");
}

CrankingEngine Cranking::engine() const {
  constexpr double kQuarterPi = std::numbers::pi / 4;
  CrankingEngine engine;
  engine.bore = bore.value_or(Length::from_si(std::cbrt(displacement.si() / kQuarterPi)));
  engine.stroke = displacement / (kQuarterPi * (engine.bore * engine.bore));
  engine.rod = rod.value_or(kUsualRodOverStroke * engine.stroke);
  engine.compression_ratio = compression_ratio.value_or(kUsualRatio);
  engine.intake_closing = intake_closing.value_or(Angle::from_degrees(kUsualClosing));
  return engine;
}

CrankingConditions Cranking::conditions(HeatLoss heat_loss, double heat_multiplier) const {
  CrankingConditions conditions;
  conditions.speed = speed;
  conditions.ambient = {ambient, temperature};
  conditions.heat_loss = heat_loss;
  conditions.heat_multiplier = heat_multiplier;
  return conditions;
}

double leak_number(Area effective_area, const Cranking& cranking, const Gas& gas) {
  check_not_negative(effective_area.si(), "effective area");
  cranking.check();
  check_gas(gas);
  return effective_area.si() * std::sqrt(gas.gas_constant * cranking.temperature.kelvin()) /
         (cranking.displacement.si() * cranking.speed.turns_per_second());
}

Area area_of_leak_number(double number, const Cranking& cranking, const Gas& gas) {
  check_not_negative(number, "leak number");
  return Area::from_si(number / leak_number(Area::from_si(1), cranking, gas));
}

}  // namespace headjoint::leakage
