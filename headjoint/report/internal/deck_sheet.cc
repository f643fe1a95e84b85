#include "headjoint/report/internal/deck_sheet.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

#include "headjoint/base/error.h"

namespace headjoint::report {
namespace {

using joint::HeadPlan;
using joint::Passage;
using joint::PassageKind;
using joint::PlanPoint;

constexpr double kReferenceWidth = 458;    // of the sheet on which a unit of line weight is one millimetre
constexpr double kGapBetweenHeads = 0.12;  // of a single head's width
constexpr double kDefaultHole = 4.5;       // mm, radius drawn for a passage without a size
constexpr double kBoltRadius = 7.5;        // mm, drawn; shrinks with the bore

PlacedHead placed(HeadPlan plan, double left) {
  PlacedHead head;
  head.least_x = head.least_y = HUGE_VAL;
  head.most_x = head.most_y = -HUGE_VAL;
  const auto include = [&](double x, double y, double radius) {
    head.least_x = std::min(head.least_x, x - radius);
    head.most_x = std::max(head.most_x, x + radius);
    head.least_y = std::min(head.least_y, y - radius);
    head.most_y = std::max(head.most_y, y + radius);
  };
  for (const PlanPoint& corner : plan.outline) include(corner.x_mm, corner.y_mm, 0);
  for (const joint::PlanBore& bore : plan.bores) include(bore.centre.x_mm, bore.centre.y_mm, bore.radius_mm);
  for (const PlanPoint& bolt : plan.bolts) include(bolt.x_mm, bolt.y_mm, 0);
  head.plan = std::move(plan);
  head.left = left;
  return head;
}

DeckRow row_of(std::vector<HeadPlan> plans) {
  DeckRow row;
  for (HeadPlan& plan : plans) {
    const double gap = row.heads.empty() ? 0 : kGapBetweenHeads * row.heads.back().width();
    row.heads.push_back(placed(std::move(plan), row.width + gap));
    row.width = row.heads.back().left + row.heads.back().width();
    row.height = std::max(row.height, row.heads.back().height());
  }
  return row;
}

/// Heads of a row: one head to a row; single heads stand beside each other, a bank to a row.
std::size_t heads_per_row(const joint::Engine& engine, std::size_t heads) {
  if (engine.general.heads != joint::HeadArrangement::kPerCylinder) return 1;
  const bool two_banks = engine.general.layout == joint::Layout::kVee || engine.general.layout == joint::Layout::kFlat;
  return two_banks && heads > 1 ? (heads + 1) / 2 : std::max<std::size_t>(1, heads);
}

std::string row_name(const DeckRow& row, std::size_t rows) {
  if (rows < 2) return {};
  const int first = row.heads.front().plan.head;
  const int last = row.heads.back().plan.head;
  return first == last ? "Head " + std::to_string(first) : "Heads " + std::to_string(first) + " to " + std::to_string(last);
}

std::vector<Spot> spots(const PlacedHead& head, const std::vector<PlanPoint>& points, Spot corner) {
  std::vector<Spot> out;
  for (const PlanPoint& point : points) {
    const Spot spot = head.spot(point);
    out.push_back({corner.x + spot.x, corner.y + spot.y});
  }
  return out;
}

const Paint& paint_of(PassageKind kind) {
  switch (kind) {
    case PassageKind::kCoolant:
      return paint::kCoolant;
    case PassageKind::kOilPressure:
      return paint::kOil;
    case PassageKind::kOilDrain:
      return paint::kDrain;
    default:
      return paint::kOtherHole;
  }
}

/// Coolant round, pressure oil square, drain a slot: told apart without colour.
void draw_passage(Svg& svg, const PlacedHead& head, const Passage& passage, Spot corner) {
  const Paint& paint = paint_of(passage.kind);
  if (passage.outline.size() > 2) return svg.polygon(spots(head, passage.outline, corner), paint);
  const auto centre = passage_centre(passage);
  if (!centre) return;
  const Spot at = spots(head, {*centre}, corner)[0];
  const double known = passage_radius(passage);
  const double radius = known > 0 ? known : kDefaultHole;
  if (passage.kind == PassageKind::kOilPressure) {
    svg.rectangle({at.x - radius, at.y - radius}, 2 * radius, 2 * radius, 0, paint);
  } else if (passage.kind == PassageKind::kOilDrain) {
    svg.rectangle({at.x - radius, at.y - 1.3 * radius}, 2 * radius, 2.6 * radius, radius, paint);
  } else {
    svg.circle(at, radius, paint);
  }
}

void draw_bolt(Svg& svg, Spot at, double radius) {
  svg.circle(at, radius, paint::kBolt);
  svg.polyline({{at.x - 1.3 * radius, at.y}, {at.x + 1.3 * radius, at.y}}, paint::kCross);
  svg.polyline({{at.x, at.y - 1.3 * radius}, {at.x, at.y + 1.3 * radius}}, paint::kCross);
}

void draw_bores(Svg& svg, const PlacedHead& head, Spot corner, double text_size) {
  for (const joint::PlanBore& bore : head.plan.bores) {
    const Spot at = spots(head, {bore.centre}, corner)[0];
    const double ring = std::max(head.plan.fire_ring_radius_mm, bore.radius_mm);
    const double letter = std::min(1.5 * text_size, 0.7 * bore.radius_mm);
    svg.circle(at, ring, paint::kFireRing);
    svg.circle(at, bore.radius_mm, paint::kBore);
    svg.text({at.x, at.y + 0.36 * letter}, std::to_string(bore.number), letter, Svg::Anchor::kMiddle, "jp-number", false, paint::kSoft);
  }
}

}  // namespace

std::optional<PlanPoint> passage_centre(const Passage& passage) {
  if (passage.at) return passage.at;
  if (passage.outline.empty()) return std::nullopt;
  PlanPoint sum;
  for (const PlanPoint& corner : passage.outline) sum = {sum.x_mm + corner.x_mm, sum.y_mm + corner.y_mm};
  const auto count = static_cast<double>(passage.outline.size());
  return PlanPoint{sum.x_mm / count, sum.y_mm / count};
}

double passage_radius(const Passage& passage) {
  if (passage.diameter) return 500 * passage.diameter->value.si();
  double twice_area = 0;
  for (std::size_t i = 0; i < passage.outline.size(); ++i) {
    const PlanPoint& a = passage.outline[i];
    const PlanPoint& b = passage.outline[(i + 1) % passage.outline.size()];
    twice_area += a.x_mm * b.y_mm - b.x_mm * a.y_mm;
  }
  return std::sqrt(std::abs(twice_area) / (2 * std::numbers::pi));
}

DeckSheet deck_sheet(const joint::Engine& engine, double text_share) {
  require(text_share > 0, "letters need a size");
  DeckSheet sheet;
  std::vector<HeadPlan> plans = joint::head_plans(engine);
  const std::size_t per_row = heads_per_row(engine, plans.size());
  for (std::size_t first = 0; first < plans.size(); first += per_row) {
    const std::size_t last = std::min(first + per_row, plans.size());
    std::vector<HeadPlan> members(plans.begin() + static_cast<std::ptrdiff_t>(first), plans.begin() + static_cast<std::ptrdiff_t>(last));
    for (const HeadPlan& plan : members) sheet.is_assumed = sheet.is_assumed || plan.assumed_outline || plan.assumed_bores;
    sheet.rows.push_back(row_of(std::move(members)));
    sheet.width = std::max(sheet.width, sheet.rows.back().width);
    sheet.margin = std::max(sheet.margin, 0.35 * (1.5 * sheet.rows.back().height - sheet.width));
  }
  for (DeckRow& row : sheet.rows) row.name = row_name(row, sheet.rows.size());
  sheet.margin = std::max(sheet.margin, 0.03 * sheet.width);
  sheet.text_size = text_share * (sheet.width + 2 * sheet.margin);
  sheet.unit = (sheet.width + 2 * sheet.margin) / kReferenceWidth;
  return sheet;
}

void draw_deck_row(Svg& svg, const DeckRow& row, Spot corner, double text_size) {
  for (const PlacedHead& head : row.heads) {
    svg.polygon(spots(head, head.plan.outline, corner), paint::kDeck);
    for (const Passage& passage : head.plan.passages) draw_passage(svg, head, passage, corner);
    draw_bores(svg, head, corner, text_size);
    const double bore = head.plan.bores.empty() ? 40 : head.plan.bores.front().radius_mm;
    for (const Spot& bolt : spots(head, head.plan.bolts, corner)) draw_bolt(svg, bolt, std::min(kBoltRadius, 0.2 * bore));
  }
}

}  // namespace headjoint::report
