#include "headjoint/report/internal/driving_advice.h"

#include <algorithm>
#include <string_view>

namespace headjoint::report {
namespace {

using Level = DrivingAdvice::Level;

constexpr double kRuledOutBelow = 0.10;  // the chance from which a path is reckoned with
constexpr double kClearedBelow = 0.10;   // the chance of any leak of the joint below which it counts as cleared

constexpr std::size_t kMostReasons = 3;

struct Rule {
  std::string_view path;
  Level level;
  std::string_view reason;
};

/// The gravest first.
constexpr Rule kRules[] = {
    {"gas_to_neighbour", Level::kDoNotRun,
     "Burning gas between two cylinders cuts into head and block within a short time: a repair turns into a new head."},
    {"coolant_to_cylinder", Level::kDoNotRun,
     "Coolant in a cylinder cannot be compressed: the starter alone can then bend a connecting rod."},
    {"coolant_with_oil", Level::kDoNotRun, "Coolant in the oil destroys the bearings of the crankshaft."},
    {"gas_to_oil", Level::kDoNotRun, "Burning gas in the oil way takes the oil from bearings and drives it out of the engine."},
    {"gas_to_coolant", Level::kDoNotDrive,
     "Burning gas pushes the coolant out: the engine overheats, often within minutes and without the gauge showing it."},
    {"coolant_to_outside", Level::kWithCare,
     "Coolant is lost to the outside: with the level low the engine overheats, and the gauge may not show it."},
    {"oil_to_outside", Level::kWithCare,
     "Oil is lost to the outside: a low level starves the bearings, and oil on a hot exhaust can burn."},
    {"gas_to_outside", Level::kWithCare,
     "Hot gas blows out at the edge: the leak grows, and exhaust gas may reach the cabin; keep the windows open."},
};

/// The highest chance of that path anywhere; a chance that is no number counts as certain.
double likeliest_of(const assess::Finding& finding, std::string_view path) {
  double out = 0;
  for (const assess::Suspect& suspect : finding.paths) {
    if (suspect.name == path) out = suspect.chance.value >= 0 ? std::max(out, suspect.chance.value) : 1.0;
  }
  return out;
}

std::string headline(Level level, bool is_likely) {
  switch (level) {
    case Level::kDoNotRun:
      return is_likely ? "Do not run it: no driving, no starting." : "Do not run it until this is ruled out: no driving, no starting.";
    case Level::kDoNotDrive:
      return is_likely ? "Do not drive it." : "Do not drive it until this is ruled out.";
    case Level::kWithCare:
      return "Drive it only near home, with an eye on level and gauge, until it is repaired.";
    case Level::kNothingAgainst:
      return "Nothing was found at the joint that forbids running it.";
  }
  return "";
}

}  // namespace

DrivingAdvice driving_advice(const assess::Finding& finding, joint::CooledBy cooling) {
  if (finding.status != "done") return {Level::kDoNotRun, "Do not run it until there is a finding.", {}};
  DrivingAdvice advice;
  advice.level = Level::kNothingAgainst;
  double likeliest = 0;
  for (const Rule& rule : kRules) {
    const double chance = likeliest_of(finding, rule.path);
    if (chance < kRuledOutBelow) continue;
    if (advice.reasons.size() < kMostReasons) advice.reasons.emplace_back(rule.reason);
    advice.level = std::min(advice.level, rule.level);
    if (rule.level == advice.level) likeliest = std::max(likeliest, chance);
  }
  if (advice.level == Level::kNothingAgainst && !(finding.joint_failed.value < kClearedBelow)) advice.level = Level::kWithCare;
  advice.headline = headline(advice.level, likeliest >= 0.5);
  if (cooling == joint::CooledBy::kLiquid)
    advice.reasons.emplace_back("Whatever the cause: when the gauge rises or the heater turns cold, stop and switch off.");
  return advice;
}

}  // namespace headjoint::report
