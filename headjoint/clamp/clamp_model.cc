#include "headjoint/clamp/clamp_model.h"

#include <fmt/format.h>

#include <cmath>

#include "headjoint/base/text.h"
#include "headjoint/clamp/internal/area_moments.h"
#include "headjoint/clamp/internal/workshop_units.h"

namespace headjoint::clamp {
namespace {

std::string at_place(const PlanPoint& p) { return fmt::format("at x {}, y {} mm", number_text(p.x_mm, 5), number_text(p.y_mm, 5)); }

double distance(const PlanPoint& a, const PlanPoint& b) { return std::hypot(a.x_mm - b.x_mm, a.y_mm - b.y_mm); }

bool crosses_itself(const Polygon& polygon) {
  const auto side = [](const PlanPoint& a, const PlanPoint& b, const PlanPoint& p) {
    return (b.x_mm - a.x_mm) * (p.y_mm - a.y_mm) - (b.y_mm - a.y_mm) * (p.x_mm - a.x_mm);
  };
  const std::size_t n = polygon.size();
  for (std::size_t i = 0; i < n; ++i)
    for (std::size_t j = i + 2; j < n; ++j) {
      if (i == 0 && j == n - 1) continue;
      const PlanPoint &a = polygon[i], &b = polygon[i + 1], &c = polygon[j], &d = polygon[(j + 1) % n];
      if (side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0) return true;
    }
  return false;
}

/// A round or many-cornered keep-out with a name.
struct Shape {
  std::string name;
  PlanPoint centre;
  double radius = 0;
  Polygon polygon;  ///< empty: a disc
};

double centre_distance(const Shape& shape, const PlanPoint& p) {
  if (shape.polygon.empty()) return distance(shape.centre, p) - shape.radius;
  const double edge = distance_to_edge(shape.polygon, p);
  return contains(shape.polygon, p) ? -edge : edge;
}

/// Clearance between two shapes, mm; negative when they overlap. Two polygons: by their corners.
double clearance(const Shape& a, const Shape& b) {
  if (b.polygon.empty()) return centre_distance(a, b.centre) - b.radius;
  if (a.polygon.empty()) return clearance(b, a);
  double least = 1e9;
  for (const PlanPoint& p : b.polygon) least = std::min(least, centre_distance(a, p));
  for (const PlanPoint& p : a.polygon) least = std::min(least, centre_distance(b, p));
  return least;
}

class ModelCheck {
 public:
  explicit ModelCheck(const ClampModel& model) : model_(model) {}
  Problems run() {
    if (!check_outline()) return problems_;
    check_plates();
    check_bolts();
    check_shapes();
    return problems_;
  }

 private:
  void refuse(std::string what, std::string allowed = {}, std::string mend = {}) {
    constexpr std::size_t kMost = 50;
    if (problems_.size() < kMost)
      problems_.push_back({{}, std::move(what), std::move(allowed), std::move(mend), Problem::Severity::kError});
  }
  bool check_outline();
  void check_metal(const PlateMetal& metal, const std::string& name);
  void check_plates();
  void check_bolts();
  void check_shapes();
  [[nodiscard]] std::vector<Shape> shapes() const;

