#include "headjoint/assess/engine_layout.h"

#include <map>

#include "headjoint/assess/knowledge.h"
#include "headjoint/joint/places.h"

namespace headjoint::assess {
namespace {

const char* word_of(joint::Layout layout) {
  switch (layout) {
    case joint::Layout::kInline:
      return "inline";
    case joint::Layout::kVee:
      return "vee";
    case joint::Layout::kFlat:
      return "flat";
    case joint::Layout::kSingle:
      return "single";
  }
  return "";
}

const char* word_of(joint::Fuel fuel) {
  switch (fuel) {
    case joint::Fuel::kPetrol:
      return "petrol";
    case joint::Fuel::kDiesel:
      return "diesel";
    case joint::Fuel::kGas:
      return "gas";
  }
  return "";
}

}  // namespace

diagnosis::Layout layout_of(const joint::Engine& engine) {
  diagnosis::Layout layout;
  std::map<int, std::size_t> cylinder_at;
  const std::vector<joint::Bridge> bridges = joint::bridges(engine);
  for (int head = 1; head <= joint::head_count(engine); ++head) {
    const std::size_t head_at = layout.locations.size();
    layout.locations.push_back({"head", std::to_string(head), {}});
    for (const int cylinder : joint::cylinders_of_head(engine, head)) {
      cylinder_at[cylinder] = layout.locations.size();
      layout.locations.push_back({"cylinder", std::to_string(cylinder), {head_at}});
      for (const joint::Bridge& bridge : bridges) {
        if (bridge.second != cylinder || !cylinder_at.contains(bridge.first)) continue;
        layout.locations.push_back({"bridge", joint::to_string(bridge), {cylinder_at[bridge.first], cylinder_at[cylinder], head_at}});
      }
    }
  }
  return layout;
}

std::set<std::string> facts_of(const joint::Engine& engine, const jobs::History& history) {
  std::set<std::string> facts(engine.general.fitted.begin(), engine.general.fitted.end());
  facts.insert(history.facts.begin(), history.facts.end());
  facts.insert(word_of(engine.general.layout));
  if (engine.general.fuel) facts.insert(word_of(*engine.general.fuel));
  facts.insert(engine.general.cooling == joint::CooledBy::kAir ? "air" : "liquid");
  if (engine.head && engine.head->material.name.find("iron") != std::string::npos) facts.insert("iron_head");
  if (engine.general.heads == joint::HeadArrangement::kPerCylinder) facts.insert("head_per_cylinder");
  return facts;
}

diagnosis::InstanceNetwork network_of(const joint::Engine& engine, const jobs::History& history, const diagnosis::Learnt* learnt) {
  if (learnt != nullptr)
    return diagnosis::build(diagnosis::with_learnt(head_joint_pattern(), *learnt), layout_of(engine), facts_of(engine, history));
  return diagnosis::build(head_joint_pattern(), layout_of(engine), facts_of(engine, history));
}

}  // namespace headjoint::assess
