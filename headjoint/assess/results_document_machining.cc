#include "headjoint/assess/results_document_machining.h"

#include <cmath>

#include "headjoint/assess/internal/document_parts.h"

namespace headjoint::assess {
namespace {

/// Null where there is no number: a key that is fixed is always there.
Document number(const std::optional<double>& value) { return value ? Document(*value) : Document(nullptr); }

/// Sizes and lashes were typed with at most four decimals of a millimetre: a sum of them has no more.
double tidy(double mm) { return std::round(mm * 1e6) / 1e6; }
Document tidy(const std::optional<double>& mm) { return mm ? Document(tidy(*mm)) : Document(nullptr); }

using internal::texts;

Document change(const CutLine* line, const char* at_key = nullptr) {
  Document document(Table{});
  document.set("before", line == nullptr ? Document(nullptr) : number(line->before));
  document.set("after", line == nullptr ? Document(nullptr) : number(line->after));
  if (at_key != nullptr) document.set(at_key, line == nullptr ? Document(nullptr) : number(line->at_deg_after));
  return document;
}

Document squish(const CutLine* line) {
  Document document = change(line);
  if (line != nullptr && line->least) document.set("least", *line->least);
  if (line != nullptr && line->most) document.set("most", *line->most);
  return document;
}

Document purchases(const std::vector<ShimPurchase>& items) {
  Array list;
  for (const ShimPurchase& item : items) {
    Document entry(Table{});
    entry.set("size_mm", tidy(item.size_mm)).set("count", item.count);
    list.push_back(std::move(entry));
  }
  return list;
}

Document to_document(const ShimLine& line) {
  Document document(Table{});
  document.set("valve", line.valve).set("fit_mm", tidy(line.fit_mm)).set("lash_after_mm", tidy(line.lash_after_mm)).set("from", line.from);
  document.set("fitted_mm", tidy(line.fitted_mm)).set("lash_mm", tidy(line.lash_mm)).set("inside", line.is_inside);
  document.set("lash_least_mm", tidy(line.least_mm)).set("lash_most_mm", tidy(line.most_mm)).set("target_mm", tidy(line.target_mm));
  if (line.lash_mm && !line.is_inside)
    document.set("needs_shim_mm", Array{Document(tidy(line.shim_least_mm)), Document(tidy(line.shim_most_mm))});
  return document;
}

}  // namespace

Document to_document(const CutLine& line) {
  Document document(Table{});
  document.set("line", line.line).set("name", line.name).set("unit", line.unit);
  document.set("before", number(line.before))
      .set("after", number(line.after))
      .set("band", line.after ? Document(line.band) : Document(nullptr));
  document.set("least", number(line.least)).set("most", number(line.most)).set("limit_source", line.limit_source);
  document.set("verdict", line.verdict);
  if (line.at_deg_after) document.set("at_deg_before", number(line.at_deg_before)).set("at_deg_after", number(line.at_deg_after));
  if (line.with_cam_set_back) document.set("after_with_cam_set_back", *line.with_cam_set_back);
  document.set("gasket_to_restore_mm", number(line.gasket_to_restore_mm)).set("gasket_to_suffice_mm", number(line.gasket_to_suffice_mm));
  document.set("remedies", texts(line.remedies)).set("missing", texts(line.missing)).set("assumed", texts(line.assumed));
  if (!line.note.empty()) document.set("note", line.note);
  return document;
}

Document to_document(const AfterSkim& answer) {
  Document document(Table{});
  document.set("engine", answer.engine).set("sentence", answer.sentence).set("out_of_limit", answer.is_out_of_limit);
  document.set("head_mm", answer.head_mm).set("deck_mm", answer.deck_mm);
  Document gasket(Table{});
  gasket.set("before", number(answer.gasket_before_mm)).set("after", number(answer.gasket_after_mm));
  document.set("gasket_mm", std::move(gasket)).set("lowered_mm", answer.lowered_mm).set("cut_scatter_mm", answer.scatter_mm);
  document.set("compression_ratio", change(answer.find("compression_ratio"))).set("squish_mm", squish(answer.find("squish")));
  Document gaps(Table{});
  gaps.set("intake", change(answer.find("intake_valve_gap"), "at_deg")).set("exhaust", change(answer.find("exhaust_valve_gap"), "at_deg"));
  document.set("valve_gap_mm", std::move(gaps));
  Document timing(Table{});
  timing.set("cam", number(answer.cam_deg)).set("crank", number(answer.crank_deg));
  document.set("cam_timing_deg", std::move(timing));
  document.set("lash_change_mm", number(answer.lash_change_mm)).set("preload_change_mm", number(answer.preload_change_mm));
  if (!answer.grade.empty()) document.set("gasket_grade", answer.grade);
  Array lines;
  for (const CutLine& line : answer.lines) lines.push_back(to_document(line));
  document.set("lines", std::move(lines)).set("warnings", texts(answer.warnings));
  return document;
}

Document to_document(const ShimAnswer& answer) {
  Document document(Table{});
  Array valves;
  for (const ShimLine& line : answer.valves) valves.push_back(to_document(line));
  document.set("name", answer.name).set("sentence", answer.sentence).set("valves", std::move(valves)).set("buy", purchases(answer.buy));
  document.set("left_over", purchases(answer.left_over)).set("outside", answer.outside).set("moved", answer.moved);
  document.set("proven", answer.is_proven).set("notes", texts(answer.notes));
  return document;
}

}  // namespace headjoint::assess
