#pragma once

#include <cstddef>
#include <set>
#include <string>
#include <vector>

#include "headjoint/base/error.h"
#include "headjoint/base/file.h"
#include "headjoint/diagnosis/finding.h"

namespace headjoint::diagnosis::testing {

/// The network of the head joint as it stands in data/networks, for tests and benchmarks.
/// @param project  root folder of the project
inline Pattern shipped_pattern(const std::string& project) {
  const auto table = [&](const std::string& name) { return TableText{read_file(project + "/data/networks/head_joint/" + name), name}; };
  auto pattern = read_pattern({table("causes.csv"),
                               table("findings.csv"),
                               table("setups.csv"),
                               table("links.csv"),
                               table("contexts.csv"),
                               {"engine", "head", "cylinder", "bridge"}});
  require(pattern.has_value(), "the shipped pattern must be sound");
  return std::move(pattern).value();
}

/// Heads with their cylinders in a row, and a bridge between neighbours under one head.
inline Layout engine_layout(std::size_t cylinders, std::size_t heads) {
  Layout layout;
  const std::size_t under_one = cylinders / heads;
  for (std::size_t h = 0; h < heads; ++h) {
    const std::size_t head = layout.locations.size();
    layout.locations.push_back({"head", std::to_string(h + 1), {}});
    std::size_t before = 0;
    for (std::size_t c = h * under_one + 1; c <= (h + 1) * under_one; ++c) {
      const std::size_t cylinder = layout.locations.size();
      layout.locations.push_back({"cylinder", std::to_string(c), {head}});
      if (c > h * under_one + 1)
        layout.locations.push_back({"bridge", std::to_string(c - 1) + "-" + std::to_string(c), {before, cylinder, head}});
      before = cylinder;
    }
  }
  return layout;
}

/// Everything fitted that can be, so that every rival is in play.
inline std::set<std::string> everything_fitted() {
  return {"liquid", "diesel", "egr_cooler", "water_oil_cooler", "wet_intake", "internal_pump", "turbo", "wet_liners", "pushrods"};
}

/// Every finding looked at in every place. @param state  of each: 0 lowest, 1 ... at most its highest
inline std::vector<Observation> all_looked_at(const InstanceNetwork& network, std::size_t state, bool head_off = false) {
  std::vector<Observation> result;
  for (std::size_t i = 0; i < network.instances.size(); ++i) {
    const Instance& instance = network.instances[i];
    if (instance.is_cause) continue;
    const Finding& finding = network.finding(i);
    if (finding.kind == FindingKind::kHidden || (!head_off && finding.needs == "head_off")) continue;
    result.push_back({finding.name, network.place(i), seen_state(instance.states, std::min(state, instance.states - 1)), instance.name});
  }
  return result;
}

/// A plain job on a whole engine: some signs seen, some not, compression and leak-down of every cylinder, two neighbours low.
inline std::vector<Observation> whole_job(const InstanceNetwork& network) {
  std::vector<Observation> result;
  const auto look = [&](const std::string& name, const std::string& place, std::size_t state) {
    const int found = network.find(name, place);
    if (found < 0) return;
    const Instance& instance = network.instances[static_cast<std::size_t>(found)];
    result.push_back({name, place, seen_state(instance.states, std::min(state, instance.states - 1)), instance.name});
  };
  for (const char* name : {"runs_hot", "coolant_lost", "power_lost", "rough_running", "bubbles", "blow_by", "overheat_reported"})
    look(name, "", 1);
  for (const char* name : {"hot_at_idle", "heater_helps", "white_smoke", "blue_smoke", "ticking", "milky_oil", "oil_in_coolant",
                           "weep_at_joint", "drip_elsewhere", "cap_test", "pressure_overnight", "crankcase_pressure"})
    look(name, "", 0);
  look("colour_test", "", 1);
  for (const Location& location : network.layout.locations) {
    if (location.scope != "cylinder") continue;
    const bool low = location.name == "1" || location.name == "2";
    look("compression", location.name, low ? 2 : 0);
    look("leak_down", location.name, low ? 2 : 0);
    look("air_in_coolant", location.name, low ? 1 : 0);
    look("air_at_valve", location.name, 0);
    look("plug_washed", location.name, 0);
  }
  look("air_at_neighbour", "1-2", 1);
  return result;
}

}  // namespace headjoint::diagnosis::testing
