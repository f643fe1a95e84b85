#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "headjoint/base/byte_source.h"
#include "headjoint/base/result.h"
#include "headjoint/traces/envelope.h"
#include "headjoint/traces/signal.h"

/// A trace read from a file that is never held whole.
namespace headjoint::traces {

/// Which column of a table or channel of a sound file to take, and what its numbers mean.
struct ChannelWish {
  /// Name of the column, or its number from 1; empty takes the first one that is not the time and is not asked for otherwise.
  std::string column = {};
  /// The unit wanted: "A", "V", "rpm", "bar". A column in another unit of the same kind is converted.
  std::string unit = {};
  /// Unit of the column's numbers when its header does not say: "mV". For a sound file, of `full_scale`.
  std::string given_unit = {};
  /// How a probe turns what was measured into volts: "10 mV/A", "100 A/V", "1 V/bar"; empty = none was used.
  std::string scale = {};
  /// What a sound file's greatest sample stands for: "5 V"; empty = not known, values stay a share of full scale.
  std::string full_scale = {};
  /// Kept as the greatest instead of the mean of the samples joined into one, so that short pulses are not lost.
  bool is_pulse = false;
  /// Words of which one stands in the column's name; such a column goes before others in the same unit.
  std::vector<std::string> words = {};
  /// The file may be without it: then only a column of that unit or with one of the words is taken.
  bool is_optional = false;
};

/// How a file is to be read.
struct ReadingWishes {
  std::vector<ChannelWish> channels = {ChannelWish{}};
  std::optional<double> rate_Hz;        ///< samples per second of a table without a time column; > 0
  std::string time_unit;                ///< "s", "ms", "us", "min" when the time column does not say
  std::string separator;                ///< ";" "," "tab" "space" "|" ; empty = found out
  double working_rate_Hz = 2000;        ///< samples are joined until no more than this many a second are left
  std::size_t most_values = 3'000'000;  ///< values kept a channel; a longer trace is joined further
  std::size_t most_drawn = 10'500'000;  ///< samples kept one by one for drawing, of the first channel
  /// Told the share read (0 to 1, or -1 when the size is not known); answers false to stop.
  std::function<bool(double share)> progress = [](double) { return true; };
};

/// One channel as read.
struct Channel {
  std::size_t wish = 0;  ///< index of the wish it answers
  std::string name;
  std::string unit;  ///< of the values; "" when it is not known: only ratios mean something
  Signal signal;     ///< samples joined to the working rate
  double least = 0;  ///< of all samples
  double most = 0;
  std::uint64_t missing = 0;  ///< samples that were not numbers; bridged by a straight line
};

/// What a file held.
struct Recording {
  std::string source;
  std::string format;  ///< "WAV, 16 bit, 1 channel" or "table separated by ;, decimal comma"
  std::string sha256;
  std::uint64_t bytes = 0;
  std::uint64_t samples = 0;  ///< a channel
  double rate_Hz = 0;         ///< of the file
  double duration_s = 0;
  std::vector<Channel> channels;   ///< in the order of the wishes
  Envelope envelope{1024};         ///< of the first channel, every sample of the file
  std::vector<Gap> gaps;           ///< bridged by a straight line
  bool is_truncated = false;       ///< the file ends inside a sample or before the length it names
  std::vector<std::string> notes;  ///< what was assumed or mended, in plain words
};

/// Reads a WAV file (PCM of 8, 16, 24 or 32 bit, float of 32 or 64 bit) or a table of numbers, whichever it is.
///
/// A table may be separated by `;`, `,`, tab, `|` or blanks, with decimal point or comma, with or without byte order mark, lines of comment
/// (# or %) and lines above the header; units stand in the header ("current (A)", "time_s", "I [mA]") or in a line of their own below it.
/// Time is a column of numbers, or of clock times, or `rate_Hz`. The file is walked through once; memory does not grow with it.
///
/// @param bytes   read to its end
/// @param source  name for places in messages
/// @returns what was read, with warnings; or all problems: no such column, unit or rate missing, cells that are not numbers, clock going
/// back,
///          no line ends, an encoding other than PCM or float, no samples
[[nodiscard]] Result<Recording> read_recording(ByteSource& bytes, const std::string& source, const ReadingWishes& wishes);

}  // namespace headjoint::traces
