#include "headjoint/traces/internal/wav_reader.h"

#include <algorithm>
#include <bit>
#include <cstring>

#include "headjoint/base/text.h"
#include "headjoint/traces/internal/channel_collector.h"
#include "headjoint/traces/internal/channel_scale.h"

namespace headjoint::traces {
namespace {

static_assert(std::endian::native == std::endian::little, "samples are copied as they stand in the file");

constexpr unsigned kPcm = 1, kFloat = 3, kExtensible = 0xFFFE;
constexpr std::uint32_t kUnknownLength = 0xFFFFFFFF;

template <class T>
T number_at(std::string_view bytes, std::size_t at) {
  T value;
  std::memcpy(&value, bytes.data() + at, sizeof value);
  return value;
}

struct WavFormat {
  unsigned encoding = 0;
  unsigned channels = 0;
  unsigned rate = 0;
  unsigned bits = 0;
  std::uint64_t data_bytes = 0;
  bool is_length_known = false;

  [[nodiscard]] std::size_t sample_bytes() const { return bits / 8; }
  [[nodiscard]] std::size_t frame_bytes() const { return channels * sample_bytes(); }
};

/// Sample `channel` of every frame, times `factor`, plus `offset`.
template <class Sample, class Value>
void copy_channel(const char* data, std::size_t frames, std::size_t frame_bytes, float factor, float offset, float* out, Value value) {
  for (std::size_t i = 0; i < frames; ++i) {
    Sample sample;
    std::memcpy(&sample, data + i * frame_bytes, sizeof sample);
    out[i] = value(sample) * factor + offset;
  }
}

struct ThreeBytes {
  unsigned char byte[3];
};
float of_three_bytes(ThreeBytes sample) {
  const std::uint32_t high = static_cast<std::uint32_t>(sample.byte[0]) << 8U | static_cast<std::uint32_t>(sample.byte[1]) << 16U |
                             static_cast<std::uint32_t>(sample.byte[2]) << 24U;
  return static_cast<float>(static_cast<std::int32_t>(high) >> 8);
}

void copy_samples(const WavFormat& format, const char* data, std::size_t frames, const ChannelScale& scale, float* out) {
  const auto factor = [&](double full) { return static_cast<float>(scale.factor / full); };
  const auto offset = static_cast<float>(scale.offset);
  const std::size_t step = format.frame_bytes();
  if (format.encoding == kFloat && format.bits == 32)
    copy_channel<float>(data, frames, step, factor(1), offset, out, [](float v) { return v; });
  else if (format.encoding == kFloat)
    copy_channel<double>(data, frames, step, factor(1), offset, out, [](double v) { return static_cast<float>(v); });
  else if (format.bits == 8)
    copy_channel<std::uint8_t>(data, frames, step, factor(128), offset, out, [](std::uint8_t v) { return static_cast<float>(v) - 128.0F; });
  else if (format.bits == 16 && step == 2)  // a constant step lets the compiler use vector registers
    copy_channel<std::int16_t>(data, frames, 2, factor(32768), offset, out, [](std::int16_t v) { return static_cast<float>(v); });
  else if (format.bits == 16)
    copy_channel<std::int16_t>(data, frames, step, factor(32768), offset, out, [](std::int16_t v) { return static_cast<float>(v); });
  else if (format.bits == 24)
    copy_channel<ThreeBytes>(data, frames, step, factor(8388608), offset, out, of_three_bytes);
  else
    copy_channel<std::int32_t>(data, frames, step, factor(2147483648.0), offset, out, [](std::int32_t v) { return static_cast<float>(v); });
}

class WavReader {
 public:
  WavReader(ByteWindow& window, const std::string& source, const ReadingWishes& wishes)
      : window_(window), source_(source), wishes_(wishes) {}

  Result<Recording> read() {
    if (auto problem = read_head()) return *problem;
    if (auto problem = check_format()) return *problem;
    if (auto problem = choose_channels()) return *problem;
    read_data();
    window_.drain();
    if (recording_.samples == 0) return wrong("the sound file holds no samples", "at least one second of cranking");
    for (std::size_t i = 0; i < collectors_.size(); ++i) {
      Channel channel = collectors_[i].finish();
      channel.wish = wished_[i];
      channel.name = "channel " + std::to_string(chosen_[i] + 1);
      channel.unit = scales_[i].unit;
      if (!scales_[i].note.empty()) recording_.notes.push_back(channel.name + ": " + scales_[i].note);
      recording_.channels.push_back(std::move(channel));
    }
    return std::move(recording_);
  }

 private:
  Problem wrong(const std::string& what, const std::string& allowed, const std::string& mend = {}) const {
    return {{source_, 0, 0, {}}, what, allowed, mend};
  }

  /// Walks over the chunks up to the data.
  std::optional<Problem> read_head() {
    const bool is_long = window_.look().starts_with("RF64");
    window_.take(12);
    std::uint64_t long_length = 0;
    for (;;) {
      const std::string_view bytes = window_.look();
      if (bytes.size() < 8) return wrong("the sound file ends before its samples", "a WAV file with a data chunk");
      const std::string name(bytes.substr(0, 4));
      std::uint64_t length = number_at<std::uint32_t>(bytes, 4);
      if (name == "data") {
        if (is_long && length == kUnknownLength) length = long_length;
        format_.data_bytes = length;
        format_.is_length_known = length != 0 && length != kUnknownLength;
        window_.take(8);
        return std::nullopt;
      }
      if (name == "ds64" && bytes.size() >= 24) long_length = number_at<std::uint64_t>(bytes, 16);
      if (name == "fmt " && !read_format(bytes.substr(8), length))
        return wrong("the format of the sound file cannot be read", "16 bytes or more");
      if (!skip(8 + length + length % 2)) return wrong("the sound file ends before its samples", "a WAV file with a data chunk");
    }
  }

