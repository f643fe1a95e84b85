#include "headjoint/report/internal/pictures_photo.h"

#include <algorithm>
#include <limits>

#include "headjoint/assess/results_photo.h"
#include "headjoint/report/internal/html_table.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/svg.h"

namespace headjoint::report {
namespace {

constexpr double kMargin = 0.03;  // of the plan's width
constexpr double kLetters = 0.026;

struct Extent {
  double least_x = std::numeric_limits<double>::infinity(), most_x = -least_x, least_y = least_x, most_y = -least_x;
  void take(const joint::PlanPoint& at, double radius) {
    least_x = std::min(least_x, at.x_mm - radius);
    most_x = std::max(most_x, at.x_mm + radius);
    least_y = std::min(least_y, at.y_mm - radius);
    most_y = std::max(most_y, at.y_mm + radius);
  }
};

const Paint& paint_of(const std::string& kind) {
  if (kind == "bore") return paint::kBore;
  if (kind == "bolt") return paint::kBolt;
  if (kind == "coolant") return paint::kCoolant;
  if (kind == "oil_pressure") return paint::kOil;
  return kind == "oil_drain" ? paint::kDrain : paint::kOtherHole;
}

std::string table_of(const assess::GasketPhoto& answer) {
  HtmlTable table("Circles found in the picture",
                  {{"circle"}, {"x, mm", true}, {"y, mm", true}, {"diameter, mm", true}, {"band of the diameter, mm", true}, {"edge"}});
  for (const assess::PhotoCircle& circle : answer.circles) {
    std::string name = circle.kind + " " + std::to_string(circle.number);
    std::replace(name.begin(), name.end(), '_', ' ');
    if (circle.may_be_used)
      table.row({name, fixed(circle.at.x_mm, 1), fixed(circle.at.y_mm, 1), circle.diameter_mm > 0 ? fixed(circle.diameter_mm, 1) : "",
                 circle.diameter_mm > 0 ? fixed(circle.uncertainty_mm, 2) : "", circle.status});
    else
      table.row({name, "", "", "", "", circle.status});
  }
  return table.html();
}

}  // namespace

std::vector<Picture> draw(const assess::GasketPhoto& answer) {
  Extent extent;
  for (const joint::PlanPoint& corner : answer.outline) extent.take(corner, 0);
  for (const assess::PhotoCircle& circle : answer.circles) {
    if (circle.may_be_used) extent.take(circle.at, circle.diameter_mm / 2);
  }
  if (!(extent.most_x > extent.least_x) || !(extent.most_y > extent.least_y)) return {};
  const double width = extent.most_x - extent.least_x;
  const double height = extent.most_y - extent.least_y;
  const double size = kLetters * std::max(width, height);
  Svg svg(width / 430);
  const auto spot = [&](const joint::PlanPoint& at) { return Spot{at.x_mm - extent.least_x, extent.most_y - at.y_mm}; };
  std::vector<Spot> corners;
  for (const joint::PlanPoint& corner : answer.outline) corners.push_back(spot(corner));
  if (corners.size() >= 3) svg.polygon(corners, paint::kDeck);
  for (const assess::PhotoCircle& circle : answer.circles) {
    if (!circle.may_be_used) continue;
    const Spot at = spot(circle.at);
    const double radius = circle.diameter_mm > 0 ? circle.diameter_mm / 2 : size / 4;
    Paint paint = paint_of(circle.kind);
    if (circle.status != "found" && circle.status != "placed by hand") paint.dash = 2;
    svg.circle(at, radius, paint);
    const bool has_room = radius > size;
    svg.text(has_room ? Spot{at.x, at.y + 0.35 * size} : Spot{at.x, at.y - radius - 0.3 * size}, std::to_string(circle.number),
             has_room ? 1.3 * size : 0.8 * size, Svg::Anchor::kMiddle, "jp-number", circle.kind == "bore");
  }
  const double margin = kMargin * width + size;
  const std::string title = "Plan from the photograph" + (answer.name.empty() ? std::string() : " of " + answer.name);
  return {{"from-photograph", title,
           svg.drawing({-margin, -margin}, width + 2 * margin, height + 2 * margin, "from-photograph", title,
                       answer.sentence + " Dashed: look at it."),
           table_of(answer)}};
}

}  // namespace headjoint::report
