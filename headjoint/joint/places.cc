#include "headjoint/joint/places.h"

#include <algorithm>
#include <cmath>

#include "headjoint/base/error.h"

namespace headjoint::joint {
namespace {

// Proportions of a drawing, not of any engine.
constexpr double kAssumedBore_mm = 80;
constexpr double kPitchPerBore = 1.1;
constexpr double kPitchExtra_mm = 12;
constexpr double kMarginPerBore = 0.55;
constexpr double kRingPerRadius = 1.06;

const Bore* bore_of(const Engine& engine, int cylinder) {
  for (const Bore& bore : engine.bores)
    if (bore.number == cylinder) return &bore;
  return nullptr;
}

double distance_squared(const PlanPoint& a, const PlanPoint& b) {
  return (a.x_mm - b.x_mm) * (a.x_mm - b.x_mm) + (a.y_mm - b.y_mm) * (a.y_mm - b.y_mm);
}

/// No third centre inside the circle over the line between two centres (K. R. Gabriel, R. R. Sokal, 1969).
bool are_neighbours(const PlanPoint& a, const PlanPoint& b, const std::vector<PlanPoint>& all) {
  constexpr double kRounding = 1e-9;
  const PlanPoint middle{(a.x_mm + b.x_mm) / 2, (a.y_mm + b.y_mm) / 2};
  const double radius_squared = distance_squared(a, b) / 4 * (1 - kRounding);
  return std::none_of(all.begin(), all.end(),
                      [&](const PlanPoint& c) { return c != a && c != b && distance_squared(c, middle) < radius_squared; });
}

std::vector<PlanPoint> places_of(const Engine& engine, const std::vector<int>& cylinders) {
  std::vector<PlanPoint> places;
  for (const int cylinder : cylinders) {
    const Bore* bore = bore_of(engine, cylinder);
    if (bore == nullptr || !bore->at) return {};
    places.push_back(*bore->at);
  }
  return places;
}

void add_bridges_of_head(const Engine& engine, int head, std::vector<Bridge>& into) {
  const std::vector<int> cylinders = cylinders_of_head(engine, head);
  const std::vector<PlanPoint> places = places_of(engine, cylinders);
  for (std::size_t i = 0; i < cylinders.size(); ++i)
    for (std::size_t j = i + 1; j < cylinders.size(); ++j)
      if (places.empty() ? j == i + 1 : are_neighbours(places[i], places[j], places)) into.push_back({cylinders[i], cylinders[j]});
}

double bore_mm(const Engine& engine) { return engine.general.bore ? engine.general.bore->value.si() * 1e3 : kAssumedBore_mm; }

std::vector<PlanPoint> assumed_row(std::size_t count, double bore) {
  const double pitch = bore * kPitchPerBore + kPitchExtra_mm;
  const double margin = bore / 2 + bore * kMarginPerBore;
  std::vector<PlanPoint> places;
  for (std::size_t i = 0; i < count; ++i) places.push_back({margin + pitch * static_cast<double>(i), margin});
  return places;
}

std::vector<PlanPoint> assumed_outline(const std::vector<PlanBore>& bores) {
  double x0 = bores.front().centre.x_mm, x1 = x0, y0 = bores.front().centre.y_mm, y1 = y0;
  for (const PlanBore& bore : bores) {
    x0 = std::min(x0, bore.centre.x_mm);
    x1 = std::max(x1, bore.centre.x_mm);
    y0 = std::min(y0, bore.centre.y_mm);
    y1 = std::max(y1, bore.centre.y_mm);
  }
  const double margin = bores.front().radius_mm * (1 + 2 * kMarginPerBore);
  return {{x0 - margin, y0 - margin}, {x1 + margin, y0 - margin}, {x1 + margin, y1 + margin}, {x0 - margin, y1 + margin}};
}

HeadPlan head_plan(const Engine& engine, int head) {
  HeadPlan plan;
  plan.head = head;
  const std::vector<int> cylinders = cylinders_of_head(engine, head);
  const double bore = bore_mm(engine);
  std::vector<PlanPoint> places = places_of(engine, cylinders);
  const bool has_places = !places.empty();
  plan.assumed_bores = !has_places || !engine.general.bore;
  if (!has_places) places = assumed_row(cylinders.size(), bore);
  for (std::size_t i = 0; i < cylinders.size(); ++i) plan.bores.push_back({cylinders[i], places[i], bore / 2});
  plan.fire_ring_radius_mm = bore / 2 * kRingPerRadius;
  if (engine.gasket && engine.gasket->fire_ring) {
    const FireRing& ring = *engine.gasket->fire_ring;
    if (ring.inner_radius && ring.outer_radius)
      plan.fire_ring_radius_mm = (ring.inner_radius->value + ring.outer_radius->value).si() / 2 * 1e3;
  }
  plan.assumed_outline = !has_places || !engine.head || engine.head->outline.empty();
  plan.outline = plan.assumed_outline ? assumed_outline(plan.bores) : engine.head->outline;
  if (!has_places) return plan;
  for (const Passage& passage : engine.passages)
    if (passage.head.value_or(head) == head) plan.passages.push_back(passage);
  if (engine.bolts) plan.bolts = engine.bolts->at;
  return plan;
}

}  // namespace

std::string to_string(const Bridge& bridge) { return std::to_string(bridge.first) + "-" + std::to_string(bridge.second); }

int head_count(const Engine& engine) {
  switch (engine.general.heads) {
    case HeadArrangement::kPerBank:
      return engine.general.cylinders > 1 ? 2 : 1;
    case HeadArrangement::kPerCylinder:
      return std::max(1, engine.general.cylinders);
    case HeadArrangement::kOne:
      break;
  }
  return 1;
}

int head_of(const Engine& engine, int cylinder) {
  require(cylinder >= 1 && cylinder <= engine.general.cylinders, "no such cylinder");
  if (const Bore* bore = bore_of(engine, cylinder); bore != nullptr && bore->head) return *bore->head;
  switch (engine.general.heads) {
    case HeadArrangement::kPerBank:
      return 2 * cylinder <= engine.general.cylinders + 1 ? 1 : std::min(2, head_count(engine));
    case HeadArrangement::kPerCylinder:
      return cylinder;
    case HeadArrangement::kOne:
      break;
  }
  return 1;
}

std::vector<int> cylinders_of_head(const Engine& engine, int head) {
  std::vector<int> cylinders;
  for (int cylinder = 1; cylinder <= engine.general.cylinders; ++cylinder)
    if (head_of(engine, cylinder) == head) cylinders.push_back(cylinder);
  return cylinders;
}

std::vector<Bridge> bridges(const Engine& engine) {
  std::vector<Bridge> all;
  for (int head = 1; head <= head_count(engine); ++head) add_bridges_of_head(engine, head, all);
  std::sort(all.begin(), all.end());
  return all;
}

PlaceNames place_names(const Engine& engine) {
  PlaceNames names;
  for (int cylinder = 1; cylinder <= engine.general.cylinders; ++cylinder) names.cylinders.push_back(std::to_string(cylinder));
  for (const Bridge& bridge : bridges(engine)) names.bridges.push_back(to_string(bridge));
  for (int head = 1; head <= head_count(engine); ++head) names.heads.push_back(std::to_string(head));
  return names;
}

std::vector<HeadPlan> head_plans(const Engine& engine) {
  std::vector<HeadPlan> plans;
  if (engine.general.cylinders == 0) return plans;
  for (int head = 1; head <= head_count(engine); ++head)
    if (!cylinders_of_head(engine, head).empty()) plans.push_back(head_plan(engine, head));
  return plans;
}

}  // namespace headjoint::joint
