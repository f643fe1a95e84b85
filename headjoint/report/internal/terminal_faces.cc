#include "headjoint/report/internal/terminal_faces.h"

#include <cmath>
#include <string>
#include <vector>

#include "headjoint/report/internal/face_words.h"
#include "headjoint/report/internal/finding_words.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/reading_rows.h"
#include "headjoint/report/internal/terminal_machining.h"

namespace headjoint::report {
namespace {

using Rows = std::vector<std::vector<std::string>>;

void show_list(TerminalPage& page, const char* heading, const std::vector<std::string>& items) {
  if (items.empty()) return;
  page.heading(heading);
  for (const std::string& item : items) page.paragraph("- " + plain_text(item), 2, 4);
}

void show_points(TerminalPage& page, const char* heading, const std::vector<assess::NamedPoint>& points, const char* what) {
  if (points.empty()) return;
  page.heading(heading);
  Rows rows;
  for (const assess::NamedPoint& point : points) rows.push_back({"point " + plain_text(point.name), fixed(point.value_mm, 3)});
  page.table({{""}, {what, true}}, rows);
}

void show_budget(TerminalPage& page, const std::vector<assess::UncertaintyPart>& budget) {
  if (budget.empty()) return;
  page.heading("Uncertainty, assumed");
  Rows rows;
  for (const assess::UncertaintyPart& part : budget)
    rows.push_back({plain_text(part.name), fixed(part.half_width_mm, 4), plain_text(part.source)});
  page.table({{""}, {"± mm", true}, {"from"}}, rows);
}

void show_sections(TerminalPage& page, const std::vector<assess::FaceSection>& sections) {
  if (sections.empty()) return;
  page.heading("A straightedge laid over the points");
  Rows rows;
  for (const assess::FaceSection& one : sections)
    rows.push_back({plain_text(one.name), fixed(one.straightness_mm, 3), fixed(one.largest_gap_mm, 3), fixed(one.gap_at_mm, 0),
                    fixed(one.touch_from_mm, 0) + " and " + fixed(one.touch_to_mm, 0)});
  page.table({{"lengths in mm"}, {"straightness", true}, {"largest gap", true}, {"at", true}, {"edge rests at", true}}, rows);
}

void show_local(TerminalPage& page, const assess::LocalFigure& local) {
  if (!(local.window_mm > 0)) return;
  page.paragraph(local_words(local));
}

void show_cut(TerminalPage& page, const assess::Skim& skim) {
  page.heading("Cut");
  Rows rows;
  for (const assess::CutFigure* cut : {&skim.least, &skim.parallel})
    rows.push_back({fixed(cut->depth_mm, 3), fixed(cut->out_of_parallel_mm, 3), joined_names(cut->deepest),
                    plain_text(cut->held) + "; " + plain_text(cut->status)});
  page.table({{"least depth, mm", true}, {"out of parallel", true}, {"cleans up last"}, {"how the part is held"}}, rows);
  page.paragraph("Order " + fixed(skim.total_mm, 3) + " mm: the parallel cut and a last pass of " + fixed(skim.finish_mm, 3) + " mm" +
                 (skim.passes > 1 ? ", in " + std::to_string(skim.passes) + " passes." : "."));
}

void show_islands(TerminalPage& page, const assess::Skim& skim) {
  if (!(skim.asked_depth_mm > 0)) return;
  page.heading("A cut of " + fixed(skim.asked_depth_mm, 3) + " mm");
  if (skim.islands.empty()) return page.paragraph("cleans every measured point.", 2);
  Rows rows;
  for (const assess::CutIsland& island : skim.islands)
    rows.push_back({fixed(island.x_mm, 0) + ", " + fixed(island.y_mm, 0), fixed(island.area_mm2, 0), fixed(island.deepest_mm, 3),
                    joined_names(island.points)});
  page.table({{"leaves uncut at x, y mm"}, {"area mm2", true}, {"too low by mm", true}, {"points"}}, rows);
}

void show_metal(TerminalPage& page, const assess::Skim& skim) {
  Rows rows;
  const auto add = [&](const char* name, double value, const std::string& origin) {
    if (std::isfinite(value)) rows.push_back({name, fixed(value, 3), plain_text(origin)});
  };
  if (skim.height_mm > 0) add("height now", skim.height_mm, skim.height_origin);
  add("height left", skim.height_left_mm, "after this cut");
  if (skim.least_height_mm > 0) add("least height", skim.least_height_mm, "the engine's record");
  add("removed before", skim.removed_before_mm, "");
  add("removed in all", skim.total_removed_mm, "");
  add("may be cut", skim.may_still_go_mm, "from the height now, this cut included");
  if (rows.empty()) return;
  page.heading("Metal");
  page.table({{"lengths in mm"}, {"", true}, {""}}, rows);
}

void show_checks(TerminalPage& page, const std::vector<assess::CheckEntry>& checks) {
  if (checks.empty()) return;
  page.heading("Before, during and after the cut, in this order");
  int number = 0;
  for (const assess::CheckEntry& check : checks) page.paragraph(std::to_string(++number) + ". " + check_words(check), 2, 5);
}

}  // namespace

void show(TerminalPage& page, const assess::Flatness& face) {
  page.blank();
  const FaceWords words = face_words(face);
  page.strong(words.verdict);
  page.paragraph(words.how);
  show_local(page, face.local);
  if (!face.to_settle.empty()) page.paragraph("To settle it: " + plain_text(face.to_settle));
  Rows rows;
  for (const FaceFigure& figure : words.figures) rows.push_back({figure.name, figure.value, figure.origin});
  page.table({{""}, {"mm", true}, {""}}, rows);
  for (const std::string& note : face.notes) page.paragraph("- " + plain_text(note), 2, 4);
}

void show(TerminalPage& page, const assess::FlatnessReply& reply) {
  const assess::Flatness& face = reply.flatness;
  show(page, face);
  show_sections(page, face.map.sections);
  show_points(page, "Points that stand alone: measure them again", face.outliers, "mm off their neighbours");
  show_points(page, "Deviation without a point that holds the zone", face.without_each_contact, "mm");
  show_budget(page, face.budget);
}

void show(TerminalPage& page, const assess::Straightedge& lines) {
  page.blank();
  page.strong(straightedge_verdict(lines));
  page.paragraph(straightedge_how(lines));
  Rows rows;
  for (const assess::LineFigure& line : lines.lines)
    rows.push_back({plain_text(line.name), fixed(line.length_mm, 0), band_text(line.gap_low_mm, line.gap_high_mm),
                    band_text(line.low_mm, line.high_mm), plain_text(line.bend), decision_words(line.decision)});
  page.table({{"lengths in mm"}, {"length", true}, {"largest gap", true}, {"straightness", true}, {"bend"}, {""}}, rows);
  if (!lines.lines_decision_text.empty()) page.paragraph("Lines alone: " + plain_text(lines.lines_decision_text));
  if (!lines.decision_text.empty()) page.paragraph("Whole face: " + plain_text(lines.decision_text));
  show_list(page, "What these lines cannot have seen", lines.not_seen);
  show_list(page, "Lines that float", lines.loose);
  show_list(page, "What would settle it", lines.to_settle);
  show_budget(page, lines.budget);
  show_list(page, "To note", lines.notes);
}

void show(TerminalPage& page, const assess::Skim& skim) {
  page.blank();
  page.strong(skim.decision_text);
  page.paragraph(face_words(skim.face).verdict);
  for (const std::string& reason : skim.because) page.paragraph("- " + plain_text(reason), 2, 4);
  show_cut(page, skim);
  show_islands(page, skim);
  show_metal(page, skim);
  show_checks(page, skim.checks);
  show_list(page, "Missing", skim.missing);
  show_list(page, "Rests on assumed figures", skim.assumed);
  show_list(page, "To note", skim.notes);
  if (skim.after) {
    page.heading("What the ordered cut changes");
    show(page, *skim.after);
  }
}

}  // namespace headjoint::report
