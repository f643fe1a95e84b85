#include "headjoint/assess/gasket_taps.h"
#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/results_document.h"
#include "headjoint/jobs/job_file.h"
#include "headjoint/machining/shim_file.h"

namespace headjoint::assess {
namespace {

Result<Reply> run_new(const Request& request) {
  const std::string kind = request.input.is_text() ? request.input.text() : std::string();
  const std::string name = request.option("name", kind == "engine"  ? "unnamed engine"
                                                  : kind == "shims" ? "unnamed shim job"
                                                  : kind == "taps"  ? "unnamed engine"
                                                                    : "unnamed job");
  NewReply content;
  if (kind == "engine")
    content.text = joint::engine_template(name);
  else if (kind == "job")
    content.text = jobs::job_template(name);
  else if (kind == "shims")
    content.text = machining::shim_template(name);
  else if (kind == "taps")
    content.text = gasket_taps_template(name);
  else
    return Problem{{{}, 0, 0, "KIND"}, "nothing called \"" + kind + "\" can be started", "engine, job, shims or taps", {}};
  Reply reply;
  reply.document = answer();
  reply.document.set("text", content.text);
  reply.content = std::move(content);
  return reply;
}

}  // namespace

Operation new_operation() {
  return {
      .name = "new",
      .summary =
          "a commented start for a file: `new engine NAME`, `new job NAME`, `new shims NAME`, `new taps NAME` (taps on a photograph)",
      .argument = "KIND",
      .input = InputKind::kWord,
      .options = {{"name", "TEXT", "the same as the second word"}},
      .keys = "text",
      .run = run_new,
  };
}

}  // namespace headjoint::assess
