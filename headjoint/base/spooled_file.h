#pragma once

#include <cstdint>
#include <memory>
#include <span>
#include <string>

#include "headjoint/base/byte_source.h"

namespace headjoint {

/// Bytes put on disk as they come, because they are too many for memory: written once, read any number of times.
///
/// The file has no name once it is open, so nothing is left behind, whatever happens to the program.
class SpooledFile : public std::enable_shared_from_this<SpooledFile> {
 public:
  /// @param folder  made when it is missing; "" takes the system's folder for temporary files
  /// @throws EnvironmentError kInputOutput
  [[nodiscard]] static std::shared_ptr<SpooledFile> make(const std::string& folder);
  ~SpooledFile();
  SpooledFile(const SpooledFile&) = delete;
  SpooledFile& operator=(const SpooledFile&) = delete;

  /// Appends. @throws EnvironmentError kInputOutput, as when the disk is full
  void add(std::span<const char> bytes);

  [[nodiscard]] std::uint64_t size() const { return size_; }

  /// The bytes from the first one on, at its own pace; keeps the file alive. Safe from any thread once nothing is added any more.
  [[nodiscard]] std::unique_ptr<ByteSource> open() const;

 private:
  explicit SpooledFile(int descriptor) : descriptor_(descriptor) {}

  int descriptor_;
  std::uint64_t size_ = 0;
};

}  // namespace headjoint
