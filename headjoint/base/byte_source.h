#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>

namespace headjoint {

/// Bytes that come piece after piece and are never held whole: a long file, standard input, an upload.
class ByteSource {
 public:
  ByteSource() = default;
  ByteSource(const ByteSource&) = delete;
  ByteSource& operator=(const ByteSource&) = delete;
  virtual ~ByteSource() = default;

  /// Fills `buffer` from the front as far as bytes are there.
  /// @returns how many were read; less than asked only at the end, 0 behind it
  /// @throws EnvironmentError kInputOutput
  [[nodiscard]] virtual std::size_t read(std::span<char> buffer) = 0;

  /// Bytes in all, when that is known before reading them.
  [[nodiscard]] virtual std::optional<std::uint64_t> size() const { return std::nullopt; }
};

/// A file to be read once from its start; "-" is standard input.
/// @throws EnvironmentError kNoSuchFile or kInputOutput
[[nodiscard]] std::unique_ptr<ByteSource> open_byte_source(const std::string& path);

/// The bytes of a text that is already here.
[[nodiscard]] std::unique_ptr<ByteSource> byte_source_of(std::string bytes);

}  // namespace headjoint
