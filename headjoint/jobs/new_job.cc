#include "headjoint/jobs/new_job.h"

#include "headjoint/jobs/job_file.h"

namespace headjoint::jobs {

Result<Document> new_job_document(const NewJob& asked) {
  Document general;
  general.set("cylinders", asked.cylinders).set("layout", asked.layout).set("fuel", asked.fuel);
  Document engine;
  engine.set("format", 1)
      .set("name", std::to_string(asked.cylinders) + "-cylinder " + asked.layout + ", " + asked.fuel)
      .set("engine", std::move(general));
  Document job;
  job.set("format", 1).set("title", asked.title).set("engine", std::move(engine)).set("signs", Table{});
  const auto read = read_job(job, joint::nothing_beside());
  if (!read) return read.problems();
  return job;
}

}  // namespace headjoint::jobs
