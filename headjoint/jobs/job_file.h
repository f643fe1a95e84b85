#pragma once

#include <span>
#include <string>
#include <string_view>

#include "headjoint/base/document.h"
#include "headjoint/jobs/job.h"
#include "headjoint/joint/engine_file.h"

namespace headjoint::jobs {

/// Decodes a job (TOML file or JSON body, same keys), its engine and its measured faces.
///
/// Checked: kinds, units, ranges, places against the engine's cylinders, bridges and heads, number of values, a gauge read in
/// the wrong unit. The words for the states of a finding are checked for shape only: which finding knows which state is the
/// network's business, and the points of a face are the judge's. Only `format` and `engine` must be there.
///
/// @returns the job (perhaps with warnings), or every problem with its place
[[nodiscard]] Result<Job> read_job(const Document& document, const joint::ReadBeside& read_beside);

/// Text to job: TOML, or JSON when the text begins with a brace.
[[nodiscard]] Result<Job> read_job_text(std::string_view text, const std::string& source, const joint::ReadBeside& read_beside);

/// The document that reads back to the same job. The engine stays a path when it was one.
[[nodiscard]] Document write_job(const Job& job);

/// The same job document with its engine, coordinate lists and face tables carried inside, so that it can stand alone in a store.
/// Everything else stays as typed, also what does not decode.
/// @returns problems when a file beside it cannot be read
[[nodiscard]] Result<Document> inline_engine(Document job, const joint::ReadBeside& read_beside);

/// A commented job file with its engine inside, valid as it stands. `name` becomes the title.
[[nodiscard]] std::string job_template(const std::string& name);

/// Words that [history] `facts` may take.
[[nodiscard]] std::span<const std::string> history_facts();

/// "compression", "leak_down", "pressure_hold" ...
[[nodiscard]] std::string_view name_of(ReadingTest test);

}  // namespace headjoint::jobs
