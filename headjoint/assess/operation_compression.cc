#include <algorithm>

#include "headjoint/assess/crank_run.h"
#include "headjoint/assess/engine_input.h"
#include "headjoint/assess/internal/reading_words.h"
#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/readings.h"
#include "headjoint/assess/results_document.h"
#include "headjoint/assess/results_document_cranking.h"

namespace headjoint::assess {
namespace {

bool asks_for_any(const Request& request, const std::vector<OptionSpec>& options) {
  return std::any_of(options.begin(), options.end(),
                     [&](const OptionSpec& option) { return request.options.contains(std::string(option.name)); });
}

/// The readings of a job compared and turned into areas.
Result<Reply> compare_readings(const Request& request, const EngineInput& input) {
  const jobs::Reading* last = jobs::last_reading(*input.job, jobs::ReadingTest::kCompression);
  if (last == nullptr)
    return Problem{{request.source, 0, 0, {}},
                   "the job has no compression reading that counts",
                   {},
                   "add [[reading]] with test = \"compression\", or give --leak-area to see what a leak would make"};
  auto read = judge_compression(*last, *input.job, ambient_of(input.job->history));
  if (!read) return read.problems();
  Compression shown = std::move(read).value().shown;
  shown.cautions = cautions_of_check("compression");
  Reply reply;
  reply.document = answer();
  merge_members(reply.document, to_document(shown));
  reply.warnings = input.warnings;
  reply.content = std::move(shown);
  return reply;
}

/// The engine cranked with given leaks; second tests beside it, or alone when nothing else is asked.
Result<Reply> crank_forward(const Request& request, const EngineInput& input) {
  const auto repeats = judge_repeats(input.engine, request);
  const bool are_repeats_all = asks_for_any(request, repeat_options()) && !asks_for_any(request, cranking_options());
  const auto cranked = [&]() -> Result<CrankedEngine> {
    CrankedEngine no_run;
    no_run.engine = input.engine.name;
    if (are_repeats_all) return no_run;
    const auto crankable = crankable_engine(input.engine);
    return crankable ? crank(input.engine, *crankable, request) : crankable.problems();
  }();
  if (!cranked || !repeats) {
    Problems problems = cranked.problems();
    problems.insert(problems.end(), repeats.problems().begin(), repeats.problems().end());
    return problems;
  }
  CrankedEngine shown = *cranked;
  shown.repeats = *repeats;
  shown.cautions = cautions_of_check("compression");
  Reply reply;
  reply.document = answer();
  merge_members(reply.document, to_document(shown));
  reply.warnings = input.warnings;
  reply.content = std::move(shown);
  return reply;
}

Result<Reply> run_compression(const Request& request) {
  const auto input = engine_input(request);
  if (!input) return input.problems();
  const bool is_forward = !input->job || asks_for_any(request, cranking_options()) || asks_for_any(request, repeat_options());
  return is_forward ? crank_forward(request, *input) : compare_readings(request, *input);
}

}  // namespace

Operation compression_operation() {
  std::vector<OptionSpec> options = cranking_options();
  options.insert(options.end(), repeat_options().begin(), repeat_options().end());
  return {
      .name = "compression",
      .summary = "cranking compression: a job's readings as leak areas, or what given leaks would make of an engine's",
      .argument = "JOB|ENGINE",
      .input = InputKind::kDocument,
      .options = options,
      .keys =
          "job: cylinders[]{cylinder, reading_bar, expected_bar, leak_area_mm2, low_mm2, high_mm2}, pairs[]{bridge, leak_area_mm2, "
          "low_mm2, high_mm2}; "
          "engine: cylinders[]{cylinder, peak_bar_abs, peak_bar, peak_angle_deg, mass_left}, bridges[], repeats[]{cylinder, test, answer}",
      .run = run_compression,
  };
}

}  // namespace headjoint::assess
