#include "headjoint/traces/recording.h"

#include "headjoint/base/error.h"
#include "headjoint/traces/internal/byte_window.h"
#include "headjoint/traces/internal/table_reader.h"
#include "headjoint/traces/internal/wav_reader.h"

namespace headjoint::traces {

Result<Recording> read_recording(ByteSource& bytes, const std::string& source, const ReadingWishes& wishes) {
  require(!wishes.channels.empty(), "at least one channel is wanted");
  require(wishes.working_rate_Hz > 0 && wishes.most_values >= 2, "the working rate is above 0 and two values are kept");
  ByteWindow window(bytes, wishes);
  if (window.look().empty()) return Problem{{source, 0, 0, {}}, "the file is empty", "a table of numbers or a WAV file", {}};
  Result<Recording> result = looks_like_wav(window.look()) ? read_wav(window, source, wishes) : read_table(window, source, wishes);
  if (window.is_stopped()) return Problem{{source, 0, 0, {}}, "reading was stopped", "the whole file", {}};
  if (!result) return result;
  Recording recording = std::move(result).value();
  recording.source = source;
  recording.bytes = window.passed();
  recording.sha256 = window.digest();
  const std::uint64_t on_grid = recording.envelope.size();
  recording.duration_s = static_cast<double>(on_grid) / recording.rate_Hz;
  return recording;
}

}  // namespace headjoint::traces
