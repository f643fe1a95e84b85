#pragma once

#include <string>
#include <vector>

#include "headjoint/assess/results_record.h"
#include "headjoint/jobs/job.h"

namespace headjoint::assess {

/// A job of the record, read.
struct ReadJob {
  std::string source;
  jobs::Job job;
};

/// Verdicts before the strip-down beside what was found, scores with their ranges, and the strengths that can be learnt.
///
/// A verdict uses the signs and readings from before the engine was opened, and shipped strengths. Only verified closures are scored.
/// What checks saved: loss of deciding by the owner's story alone, less the loss of deciding by all evidence, less the checks; the loss of
/// a decision is putting right what was decided and what is lost by leaving in what was there.
///
/// @param equivalent_cases  see diagnosis::learn
/// @pre every closure names causes of its engine's network (closure_problems is empty)
[[nodiscard]] ShopRecord shop_record(const std::vector<ReadJob>& jobs, double equivalent_cases = diagnosis::kEquivalentCases);

}  // namespace headjoint::assess
