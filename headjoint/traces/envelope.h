#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace headjoint::traces {

/// Least and greatest sample behind one column of a plot.
struct Window {
  float least = 0;
  float most = 0;
  bool operator==(const Window&) const = default;
};

/// A trace kept so that any stretch of it can be drawn at once, however long it is.
///
/// Every sample is kept up to `capacity`; beside them least and greatest of every 64. A longer trace keeps only those, and joins them two
/// and two whenever they become more than an eighth of `capacity`: memory stays below 5 bytes times `capacity`, whatever comes.
class Envelope {
 public:
  static constexpr std::size_t kUsualCapacity = 10'500'000;

  /// @param capacity  samples kept one by one; at least 1024
  explicit Envelope(std::size_t capacity = kUsualCapacity);

  /// Appends samples. NaN is kept and never counts as least or greatest.
  void add(std::span<const float> samples);

  [[nodiscard]] std::uint64_t size() const { return size_; }

  /// Samples that cannot be told apart any more; 1 while every sample is kept.
  [[nodiscard]] std::uint64_t grain() const { return is_exact_ ? 1 : bucket_; }

  /// Least and greatest of `columns` equal parts of the samples from `first` up to, not including, `last`.
  ///
  /// Exact while grain() is 1, else widened to whole grains. A column that holds no number is NaN. Fewer samples than columns give one
  /// column a sample.
  [[nodiscard]] std::vector<Window> windows(std::uint64_t first, std::uint64_t last, std::size_t columns) const;

 private:
  [[nodiscard]] Window window(std::uint64_t first, std::uint64_t last) const;
  void close_bucket();
  void join_buckets();

  std::size_t capacity_;
  std::uint64_t size_ = 0;
  bool is_exact_ = true;
  std::vector<float> samples_;
  std::uint64_t bucket_ = 64;  ///< samples a bucket
  std::vector<Window> buckets_;
  Window open_;  ///< bucket being filled
  std::uint64_t in_open_ = 0;
};

}  // namespace headjoint::traces
