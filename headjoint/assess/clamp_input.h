#pragma once

#include "headjoint/assess/engine_input.h"
#include "headjoint/assess/option_reader.h"
#include "headjoint/assess/results_clamp.h"
#include "headjoint/clamp/clamp.h"

/// What the operations on the clamped joint have in common: the joint from an engine or a job, loads from options, results as plain values.
namespace headjoint::assess {

struct ClampInput {
  joint::Engine engine;
  clamp::ClampModel model;
  clamp::ClampLoads loads;
  clamp::ClampOptions options;
  std::vector<std::string> said;   ///< loads in words
  std::vector<std::string> notes;  ///< assumptions of the model and of the loads
  Problems warnings;
};

/// Options that clamp_input() reads; `faces_too` adds the files.
[[nodiscard]] std::vector<OptionSpec> clamp_options(bool with_loads);

/// Reads engine or job, --head, --face, --block, --gas, --preload, --heat, --grid. Faces of a job count unless files are given.
/// @returns the input, or every problem of engine, model and options at once
[[nodiscard]] Result<ClampInput> clamp_input(const Request& request, bool with_loads);

/// A result as plain values.
[[nodiscard]] ClampedState clamped_state(const clamp::ClampResult& result, const clamp::ClampModel& model);

/// Turns an InputError of the calculation into a problem at its option.
[[nodiscard]] Problem option_problem(const InputError& error);

/// "1, 2 and 3"
[[nodiscard]] std::string numbers_text(const std::vector<int>& numbers);

}  // namespace headjoint::assess
