#pragma once

#include <cstdint>
#include <limits>
#include <span>

#include "headjoint/traces/recording.h"

namespace headjoint::traces {

/// Takes the samples of one channel as they come and keeps them joined to the working rate.
class ChannelCollector {
 public:
  /// @param rate_Hz  of the samples that will come; > 0
  ChannelCollector(const ReadingWishes& wishes, bool is_pulse, double rate_Hz);

  /// NaN stands for a sample that is missing.
  void add(std::span<const float> samples);
  void add_missing(std::uint64_t count);

  /// The channel, missing values bridged. The first sample has time 0.
  [[nodiscard]] Channel finish();

 private:
  void take_joined(std::span<const float> samples);
  void close_bin();
  void join_pairs();
  [[nodiscard]] float joined(float a, float b) const;

  std::size_t most_values_;
  bool is_pulse_;
  double rate_Hz_;
  std::uint64_t joins_;  ///< samples that make one value
  std::vector<float> values_;
  double sum_ = 0;
  float greatest_ = -std::numeric_limits<float>::infinity();
  std::uint64_t in_bin_ = 0;   ///< samples, missing ones counted
  std::uint64_t numbers_ = 0;  ///< of them numbers
  float least_seen_ = std::numeric_limits<float>::infinity();
  float most_seen_ = -std::numeric_limits<float>::infinity();
  std::uint64_t missing_ = 0;
};

}  // namespace headjoint::traces
