#include "headjoint/report/machine_shop_order.h"

#include <algorithm>
#include <cmath>

#include "headjoint/report/internal/cut_rows.h"
#include "headjoint/report/internal/html_table.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/paper_parts.h"

namespace headjoint::report {
namespace {

constexpr std::size_t kMostChanges = 7, kFewChanges = 5;  // lines that leave the paper on one page
constexpr std::size_t kMostRemedies = 3, kFewRemedies = 2;
const char* const kBlank = "________";

bool is_overhead(const joint::Engine& engine) { return engine.valves && engine.valves->drive == joint::ValveDrive::kOverheadCam; }

std::string mm(double value, int decimals = 2) { return fixed(value, decimals) + " mm"; }

template <class T>
std::string typed(const joint::OptionalFigure<T>& figure) {
  return figure && !figure->text.empty() ? plain_text(figure->text) : std::string(kBlank);
}

/// One part that goes to the machine shop.
struct Part {
  bool is_head = true;
  std::string head;                        ///< "1"
  const assess::Flatness* face = nullptr;  ///< measured, or null
  std::optional<double> depth_mm;          ///< ordered
};

std::vector<Part> parts_of(const assess::Assessment& all) {
  std::vector<Part> parts;
  const auto ordered = [&](bool is_head) -> std::optional<double> {
    const auto& depth = is_head ? all.job.cut.head : all.job.cut.deck;
    if (!depth) return std::nullopt;
    return depth->value.si() * 1e3;
  };
  for (const assess::Flatness& face : all.faces) parts.push_back({face.part != "block", face.head, &face, ordered(face.part != "block")});
  for (const bool is_head : {true, false}) {
    const bool is_there = std::any_of(parts.begin(), parts.end(), [&](const Part& part) { return part.is_head == is_head; });
    if (!is_there && ordered(is_head).value_or(0) > 0) parts.push_back({is_head, "1", nullptr, ordered(is_head)});
  }
  return parts;
}

std::string part_name(const Part& part, const assess::Assessment& all) {
  if (!part.is_head) return "Block, deck";
  const bool is_one = all.job.engine.general.heads == joint::HeadArrangement::kOne;
  return is_one || part.head.empty() ? "Head, face to the block" : "Head " + part.head + ", face to the block";
}

std::string flatness_words(const Part& part) {
  if (part.face == nullptr) return "not measured here";
  std::string text = mm(part.face->minimum_zone_FLTt_mm, 3);
  if (part.face->limit_mm > 0) text += ", limit " + mm(part.face->limit_mm, 3);
  if (!part.face->decision.empty()) text += ": " + part.face->decision;
  return text;
}

/// The least cut of a part's measured face, or null.
const assess::LeastCut* least_cut_of(const Part& part, const assess::Assessment& all) {
  const std::string name = part.is_head ? "head" : "block";
  const auto& cuts = all.plan.least_cuts;
  const auto found = std::find_if(cuts.begin(), cuts.end(), [&](const assess::LeastCut& cut) {
    return part.face != nullptr && cut.part == name && cut.head == part.head;
  });
  return found == cuts.end() ? nullptr : &*found;
}

std::string depth_words(const Part& part, const assess::Assessment& all) {
  const assess::LeastCut* least = least_cut_of(part, all);
  if (part.depth_mm) {
    const bool is_short = least != nullptr && *part.depth_mm > 0 && *part.depth_mm < least->parallel_mm;
    return mm(*part.depth_mm) + (is_short ? ": too little, " + mm(least->parallel_mm, 3) + " is the least that cleans up" : "");
  }
  if (least == nullptr) return std::string(kBlank) + " the least that cleans up";
  if (least->needed == "no") return "nothing: within the limit. Should it be cut all the same: " + mm(least->total_mm, 3) + " cleans up";
  return std::string(kBlank) + ", the least that cleans up: " + mm(least->parallel_mm, 3) + " parallel to the measuring plane, " +
         mm(least->total_mm, 3) + " with the finish pass";
}

std::string datum_words(const Part& part, const joint::Engine& engine) {
  if (!part.is_head) return "line of the main bearings";
  return is_overhead(engine) ? "line of the cam bearings" : "face under the rocker cover";
}

std::string height_words(const Part& part, const joint::Engine& engine) {
  if (!part.is_head || !engine.head || !engine.head->height) return "before " + std::string(kBlank) + " after " + kBlank;
  const double before = engine.head->height->value.si() * 1e3;
  std::string text = "before " + mm(before) + " (new), measured " + kBlank;
  if (part.depth_mm) text += "; after " + mm(before - *part.depth_mm);
  if (engine.head->least_height) text += "; least " + typed(engine.head->least_height);
  return text;
}

std::string roughness_words(const Part& part, const joint::Engine& engine) {
  const auto limit = part.is_head ? (engine.head ? engine.head->roughness_limit : joint::OptionalFigure<Length>{})
                                  : (engine.block ? engine.block->roughness_limit : joint::OptionalFigure<Length>{});
  if (limit) return "Ra " + typed(limit) + " at most";
  return "Ra " + std::string(kBlank) + " as the gasket's maker asks";
}

/// One column a part.
std::string work_part(const std::vector<Part>& parts, const assess::Assessment& all) {
  if (parts.empty()) return {};
  const joint::Engine& engine = all.job.engine;
  std::vector<HtmlColumn> columns = {{""}};
  std::vector<std::vector<std::string>> rows = {{"Take off"}, {"Datum"}, {"Flatness found"}, {"Roughness"}, {"Height"}};
  for (const Part& part : parts) {
    columns.push_back({part_name(part, all)});
    const std::vector<std::string> cells = {depth_words(part, all), datum_words(part, engine), flatness_words(part),
                                            roughness_words(part, engine), height_words(part, engine)};
    for (std::size_t i = 0; i < rows.size(); ++i) rows[i].push_back(cells[i]);
  }
  HtmlTable table("What to cut", columns);
  for (const auto& row : rows) table.row(row);
  return table.html();
}

std::string step(const std::string& text) { return "<li><span class=\"tick\"></span>" + isolated(text) + "</li>"; }

bool is_aluminium(const joint::Engine& engine) { return engine.head && engine.head->material.name == "aluminium"; }

std::vector<std::string> steps_before(const joint::Engine& engine, bool has_head) {
  std::vector<std::string> steps;
  if (has_head && is_aluminium(engine))
    steps.push_back(
        "Hardness first, three spots each on exhaust and intake side: HB ____ ____ ____ / ____ ____ ____, least ____ (maker). Too soft: "
        "stop.");
  steps.push_back(is_aluminium(engine)
                      ? "Cracks: penetrant on the face and between the seats; then under pressure: ____ bar, ____ min, ____ degC."
                      : "Cracks: magnetic particles on iron, penetrant on aluminium; then under pressure: ____ bar, ____ min, ____ degC.");
  if (has_head && is_overhead(engine))
    steps.push_back(
        "Cam line: straight within ____ (maker), found ____. Bent with the face: straighten and line bore before the face is cut.");
  steps.push_back("Heights at the four corners before: ____ ____ ____ ____");
  return steps;
}

std::vector<std::string> steps_after(const joint::Engine& engine, bool has_head) {
  std::vector<std::string> steps = {
      "Set up parallel to the datum within 0.05 mm end to end, finish pass 0.02 to 0.03 mm (common practice, no source). Depth taken: "
      "____"};
  steps.push_back("After: flatness ____, roughness Ra ____, heights at the four corners ____ ____ ____ ____");
  if (has_head) steps.push_back("Valve recession ____, inserts and injector tips beyond the face ____, chamber edges without burr");
  steps.push_back("Dowel and bolt holes: depth ____, clean and dry, threads run through, edges of the holes eased");
  steps.push_back("Oil and coolant ways washed out; " +
                  std::string(has_head ? "amount taken off stamped on the head" : "amount taken off stamped on the deck"));
  if (engine.general.heads == joint::HeadArrangement::kPerBank) steps.push_back("Both heads cut alike: ____ / ____");
  return steps;
}

std::string order_part(const joint::Engine& engine, bool has_head) {
  std::string out = section("In this order") + "<ul class=\"choices\">" + step("Clean and dry, stripped, at room temperature, not clamped");
  for (const std::string& text : steps_before(engine, has_head)) out += step(text);
  for (const std::string& text : steps_after(engine, has_head)) out += step(text);
  return out + "</ul>\n";
}

/// Lines that must be acted on, then the ones a builder asks for first.
std::vector<const assess::CutLine*> lines_for_paper(const assess::AfterSkim& answer, std::size_t most) {
  std::vector<const assess::CutLine*> lines;
  const auto take = [&](auto wanted) {
    for (const assess::CutLine& line : answer.lines)
      if (lines.size() < most && wanted(line) && std::find(lines.begin(), lines.end(), &line) == lines.end()) lines.push_back(&line);
  };
  take([](const assess::CutLine& line) { return line.verdict == "out_of_limit"; });
  take([](const assess::CutLine& line) { return line.verdict == "near_limit"; });
  for (const char* word : {"compression_ratio", "squish", "intake_valve_gap", "exhaust_valve_gap", "cam_timing"})
    take([&](const assess::CutLine& line) { return line.line == word; });
  take([](const assess::CutLine& line) { return line.before && line.after && *line.before != *line.after; });
  return lines;
}

std::string changes_part(const assess::AfterSkim& answer, std::size_t parts) {
  const std::size_t most = parts > 1 ? kFewChanges : kMostChanges;
  HtmlTable table(cut_asked(answer), {{"lengths in mm"}, {"before", true}, {"after", true}, {"limit", true}, {"", false, true}});
  for (const assess::CutLine* line : lines_for_paper(answer, most)) {
    const CutRow row = cut_row(*line);
    table.row({row.name, row.before, row.after, row.limit, row.verdict});
  }
  std::vector<std::string> remedies = cut_remedies(answer);
  remedies.resize(std::min(remedies.size(), parts > 1 ? kFewRemedies : kMostRemedies));
  return section("What the cut changes") + paragraph(answer.sentence) + table.html() + bullets(remedies);
}

std::string footer() {
  return "<footer><p class=\"muted\">The engine maker's limits and procedure come before anything on this paper. Limits are those of the "
         "engine file; "
         "what is not filled in there is left to be written.</p></footer>\n";
}

}  // namespace

std::string machine_shop_order_html(const assess::Assessment& all, const PaperStamp& stamp) {
  const std::vector<Part> parts = parts_of(all);
  const bool has_head = parts.empty() || std::any_of(parts.begin(), parts.end(), [](const Part& part) { return part.is_head; });
  std::string body = "<h1>For the machine shop</h1>\n";
  if (parts.empty()) body += paragraph("No face is measured and no cut is ordered yet.");
  body += work_part(parts, all) + order_part(all.job.engine, has_head);
  if (all.after_skim) body += changes_part(*all.after_skim, parts.size());
  body += signature();
  return paper_document("Machine-shop order", "shop", all, stamp, body, footer());
}

}  // namespace headjoint::report