  bool read_format(std::string_view bytes, std::uint64_t length) {
    if (length < 16 || bytes.size() < 16) return false;
    format_.encoding = number_at<std::uint16_t>(bytes, 0);
    format_.channels = number_at<std::uint16_t>(bytes, 2);
    format_.rate = number_at<std::uint32_t>(bytes, 4);
    format_.bits = number_at<std::uint16_t>(bytes, 14);
    if (format_.encoding == kExtensible && length >= 26 && bytes.size() >= 26) format_.encoding = number_at<std::uint16_t>(bytes, 24);
    return true;
  }

  bool skip(std::uint64_t count) {
    while (count > 0) {
      const std::size_t now = static_cast<std::size_t>(std::min<std::uint64_t>(count, window_.look().size()));
      if (now == 0 || window_.is_stopped()) return false;
      window_.take(now);
      count -= now;
    }
    return true;
  }

  std::optional<Problem> check_format() const {
    const bool is_pcm = format_.encoding == kPcm && (format_.bits == 8 || format_.bits == 16 || format_.bits == 24 || format_.bits == 32);
    const bool is_float = format_.encoding == kFloat && (format_.bits == 32 || format_.bits == 64);
    if (!is_pcm && !is_float) {
      return wrong("samples are stored in encoding " + std::to_string(format_.encoding) + " with " + std::to_string(format_.bits) + " bit",
                   "PCM of 8, 16, 24 or 32 bit, or float of 32 or 64 bit", "save the recording as plain WAV");
    }
    if (format_.channels == 0) return wrong("the sound file has no channel", "1 or more");
    if (format_.rate == 0) return wrong("the sound file has a rate of 0 samples a second", "more than 0");
    return std::nullopt;
  }

  std::optional<Problem> choose_channels() {
    recording_.format = "WAV, " + std::to_string(format_.bits) + (format_.encoding == kFloat ? " bit float, " : " bit, ") +
                        std::to_string(format_.channels) + (format_.channels == 1 ? " channel" : " channels");
    recording_.rate_Hz = format_.rate;
    std::size_t next = 0;
    for (std::size_t w = 0; w < wishes_.channels.size(); ++w) {
      const ChannelWish& wish = wishes_.channels[w];
      if (wish.is_optional && wish.column.empty()) continue;
      const auto number = parse_number(wish.column);
      std::size_t index = next;
      if (!wish.column.empty()) {
        index = number && *number >= 1 && *number <= format_.channels ? static_cast<std::size_t>(*number) - 1 : format_.channels;
      }
      if (index >= format_.channels) {
        return wrong("channel \"" + (wish.column.empty() ? std::to_string(next + 1) : wish.column) + "\" is not in the sound file",
                     "1 to " + std::to_string(format_.channels));
      }
      next = index + 1;
      Result<ChannelScale> scale = sound_scale(wish);
      if (!scale) return scale.problems().front();
      wished_.push_back(w);
      chosen_.push_back(index);
      scales_.push_back(*scale);
      collectors_.emplace_back(wishes_, wish.is_pulse, static_cast<double>(format_.rate));
    }
    recording_.envelope = Envelope(std::max<std::size_t>(wishes_.most_drawn, 1024));
    return std::nullopt;
  }

  void read_data() {
    constexpr std::size_t kFrames = 1U << 15U;  // stays in the processor's cache
    std::vector<float> values(kFrames);
    const std::size_t frame = format_.frame_bytes();
    std::uint64_t left = format_.is_length_known ? format_.data_bytes : UINT64_MAX;
    for (;;) {
      const std::string_view bytes = window_.look().substr(0, static_cast<std::size_t>(std::min<std::uint64_t>(left, ByteWindow::kSize)));
      const std::size_t frames = bytes.size() / frame;
      if (frames == 0 || window_.is_stopped()) {
        note_truncation(bytes.size(), left);
        window_.take(bytes.size());
        return;
      }
      for (std::size_t done = 0; done < frames; done += kFrames) {
        const std::size_t count = std::min(kFrames, frames - done);
        for (std::size_t i = 0; i < collectors_.size(); ++i) {
          copy_samples(format_, bytes.data() + done * frame + chosen_[i] * format_.sample_bytes(), count, scales_[i], values.data());
          collectors_[i].add({values.data(), count});
          if (i == 0) recording_.envelope.add({values.data(), count});
        }
      }
      recording_.samples += frames;
      left -= frames * frame;
      window_.take(frames * frame);
    }
  }

  void note_truncation(std::size_t rest, std::uint64_t left) {
    recording_.is_truncated = rest > 0 || (format_.is_length_known && left > 0);
    if (!recording_.is_truncated) return;
    std::string note = "the file is cut off: read to its last whole sample, " + std::to_string(recording_.samples);
    if (format_.is_length_known) note += " of " + std::to_string(format_.data_bytes / format_.frame_bytes());
    recording_.notes.push_back(note);
  }

  ByteWindow& window_;
  const std::string& source_;
  const ReadingWishes& wishes_;
  WavFormat format_;
  std::vector<std::size_t> wished_, chosen_;
  std::vector<ChannelScale> scales_;
  std::vector<ChannelCollector> collectors_;
  Recording recording_;
};

}  // namespace

bool looks_like_wav(std::string_view begin) {
  return begin.size() >= 12 && (begin.starts_with("RIFF") || begin.starts_with("RF64")) && begin.substr(8, 4) == "WAVE";
}

Result<Recording> read_wav(ByteWindow& window, const std::string& source, const ReadingWishes& wishes) {
  return WavReader(window, source, wishes).read();
}

}  // namespace headjoint::traces
