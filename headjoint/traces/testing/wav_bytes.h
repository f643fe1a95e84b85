#pragma once

#include <cstdint>
#include <cstring>
#include <string>
#include <vector>

/// Sound files made in memory, for tests and benchmarks.
namespace headjoint::traces::testing {

/// 16-bit PCM from interleaved samples.
inline std::string wav_bytes(const std::vector<std::int16_t>& samples, std::uint32_t rate, std::uint16_t channels = 1) {
  std::string bytes;
  const auto word = [&](auto value) { bytes.append(reinterpret_cast<const char*>(&value), sizeof value); };
  const auto length = static_cast<std::uint32_t>(samples.size() * 2);
  bytes += "RIFF";
  word(static_cast<std::uint32_t>(36 + length));
  bytes += "WAVEfmt ";
  word(std::uint32_t{16});
  word(std::uint16_t{1});
  word(channels);
  word(rate);
  word(static_cast<std::uint32_t>(rate * 2 * channels));
  word(static_cast<std::uint16_t>(2 * channels));
  word(std::uint16_t{16});
  bytes += "data";
  word(length);
  bytes.append(reinterpret_cast<const char*>(samples.data()), length);
  return bytes;
}

}  // namespace headjoint::traces::testing
