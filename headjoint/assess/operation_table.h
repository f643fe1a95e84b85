#pragma once

#include "headjoint/assess/operation.h"

/// The functions behind the operation table; one file each.
namespace headjoint::assess {

Result<Reply> run_assess(const Request& request);
Result<Reply> run_finding(const Request& request);
Result<Reply> run_next_check(const Request& request);
Result<Reply> run_questions(const Request& request);
Result<Reply> run_network(const Request& request);
Result<Reply> run_leak_down(const Request& request);
Result<Reply> run_compression(const Request& request);
Result<Reply> run_flatness(const Request& request);
Result<Reply> run_check(const Request& request);
Result<Reply> run_new(const Request& request);

}  // namespace headjoint::assess
