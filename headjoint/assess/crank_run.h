#pragma once

#include "headjoint/assess/cranking_input.h"
#include "headjoint/assess/operation.h"
#include "headjoint/assess/results_cranking.h"

namespace headjoint::assess {

/// Cranks an engine with the leaks and circumstances that the options of `compression` name.
/// @param engine  of which `crankable` was made
/// @returns every option that cannot be used
[[nodiscard]] Result<CrankedEngine> crank(const joint::Engine& engine, const CrankableEngine& crankable, const Request& request);

/// Second tests of single cylinders: --dry, --wet and --oil, or --two-speeds.
/// @returns every option that cannot be used
[[nodiscard]] Result<std::vector<CompressionRepeat>> judge_repeats(const joint::Engine& engine, const Request& request);

/// Options that ask for a forward run.
[[nodiscard]] const std::vector<OptionSpec>& cranking_options();
/// Options that give second tests.
[[nodiscard]] const std::vector<OptionSpec>& repeat_options();

}  // namespace headjoint::assess
