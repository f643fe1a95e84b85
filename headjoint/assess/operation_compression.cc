#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/readings.h"
#include "headjoint/assess/results_document.h"
#include "headjoint/jobs/job_file.h"

namespace headjoint::assess {
namespace {

Result<Reply> run_compression(const Request& request) {
  const auto job = jobs::read_job(request.input, request.read_beside);
  if (!job) return job.problems();
  const jobs::Reading* last = jobs::last_reading(*job, jobs::ReadingTest::kCompression);
  if (last == nullptr) {
    return Problem{
        {request.source, 0, 0, {}}, "the job has no compression reading that counts", {}, "add [[reading]] with test = \"compression\""};
  }
  const auto read = judge_compression(*last, *job, ambient_of(job->history));
  if (!read) return read.problems();
  Reply reply;
  reply.document = answer();
  merge_members(reply.document, to_document(read->shown));
  reply.warnings = job.problems();
  reply.content = read->shown;
  return reply;
}

}  // namespace

Operation compression_operation() {
  return {
      .name = "compression",
      .summary = "cranking compression compared within the engine",
      .argument = "JOB",
      .input = InputKind::kDocument,
      .keys = "cylinders[]{cylinder, reading_bar, expected_bar, leak_area_mm2, low_mm2, high_mm2}, pairs[]",
      .run = run_compression,
  };
}

}  // namespace headjoint::assess
