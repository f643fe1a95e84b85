#include "headjoint/report/tightening_sheet.h"

#include <numeric>

#include "headjoint/assess/knowledge.h"
#include "headjoint/report/internal/clamp_plan.h"
#include "headjoint/report/internal/html_table.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/paper_parts.h"

namespace headjoint::report {
namespace {

const char* const kBlank = "________";

template <class T>
std::string typed(const joint::OptionalFigure<T>& figure) {
  return figure && !figure->text.empty() ? plain_text(figure->text) : std::string(kBlank);
}

std::string stage_words(const joint::TighteningStage& stage) {
  std::string text = stage.torque ? typed(stage.torque) : stage.angle ? "then " + typed(stage.angle) : std::string(kBlank);
  return stage.note.empty() ? text : text + " (" + plain_text(stage.note) + ")";
}

std::string plan_part(const joint::Engine& engine) {
  assess::TighteningAnswer drawn;
  drawn.engine = engine;
  if (engine.tightening) drawn.order = engine.tightening->order;
  return "<figure class=\"plan\">" + order_plan_svg(drawn, "tightening-plan") + "</figure>\n";
}

std::string facts_part(const joint::Engine& engine) {
  const joint::Bolts& bolts = *engine.bolts;
  HtmlTable table("Bolts and tool", {{""}, {""}});
  table.row({"Bolts", std::to_string(bolts.at.size()) + " x " + (bolts.size ? plain_text(bolts.size->text) : kBlank) + " " +
                          plain_text(bolts.strength_class)});
  table.row({"New or used", bolts.single_use ? (*bolts.single_use ? "new ones: the maker allows one use"
                                                                  : "may serve again if measured within the maker's limit")
                                             : std::string(kBlank)});
  table.row({"Lubricant, threads and under the head", std::string(kBlank) + " (the maker's, one for all)"});
  table.row({"Sealant on the threads", bolts.wet_holes.value_or(false) ? "yes: the threads reach coolant " + std::string(kBlank) : kBlank});
  table.row({"Wrench, number and calibrated on", std::string(kBlank) + " / " + kBlank});
  return table.html();
}

std::string stages_part(const joint::Engine& engine) {
  std::vector<HtmlColumn> columns = {{"turn", false, true}, {"bolt", false, true}};
  std::size_t stages = 0;
  if (engine.tightening)
    for (const joint::TighteningStage& stage : engine.tightening->stages)
      columns.push_back({std::to_string(++stages) + ": " + stage_words(stage)});
  for (; stages < 2; ++stages) columns.push_back({std::to_string(stages + 1) + ": " + kBlank});
  columns.push_back({"torque reached"});
  columns.push_back({"angle reached"});
  HtmlTable table("Tick each bolt at each stage; all bolts at one stage before the next", columns);
  std::vector<int> order(engine.bolts->at.size());
  std::iota(order.begin(), order.end(), 1);
  const bool is_known = engine.tightening && !engine.tightening->order.empty();
  if (is_known) order = engine.tightening->order;
  for (std::size_t turn = 0; turn < order.size(); ++turn) {
    std::vector<std::string> cells = {is_known ? std::to_string(turn + 1) : "__", std::to_string(order[turn])};
    for (std::size_t stage = 0; stage < stages; ++stage) cells.emplace_back("\u25a1");
    cells.emplace_back("____ N m");
    cells.emplace_back("____ deg");
    table.row(cells);
  }
  return table.html();
}

std::vector<std::string> steps(const joint::Engine& engine) {
  std::vector<std::string> list = {
      "Holes blown out and dry to the bottom: oil or coolant under a bolt gives a false torque and can crack the block.",
      "Threads chased, not cut; washers hard, the right way up; bolts run in by hand.",
      "Each bolt in one smooth pull. Stopped short: back off a little and pull again.",
  };
  if (engine.tightening) {
    bool has_angle = false;
    for (const joint::TighteningStage& stage : engine.tightening->stages) has_angle = has_angle || stage.angle.has_value();
    if (has_angle) list.emplace_back("Mark the bolt heads before the angle: the mark shows what was turned.");
    if (engine.tightening->retighten)
      list.emplace_back(*engine.tightening->retighten ? "The maker asks for a further tightening after the first heat: done on ________"
                                                      : "The maker asks for no retightening after the first heat.");
  }
  if (!engine.tightening || engine.tightening->order.empty())
    list.emplace_back("The engine file has no order: write the maker's in. Never guess where the maker gives one.");
  if (!engine.tightening || engine.tightening->stages.empty()) list.emplace_back("The engine file has no stages: write the maker's in.");
  return list;
}

}  // namespace

std::string tightening_sheet_html(const assess::Assessment& all, const PaperStamp& stamp) {
  const joint::Engine& engine = all.job.engine;
  std::string body = "<h1>Tightening the head</h1>\n";
  if (!assess::has_tightening_sheet(all)) {
    body += paragraph("The engine file has no places of bolts: nothing can be drawn or ticked.");
    return paper_document("Tightening sheet", "shop", all, stamp, body);
  }
  if (engine.general.heads != joint::HeadArrangement::kOne) body += paragraph("One sheet for each head: head ____");
  for (const assess::Caution& caution : assess::cautions_of({"stretched_bolts"})) body += caution_box(caution);
  body += plan_part(engine) + facts_part(engine) + bullets(steps(engine)) + stages_part(engine) + signature();
  return paper_document(
      "Tightening sheet", "shop", all, stamp, body,
      "<footer><p class=\"muted\">Order, stages and lubricant of the engine's maker come before anything on this paper.</p></footer>\n");
}

}  // namespace headjoint::report
