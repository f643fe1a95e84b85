#pragma once

#include <cstdint>
#include <string_view>
#include <vector>

#include "headjoint/base/byte_source.h"
#include "headjoint/traces/digest.h"
#include "headjoint/traces/recording.h"

namespace headjoint::traces {

/// The part of a file that is in memory: readers look at it and take from its front. Everything that passes is counted into the digest.
class ByteWindow {
 public:
  static constexpr std::size_t kSize = 1U << 20U;

  ByteWindow(ByteSource& bytes, const ReadingWishes& wishes) : bytes_(bytes), wishes_(wishes) { buffer_.resize(kSize); }

  /// What is there, after filling up; less than kSize only when the file ends in it.
  [[nodiscard]] std::string_view look();
  /// Whether nothing comes behind what look() shows.
  [[nodiscard]] bool is_last() const { return is_last_; }
  void take(std::size_t count) { begin_ += count; }

  /// Digests the rest of the file without looking at it.
  void drain();

  [[nodiscard]] bool is_stopped() const { return is_stopped_; }
  [[nodiscard]] std::uint64_t passed() const { return passed_; }
  [[nodiscard]] std::string digest() { return digest_.hex(); }

 private:
  ByteSource& bytes_;
  const ReadingWishes& wishes_;
  std::vector<char> buffer_;
  std::size_t begin_ = 0, end_ = 0;
  bool is_last_ = false;
  bool is_stopped_ = false;
  std::uint64_t passed_ = 0;
  Digest digest_;
};

}  // namespace headjoint::traces
