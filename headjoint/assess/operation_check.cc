#include "headjoint/assess/engine_input.h"
#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/results_document.h"
#include "headjoint/base/text.h"
#include "headjoint/diagnosis/network.h"
#include "headjoint/faces/face_points.h"
#include "headjoint/faces/straightedge.h"
#include "headjoint/jobs/job_file.h"
#include "headjoint/machining/shim_file.h"

namespace headjoint::assess {
namespace {

/// A network has nodes, a shim file valves or a drawer; all else that is no engine is read as a job.
CheckReply check_document(const Document& document, const Request& request) {
  if (document.find("nodes") != nullptr) return {"network", diagnosis::read_network(document).problems()};
  if (machining::is_shim_file(document)) return {"shim file", machining::read_shims(document, request.read_beside).problems()};
  if (looks_like_engine(document)) return {"engine", joint::read_engine(document, request.read_beside).problems()};
  const auto job = jobs::read_job(document, request.read_beside);
  if (!job) return {"job", job.problems()};
  const auto assessment = assess(*job, job.problems());
  return {"job", assessment ? assessment->warnings : assessment.problems()};
}

CheckReply check_text(const std::string& text, const Request& request) {
  const bool is_json = request.source.ends_with(".json") || trimmed(text).starts_with('{');
  const bool is_points =
      request.source.ends_with(".csv") || (!is_json && text.find('=') == std::string::npos && !request.source.ends_with(".toml"));
  if (is_points && faces::looks_like_lines(text)) return {"lines", faces::read_measured_lines(text, request.source).problems()};
  if (is_points) return {"points", faces::read_face_points(text, request.source).problems()};
  const auto document = is_json ? read_json(text, request.source) : read_toml(text, request.source);
  if (!document) return {is_json ? "JSON" : "TOML", document.problems()};
  return check_document(*document, request);
}

Result<Reply> run_check(const Request& request) {
  if (!request.input.is_text())
    return Problem{
        {request.source, 0, 0, {}}, "there is nothing to check", "the text of an engine, job, shim, network, points or lines file", {}};
  CheckReply content = check_text(request.input.text(), request);
  if (has_errors(content.problems)) return content.problems;
  Reply reply;
  reply.document = answer();
  reply.document.set("kind", content.kind).set("problems", list_document(content.problems));
  reply.content = std::move(content);
  return reply;
}

}  // namespace

Operation check_operation() {
  return {
      .name = "check",
      .summary = "read a file strictly and list every problem with its place",
      .argument = "FILE",
      .input = InputKind::kText,
      .keys = "kind, problems[]",
      .run = run_check,
  };
}

}  // namespace headjoint::assess
