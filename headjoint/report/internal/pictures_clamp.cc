#include "headjoint/report/internal/pictures_clamp.h"

#include <algorithm>

#include "headjoint/report/internal/clamp_plan.h"
#include "headjoint/report/internal/html_table.h"
#include "headjoint/report/internal/line_chart.h"
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

std::string margin_table(const assess::SealingAnswer& answer) {
  HtmlTable table("Margin of the weakest ring over all trials", {{"margin at least", true}, {"of 100 trials", true}});
  for (const auto& [margin, share] : answer.margins) table.row({fixed(margin, 2), fixed(100 * share, 1)});
  return table.html();
}

}  // namespace

std::vector<Picture> draw(const assess::SealingAnswer& answer) {
  if (answer.margins.size() < 2) return {};
  ChartCurve curve{"", {}, {}};
  for (const auto& [margin, share] : answer.margins) curve.x.push_back(margin), curve.y.push_back(100 * share);
  const ChartCurve need{"what it needs", {1, 1}, {0, 100}};
  const ChartAxis across = round_axis("margin of the weakest ring: least line load over what it needs", std::max(1.2, curve.x.back()));
  const ChartAxis up{"trials of 100 with at least this margin", 0, 100, 25};
  return {{"margins", "How much margin, how often",
           line_chart_svg({curve, need}, across, up, "margins", "Trials by the margin of the weakest ring", answer.sentence),
           margin_table(answer)}};
}

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
