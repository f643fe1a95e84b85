#pragma once

#include <string>

#include "headjoint/assess/results.h"
#include "headjoint/report/paper.h"

namespace headjoint::report {

/// The full record of a job as one HTML page that needs nothing else: to be printed, kept and handed on.
///
/// Finding and plan, chances with ranges, next checks (each after its cautions), for and against, readings as taken and what they
/// mean, faces, repairs, signs, history, decisions, the engine's figures with their origin, lines to write on.
[[nodiscard]] std::string record_html(const assess::Assessment& all, const PaperStamp& stamp);

}  // namespace headjoint::report
