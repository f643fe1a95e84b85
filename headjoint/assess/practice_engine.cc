#include "headjoint/assess/practice_engine.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <set>

#include "headjoint/assess/engine_layout.h"
#include "headjoint/assess/knowledge.h"
#include "headjoint/base/error.h"
#include "headjoint/joint/engine_file.h"

namespace headjoint::assess {
namespace {

using diagnosis::FindingKind;
using diagnosis::InstanceNetwork;
using diagnosis::Layer;

constexpr int kDrawsWithPast = 6000;
constexpr int kMostDraws = 200000;
constexpr double kStrong = 0.5;  ///< a cause that brings a sign so often: its absence misleads

struct FactChance {
  const char* fact;
  double chance;
};
/// How often an engine comes with this past. Invented for practice.
constexpr std::array kFacts = {FactChance{"high_mileage", 0.35},       FactChance{"old_coolant", 0.25}, FactChance{"short_trips", 0.15},
                               FactChance{"overheated_before", 0.15},  FactChance{"winter", 0.3},       FactChance{"recent_head_work", 0.1},
                               FactChance{"recent_cooling_work", 0.15}};

std::uint64_t mixed(std::uint64_t value) {  // splitmix64
  value += 0x9e3779b97f4a7c15ULL;
  value = (value ^ (value >> 30)) * 0xbf58476d1ce4e5b9ULL;
  value = (value ^ (value >> 27)) * 0x94d049bb133111ebULL;
  return value ^ (value >> 31);
}

joint::Engine shipped_engine(std::uint64_t seed) {
  std::vector<std::string> files = shipped_files("engines/");
  std::erase_if(files, [](const std::string& file) { return !file.ends_with(".toml"); });
  const std::string& path = files[mixed(seed) % files.size()];
  const auto beside = [](const std::string& name) { return std::string(shipped_file("engines/" + name)); };
  auto engine = joint::read_engine_text(shipped_file(path), path, beside);
  require(engine.has_value(), "a shipped engine does not read");
  return std::move(engine).value();
}

/// How far looks and truth disagree.
struct Deceit {
  int story_seen = 0;      ///< signs the owner noticed
  int story_of_joint = 0;  ///< of them such as a failed joint brings
  int story_false = 0;     ///< of them without any cause that is there
  int missed = 0;          ///< signs absent although something is there that mostly brings them
};

/// Whether a sign belongs to the joint: a path or a flag of one brings it.
bool is_sign_of_joint(const InstanceNetwork& network, std::size_t finding) {
  for (const diagnosis::Influence& parent : network.instances[finding].parents) {
    if (!network.instances[parent.parent].is_cause) continue;
    const diagnosis::Cause& cause = network.cause(parent.parent);
    if (cause.layer == Layer::kPath || (cause.layer == Layer::kAny && cause.name.find("gas") != std::string::npos) ||
        cause.name == "any_coolant_to_cylinder")
      return true;
  }
  return false;
}

Deceit deceit_of(const PracticeEngine& engine) {
  const InstanceNetwork& network = engine.network;
  Deceit deceit;
  for (std::size_t i = 0; i < network.instances.size(); ++i) {
    const diagnosis::Instance& instance = network.instances[i];
    if (instance.is_cause || instance.measures >= 0) continue;
    const diagnosis::Finding& finding = network.finding(i);
    if (finding.kind == FindingKind::kHidden || finding.needs == "head_off") continue;
    bool has_cause = false;
    bool has_strong_cause = false;
    for (const diagnosis::Influence& parent : instance.parents) {
      if (!engine.is_there(parent.parent)) continue;
      has_cause = true;
      has_strong_cause = has_strong_cause || parent.strength.front() >= kStrong;
    }
    const bool is_seen = engine.is_there(i);
    if (!is_seen && has_strong_cause) ++deceit.missed;
    if (!is_seen || !is_told_by_owner(finding)) continue;
    ++deceit.story_seen;
    if (!has_cause) ++deceit.story_false;
    if (is_sign_of_joint(network, i)) ++deceit.story_of_joint;
  }
  return deceit;
}

struct Faults {
  std::size_t paths = 0;
  std::set<std::string> decisions;
  bool has_root = false;  ///< a crack or a face that alone would open the engine
};

Faults faults_of(PracticeEngine& engine) {
  Faults faults;
  engine.faults.clear();
  for (std::size_t i = 0; i < engine.network.instances.size(); ++i) {
    if (!engine.network.instances[i].is_cause || !engine.is_there(i)) continue;
    const diagnosis::Cause& cause = engine.network.cause(i);
    if (cause.decision.empty()) continue;
    if (cause.layer == Layer::kRoot) faults.has_root = true;
    if (cause.layer != Layer::kPath && cause.layer != Layer::kRival) continue;
    engine.faults.push_back(i);
    faults.decisions.insert(cause.decision);
    if (cause.layer == Layer::kPath) ++faults.paths;
  }
  return faults;
}

bool fits(PracticeLevel level, PracticeEngine& engine) {
  const Faults faults = faults_of(engine);
  if (engine.faults.empty() || engine.faults.size() > 3) return false;
  switch (level) {
    case PracticeLevel::kOne: {
      if (engine.faults.size() != 1 || (faults.paths == 0 && faults.has_root)) return false;
      const Deceit deceit = deceit_of(engine);
      return deceit.story_false == 0 && deceit.story_seen >= 2;
    }
    case PracticeLevel::kMisleading: {
      if (faults.paths == 0 || faults.paths != engine.faults.size()) return false;
      const Deceit deceit = deceit_of(engine);
      return deceit.story_false >= 1 && deceit.story_of_joint <= 1 && deceit.missed >= 2;
    }
    case PracticeLevel::kTwo:
      return faults.paths >= 1 && faults.paths <= 2 && faults.decisions.size() == 2 && deceit_of(engine).story_seen >= 2;
    case PracticeLevel::kFalseAlarm:
      return faults.paths == 0 && !faults.has_root && engine.faults.size() <= 2 && deceit_of(engine).story_of_joint >= 2;
  }
  return false;
}

}  // namespace

std::string_view name_of(PracticeLevel level) {
  constexpr std::array kNames = {"one", "misleading", "two", "false-alarm"};
  return kNames[static_cast<std::size_t>(level)];
}

std::string_view text_of(PracticeLevel level) {
  constexpr std::array kTexts = {"one fault, and the story fits it", "the story and some checks point away from the fault",
                                 "the joint and something else", "it looks like the joint, and is not"};
  return kTexts[static_cast<std::size_t>(level)];
}

std::optional<PracticeLevel> practice_level(std::string_view name) {
  for (const PracticeLevel level : kPracticeLevels)
    if (name == name_of(level)) return level;
  return std::nullopt;
}

bool is_told_by_owner(const diagnosis::Finding& finding) {
  return (finding.kind == FindingKind::kSymptom || finding.kind == FindingKind::kHistory) && finding.minutes <= 0 &&
         finding.price_minutes <= 0 && finding.needs.empty() && finding.scope == "engine";
}

std::mt19937 practice_stream(std::uint64_t seed, std::string_view what) {
  std::uint64_t hash = mixed(seed);
  for (const char c : what) hash = mixed(hash ^ static_cast<unsigned char>(c));
  return std::mt19937(static_cast<std::uint32_t>(hash ^ (hash >> 32)));
}

double uniform(std::mt19937& random) { return (static_cast<double>(random()) + 0.5) / 4294967296.0; }

double normal(std::mt19937& random) {
  const double radius = std::sqrt(-2 * std::log(uniform(random)));
  return radius * std::cos(2 * std::numbers::pi * uniform(random));
}

PracticeEngine practice_engine(std::uint64_t seed, PracticeLevel level) {
  PracticeEngine engine;
  engine.seed = seed;
  engine.level = level;
  engine.engine = shipped_engine(seed);
  std::mt19937 past = practice_stream(seed, "past");
  for (const auto& [fact, chance] : kFacts)
    if (uniform(past) < chance) engine.history.facts.emplace_back(fact);
  engine.network = network_of(engine.engine, engine.history);
  std::mt19937 random = practice_stream(seed, name_of(level));
  for (int draw = 0; draw < kMostDraws; ++draw) {
    if (draw == kDrawsWithPast) {  // so rare with this engine's past: without it
      engine.history.facts.clear();
      engine.network = network_of(engine.engine, engine.history);
    }
    engine.truth = diagnosis::draw_engine(engine.network, random);
    if (fits(level, engine)) return engine;
  }
  require(false, "no engine fits this level of practice");
  return engine;
}

}  // namespace headjoint::assess
