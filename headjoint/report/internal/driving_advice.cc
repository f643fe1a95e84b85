#include "headjoint/report/internal/driving_advice.h"

#include <algorithm>
#include <string_view>

#include "headjoint/report/chance_words.h"

namespace headjoint::report {
namespace {

using Level = DrivingAdvice::Level;

constexpr double kRuledOutBelow = 0.10;  // the chance from which a path is reckoned with
constexpr double kClearedBelow = 0.10;   // the chance of any leak of the joint below which it counts as cleared

struct Rule {
  std::string_view path;
  Level level;
  std::string_view reason;
};

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
     "Coolant is lost to the outside: look at the level cold before every trip; stop at once when the gauge rises."},
    {"oil_to_outside", Level::kWithCare, "Oil is lost to the outside: look at the level before every trip; oil on a hot exhaust can burn."},
    {"gas_to_outside", Level::kWithCare,
     "Hot gas blows out at the edge: the leak grows, and exhaust gas may reach the cabin; keep windows open and trips short."},
};

const Rule* rule_for(const std::string& path) {
  const auto* found = std::find_if(std::begin(kRules), std::end(kRules), [&](const Rule& rule) { return rule.path == path; });
  return found == std::end(kRules) ? nullptr : found;
}

std::string headline(Level level, bool is_likely) {
  switch (level) {
    case Level::kDoNotRun:
      return is_likely ? "Do not run it: no driving, no starting." : "Do not run it until this is ruled out: no driving, no starting.";
    case Level::kDoNotDrive:
      return is_likely ? "Do not drive it." : "Do not drive it until this is ruled out.";
    case Level::kWithCare:
      return "Only short trips, with an eye on level and gauge, until it is repaired.";
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
  for (const assess::Suspect& path : finding.paths) {
    const Rule* rule = rule_for(path.name);
    if (rule == nullptr || path.chance.value < kRuledOutBelow) continue;
    if (std::find(advice.reasons.begin(), advice.reasons.end(), rule->reason) == advice.reasons.end())
      advice.reasons.emplace_back(rule->reason);
    if (rule->level < advice.level) likeliest = 0;
    advice.level = std::min(advice.level, rule->level);
    if (rule->level == advice.level) likeliest = std::max(likeliest, path.chance.value);
  }
  if (advice.level == Level::kNothingAgainst && !(finding.joint_failed.value < kClearedBelow)) advice.level = Level::kWithCare;
  advice.headline = headline(advice.level, likeliest >= 0.5);
  if (cooling == joint::CooledBy::kLiquid)
    advice.reasons.emplace_back("Whatever the cause: when the gauge rises or the heater turns cold, stop and switch off.");
  return advice;
}

}  // namespace headjoint::report
