#include "headjoint/assess/results_document.h"

#include <charconv>

#include "headjoint/assess/knowledge.h"
#include "headjoint/assess/results_document_faces.h"
#include "headjoint/assess/results_document_machining.h"
#include "headjoint/assess/results_document_options.h"

namespace headjoint::assess {
namespace {

Document table(std::initializer_list<std::pair<const char*, Document>> members) {
  Table out;
  for (const auto& [key, value] : members) out.emplace_back(key, value);
  return out;
}

Document to_document(const Chance& chance) { return table({{"value", chance.value}, {"low", chance.low}, {"high", chance.high}}); }

template <class T>
Document list_of(const std::vector<T>& items) {
  return Array(items.begin(), items.end());
}

Document suspects(const std::vector<Suspect>& items, const char* key) {
  Array list;
  for (const Suspect& item : items) {
    list.push_back(table({{key, item.name},
                          {"where", item.where},
                          {"text", item.text},
                          {"probability", item.chance.value},
                          {"low", item.chance.low},
                          {"high", item.chance.high},
                          {"before", item.before}}));
  }
  return list;
}

Document weights(const std::vector<Weight>& items) {
  Array list;
  for (const Weight& item : items) {
    list.push_back(table({{"sign", item.sign},
                          {"where", item.where},
                          {"text", item.text},
                          {"about", item.about},
                          {"weight", item.weight},
                          {"words", item.words}}));
  }
  return list;
}

Document conflicts(const std::vector<Conflict>& items) {
  Array list;
  for (const Conflict& item : items)
    list.push_back(table({{"sign", item.sign}, {"where", item.where}, {"text", item.text}, {"bits", item.bits}}));
  return list;
}

Document repairs(const std::vector<RepairOption>& items) {
  Array list;
  for (const RepairOption& item : items) {
    list.push_back(table({{"repair", item.option},
                          {"text", item.text},
                          {"chance", item.chance},
                          {"put_right_minutes", item.put_right},
                          {"left_minutes", item.left},
                          {"advised", item.is_advised},
                          {"advice", item.advice}}));
  }
  return list;
}

Array flips(const std::vector<Flip>& items) {
  Array list;
  for (const Flip& item : items)
    list.push_back(table({{"sign", item.sign}, {"where", item.where}, {"text", item.text}, {"joint_failed", item.joint_failed}}));
  return list;
}

Array line(const std::vector<VerdictStep>& items) {
  Array list;
  for (const VerdictStep& item : items)
    list.push_back(table({{"entry", item.entry},
                          {"joint_failed", item.joint_failed},
                          {"leading", item.leading},
                          {"leading_probability", item.leading_chance}}));
  return list;
}

Array outcomes(const std::vector<CheckOutcome>& items) {
  Array list;
  for (const CheckOutcome& item : items)
    list.push_back(
        table({{"state", item.state}, {"probability", item.probability}, {"joint_failed", item.joint_failed}, {"then", item.then}}));
  return list;
}

Document job_head(const jobs::Job& job) {
  return table({{"number", job.number}, {"title", job.title}, {"opened", job.opened}, {"owner", job.owner}, {"mechanic", job.mechanic}});
}

/// A name that is a whole number is given as one.
Document point_name(const std::string& name) {
  std::int64_t number = 0;
  const auto [end, error] = std::from_chars(name.data(), name.data() + name.size(), number);
  if (error == std::errc() && end == name.data() + name.size()) return number;
  return name;
}

/// Names of the points at these places of the face, which count from 1.
Array point_names(const Flatness& flatness, const std::vector<int>& places) {
  Array names;
  for (const int place : places) names.push_back(point_name(flatness.face.at(static_cast<std::size_t>(place) - 1).name));
  return names;
}

}  // namespace

Document answer() { return table({{"schema_version", 1}}); }

void merge_members(Document& to, const Document& from) {
  for (const auto& [key, value] : from.table())
    if (to.find(key) == nullptr) to.set(key, value);
}

Document to_document(const Problem& problem) {
  const Place& place = problem.place;
  return table({{"place", table({{"source", place.source}, {"line", place.line}, {"column", place.column}, {"pointer", place.pointer}})},
                {"severity", problem.severity == Problem::Severity::kError ? "error" : "warning"},
                {"what", problem.what},
                {"allowed", problem.allowed},
                {"mend", problem.mend}});
}

Document to_document(const Caution& caution) {
  return table({{"id", caution.id},
                {"level", caution.level},
                {"hazard", caution.hazard},
                {"consequence", caution.consequence},
                {"avoid", caution.avoid},
                {"source", caution.source}});
}

Document to_document(const Finding& finding) {
  return table({{"status", finding.status},
                {"sentence", finding.sentence},
                {"log_evidence", finding.log_evidence},
                {"joint_failed", to_document(finding.joint_failed)},
                {"joint_failed_before", finding.joint_failed_before},
                {"paths", suspects(finding.paths, "path")},
                {"kinds", suspects(finding.kinds, "kind")},
                {"causes", suspects(finding.causes, "cause")},
                {"rivals", suspects(finding.rivals, "cause")},
                {"for_and_against", weights(finding.for_and_against)},
                {"conflicts", conflicts(finding.conflicts)},
                {"not_counted", list_of(finding.not_counted)},
                {"explanation", suspects(finding.explanation, "cause")},
                {"explanation_factor", finding.explanation_factor},
                {"flips", flips(finding.flips)},
                {"line", line(finding.line)},
                {"basis", kBasis}});
}

Document to_document(const NextCheck& check) {
  return table({{"check", check.check},
                {"where", check.where},
                {"text", check.text},
                {"question", check.question},
                {"net_value", check.net_value},
                {"value", check.value},
                {"cost", check.cost},
                {"minutes", check.minutes},
                {"why", check.why},
                {"cannot_see", check.cannot_see},
                {"outcomes", outcomes(check.outcomes)},
                {"behind_opening", check.behind_opening},
                {"cautions", list_document(check.cautions)}});
}

Document to_document(const CheckPack& pack) {
  return table(
      {{"checks", list_of(pack.checks)}, {"text", pack.text}, {"net_value", pack.net_value}, {"value", pack.value}, {"cost", pack.cost}});
}

namespace {

/// A figure of a cylinder, or null where nothing was read: blank is not zero.
Document figure_of(const std::string& status, double value) {
  return status == "not taken" || status == "not accessible" ? Document() : Document(value);
}

}  // namespace

Document to_document(const LeakDown& leak_down) {
  Array cylinders;
  for (const LeakDownCylinder& c : leak_down.cylinders) {
    cylinders.push_back(table({{"cylinder", c.cylinder},
                               {"status", c.status},
                               {"reading_bar", figure_of(c.status, c.reading_bar)},
                               {"ratio", figure_of(c.status, c.ratio)},
                               {"loss", figure_of(c.status, c.loss)},
                               {"leak_area_mm2", figure_of(c.status, c.leak_area_mm2)},
                               {"low_mm2", figure_of(c.status, c.low_mm2)},
                               {"high_mm2", figure_of(c.status, c.high_mm2)},
                               {"flow_L_per_min", figure_of(c.status, c.flow_L_per_min)},
                               {"suspect", c.is_suspect}}));
  }
  Array outlets;
  for (const LeakDownOutlet& outlet : leak_down.outlets)
    outlets.push_back(table({{"cylinder", outlet.cylinder},
                             {"outlet", outlet.outlet},
                             {"how", outlet.how},
                             {"share", outlet.share},
                             {"leak_area_mm2", outlet.leak_area_mm2},
                             {"low_mm2", outlet.low_mm2},
                             {"high_mm2", outlet.high_mm2},
                             {"never_sound", outlet.is_never_sound}}));
  return table({{"supply_bar", leak_down.supply_bar},
                {"orifice_mm", leak_down.orifice_mm},
                {"orifice_area_mm2", leak_down.orifice_area_mm2},
                {"smallest_leak_mm2", leak_down.smallest_leak_mm2},
                {"cylinders", std::move(cylinders)},
                {"outlets", std::move(outlets)},
                {"piston_force_kN", leak_down.piston_force_kN > 0 ? Document(leak_down.piston_force_kN) : Document()},
                {"crank_torque_Nm", leak_down.crank_torque_Nm > 0 ? Document(leak_down.crank_torque_Nm) : Document()},
                {"notes", list_of(leak_down.notes)},
                {"cautions", list_document(leak_down.cautions)}});
}

Document to_document(const Compression& compression) {
  Array cylinders;
  for (const CompressionCylinder& c : compression.cylinders) {
    cylinders.push_back(table({{"cylinder", c.cylinder},
                               {"status", c.status},
                               {"reading_bar", figure_of(c.status, c.reading_bar)},
                               {"expected_bar", figure_of(c.status, c.expected_bar)},
                               {"ratio", figure_of(c.status, c.ratio)},
                               {"leak_area_mm2", figure_of(c.status, c.leak_area_mm2)},
                               {"low_mm2", figure_of(c.status, c.low_mm2)},
                               {"high_mm2", figure_of(c.status, c.high_mm2)}}));
  }
  Array pairs;
  for (const CompressionPair& pair : compression.pairs)
    pairs.push_back(table({{"bridge", pair.bridge},
                           {"text", pair.text},
                           {"equal", pair.is_equal},
                           {"leak_area_mm2", pair.leak_area_mm2},
                           {"low_mm2", pair.low_mm2},
                           {"high_mm2", pair.high_mm2},
                           {"difference", pair.difference},
                           {"expected_difference", pair.expected_difference}}));
  return table({{"lowest_over_highest", compression.lowest_over_highest},
                {"smallest_leak_mm2", compression.smallest_leak_mm2},
                {"cylinders", std::move(cylinders)},
                {"pairs", std::move(pairs)},
                {"base_mm2", compression.base_mm2},
                {"base_low_mm2", compression.base_low_mm2},
                {"base_high_mm2", compression.base_high_mm2},
                {"level", compression.level},
                {"usual_low_bar", compression.usual_low_bar},
                {"usual_high_bar", compression.usual_high_bar},
                {"notes", list_of(compression.notes)},
                {"cautions", list_document(compression.cautions)}});
}

Document to_document(const Flatness& flatness) {
  Array face;
  for (const FacePoint& point : flatness.face) {
    face.push_back(table({{"point", point_name(point.name)},
                          {"x_mm", point.x_mm},
                          {"y_mm", point.y_mm},
                          {"z_mm", point.z_mm},
                          {"deviation_mm", point.deviation_mm}}));
  }
  const Array upper = point_names(flatness, flatness.upper_points);
  const Array lower = point_names(flatness, flatness.lower_points);
  Array contact_points = upper;
  contact_points.insert(contact_points.end(), lower.begin(), lower.end());
  Document document = table({{"part", flatness.part},
                             {"head", flatness.head},
                             {"source", flatness.source},
                             {"points", flatness.points},
                             {"not_measured", flatness.not_measured}});
  document.set("least_squares", table({{"FLTt_mm", flatness.least_squares_FLTt_mm},
                                       {"FLTp_mm", flatness.FLTp_mm},
                                       {"FLTv_mm", flatness.FLTv_mm},
                                       {"FLTq_mm", flatness.FLTq_mm}}));
  document.set("minimum_zone", table({{"FLTt_mm", flatness.minimum_zone_FLTt_mm},
                                      {"contact", flatness.contact},
                                      {"contact_points", std::move(contact_points)},
                                      {"upper_points", upper},
                                      {"lower_points", lower},
                                      {"certified", flatness.is_certified},
                                      {"status", flatness.status}}));
  if (flatness.limit_mm > 0) document.set("limit_mm", flatness.limit_mm).set("limit_source", flatness.limit_source);
  if (flatness.uncertainty_mm > 0) document.set("uncertainty_mm", flatness.uncertainty_mm);
  if (!flatness.decision.empty()) document.set("decision", flatness.decision).set("decision_text", flatness.decision_text);
  document.set("notes", list_of(flatness.notes)).set("face", std::move(face));
  merge_members(document, details_of(flatness));
  return document;
}

Document to_document(const Question& question) {
  return table({{"name", question.name},
                {"text", question.text},
                {"question", question.question},
                {"kind", question.kind},
                {"scope", question.scope},
                {"places", list_of(question.places)},
                {"states", list_of(question.states)},
                {"minutes", question.minutes},
                {"needs", question.needs},
                {"cannot_see", question.cannot_see},
                {"cautions", list_document(question.cautions)}});
}

Document to_document(const NetworkReply& reply) {
  Table posteriors;
  for (const NetworkReply::Node& node : reply.posteriors) {
    Table states;
    for (const auto& [state, probability] : node.states) states.emplace_back(state, probability);
    posteriors.emplace_back(node.name, std::move(states));
  }
  Document document = table({{"status", reply.status}, {"log_evidence", reply.log_evidence}, {"posteriors", std::move(posteriors)}});
  if (!reply.contradicting.empty()) document.set("contradicting", list_of(reply.contradicting));
  return document;
}

Document to_document(const Assessment& assessment) {
  const joint::Engine& engine = assessment.job.engine;
  Document document = table({{"program", "headjoint"},
                             {"version", assessment.version},
                             {"job", job_head(assessment.job)},
                             {"engine", table({{"name", engine.name}, {"cylinders", engine.general.cylinders}})},
                             {"finding", to_document(assessment.finding)},
                             {"next_checks", list_document(assessment.next_checks)},
                             {"packs", list_document(assessment.packs)},
                             {"stop", assessment.stop},
                             {"options", options_list(assessment.choice)},
                             {"choice", choice_document(assessment.choice)},
                             {"repairs", repairs(assessment.options)}});
  if (assessment.leak_down) document.set("leak_down", to_document(*assessment.leak_down));
  if (assessment.compression) document.set("compression", to_document(*assessment.compression));
  document.set("faces", list_document(assessment.faces));
  if (assessment.after_skim) document.set("after_skim", to_document(*assessment.after_skim));
  Array papers{"record.html", "owner.html"};
  if (has_machine_shop_order(assessment)) papers.emplace_back("machine-shop.html");
  if (has_tightening_sheet(assessment)) papers.emplace_back("tightening.html");
  for (const char* name : {"measuring.html", "plan.html"}) papers.emplace_back(name);
  if (assessment.job.repair) papers.emplace_back("warranty.html");
  document.set("papers", std::move(papers));
  document.set("basis", kBasis).set("defer", defer_line());
  document.set("warnings", list_document(assessment.warnings));
  return document;
}

}  // namespace headjoint::assess
