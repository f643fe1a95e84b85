#pragma once

#include <string>

#include "headjoint/jobs/job.h"

namespace headjoint::report {

/// Readings as they were taken: test, typed values, tool, circumstances; "" for none.
[[nodiscard]] std::string readings_as_taken(const jobs::Job& job);

/// Who and what the job is about, its history, signs and decisions.
[[nodiscard]] std::string job_part(const jobs::Job& job);

}  // namespace headjoint::report
