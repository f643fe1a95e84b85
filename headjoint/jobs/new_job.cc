#include "headjoint/jobs/new_job.h"

#include "headjoint/jobs/job_file.h"

namespace headjoint::jobs {

namespace {

Document bare_engine(const NewEngine& asked) {
  Document general;
  general.set("cylinders", asked.cylinders).set("layout", asked.layout).set("fuel", asked.fuel);
  const std::string made = std::to_string(asked.cylinders) + "-cylinder " + asked.layout + ", " + asked.fuel;
  Document engine;
  engine.set("format", 1).set("name", asked.name.empty() ? made : asked.name).set("engine", std::move(general));
  return engine;
}

}  // namespace

Result<Document> new_engine_document(const NewEngine& asked) {
  Document engine = bare_engine(asked);
  const auto read = joint::read_engine(engine, joint::nothing_beside());
  if (!read) return read.problems();
  return engine;
}

Result<Document> new_job_document(const NewJob& asked) {
  Document job;
  job.set("format", 1).set("title", asked.title).set("engine", bare_engine({asked.cylinders, asked.layout, asked.fuel, {}}));
  job.set("signs", Table{});
  const auto read = read_job(job, joint::nothing_beside());
  if (!read) return read.problems();
  return job;
}

}  // namespace headjoint::jobs
