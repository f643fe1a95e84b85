#include <algorithm>

#include "headjoint/joint/places.h"
#include "headjoint/report/chance_words.h"
#include "headjoint/report/internal/deck_sheet.h"
#include "headjoint/report/internal/html_table.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/joint_plan.h"

namespace headjoint::report {
namespace {

std::string name_of(joint::PassageKind kind) {
  switch (kind) {
    case joint::PassageKind::kCoolant:
      return "coolant hole";
    case joint::PassageKind::kOilPressure:
      return "pressure oil hole";
    case joint::PassageKind::kOilDrain:
      return "oil drain";
    case joint::PassageKind::kPushrod:
      return "pushrod hole";
    case joint::PassageKind::kVent:
      return "vent";
  }
  return "hole";
}

void add_head(HtmlTable& table, const joint::HeadPlan& plan) {
  const std::string head = std::to_string(plan.head);
  const auto row = [&](const std::string& part, joint::PlanPoint at, const std::string& size) {
    table.row({part, head, fixed(at.x_mm, 1), fixed(at.y_mm, 1), size});
  };
  for (const joint::PlanBore& bore : plan.bores) row("bore " + std::to_string(bore.number), bore.centre, fixed(2 * bore.radius_mm, 1));
  for (const joint::Passage& passage : plan.passages) {
    const double radius = passage_radius(passage);
    if (const auto at = passage_centre(passage))
      row(name_of(passage.kind) + " " + std::to_string(passage.number), *at, radius > 0 ? fixed(2 * radius, 1) : "not given");
  }
  for (std::size_t i = 0; i < plan.bolts.size(); ++i) row("bolt " + std::to_string(i + 1), plan.bolts[i], "");
}

std::string touches(const assess::Flatness& face, int number) {
  const auto holds = [&](const std::vector<int>& points) { return std::find(points.begin(), points.end(), number) != points.end(); };
  if (holds(face.upper_points)) return "upper plane";
  return holds(face.lower_points) ? "lower plane" : "";
}

}  // namespace

std::string joint_plan_table_html(const joint::Engine& engine) {
  HtmlTable table("Joint plan: places from above, millimetres", {{"part"}, {"head"}, {"x, mm", true}, {"y, mm", true}, {"size, mm", true}});
  for (const joint::HeadPlan& plan : joint::head_plans(engine)) add_head(table, plan);
  return table.html();
}

std::string breach_plan_table_html(const assess::Finding& finding) {
  HtmlTable table("Suspect seal paths", {{"path"}, {"chance", true}, {"range", true}, {"in words"}});
  for (const assess::Suspect& path : finding.paths) {
    table.row({path.text, chance_text(path.chance.value), chance_text(path.chance.low) + "–" + chance_text(path.chance.high),
               std::string(chance_words(path.chance.value))});
  }
  return table.html();
}

std::string face_plan_table_html(const assess::Flatness& face) {
  HtmlTable table("Measured points of the face",
                  {{"point"}, {"x, mm", true}, {"y, mm", true}, {"reading, mm", true}, {"from middle of zone, mm", true}, {"touches"}});
  for (std::size_t i = 0; i < face.face.size(); ++i) {
    const assess::FacePoint& point = face.face[i];
    const int number = static_cast<int>(i) + 1;
    table.row({point.name.empty() ? std::to_string(number) : point.name, fixed(point.x_mm, 1), fixed(point.y_mm, 1), fixed(point.z_mm, 4),
               signed_fixed(point.deviation_mm, 4), touches(face, number)});
  }
  return table.html();
}

}  // namespace headjoint::report
