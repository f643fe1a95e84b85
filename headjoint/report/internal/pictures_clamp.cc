#include "headjoint/report/internal/pictures_clamp.h"

#include "headjoint/report/internal/clamp_plan.h"
#include "headjoint/report/internal/html_table.h"
#include "headjoint/report/internal/markup.h"

namespace headjoint::report {
namespace {

void add(std::vector<Picture>& drawn, Picture picture) {
  if (!picture.svg.empty()) drawn.push_back(std::move(picture));
}

std::string force_table(const assess::TighteningAnswer& answer) {
  std::vector<HtmlColumn> columns = {{"bolt"}};
  for (std::size_t p = 0; p < answer.passes.size(); ++p) columns.push_back({"pass " + std::to_string(p + 1) + ", kN", true});
  HtmlTable table("Force of each bolt after each pass", columns);
  for (std::size_t b = 0; !answer.passes.empty() && b < answer.passes.front().force_N.size(); ++b) {
    std::vector<std::string> cells = {std::to_string(b + 1)};
    for (const assess::TightenedPass& pass : answer.passes) cells.push_back(fixed(pass.force_N[b] * 1e-3, 1));
    table.row(cells);
  }
  return table.html();
}

}  // namespace

std::vector<Picture> draw(const assess::Clamping& answer) {
  std::vector<Picture> drawn;
  if (!answer.state.stands()) return drawn;
  const bool two = answer.after_skim && answer.after_skim->stands();
  const std::string title = two ? "Pressure before the cut" : "Pressure under the gasket";
  add(drawn,
      {"pressure", title, pressure_plan_svg(answer.state, answer.engine, answer.head, "pressure", title), clamp_table_html(answer.state)});
  if (two)
    add(drawn, {"pressure-after", "Pressure after the cut",
                pressure_plan_svg(*answer.after_skim, answer.engine, answer.head, "pressure-after", "Pressure after the cut"),
                clamp_table_html(*answer.after_skim)});
  return drawn;
}

std::vector<Picture> draw(const assess::TighteningAnswer& answer) {
  std::vector<Picture> drawn;
  add(drawn, {"order", "Order of tightening", order_plan_svg(answer, "order"), force_table(answer)});
  if (!answer.clamped.stands()) return drawn;
  add(drawn, {"tightened", "Pressure as tightened",
              pressure_plan_svg(answer.clamped, answer.engine, answer.head, "tightened", "Pressure as tightened"),
              clamp_table_html(answer.clamped)});
  add(drawn, {"film", "What a pressure film would show",
              pressure_plan_svg(answer.clamped, answer.engine, answer.head, "film", "Greatest pressure over all steps", true),
              clamp_table_html(answer.clamped)});
  return drawn;
}

}  // namespace headjoint::report
