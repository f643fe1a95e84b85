#pragma once

#include <functional>
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

/// What to say when the first channel holds hardly any numbers; empty when it does.
[[nodiscard]] std::optional<Problem> lacks_numbers(const traces::Recording& recording);

/// The facts of the file to be shown, of its first channel.
[[nodiscard]] TraceFile file_facts(const traces::Recording& recording);

/// What was assumed or mended while reading, and the gaps, in plain words.
[[nodiscard]] std::vector<std::string> reading_notes(const traces::Recording& recording);

/// What is drawn of a recording, kept when the rest of it is gone.
struct RecordedCurve {
  traces::Envelope envelope{1024};
  double rate_Hz = 0;
  double duration_s = 0;
};

/// Takes the drawing out of the recording.
[[nodiscard]] RecordedCurve curve_of(traces::Recording&& recording);

/// Least and greatest of equal parts of the time between two times, cut to what was recorded; every sample counts.
/// @param columns  1 or more
[[nodiscard]] TracePlot plot_of(const RecordedCurve& curve, double from_s, double to_s, int columns);

/// The same for as long as somebody may ask: what Reply::window holds.
[[nodiscard]] std::function<Document(double from_s, double to_s, int columns)> window_of(RecordedCurve curve);

/// Columns of a drawing when none were asked for.
inline constexpr int kUsualColumns = 600;
inline constexpr int kMostColumns = 10000;

namespace trace_option {
inline constexpr OptionSpec kRate = {"rate", "NUMBER", "samples a second of a table without a column of times: \"1000 Hz\""};
inline constexpr OptionSpec kTimeUnit = {"time-unit", "UNIT", "of the column of times, when its header does not say: s, ms, us, min"};
inline constexpr OptionSpec kSeparator = {"separator", "MARK", "between columns, when it is not found out: , ; tab | space"};
}  // namespace trace_option

}  // namespace headjoint::assess
