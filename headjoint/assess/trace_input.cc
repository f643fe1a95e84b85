#include "headjoint/assess/trace_input.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <memory>

#include "headjoint/assess/results_document_traces.h"
#include "headjoint/assess/results_traces.h"
#include "headjoint/base/text.h"

namespace headjoint::assess {

traces::ReadingWishes reading_wishes(const Request& request, OptionReader& options) {
  traces::ReadingWishes wishes;
  if (std::string rate = request.option("rate"); !rate.empty()) {
    const double factor = rate.ends_with("kHz") ? 1000 : 1;
    for (const char* unit : {"kHz", "Hz", "/s"})
      if (rate.ends_with(unit)) rate.erase(rate.size() - std::string_view(unit).size());
    const auto number = parse_number(trimmed(rate));
    if (number && *number > 0 && *number * factor < 1e8)
      wishes.rate_Hz = *number * factor;
    else
      options.refuse("--rate", "\"" + request.option("rate") + "\" is no rate", "more than 0, such as \"1000 Hz\"");
  }
  wishes.time_unit = request.option("time-unit");
  wishes.separator = request.option("separator");
  const std::vector<std::string> marks{"", ",", ";", "tab", "|", "space"};
  if (std::find(marks.begin(), marks.end(), wishes.separator) == marks.end())
    options.refuse("--separator", "\"" + wishes.separator + "\" is no separator", ", ; tab | space");
  wishes.progress = [&request](double share) { return request.progress(std::max(0.0, share)); };
  return wishes;
}

std::optional<int> whole_option(const Request& request, OptionReader& options, const std::string& name, int low, int high) {
  const std::string text = request.option(name);
  if (text.empty()) return std::nullopt;
  const auto number = parse_number(text);
  if (number && *number >= low && *number <= high && *number == std::floor(*number)) return static_cast<int>(*number);
  options.refuse("--" + name, "\"" + text + "\" is not possible", fmt::format("a whole number from {} to {}", low, high));
  return std::nullopt;
}

std::optional<Problem> lacks_numbers(const traces::Recording& recording) {
  const traces::Channel& channel = recording.channels.front();
  if (channel.missing * 2 < recording.samples) return std::nullopt;
  return Problem{{recording.source, 0, 0, {}},
                 fmt::format("\"{}\" holds no number in {} of {} samples", channel.name, channel.missing, recording.samples),
                 "numbers in half of them at least",
                 "--column names another one"};
}

TraceFile file_facts(const traces::Recording& recording) {
  TraceFile file;
  file.name = recording.source;
  file.format = recording.format;
  file.sha256 = recording.sha256;
  file.bytes = static_cast<double>(recording.bytes);
  file.samples = static_cast<double>(recording.samples);
  file.rate_Hz = recording.rate_Hz;
  file.duration_s = recording.duration_s;
  file.channel = recording.channels.front().name;
  file.unit = recording.channels.front().unit;
  file.is_truncated = recording.is_truncated;
  for (const traces::Gap& gap : recording.gaps) file.gaps.emplace_back(gap.start_s, gap.length_s);
  return file;
}

std::vector<std::string> reading_notes(const traces::Recording& recording) {
  std::vector<std::string> notes = recording.notes;
  if (!recording.gaps.empty()) {
    double longest = 0;
    for (const traces::Gap& gap : recording.gaps) longest = std::max(longest, gap.length_s);
    notes.push_back(fmt::format("{} gap{} in the file, the longest {:.3g} s, bridged by a straight line", recording.gaps.size(),
                                recording.gaps.size() == 1 ? "" : "s", longest));
  }
  for (const traces::Channel& channel : recording.channels)
    if (channel.missing > 0 && recording.gaps.empty())
      notes.push_back(fmt::format("{}: {} samples are no numbers and were bridged", channel.name, channel.missing));
  return notes;
}

RecordedCurve curve_of(traces::Recording&& recording) { return {std::move(recording.envelope), recording.rate_Hz, recording.duration_s}; }

TracePlot plot_of(const RecordedCurve& curve, double from_s, double to_s, int columns) {
  TracePlot plot;
  plot.from_s = std::clamp(from_s, 0.0, curve.duration_s);
  plot.to_s = std::clamp(to_s, 0.0, curve.duration_s);
  if (!(plot.to_s > plot.from_s)) return plot;
  const auto index = [&](double time_s) { return static_cast<std::uint64_t>(std::llround(time_s * curve.rate_Hz)); };
  for (const traces::Window& window : curve.envelope.windows(index(plot.from_s), index(plot.to_s), static_cast<std::size_t>(columns))) {
    plot.least.push_back(static_cast<double>(window.least));
    plot.most.push_back(static_cast<double>(window.most));
  }
  return plot;
}

std::function<Document(double, double, int)> window_of(RecordedCurve curve) {
  return [kept = std::make_shared<const RecordedCurve>(std::move(curve))](double from_s, double to_s, int columns) {
    return to_document(plot_of(*kept, from_s, to_s, std::clamp(columns, 1, kMostColumns)));
  };
}

}  // namespace headjoint::assess