  const ClampModel& model_;
  Problems problems_;
};

bool ModelCheck::check_outline() {
  for (const PlanPoint& p : model_.outline)
    if (!std::isfinite(p.x_mm) || !std::isfinite(p.y_mm)) {
      refuse("the outline holds a place that is not a number");
      return false;
    }
  if (model_.outline.size() < 3 || std::abs(polygon_moments(model_.outline).area) < 100)
    refuse("the outline encloses no area to speak of", "three or more corners in order round the edge, in millimetres");
  else if (crosses_itself(model_.outline))
    refuse("the outline crosses itself", "corners in order round the edge");
  return problems_.empty();
}

void ModelCheck::check_metal(const PlateMetal& metal, const std::string& name) {
  if (!(metal.youngs_modulus.si() > 0)) refuse(name + " has no stiffness", "youngs_modulus larger than 0");
  if (!(metal.poisson_ratio >= 0 && metal.poisson_ratio < 0.5)) refuse(name + ": poisson_ratio", "0 to below 0.5");
  if (!(mm(metal.thickness) >= 1 && mm(metal.thickness) <= 500))
    refuse(fmt::format("{}: bending thickness {} mm", name, number_text(mm(metal.thickness), 4)), "1 mm to 500 mm after all cuts");
}

void ModelCheck::check_plates() {
  check_metal(model_.plate, "the head");
  if (model_.block == BlockModel::kPlate) check_metal(model_.block_plate, "the block");
  for (const ThicknessZone& zone : model_.zones)
    if (zone.outline.size() < 3 || !(mm(zone.thickness) >= 1 && mm(zone.thickness) <= 500))
      refuse("a zone of the head has no area or no thickness", "three or more corners, 1 mm to 500 mm");
  if (!model_.ring && !model_.body) refuse("nothing carries between head and block", "a fire ring, a gasket body, or both");
}

void ModelCheck::check_bolts() {
  const BoltRow& bolts = model_.bolts;
  if (bolts.at.empty()) refuse("there are no bolts", "places of the bolts in [bolts] at");
  if (!(bolts.stiffness.si() > 0)) refuse("the bolts have no stiffness", "larger than 0 kN/mm");
  if (!(mm(bolts.washer_diameter) > mm(bolts.hole_diameter)) || !(mm(bolts.hole_diameter) >= 0))
    refuse("the washer is no larger than the bolt hole", "washer_diameter above hole_diameter");
  for (std::size_t i = 0; i < bolts.at.size(); ++i) {
    const PlanPoint& at = bolts.at[i];
    const std::string name = fmt::format("bolt {} {}", i + 1, at_place(at));
    if (!contains(model_.outline, at)) refuse(name + " stands outside the outline", "inside the outline of the head");
    for (const BoreSeal& bore : model_.bores)
      if (distance(at, bore.centre) < mm(model_.gas_bore) / 2)
        refuse(fmt::format("{} stands in bore {}", name, bore.number), "beside the bores", "check `at` of [bolts] and of the [[bore]]");
  }
}

std::vector<Shape> ModelCheck::shapes() const {
  std::vector<Shape> all;
  const double ring = model_.ring ? mm(model_.ring->outer_radius) : mm(model_.gas_bore) / 2;
  for (const BoreSeal& bore : model_.bores) all.push_back({fmt::format("the fire ring of bore {}", bore.number), bore.centre, ring, {}});
  const double width = model_.bead ? mm(model_.bead->width) : 0;
  for (const PassageHole& hole : model_.passages) {
    Shape shape{
        fmt::format("passage {}{}", hole.number, width > 0 ? " with its bead" : ""), hole.centre, mm(hole.diameter) / 2 + width, {}};
    if (!hole.outline.empty()) {
      shape.polygon = widened(counter_clockwise(hole.outline), width);
      shape.centre = hole.outline.front();
    }
    all.push_back(std::move(shape));
  }
  if (const double hole = mm(model_.bolts.hole_diameter) / 2; hole > 0)
    for (std::size_t i = 0; i < model_.bolts.at.size(); ++i)
      all.push_back({fmt::format("the hole of bolt {}", i + 1), model_.bolts.at[i], hole, {}});
  return all;
}

void ModelCheck::check_shapes() {
  if (model_.ring && !(mm(model_.ring->inner_radius) > 0 && model_.ring->outer_radius > model_.ring->inner_radius))
    refuse("the fire ring has no width", "inner_radius above 0, outer_radius above inner_radius");
  if (!model_.bores.empty() && !(mm(model_.gas_bore) > 0)) refuse("the bore of the gasket is not known", "gasket bore or fire ring");
  constexpr double kTouch = -1e-6;
  const std::vector<Shape> all = shapes();
  for (std::size_t i = 0; i < all.size(); ++i) {
    const Shape& a = all[i];
    const auto edge = [&](const PlanPoint& p) { return contains(model_.outline, p) ? distance_to_edge(model_.outline, p) : -1; };
    double inside = a.polygon.empty() ? edge(a.centre) - a.radius : 1e9;
    for (const PlanPoint& p : a.polygon) inside = std::min(inside, edge(p));
    const bool bolt_hole = a.name.starts_with("the hole");  // an open slot at the edge is a common shape
    if (inside < kTouch && !bolt_hole)
      refuse(fmt::format("{} {} reaches over the outline by {} mm", a.name, at_place(a.centre), number_text(-inside, 2)),
             "wholly inside the outline of the head");
    for (std::size_t j = 0; j < i; ++j)
      if (const double gap = clearance(all[j], a); gap < kTouch)
        refuse(fmt::format("{} and {} overlap by {} mm {}", all[j].name, a.name, number_text(-gap, 2), at_place(a.centre)),
               "every part of the gasket counts once", "check places, radii and the width of the bead");
  }
}

}  // namespace

Problems check_model(const ClampModel& model) { return ModelCheck(model).run(); }

}  // namespace headjoint::clamp
