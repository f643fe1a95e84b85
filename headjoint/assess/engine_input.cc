#include "headjoint/assess/engine_input.h"

#include "headjoint/base/text.h"
#include "headjoint/jobs/job_file.h"

namespace headjoint::assess {
namespace {

Result<EngineInput> read(const Document& document, const joint::ReadBeside& read_beside) {
  if (looks_like_engine(document)) {
    auto engine = joint::read_engine(document, read_beside);
    if (!engine) return engine.problems();
    EngineInput input;
    input.engine = *engine;
    input.warnings = engine.problems();
    return input;
  }
  auto job = jobs::read_job(document, read_beside);
  if (!job) return job.problems();
  EngineInput input;
  input.engine = job->engine;
  input.warnings = job.problems();
  input.job = std::move(job).value();
  return input;
}

}  // namespace

bool looks_like_engine(const Document& document) {
  return document.find("name") != nullptr && document.find("signs") == nullptr && document.find("reading") == nullptr;
}

Result<EngineInput> engine_input(const Request& request) { return read(request.input, request.read_beside); }

Result<EngineInput> engine_input(const Request& request, const std::string& name) {
  const auto file = request.files.find(name);
  if (file == request.files.end()) return Problem{{{}, 0, 0, "--" + name}, "the engine is missing", "an engine file or a job file", {}};
  const OptionFile& given = file->second;
  const bool is_json = given.source.ends_with(".json") || trimmed(given.text).starts_with('{');
  const auto document = is_json ? read_json(given.text, given.source) : read_toml(given.text, given.source);
  if (!document) return document.problems();
  return read(*document, given.read_beside);
}

}  // namespace headjoint::assess
