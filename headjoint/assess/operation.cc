#include "headjoint/assess/operation.h"

#include <algorithm>
#include <iterator>
#include <vector>

#include "headjoint/assess/operation_table.h"

namespace headjoint::assess {
namespace {

const std::vector<Operation>& table() {
  static const std::vector<Operation> operations = {
      {"assess",
       "everything a job's data allow: finding, next checks, readings, faces",
       "JOB",
       InputKind::kDocument,
       {},
       "finding, next_checks[], options[], leak_down, compression, faces[], papers[]",
       run_assess},
      {"finding",
       "which seal has probably failed, where and how sure, beside every rival cause",
       "JOB",
       InputKind::kDocument,
       {},
       "log_evidence, joint_failed, paths[]{path, where, probability}, causes[], rivals[]{cause, probability}, for_and_against[]{sign, "
       "weight}, conflicts[]",
       run_finding},
      {"next-check",
       "what to check next, ranked by what it is expected to save",
       "JOB",
       InputKind::kDocument,
       {},
       "next_checks[]{check, where, net_value, cost, minutes, why, cautions[]}",
       run_next_check},
      {"questions",
       "what can be looked at, asked and tried on this engine, with cautions",
       "JOB",
       InputKind::kDocument,
       {},
       "questions[]{name, question, kind, scope, places[], states[], cautions[]}",
       run_questions},
      {"compression",
       "cranking compression compared within the engine",
       "JOB",
       InputKind::kDocument,
       {},
       "cylinders[]{cylinder, reading_bar, expected_bar, leak_area_mm2, low_mm2, high_mm2}, pairs[]",
       run_compression},
      {"leak-down",
       "leak-down readings as leak areas with their bands",
       "JOB",
       InputKind::kDocumentOrOptions,
       {{"supply", "PRESSURE", "regulator pressure, gauge: \"80 psi\""},
        {"reading", "LIST", "cylinder side, gauge, one per cylinder: 60,75,74 in the supply's unit, or \"60 psi\" ...; - = not taken"},
        {"orifice", "LENGTH", "bore of the tester's orifice: \"0.040 in\""},
        {"discharge", "NUMBER", "discharge coefficient of that orifice, 0.5 to 1; 0.8 when not given"},
        {"area", "AREA", "calibrated effective area of the orifice instead of its bore: \"0.65 mm2\""},
        {"resolution", "PRESSURE", "smallest step read off the gauge; 1 psi when not given"},
        {"ambient", "PRESSURE", "air pressure of the day, absolute: \"1013 mbar\""}},
       "cylinders[]{cylinder, ratio, leak_area_mm2, low_mm2, high_mm2, flow_L_per_min}",
       run_leak_down},
      {"flatness",
       "flatness of measured points by least squares and by the exact minimum zone",
       "FILE",
       InputKind::kText,
       {{"limit", "LENGTH", "largest flatness deviation allowed: \"0.05 mm\""},
        {"uncertainty", "LENGTH", "expanded uncertainty of the measurement (k = 2): \"0.01 mm\""}},
       "points, least_squares{FLTt_mm, FLTp_mm, FLTv_mm, FLTq_mm}, minimum_zone{FLTt_mm, contact, contact_points}",
       run_flatness},
      {"network",
       "exact inference on any discrete network",
       "NETWORK",
       InputKind::kDocument,
       {{"evidence", "LIST", "what is known: A=yes,D=no"}},
       "log_evidence, posteriors{node{state: p}}",
       run_network},
      {"check", "read a file strictly and list every problem with its place", "FILE", InputKind::kText, {}, "kind, problems[]", run_check},
      {"new",
       "a commented start for an engine or job file: `new engine NAME`, `new job NAME`",
       "KIND",
       InputKind::kWord,
       {{"name", "TEXT", "the same as the second word"}},
       "text",
       run_new},
  };
  return operations;
}

}  // namespace

std::string Request::option(const std::string& name, const std::string& otherwise) const {
  const auto [first, last] = options.equal_range(name);
  if (first == last) return otherwise;
  const bool has_commas = std::any_of(first, last, [](const auto& option) { return option.second.find(',') != std::string::npos; });
  std::string values = first->second;
  for (auto option = std::next(first); option != last; ++option) values += (has_commas ? ";" : ",") + option->second;
  return values;
}

std::string_view program_version() { return HEADJOINT_VERSION; }

std::span<const Operation> operations() { return table(); }

const Operation* find_operation(std::string_view name) {
  const auto found = std::find_if(table().begin(), table().end(), [&](const Operation& operation) { return operation.name == name; });
  return found == table().end() ? nullptr : &*found;
}

}  // namespace headjoint::assess
