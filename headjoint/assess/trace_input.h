#pragma once

#include <optional>

#include "headjoint/assess/operation.h"
#include "headjoint/assess/option_reader.h"
#include "headjoint/assess/results_traces.h"
#include "headjoint/traces/recording.h"

/// What the operations on traces and logs share: how the file is read, from options.
namespace headjoint::assess {

/// Reads --rate, --time-unit, --separator; the channels are the caller's.
[[nodiscard]] traces::ReadingWishes reading_wishes(const Request& request, OptionReader& options);

/// A whole number between two limits, or empty.
[[nodiscard]] std::optional<int> whole_option(const Request& request, OptionReader& options, const std::string& name, int low, int high);

/// The facts of the file to be shown, of its first channel.
[[nodiscard]] TraceFile file_facts(const traces::Recording& recording);

/// What was assumed or mended while reading, and the gaps, in plain words.
[[nodiscard]] std::vector<std::string> reading_notes(const traces::Recording& recording);

namespace trace_option {
inline constexpr OptionSpec kRate = {"rate", "NUMBER", "samples a second of a table without a column of times: \"1000 Hz\""};
inline constexpr OptionSpec kTimeUnit = {"time-unit", "UNIT", "of the column of times, when its header does not say: s, ms, us, min"};
inline constexpr OptionSpec kSeparator = {"separator", "MARK", "between columns, when it is not found out: , ; tab | space"};
}  // namespace trace_option

}  // namespace headjoint::assess
