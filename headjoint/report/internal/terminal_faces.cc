#include "headjoint/report/internal/terminal_faces.h"

#include <cmath>

#include "headjoint/assess/results_face_map.h"
#include "headjoint/assess/results_faces.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/terminal_machining.h"
#include "headjoint/report/internal/terminal_readings.h"

namespace headjoint::report {
namespace {

std::string band(double low, double high) {
  return std::isfinite(high) ? fixed(low, 3) + "–" + fixed(high, 3) : fixed(low, 3) + " or more";
}

std::string listed(const std::vector<std::string>& items) {
  std::string out;
  for (const std::string& item : items) out += (out.empty() ? "" : ", ") + plain_text(item);
  return out;
}

void show_list(TerminalPage& page, const std::string& heading, const std::vector<std::string>& items) {
  if (items.empty()) return;
  page.paragraph(heading);
  for (const std::string& item : items) page.paragraph("- " + plain_text(item), 2, 4);
}

void show_sections(TerminalPage& page, const assess::FaceMap& map) {
  if (map.sections.empty()) return;
  page.heading("A straightedge laid over the face");
  std::vector<std::vector<std::string>> rows;
  for (const assess::FaceSection& section : map.sections)
    rows.push_back({fixed(section.straightness_mm, 3), fixed(section.largest_gap_mm, 3), fixed(section.gap_at_mm, 0),
                    fixed(section.touch_from_mm, 0) + " and " + fixed(section.touch_to_mm, 0), section.name});
  page.table({{"out of straight", true}, {"gap mm", true}, {"at mm", true}, {"rests at mm"}, {"line"}}, rows);
  page.paragraph("Between the points the face is taken as straight.");
}

std::string line_word(const assess::LineFigure& line) {
  return (line.decision.empty() ? "" : line.decision + ": ") + plain_text(line.name) + ", " + line.bend;
}

std::string known_mm(double value, const std::string& otherwise) { return std::isfinite(value) ? fixed(value, 3) : otherwise; }

void show_figures(TerminalPage& page, const assess::Skim& skim) {
  std::vector<std::vector<std::string>> rows{
      {"least cut, free", fixed(skim.least.depth_mm, 3), skim.least.status + "; mean depth " + fixed(skim.least.mean_depth_mm, 3)},
      {"cut held parallel", fixed(skim.parallel.depth_mm, 3),
       skim.parallel.status + "; out of parallel " + fixed(skim.parallel.out_of_parallel_mm, 3) + ", allowed " +
           fixed(skim.allowance_mm, 3)},
      {"finish pass", fixed(skim.finish_mm, 3), "last, light"},
      {"in all", fixed(skim.total_mm, 3), std::to_string(skim.passes) + (skim.passes == 1 ? " pass" : " passes")}};
  if (skim.height_mm > 0) rows.push_back({"height before", fixed(skim.height_mm, 3), plain_text(skim.height_origin)});
  rows.push_back({"height left", known_mm(skim.height_left_mm, "?"),
                  skim.least_height_mm > 0 ? "least " + fixed(skim.least_height_mm, 3) : "no least height given"});
  rows.push_back({"removed before", known_mm(skim.removed_before_mm, "?"), "by earlier cuts"});
  rows.push_back({"removed in all", known_mm(skim.total_removed_mm, "?"), "with this cut"});
  rows.push_back({"may still go", known_mm(skim.may_still_go_mm, "?"),
                  std::isfinite(skim.may_still_go_mm) ? "before this cut" : "no limit in the record"});
  page.table({{""}, {"mm", true}, {""}}, rows);
}

void show_islands(TerminalPage& page, const assess::Skim& skim) {
  if (!(skim.asked_depth_mm > 0)) return;
  page.heading("A cut of " + fixed(skim.asked_depth_mm, 3) + " mm");
  if (skim.islands.empty()) return page.paragraph("It leaves nothing uncut.");
  page.paragraph("It leaves these places uncut:");
  std::vector<std::vector<std::string>> rows;
  for (const assess::CutIsland& island : skim.islands)
    rows.push_back({fixed(island.area_mm2, 0), fixed(island.deepest_mm, 3), fixed(island.x_mm, 0) + ", " + fixed(island.y_mm, 0),
                    listed(island.points)});
  page.table({{"mm²", true}, {"deepest mm", true}, {"at x, y"}, {"points"}}, rows);
}

void show_checks(TerminalPage& page, const std::vector<assess::CheckEntry>& checks) {
  page.heading("To check, in this order");
  int number = 0;
  for (const assess::CheckEntry& check : checks) {
    const std::string mark = check.state == "good" ? "[good] " : check.state == "bad" ? "[BAD] " : "[ ] ";
    page.paragraph(std::to_string(++number) + ". " + mark + check.check + (check.recorded.empty() ? "" : ": " + plain_text(check.recorded)),
                   0, 3);
    if (!check.limit.empty())
      page.paragraph(capitalised(check.limit) + (check.source.empty() ? "." : " (" + plain_text(check.source) + ")."), 3);
    if (check.state != "good") page.paragraph(capitalised(check.why) + (check.stops_the_cut ? ". Bad here means: do not cut." : "."), 3);
  }
}

}  // namespace

void show(TerminalPage& page, const assess::FlatnessReply& reply) {
  const assess::Flatness& face = reply.flatness;
  show(page, face);
  if (face.local.window_mm > 0) {
    page.blank();
    page.strong(face.local.decision_text.empty()
                    ? "Worst window of " + fixed(face.local.window_mm, 0) + " mm: " + known_mm(face.local.flatness_mm, "not known") + " mm"
                    : face.local.decision_text);
    page.paragraph("Windows: " + face.local.status +
                   (std::isfinite(face.local.flatness_mm)
                        ? "; the worst has its corner at " + fixed(face.local.at_x_mm, 0) + ", " + fixed(face.local.at_y_mm, 0) + "."
                        : "."));
  }
  show_sections(page, face.map);
}

void show(TerminalPage& page, const assess::Straightedge& lines) {
  page.strong(lines.decision_text.empty()
                  ? "Flatness deviation of the spots: " + band(lines.flatness_low_mm, lines.flatness_high_mm) + " mm."
                  : lines.decision_text);
  if (!lines.lines_decision_text.empty()) page.paragraph(lines.lines_decision_text);
  page.paragraph(std::to_string(lines.lines.size()) + (lines.lines.size() == 1 ? " line, " : " lines, ") + lines.method +
                 (lines.source.empty() ? "." : ", from " + plain_text(lines.source) + "."));
  std::vector<std::vector<std::string>> rows;
  for (const assess::LineFigure& line : lines.lines)
    rows.push_back({fixed(line.length_mm, 0), band(line.low_mm, line.high_mm), band(line.gap_low_mm, line.gap_high_mm), line_word(line)});
  page.table({{"length", true}, {"out of straight, mm", true}, {"largest gap, mm", true}, {"line"}}, rows);
  show_list(page, "These lines cannot have seen:", lines.not_seen);
  if (!lines.loose.empty()) page.paragraph("Tied to the others at fewer than two places: " + listed(lines.loose) + ".");
  if (lines.closures > 0)
    page.paragraph("Lines cross " + std::to_string(lines.closures) + (lines.closures == 1 ? " time" : " times") +
                   " more than needed: the middles of the readings had to be moved by " + fixed(lines.closure_rms_mm, 4) +
                   " mm root mean square, at most " + fixed(lines.largest_closure_mm, 4) + " mm (" + plain_text(lines.largest_closure_at) +
                   ").");
  if (lines.join_status != "joined") page.paragraph(capitalised(lines.join_status) + ".");
  show_list(page, lines.decision == "undecided" ? "This would settle it:" : "This would tell more:", lines.to_settle);
  for (const std::string& note : lines.notes) page.paragraph("- " + plain_text(note), 2, 4);
}

void show(TerminalPage& page, const assess::Skim& skim) {
  page.strong(skim.decision_text);
  for (const std::string& line : skim.because) page.paragraph(plain_text(line));
  page.blank();
  show_figures(page, skim);
  page.paragraph("Held parallel to " + plain_text(skim.datum) + ". The whole depth is taken at " +
                 (skim.parallel.highest.size() == 1 ? "point " : "points ") + listed(skim.parallel.highest) +
                 "; the cutter only just reaches " + (skim.parallel.deepest.size() == 1 ? "point " : "points ") +
                 listed(skim.parallel.deepest) + ".");
  show_list(page, "Rests on figures nobody measured:", skim.assumed);
  show_list(page, "Would need:", skim.missing);
  for (const std::string& note : skim.notes) page.paragraph("- " + plain_text(note), 2, 4);
  show_islands(page, skim);
  page.heading("The face");
  show(page, skim.face);
  show_checks(page, skim.checks);
  if (skim.after) {
    page.heading("What the ordered cut changes");
    return show(page, *skim.after);
  }
  page.blank();
  page.paragraph("The engine maker's limits and procedure come first.");
}

}  // namespace headjoint::report
