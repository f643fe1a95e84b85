#include "headjoint/assess/results_document_faces.h"

#include <cmath>

#include "headjoint/assess/results_document.h"

namespace headjoint::assess {
namespace {

Document table(std::initializer_list<std::pair<const char*, Document>> members) {
  Table out;
  for (const auto& [key, value] : members) out.emplace_back(key, value);
  return out;
}

/// Null for a figure that is not known or has no limit.
Document known(double value) { return std::isfinite(value) ? Document(value) : Document(nullptr); }

Document list_of(const std::vector<std::string>& items) { return Array(items.begin(), items.end()); }

Document named_points(const std::vector<NamedPoint>& points, const char* key) {
  Array list;
  for (const NamedPoint& point : points) list.push_back(table({{"point", point.name}, {key, point.value_mm}}));
  return list;
}

Document budget_of(const std::vector<UncertaintyPart>& parts) {
  Array list;
  for (const UncertaintyPart& part : parts)
    list.push_back(table({{"name", part.name}, {"half_width_mm", part.half_width_mm}, {"source", part.source}}));
  return list;
}

Document local_document(const LocalFigure& local) {
  Document document = table({{"window_mm", local.window_mm},
                             {"status", local.status},
                             {"FLTt_mm", known(local.flatness_mm)},
                             {"x_mm", local.at_x_mm},
                             {"y_mm", local.at_y_mm}});
  if (local.limit_mm > 0) document.set("limit_mm", local.limit_mm).set("limit_source", local.limit_source);
  if (!local.decision.empty()) document.set("decision", local.decision).set("decision_text", local.decision_text);
  return document;
}

Document sections_of(const FaceMap& map) {
  Array list;
  for (const FaceSection& section : map.sections)
    list.push_back(table({{"line", section.name},
                          {"straightness_mm", section.straightness_mm},
                          {"largest_gap_mm", section.largest_gap_mm},
                          {"gap_at_mm", section.gap_at_mm},
                          {"touches_at_mm", Array{section.touch_from_mm, section.touch_to_mm}}}));
  return list;
}

Document line_document(const LineFigure& line) {
  Array spots;
  for (const LineSpotFigure& spot : line.spots)
    spots.push_back(
        table({{"at_mm", spot.along_mm}, {"low_mm", known(spot.low_mm)}, {"high_mm", known(spot.high_mm)}, {"state", spot.state}}));
  Document document = table({{"line", line.name},
                             {"length_mm", line.length_mm},
                             {"straightness_low_mm", line.low_mm},
                             {"straightness_high_mm", known(line.high_mm)},
                             {"bend", line.bend},
                             {"largest_gap_low_mm", line.gap_low_mm},
                             {"largest_gap_high_mm", known(line.gap_high_mm)},
                             {"spots", std::move(spots)}});
  if (!line.decision.empty()) document.set("decision", line.decision);
  return document;
}

Document cut_document(const CutFigure& cut) {
  return table({{"held", cut.held},
                {"status", cut.status},
                {"depth_mm", cut.depth_mm},
                {"at_least_mm", cut.at_least_mm},
                {"mean_depth_mm", cut.mean_depth_mm},
                {"out_of_parallel_mm", cut.out_of_parallel_mm},
                {"highest_points", list_of(cut.highest)},
                {"deepest_points", list_of(cut.deepest)}});
}

Document islands_of(const Skim& skim) {
  Array list;
  for (const CutIsland& island : skim.islands)
    list.push_back(table({{"area_mm2", island.area_mm2},
                          {"deepest_mm", island.deepest_mm},
                          {"x_mm", island.x_mm},
                          {"y_mm", island.y_mm},
                          {"points", list_of(island.points)}}));
  return list;
}

Document checks_of(const Skim& skim) {
  Array list;
  for (const CheckEntry& check : skim.checks)
    list.push_back(table({{"check", check.check},
                          {"why", check.why},
                          {"limit", check.limit},
                          {"source", check.source},
                          {"recorded", check.recorded},
                          {"state", check.state},
                          {"stops_the_cut", check.stops_the_cut}}));
  return list;
}

}  // namespace

Document details_of(const Flatness& flatness) {
  Document document = table({{"outliers", named_points(flatness.outliers, "off_mm")},
                             {"without_each_contact", named_points(flatness.without_each_contact, "FLTt_mm")},
                             {"sections", sections_of(flatness.map)}});
  if (flatness.local.window_mm > 0) document.set("local", local_document(flatness.local));
  if (!flatness.budget.empty()) document.set("uncertainty_budget", budget_of(flatness.budget));
  if (!flatness.to_settle.empty()) document.set("to_settle", flatness.to_settle);
  return document;
}

Document to_document(const Straightedge& straightedge) {
  Array lines;
  for (const LineFigure& line : straightedge.lines) lines.push_back(line_document(line));
  Document document = table({{"source", straightedge.source},
                             {"method", straightedge.method},
                             {"lines", std::move(lines)},
                             {"worst_line_low_mm", straightedge.worst_line_low_mm},
                             {"worst_line_high_mm", known(straightedge.worst_line_high_mm)},
                             {"joined", straightedge.join_status},
                             {"flatness_low_mm", straightedge.flatness_low_mm},
                             {"flatness_high_mm", known(straightedge.flatness_high_mm)},
                             {"band_status", straightedge.band_status},
                             {"not_seen", list_of(straightedge.not_seen)},
                             {"loose_lines", list_of(straightedge.loose)},
                             {"closure", table({{"conditions", straightedge.closures},
                                                {"rms_mm", straightedge.closure_rms_mm},
                                                {"largest_mm", straightedge.largest_closure_mm},
                                                {"largest_at", straightedge.largest_closure_at},
                                                {"contradiction_mm", straightedge.contradiction_mm}})},
                             {"uncertainty_mm", straightedge.uncertainty_mm},
                             {"uncertainty_budget", budget_of(straightedge.budget)}});
  document.set("decision", straightedge.decision).set("decision_text", straightedge.decision_text);
  document.set("lines_decision", straightedge.lines_decision).set("lines_decision_text", straightedge.lines_decision_text);
  if (straightedge.limit_mm > 0) document.set("limit_mm", straightedge.limit_mm).set("limit_source", straightedge.limit_source);
  document.set("to_settle", list_of(straightedge.to_settle)).set("notes", list_of(straightedge.notes));
  Array places;
  for (const FacePoint& point : straightedge.face)
    places.push_back(table({{"x_mm", point.x_mm}, {"y_mm", point.y_mm}, {"height_mm", point.deviation_mm}}));
  return document.set("places", std::move(places)).set("sections", sections_of(straightedge.map));
}

Document to_document(const Skim& skim) {
  Document document = table({{"engine", skim.engine},
                             {"part", skim.part},
                             {"least_cut_mm", skim.least.depth_mm},
                             {"cut_parallel_mm", skim.parallel.depth_mm},
                             {"finish_mm", skim.finish_mm},
                             {"total_cut_mm", skim.total_mm},
                             {"passes", skim.passes},
                             {"datum", skim.datum},
                             {"allowance_mm", skim.allowance_mm},
                             {"height_mm", skim.height_mm > 0 ? Document(skim.height_mm) : Document(nullptr)},
                             {"height_left_mm", known(skim.height_left_mm)},
                             {"least_height_mm", skim.least_height_mm > 0 ? Document(skim.least_height_mm) : Document(nullptr)},
                             {"removed_before_mm", known(skim.removed_before_mm)},
                             {"total_removed_mm", known(skim.total_removed_mm)},
                             {"may_still_go_mm", known(skim.may_still_go_mm)},
                             {"cut_needed", skim.cut_needed},
                             {"decision", skim.decision},
                             {"decision_text", skim.decision_text},
                             {"because", list_of(skim.because)},
                             {"missing", list_of(skim.missing)},
                             {"assumed", list_of(skim.assumed)},
                             {"least", cut_document(skim.least)},
                             {"parallel", cut_document(skim.parallel)}});
  if (skim.asked_depth_mm > 0) document.set("asked_depth_mm", skim.asked_depth_mm).set("islands", islands_of(skim));
  document.set("checks", checks_of(skim)).set("notes", list_of(skim.notes));
  return document.set("face", to_document(skim.face));
}

}  // namespace headjoint::assess
